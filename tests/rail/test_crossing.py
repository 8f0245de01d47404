"""Whether a path crosses itself, against the plane-geometry library's own answer."""

import math
import random
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plategen.rail.reading import MOST_EDGES, first_crossing


def test_paths_that_do_not_cross() -> None:
    assert first_crossing([]) is None
    assert first_crossing([0j, 1 + 0j]) is None
    assert first_crossing([0j, 10 + 0j, 10 + 10j, 0 + 10j]) is None
    assert first_crossing([0j, 10 + 0j, 10 + 10j, 10j, 0j]) is None  # closes on its start
    assert first_crossing([0j, 10 + 0j, 10 + 0j, 20 + 0j]) is None  # a repeated reading


def test_the_first_crossing_is_named() -> None:
    assert first_crossing([-20 + 0j, 0j, 10 + 10j, 10 + 0j, 10j]) == (1, 3)


@given(st.lists(st.tuples(st.integers(0, 8), st.integers(0, 8)), min_size=4, max_size=9, unique=True))
def test_against_the_plane_geometry_library(corners: list[tuple[int, int]]) -> None:
    geometry = pytest.importorskip("shapely")
    path = [complex(x, y) * 10 for x, y in corners]
    lines = [geometry.LineString([(a.real, a.imag), (b.real, b.imag)]) for a, b in pairwise(path)]
    crosses = any(a.crosses(b) for i, a in enumerate(lines) for b in lines[i + 2 :])
    assert (first_crossing(path) is not None) == crosses


def test_the_noise_of_a_dense_scan_is_no_crossing_but_a_loop_is() -> None:
    hand = random.Random(1)

    def scan(point: complex) -> complex:
        return point + complex(hand.gauss(0, 0.2), hand.gauss(0, 0.2))

    quarter = [scan(300 * complex(math.sin(i / 30_000), 1 - math.cos(i / 30_000))) for i in range(40_000)]
    assert first_crossing(quarter) is None
    eight = [scan(100 * complex(math.sin(i / 3000), math.sin(i / 1500) / 2)) for i in range(20_000)]
    assert first_crossing(eight) is not None
    assert len(eight) > MOST_EDGES
