"""Slivers go, and what takes their place lies to the right, close by."""

import itertools
import math

import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from plategen.flat.chain import Chain
from plategen.flat.clip import between
from plategen.flat.distance import offset_from
from plategen.flat.segment import SHORTEST_EDGE_MM, Arc, Line, Segment, angle
from plategen.flat.sliver import without_slivers
from plategen.rail.fit.fair import fair
from tests.rail.fit_rails import chain_of


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


def dented(height_mm: float, width_mm: float) -> Chain:
    """A dent in a flat as a chain of arcs, tangent to each other, as a free edge is."""

    def curve(x: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
        t = (x - 170.0) / width_mm
        bell = height_mm * np.exp(-0.5 * t**2)
        return bell + 0.03 * x, 0.03 - bell * t / width_mm

    return Chain(tuple(fair(curve, 0.0, 350.0, 0.02)))


def bent(turns: tuple[float, float], radius_mm: float) -> Chain:
    """Three flats with two bends between them."""
    first, second = ((abs(turn) * radius_mm, turn) for turn in turns)
    return chain_of(0j, 0.05, (100.0, 0.0), first, (80.0, 0.0), second, (120.0, 0.0))


@settings(max_examples=100, deadline=None)
@given(
    chain=st.one_of(
        st.builds(dented, st.floats(-8.0, 8.0).filter(lambda h: abs(h) > 1.0), st.floats(12.0, 50.0)),
        st.builds(
            bent,
            st.tuples(*[st.sampled_from([-0.4, -0.1, -0.02, 0.02, 0.1, 0.4])] * 2),
            st.floats(8.0, 80.0),
        ),
    ),
    joint=st.integers(0, 1000),
    beyond_mm=st.floats(0.002, 0.299),
    begins=st.booleans(),
)
def test_no_foot_leaves_a_sliver_at_its_end(chain: Chain, joint: int, beyond_mm: float, begins: bool) -> None:
    # once 91 of 323 feet that end within 0.3 mm of a joint of a dent's arcs were refused for a cut edge too short
    at = chain.segments[1 + joint % (len(chain) - 1)].start.real
    foot = (at - beyond_mm, chain.end.real - 5.0) if begins else (5.0, at + beyond_mm)
    if foot[1] - foot[0] < 20.0:
        return
    cut = between(chain, *foot)
    clean = without_slivers(cut)
    check(cut, clean, 0.05)
    assert abs(clean.start - cut.start) < 0.05
    assert abs(clean.end - cut.end) < 0.05
