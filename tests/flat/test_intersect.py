"""Meetings of lines and arcs: against shapely, against closed forms, and at every degenerate place."""

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plategen.flat.chain import Chain
from plategen.flat.intersect import chain_crossings, crossings
from plategen.flat.segment import SAME_POINT_MM, Arc, Line, Segment
from tests.support.arcs import tangent_arc

coordinate = st.floats(-100.0, 100.0)
point = st.builds(complex, coordinate, coordinate)
bulge = st.floats(-3.0, 3.0).filter(lambda b: abs(b) > 1e-6)


@st.composite
def edge(draw: st.DrawFn) -> Segment:
    start, end = draw(point), draw(point)
    if abs(end - start) < 1.0:
        end = start + 10.0
    return Line(start, end) if draw(st.booleans()) else Arc(start, end, draw(bulge))


@given(edge(), edge())
def test_every_meeting_lies_on_both_edges(a: Segment, b: Segment) -> None:
    for ta, tb in crossings(a, b):
        assert 0.0 <= ta <= 1.0
        assert 0.0 <= tb <= 1.0
        assert abs(a.point(ta) - b.point(tb)) < 1e-5  # a grazing crossing is less sharply placed than SAME_POINT_MM


@given(edge(), edge())
def test_meetings_do_not_depend_on_the_order_or_the_sense(a: Segment, b: Segment) -> None:
    count = len(crossings(a, b))
    assert len(crossings(b, a)) == count
    assert len(crossings(a.reversed(), b)) == count


@given(edge(), edge())
def test_no_meeting_is_missed(a: Segment, b: Segment) -> None:
    # a change of side between samples, both of them over the other edge's span, is a meeting
    shapely = pytest.importorskip("shapely")
    samples = 2000
    one = shapely.LineString([(a.point(i / samples).real, a.point(i / samples).imag) for i in range(samples + 1)])
    two = shapely.LineString([(b.point(i / samples).real, b.point(i / samples).imag) for i in range(samples + 1)])
    inner = shapely.LineString([(b.point(i / 999).real, b.point(i / 999).imag) for i in range(10, 990)])
    meets = one.intersection(inner)
    if meets.is_empty or meets.geom_type not in ("Point", "MultiPoint"):
        return
    expected = [complex(p.x, p.y) for p in (meets.geoms if meets.geom_type == "MultiPoint" else [meets])]
    found = [a.point(ta) for ta, _ in crossings(a, b)]
    assert two.length > 0.0
    for p in expected:
        ta = a.nearest(p)
        angle = abs(math.sin(cmath.phase(a.tangent(ta) / b.tangent(b.nearest(p)))))
        if angle > 0.1 and 0.01 < ta < 0.99:
            assert min((abs(p - q) for q in found), default=math.inf) < 0.05


def test_two_lines() -> None:
    assert crossings(Line(0j, 10 + 0j), Line(4 - 5j, 4 + 5j)) == ((0.4, 0.5),)
    assert crossings(Line(0j, 10 + 0j), Line(0 + 1j, 10 + 1j)) == ()
    assert crossings(Line(0j, 10 + 0j), Line(11 - 1j, 11 + 1j)) == ()


def test_ends_that_touch_are_exactly_ends() -> None:
    assert crossings(Line(0j, 10 + 0j), Line(10 + 3e-8j, 12 + 5j)) == ((1.0, 0.0),)
    assert crossings(Line(0j, 10 + 0j), Line(5 + 4e-8j, 5 + 5j)) == ((0.5, 0.0),)


def test_collinear_lines_give_the_ends_of_the_shared_piece() -> None:
    assert crossings(Line(0j, 10 + 0j), Line(4 + 0j, 14 + 0j)) == ((0.4, 0.0), (1.0, pytest.approx(0.6)))
    assert crossings(Line(0j, 10 + 0j), Line(8 + 0j, 2 + 0j)) == ((pytest.approx(0.2), 1.0), (pytest.approx(0.8), 0.0))
    assert crossings(Line(0j, 10 + 0j), Line(10 + 0j, 20 + 0j)) == ((1.0, 0.0),)
    assert crossings(Line(0j, 10 + 0j), Line(0j, 10 + 0j)) == ((0.0, 0.0), (1.0, 1.0))


