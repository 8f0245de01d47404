"""What must hold for every edge, chain and loop; arcs against circles, bulges against sagittas, ezdxf's conversions."""

import cmath

import pytest
from ezdxf.math import bulge_center, bulge_radius
from hypothesis import assume, given
from hypothesis import strategies as st

from plategen.flat.carrier import carrier
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line, Segment, angle, cross

from .shapes import channel, loops

coordinate = st.floats(-500.0, 500.0)
points = st.builds(complex, coordinate, coordinate)
bulges = st.one_of(st.floats(-20.0, -1e-9), st.floats(1e-9, 20.0))
shares = st.floats(0.0, 1.0)


@st.composite
def arcs(draw: st.DrawFn) -> Arc:
    start, end = draw(points), draw(points)
    assume(abs(end - start) > 0.01)
    return Arc(start, end, draw(bulges))


@st.composite
def edges(draw: st.DrawFn) -> Segment:
    arc = draw(arcs())
    return arc if draw(st.booleans()) else Line(arc.start, arc.end)


@given(arcs())
def test_an_arc_against_another_librarys_circle(arc: Arc) -> None:
    start, end = (arc.start.real, arc.start.imag), (arc.end.real, arc.end.imag)
    radius = bulge_radius(start, end, arc.bulge)
    assert arc.radius == pytest.approx(radius, rel=1e-9)
    if abs(arc.bulge) > 1e-4:
        centre = bulge_center(start, end, arc.bulge)
        assert abs(arc.centre - complex(centre.x, centre.y)) < 1e-9 * (radius + 1000.0)


@given(arcs(), shares)
def test_every_point_of_an_arc_lies_on_its_circle_and_on_the_expected_side(arc: Arc, t: float) -> None:
    p = arc.point(t)
    if arc.radius < 1e5:
        assert abs(p - arc.centre) == pytest.approx(arc.radius, rel=1e-9)
    assert abs(carrier(arc).leftward(p)) < 1e-9
    middle = arc.point(0.5)
    # the sagitta is bulge x half the chord; an arc that turns left bows out to the right of its chord
    sagitta = cross(arc.end - arc.start, middle - arc.start) / abs(arc.end - arc.start)
    assert sagitta == pytest.approx(-arc.bulge * abs(arc.end - arc.start) / 2, rel=1e-9, abs=1e-12)


@given(points, st.floats(0.01, 1e3), st.floats(-3.1, 3.1), st.floats(0.01, 6.2), st.booleans())
def test_bulge_to_arc_to_bulge(centre: complex, radius: float, begin: float, sweep: float, right: bool) -> None:
    sweep = -sweep if right else sweep
    arc = Arc.about(centre, radius, begin, sweep)
    assert arc.sweep_rad == pytest.approx(sweep)
    assert arc.radius == pytest.approx(radius, rel=1e-6)
    assert abs(arc.centre - centre) < 1e-6 * (1.0 + radius)
    assert arc.length == pytest.approx(radius * abs(sweep), rel=1e-6)
    again = Arc.about(arc.centre, arc.radius, angle(arc.start - arc.centre), arc.sweep_rad)
    assert again.bulge == pytest.approx(arc.bulge, rel=1e-9)
    assert abs(again.end - arc.end) < 1e-6 * (1.0 + radius)


@given(edges())
def test_reversing_keeps_the_path(edge: Segment) -> None:
    back = edge.reversed()
    assert back.length == edge.length
    assert back.point(0.5) == pytest.approx(edge.point(0.5), abs=1e-9)
    assert back.start_tangent == pytest.approx(-edge.end_tangent)
    assert back.reversed() == edge


@given(edges())
def test_mirroring_twice_is_nothing(edge: Segment) -> None:
    assert edge.mirrored().mirrored() == edge
    assert edge.mirrored().point(0.3) == pytest.approx(edge.point(0.3).conjugate(), abs=1e-9)


@given(edges(), shares, shares)
def test_a_part_lies_on_the_whole(edge: Segment, a: float, b: float) -> None:
    t0, t1 = min(a, b), max(a, b)
    assume((t1 - t0) * edge.length > 1e-3)
    part = edge.part(t0, t1)
    assert part.length == pytest.approx(edge.length * (t1 - t0), rel=1e-6)
    assert abs(part.point(0.5) - edge.point((t0 + t1) / 2)) < 1e-6
    assert part.start_tangent == pytest.approx(edge.tangent(t0), abs=1e-6)


@given(edges(), points)
def test_the_nearest_point_is_nearer_than_any_other(edge: Segment, p: complex) -> None:
    nearest = abs(edge.point(edge.nearest(p)) - p)
    assert all(nearest <= abs(edge.point(i / 50) - p) + 1e-9 for i in range(51))


