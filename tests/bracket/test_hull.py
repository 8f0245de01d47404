"""The string round circles, held against an independent library's convex hull and against its own promise."""

import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from shapely.geometry import MultiPolygon, Point

from plategen.bracket.hull import hull, string
from plategen.flat.inside import inside, simple
from plategen.flat.loop import Circle
from plategen.ground.refusal import Refusal

CIRCLES = st.lists(
    st.builds(lambda u, v, r: Circle(complex(u, v), r), st.floats(-90, 90), st.floats(-90, 90), st.floats(0.5, 30)),
    min_size=2,
    max_size=7,
)


@settings(max_examples=60, deadline=None)
@example([Circle(0j, 1.0), Circle(1.2e-7j, 1.0)])
@given(CIRCLES)
def test_area_is_that_of_an_independent_hull(circles: list[Circle]) -> None:
    try:
        loop = hull(circles)
    except ValueError:
        # one circle holds all the others
        assert any(all(abs(a.centre - b.centre) <= a.radius - b.radius + 1e-6 for b in circles) for a in circles)
        return
    fine = 256
    rounds = MultiPolygon([Point(c.centre.real, c.centre.imag).buffer(c.radius, fine) for c in circles])
    # the library's polygons lie inside the arcs by the sagitta of a flat
    assert loop.area == pytest.approx(rounds.convex_hull.area, rel=2e-5, abs=1e-3)
    assert simple(loop) is None
    for circle in circles:
        for k in range(16):
            p = circle.centre + circle.radius * complex(math.cos(k), math.sin(k))
            assert inside(loop, p) or loop.distance(p) < 1e-6


def test_three_equal_circles_in_a_row() -> None:
    loop = hull([Circle(complex(40 * k), 10.0) for k in range(3)])
    assert len(loop) == 4
    assert loop.area == pytest.approx(80 * 20 + math.pi * 100)
    assert loop.length == pytest.approx(160 + 20 * math.pi)


def test_points_are_corners() -> None:
    loop = hull([Circle(0j, 0.0), Circle(30 + 0j, 0.0), Circle(15 + 20j, 0.0)])
    assert len(loop) == 3
    assert loop.area == pytest.approx(300.0)


def test_one_circle_has_no_string() -> None:
    with pytest.raises(ValueError, match="one circle holds all the others"):
        hull([Circle(0j, 20.0), Circle(3 + 0j, 5.0)])


def test_steel_about_a_corner_that_would_hold_the_whole_plate_is_a_toe_too_high() -> None:
    plate = [Circle(0j, 0.0), Circle(80 + 0j, 0.0), Circle(40 - 30j, 10.0)]
    with pytest.raises(Refusal, match="a shorter toe is right"):
        string(plate, [Circle(40 - 10j, 200.0)])
