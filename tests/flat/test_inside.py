"""What is inside, what crosses itself, and how far things lie apart."""

import cmath
import math
import random

import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from plategen.flat.distance import approaches, chain_distance, keep_off, reach, reaches, segment_distance
from plategen.flat.inside import inside, insides, simple, winding
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line, Segment

from .shapes import as_shapely, channel, loops, polygon

coordinate = st.floats(-80.0, 80.0)
points = st.builds(complex, coordinate, coordinate)


@st.composite
def edges(draw: st.DrawFn) -> Segment:
    start, end = draw(points), draw(points)
    if abs(end - start) < 1.0:
        end = start + 10.0
    bulge = draw(st.one_of(st.just(0.0), st.floats(-3.0, 3.0)))
    return Line(start, end) if abs(bulge) < 1e-3 else Arc(start, end, bulge)


@given(loops(), points)
def test_inside_as_a_polygon_of_chords_says(loop: Loop, p: complex) -> None:
    shape = as_shapely(loop, 0.01)
    assume(shape.boundary.distance(shapely.Point(p.real, p.imag)) > 0.01)
    expected = shape.contains(shapely.Point(p.real, p.imag))
    assert inside(loop, p) == expected
    assert inside(loop.reversed(), p) == expected
    assert winding(loop.segments, p) == expected


@given(st.integers(-6, 6), st.integers(-6, 6))
def test_points_level_with_corners_and_on_chords(u: int, v: int) -> None:
    # arcs that share their chords with the level and upright lines through the points
    ring = Loop((Arc(3 + 0j, 3j, 0.4142135623730951), Arc(3j, -3 + 0j, 0.41421356237309503),
                 Arc(-3 + 0j, -3j, 0.41421356237309503), Arc(-3j, 3 + 0j, 0.41421356237309503)))  # fmt: skip
    halves = Loop((Arc(-3 + 0j, 3 + 0j, 1.0), Arc(3 + 0j, -3 + 0j, 1.0)))
    upright = Loop((Arc(-3j, 3j, 1.0), Arc(3j, -3j, 1.0)))
    p = complex(u, v) / 2
    if abs(p) != 3.0:
        assert inside(ring, p) == inside(halves, p) == inside(upright, p) == (abs(p) < 3.0)


def test_more_than_half_a_circle() -> None:
    keyhole = Loop((Arc(1 + 0j, -1 + 0j, 3.0), Line(-1 + 0j, -1 - 5j), Line(-1 - 5j, 1 - 5j), Line(1 - 5j, 1 + 0j)))
    top = keyhole.segments[0].point(0.5)
    assert top.imag == pytest.approx(3.0)
    assert inside(keyhole, 2.9j)
    assert not inside(keyhole, 3.1j)
    assert inside(keyhole, -4j)
    assert not inside(keyhole, 1.5 - 1j)
    assert simple(keyhole) is None


def test_an_outline_that_crosses_itself_says_where() -> None:
    assert simple(channel()) is None
    assert simple(polygon(0j, 10 + 10j, 10 + 0j, 10j)) == pytest.approx(5 + 5j)
    assert simple(polygon(0j, 10 + 0j, 10 + 10j, 5 + 0j, 10j)) == pytest.approx(5 + 0j)  # touches
    assert simple(polygon(0j, 10 + 0j, 4 + 0j, 4 + 4j)) is not None  # folds back on itself
    lens = Loop((Arc(0j, 10 + 0j, 0.3), Arc(10 + 0j, 0j, 0.3)))
    assert simple(lens) is None
    crossed = Loop((Line(0j, 10 + 0j), Line(10 + 0j, 10 + 3j), Arc(10 + 3j, 3j, -0.9), Line(3j, 0j)))
    assert simple(crossed) is not None
    assert simple(crossed).imag == pytest.approx(0.0)  # type: ignore[union-attr]


@given(loops())
def test_an_outline_is_simple_as_a_library_says(loop: Loop) -> None:
    shape = as_shapely(loop, 0.01)
    if not shape.is_valid:
        assert simple(loop) is not None
    elif simple(loop) is not None:  # a crossing so slight that the chords miss it
        place = simple(loop)
        assert place is not None
        assert sum(abs(e.point(e.nearest(place)) - place) < 0.01 for e in loop) >= 2