@given(edges(), shares, st.floats(-1.0, 1.0))
def test_leftward_is_the_distance_off_the_curve(edge: Segment, t: float, off: float) -> None:
    assume(not isinstance(edge, Arc) or edge.radius > 2.0)
    p = edge.point(t) + 1j * edge.tangent(t) * off
    c = carrier(edge)
    assert c.leftward(p) == pytest.approx(off, abs=1e-9)
    assert abs(c.foot(p) - edge.point(t)) < 1e-8
    assert c.share(p) * edge.length == pytest.approx(t * edge.length, abs=1e-6)
    assert edge.nearest(p) * edge.length == pytest.approx(t * edge.length, abs=1e-6)


@pytest.mark.parametrize("bulge", [1e-9, -1e-9, 1e-13, -1e-16])
def test_an_almost_straight_arc_is_as_exact_as_a_line(bulge: float) -> None:
    arc = Arc(10 + 20j, 110 + 20j, bulge)
    assert arc.length == pytest.approx(100.0)
    assert arc.point(0.25) == pytest.approx(35 + 20j - 0.75j * bulge * 50, abs=1e-12)
    assert arc.nearest(35 + 27j) == pytest.approx(0.25, abs=10 * abs(bulge) + 1e-15)
    assert carrier(arc).share(35 + 27j) == pytest.approx(0.25, abs=10 * abs(bulge) + 1e-15)
    assert carrier(arc).leftward(60 + 21j) == pytest.approx(1.0 + 50 * bulge, abs=1e-12)


@given(loops(), st.floats(-3.0, 3.0), points)
def test_loops_keep_length_and_area(loop: Loop, way: float, shift: complex) -> None:
    for other, sign in (
        (loop.reversed(), -1.0),
        (loop.mirrored(), 1.0),
        (loop.moved(cmath.rect(1.0, way), shift), 1.0),
    ):
        assert other.length == pytest.approx(loop.length)
        assert other.area == pytest.approx(sign * loop.area, rel=1e-9)
    assert loop.mirrored().mirrored() == loop
    assert loop.reversed().reversed() == loop


@given(loops())
def test_bounds_hold_the_loop_and_are_touched(loop: Loop) -> None:
    left, low, right, high = loop.bounds
    places = [edge.point(i / 40) for edge in loop for i in range(41)]
    assert left - 1e-9 <= min(p.real for p in places) <= left + 0.1
    assert right + 1e-9 >= max(p.real for p in places) >= right - 0.1
    assert low - 1e-9 <= min(p.imag for p in places) <= low + 0.1
    assert high + 1e-9 >= max(p.imag for p in places) >= high - 0.1
    box = [carrier(edge) for edge in loop]
    assert all(c.left <= p.real <= c.right or abs(p.real - c.left) < 1e-9 or abs(p.real - c.right) < 1e-9
               for c, edge in zip(box, loop, strict=True) for p in (edge.point(0.3), edge.point(0.6)))  # fmt: skip


def test_area_of_circles() -> None:
    circle = Loop((Arc(5 + 0j, -5 + 0j, 1.0), Arc(-5 + 0j, 5 + 0j, 1.0)))
    assert circle.area == pytest.approx(Circle(0j, 5.0).area)
    assert circle.length == pytest.approx(Circle(0j, 5.0).length)
    assert circle.bounds == pytest.approx((-5.0, -5.0, 5.0, 5.0))
    assert channel().area == pytest.approx(100 * 60 - 40 * 40)


@given(st.lists(st.tuples(st.floats(1.0, 50.0), st.floats(-1.0, 1.0)), min_size=1, max_size=6), shares)
def test_places_along_a_chain(parts: list[tuple[float, float]], share: float) -> None:
    at, made = 0j, []
    for length, bulge in parts:
        to = at + cmath.rect(length, bulge)
        made.append(Line(at, to) if abs(bulge) < 0.01 else Arc(at, to, bulge))
        at = to
    chain = Chain(tuple(made))
    distance = share * chain.length
    index, t = chain.at(distance)
    walked = sum(s.length for s in chain.segments[:index]) + t * chain.segments[index].length
    assert walked == pytest.approx(distance, abs=1e-9)
    assert chain.distance(chain.point(distance)) < 1e-9
    assert chain.reversed().point(chain.length - distance) == pytest.approx(chain.point(distance), abs=1e-6)
    assert chain.mirrored().mirrored() == chain


def test_what_does_not_join_is_refused() -> None:
    with pytest.raises(ValueError, match="do not join"):
        Chain((Line(0j, 1 + 0j), Line(2 + 0j, 3 + 0j)))
    with pytest.raises(ValueError, match="at least one edge"):
        Chain(())
    with pytest.raises(ValueError, match="outline is open"):
        Loop((Line(0j, 1 + 0j), Line(1 + 0j, 1 + 1j)))
