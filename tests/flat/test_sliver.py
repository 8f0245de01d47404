"""Slivers go, and what takes their place lies to the right, close by."""

import itertools
import math

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.segment import SHORTEST_EDGE_MM, Arc, Line, Segment, angle
from plategen.flat.sliver import without_slivers


def path(*points: complex) -> Chain:
    return Chain(tuple(Line(a, b) for a, b in itertools.pairwise(points)))


def step(length: float, direction_rad: float) -> complex:
    return complex(length * math.cos(direction_rad), length * math.sin(direction_rad))


def check(chain: Chain, clean: Chain, limit: float) -> None:
    assert all(edge.length >= SHORTEST_EDGE_MM for edge in clean)
    for edge in clean:
        for i in range(21):
            assert -limit - 1e-9 <= offset_from(chain, edge.point(i / 20)) <= 1e-4


def test_nothing_to_do() -> None:
    chain = path(0j, 10 + 0j, 20 + 5j)
    assert without_slivers(chain) is chain
    tiny = path(0j, 0.01 + 0j)
    assert without_slivers(tiny) is tiny


def test_an_outward_corner_is_run_on_to_its_point() -> None:
    # the metal is on the left: a left turn is a corner that sticks out
    chain = path(0j, 10 + 0j, 10.02 + 0.01j, 10.03 + 10j)
    clean = without_slivers(chain)
    assert len(clean) == 2
    assert clean.segments[0].end == pytest.approx(10.02 + 0j, abs=1e-3)
    check(chain, clean, 0.02)


def test_a_re_entrant_corner_is_bridged() -> None:
    chain = path(0j, 10 + 0j, 10 + 0.0j + step(0.02, -math.pi / 4), 10 + step(0.02, -math.pi / 4) - 10j)
    clean = without_slivers(chain)
    assert len(clean) == 3
    check(chain, clean, SHORTEST_EDGE_MM / 2)
    assert without_slivers(chain, toward_free_mm=0.005) is chain  # it would need 0.015 mm


def test_a_small_step_either_way() -> None:
    for jump in (0.004j, -0.004j):
        chain = path(0j, 10 + 0j, 10 + jump, 20 + jump)
        clean = without_slivers(chain, toward_free_mm=0.005)
        assert len(clean) == 3
        check(chain, clean, 0.005)


def test_at_the_ends() -> None:
    chain = path(0j, 0.02 + 0.001j, 10 + 0j, 20 - 1j, 20.03 - 1.001j)
    clean = without_slivers(chain)
    assert len(clean) == 3  # a chord where it turns right, the last edge run on where it turns left
    check(chain, clean, 0.005)


def test_a_run_of_slivers() -> None:
    points = [0j, 20 + 0j]
    for i in range(4):
        points.append(points[-1] + step(0.02, 0.01 * (i + 1)))
    points.append(points[-1] + step(30, 0.05))
    chain = path(*points)
    clean = without_slivers(chain)
    assert len(clean) == 2
    check(chain, clean, 0.005)


@settings(max_examples=100, deadline=None)
@example([(0.0234375, -0.09375, True), (0.03125, 0.0, False), (0.0234375, -0.09375, True)])
@given(
    st.lists(
        st.tuples(st.one_of(st.floats(1e-4, 0.049), st.floats(2.0, 50.0)), st.floats(-0.1, 0.1), st.booleans()),
        min_size=1,
        max_size=6,
    )
)
def test_any_chain_of_small_turns(parts: list[tuple[float, float, bool]]) -> None:
    at, heading = 0j, 0.0
    edges: list[Segment] = [Line(-30 + 0j, 0j)]
    for length, turn, bowed in parts:
        heading += turn
        to = at + step(length, heading)
        edges.append(Arc(at, to, turn / 2 if abs(turn) > 1e-6 else 0.01) if bowed else Line(at, to))
        at = to
    edges.append(Line(at, at + step(30.0, heading)))
    chain = Chain(tuple(edges))
    check(chain, without_slivers(chain), max(0.02, chord_off(edges)))


def chord_off(edges: list[Segment]) -> float:
    """How far the shortest chord that a table cuts lies off a sharp corner that turns as far as short edges do."""
    most = turned = 0.0
    for before, edge in itertools.pairwise(edges):
        turned = 0.0 if edge.length >= 2.0 else turned
        turned += abs(angle(edge.start_tangent / before.end_tangent))
        turned += abs(edge.sweep_rad) if isinstance(edge, Arc) and edge.length < 2.0 else 0.0
        most = max(most, turned)
    return SHORTEST_EDGE_MM / 2.0 * math.tan(most / 2.0)