def test_neighbours_that_meet_again_are_found() -> None:
    # an arc that comes round to cut the line it left
    around = Arc.about(10 + 3j, 3.0, -1.2, 5.0)
    tail = Line(around.end, -5 - 9j)
    loop = Loop((Line(-5 + 0j, around.start), around, tail, Line(tail.end, -5 + 0j)))
    assert simple(loop) is not None


@settings(max_examples=60)
@given(edges(), edges())
def test_distance_of_edges(a: Segment, b: Segment) -> None:
    found = segment_distance(a, b)
    assert found == pytest.approx(segment_distance(b, a), abs=1e-6)
    ts = [i / 400 for i in range(401)]
    sampled = min(abs(b.point(b.nearest(a.point(t))) - a.point(t)) for t in ts)
    # never more than any sample; less by no more than half a step
    assert found <= sampled + 1e-6
    assert found >= sampled - a.length / 800 - 1e-6


def test_distances_by_hand() -> None:
    assert segment_distance(Line(0j, 10 + 0j), Arc.about(5 + 8j, 3.0, -3.0, 3.0)) == pytest.approx(5.0)
    assert segment_distance(Arc.about(0j, 5.0, -1.0, 2.0), Arc.about(20 + 0j, 4.0, 2.0, 2.0)) == pytest.approx(11.0)
    assert segment_distance(Arc.about(0j, 5.0, -1.0, 2.0), Arc.about(-1 + 0j, 10.0, -1.0, 2.0)) == pytest.approx(4.0)
    assert segment_distance(Arc.about(0j, 5.0, -1.0, 2.0), Arc.about(0j, 8.0, 0.0, 2.0)) == pytest.approx(3.0)
    assert chain_distance(channel(), polygon(40 + 30j, 60 + 30j, 50 + 40j)) == pytest.approx(10.0)
    assert chain_distance(channel(), polygon(90 + 10j, 110 + 10j, 110 + 20j)) == 0.0


def test_loops_keep_off_each_other_by_as_much_as_they_are_apart() -> None:
    chance = random.Random(3)
    for _ in range(60):
        at, turn = complex(chance.uniform(-60, 160), chance.uniform(-60, 160)), cmath.rect(20, chance.uniform(0, 7))
        other = polygon(at, at + turn, at + turn + 1j * turn)
        apart = chain_distance(channel(), other)
        assert keep_off(channel(), other, apart - 1e-9)
        assert keep_off(channel(), other, apart + 1e-9) is False


def test_material_round_a_hole() -> None:
    near, *_ = approaches(channel(), Circle(15 + 30j, 5.0))
    assert near.from_centre_mm == pytest.approx(15.0)
    assert near.from_circle_mm == pytest.approx(10.0)
    assert [a.from_centre_mm for a in approaches(channel(), Circle(50 + 8j, 2.0))][:2] == pytest.approx([8.0, 12.0])


@given(loops(), st.floats(-math.pi, math.pi))
def test_reach_ends_on_the_outline(loop: Loop, way: float) -> None:
    assume(simple(loop) is None and inside(loop, 0j))
    direction = cmath.rect(3.0, way)
    x = reach(loop, 0j, direction)
    hit = direction / 3.0 * x
    assert loop.distance(hit) < 1e-6
    for share in (0.2, 0.5, 0.9, 0.999):
        assert inside(loop, share * hit)
    assert x >= loop.distance(0j) - 1e-9


@given(loops(), st.lists(st.tuples(points, st.floats(-math.pi, math.pi)), min_size=1, max_size=8))
def test_many_points_at_once_are_answered_as_one_by_one(loop: Loop, places: list[tuple[complex, float]]) -> None:
    # corners of the outline among them, and rays along its edges
    rays = [(p, cmath.rect(3.0, way)) for p, way in places]
    rays += [(edge.start, edge.end - edge.start) for edge in loop]
    rays += [(2.0 * edge.start - edge.end, edge.end - edge.start) for edge in loop]
    assert reaches(loop.segments, rays) == [reach(loop, *ray) for ray in rays]
    assert insides(loop.segments, [p for p, _ in rays]) == [inside(loop, p) for p, _ in rays]


def test_reach_by_hand() -> None:
    u = channel()
    assert reach(u, 15 + 30j, 1 + 0j) == pytest.approx(15.0)
    assert reach(u, 15 + 30j, -2j) == pytest.approx(30.0)
    assert reach(u, 15 + 30j, 1 - 1j) == pytest.approx(30.0 * math.sqrt(2))  # past the slot's corner, to the bottom
    assert reach(u, 200 + 30j, 1 + 0j) == math.inf