def test_arcs_on_one_circle_give_the_ends_of_the_shared_piece() -> None:
    a, b = Arc.about(3 + 4j, 20.0, 0.0, 2.0), Arc.about(3 + 4j, 20.0, 1.5, 2.0)
    assert crossings(a, b) == ((pytest.approx(0.75), 0.0), (1.0, pytest.approx(0.25)))
    assert crossings(a, Arc.about(3 + 4j, 20.0, 2.5, 1.0)) == ()
    assert crossings(a, Arc.about(3 + 4j, 20.0, 2.0, 1.0)) == ((1.0, 0.0),)
    assert crossings(a, Arc.about(3 + 4j, 20.001, 1.5, 2.0)) == ()


def test_arcs_that_share_both_ends_but_not_their_way() -> None:
    a, b = Arc(0j, 10 + 0j, 0.5), Arc(0j, 10 + 0j, -0.3)
    assert crossings(a, b) == ((0.0, 0.0), (1.0, 1.0))


def test_line_touching_an_arc() -> None:
    arc = Arc.about(0j, 10.0, 0.0, math.pi)
    ((ta, tb),) = crossings(Line(-20 + 10j, 20 + 10j), arc)
    assert (ta, tb) == (pytest.approx(0.5), pytest.approx(0.5))
    assert len(crossings(Line(-20 + 10j + 5e-8j, 20 + 10j + 5e-8j), arc)) == 1
    assert crossings(Line(-20 + 10.000001j, 20 + 10.000001j), arc) == ()
    assert len(crossings(Line(-20 + 9.9999j, 20 + 9.9999j), arc)) == 2


def test_circles_touching_outside_and_inside() -> None:
    a = Arc.about(0j, 10.0, -1.0, 2.0)
    ((ta, tb),) = crossings(a, Arc.about(15 + 0j, 5.0, 2.0, 2.0))
    assert a.point(ta) == pytest.approx(10 + 0j)
    assert tb == pytest.approx((math.pi - 2.0) / 2.0)
    ((ta, _),) = crossings(a, Arc.about(7 + 0j, 3.0, -1.0, 2.0))
    assert a.point(ta) == pytest.approx(10 + 0j)


@pytest.mark.parametrize("radius", [0.5, 12.0, 1e4])
def test_tangent_neighbours_meet_once(radius: float) -> None:
    line = Line(-30 - 7j, 1.25 + 3.3j)
    arc = tangent_arc(line.end, line.end_tangent, line.end + radius * (line.end_tangent * cmath.rect(1.0, 0.4)))
    assert crossings(line, arc) == ((1.0, 0.0),)
    # a joint that is tangent only as well as a fit makes it
    slightly = tangent_arc(line.end, line.end_tangent * cmath.rect(1.0, 1e-6), arc.end)
    assert crossings(line, slightly) == ((1.0, 0.0),)


@pytest.mark.parametrize("bulge", [1e-9, -1e-9, 1e-6, 1e-3])
def test_an_almost_straight_arc_crosses_like_its_chord(bulge: float) -> None:
    arc = Arc(-50 + 20j, 50 + 20j, bulge)
    ((ta, tb),) = crossings(arc, Line(10 + 0j, 10 + 40j))
    assert ta == pytest.approx(0.6, abs=abs(bulge))
    expected = 20.0 - bulge * 50.0 * (1 - 0.04)
    assert 40.0 * tb == pytest.approx(expected, abs=1e-12 + 1e-4 * abs(bulge))
    ((ta, tb),) = crossings(arc, Arc(10 + 0j, 10 + 40j, 1e-9))
    assert ta == pytest.approx(0.6, abs=abs(bulge) + 1e-8)


def test_an_almost_straight_arc_lies_on_its_chord() -> None:
    assert crossings(Arc(0j, 100 + 0j, 1e-9), Line(20 + 0j, 120 + 0j)) == (
        (pytest.approx(0.2), 0.0),
        (1.0, pytest.approx(0.8)),
    )


def test_chains_meet_once_at_a_joint() -> None:
    roof = Chain((Line(0j, 10 + 10j), Line(10 + 10j, 20 + 0j)))
    flat = Chain((Line(0 + 10j, 10 + 10j), Line(10 + 10j, 20 + 10j)))
    (only,) = chain_crossings(roof, flat)
    assert only[:4] == (1, 0.0, 1, 0.0)
    assert abs(only.point - (10 + 10j)) < SAME_POINT_MM
    low = chain_crossings(roof, Chain((Line(0 + 5j, 20 + 5j),)))
    assert [(c.edge_a, c.edge_b, c.point) for c in low] == [
        (0, 0, pytest.approx(5 + 5j)),
        (1, 0, pytest.approx(15 + 5j)),
    ]
