"""On which side of an outline a point lies, against shapely, which knows inside from outside in its own way."""

import random

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from plategen.flat.distance import offset_from, offsets_from
from plategen.flat.loop import Loop, polygon

from .shapes import loops


@pytest.mark.parametrize("first", range(5))
def test_the_side_and_the_distance_of_points_about_a_star_wherever_its_walk_begins(first: int) -> None:
    """The star's points are so sharp that beyond one of them the nearest edge alone names the wrong side."""
    rng = random.Random(first)
    tips = [0j, 40 + 3j, 100 + 0j, 60 + 20j, 50 + 90j, 45 + 20j, -30 + 22j, 30 + 12j]
    corners = tips[first:] + tips[:first]
    outline = polygon(corners)
    shape = shapely.Polygon([(p.real, p.imag) for p in corners])
    assert shape.is_valid
    points = [complex(rng.uniform(-60.0, 130.0), rng.uniform(-30.0, 120.0)) for _ in range(400)]
    points += [tip + complex(rng.uniform(-6.0, 6.0), rng.uniform(-6.0, 6.0)) for tip in tips for _ in range(25)]
    for p, offset in zip(points, offsets_from(outline, points), strict=True):
        place = shapely.Point(p.real, p.imag)
        away = shape.exterior.distance(place)
        assert offset == pytest.approx(away if shape.contains(place) else -away, abs=1e-9), p


@given(loops(), st.lists(st.builds(complex, st.floats(-80.0, 80.0), st.floats(-80.0, 80.0)), min_size=12, max_size=20))
def test_many_points_at_once_are_answered_as_one_by_one(loop: Loop, points: list[complex]) -> None:
    points += [edge.point(t) + off for edge in loop for t in (0.0, 1e-5, 0.5) for off in (0.0, 1e-3j)]
    assert offsets_from(loop, points) == pytest.approx([offset_from(loop, p) for p in points], rel=1e-9, abs=1e-9)
