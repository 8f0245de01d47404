"""Roundings are tangent at both ends, have their radius, and are refused where they do not fit."""

import cmath
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line, Segment, cross
from plategen.flat.tangent import largest_radius, round_corner, rounded, tangent_line, tangent_point
from plategen.ground.refusal import Refusal


def edge(start: complex, length: float, direction_rad: float, bulge: float) -> Segment:
    end = start + cmath.rect(length, direction_rad)
    return Line(start, end) if bulge == 0.0 else Arc(start, end, bulge)


bulges = st.one_of(st.just(0.0), st.floats(-0.9, 0.9).filter(lambda b: abs(b) > 1e-3))


@given(
    st.floats(5.0, 80.0), st.floats(5.0, 80.0), bulges, bulges, st.floats(-3.0, 3.0), st.floats(0.1, 0.98)
)  # fmt: skip
def test_a_rounding_is_tangent_and_has_its_radius(
    first: float, second: float, b1: float, b2: float, turn: float, share: float
) -> None:
    before = edge(0j, first, 0.3, b1)
    after = edge(before.end, second, 0.3 + turn, b2)
    corner = cmath.phase(after.start_tangent / before.end_tangent)
    assume(0.05 < abs(corner) < 3.0)
    largest = largest_radius(before, after)
    assume(0.01 < largest < 1e4)
    radius = share * largest
    a, arc, b = round_corner(before, after, radius)
    assert arc.radius == pytest.approx(radius, rel=1e-6)
    assert abs(a.end - arc.start) < 1e-9
    assert abs(arc.end - b.start) < 1e-9
    assert arc.start_tangent == pytest.approx(a.end_tangent, abs=1e-6)
    assert arc.end_tangent == pytest.approx(b.start_tangent, abs=1e-6)
    assert arc.bulge * corner > 0.0
    # what is left lies on the edges it came from
    for kept, whole in ((a, before), (b, after)):
        middle = kept.point(0.5)
        assert abs(whole.point(whole.nearest(middle)) - middle) < 1e-6
    with pytest.raises(Refusal, match="or less is right"):
        round_corner(before, after, 1.001 * largest)


def test_right_angle() -> None:
    a, arc, b = round_corner(Line(0j, 10 + 0j), Line(10 + 0j, 10 + 20j), 3.0)
    assert (a.end, b.start) == (pytest.approx(7 + 0j), pytest.approx(10 + 3j))
    assert arc.centre == pytest.approx(7 + 3j)
    assert arc.bulge == pytest.approx(math.tan(math.pi / 8))


def test_a_slot_end_uses_its_edge_up() -> None:
    box = Loop((Line(0j, 50 + 0j), Line(50 + 0j, 50 + 20j), Line(50 + 20j, 20j), Line(20j, 0j)))
    slot = rounded(box, (10.0, 10.0, 10.0, 10.0))
    assert slot.area == pytest.approx(30 * 20 + math.pi * 100)
    assert len(slot) == 6  # two lines, four quarter circles
    half = rounded(box, (0.0, 10.0, 10.0, 0.0))
    assert half.area == pytest.approx(40 * 20 + math.pi * 50)


def test_what_does_not_fit_is_refused_with_numbers() -> None:
    box = Loop((Line(0j, 50 + 0j), Line(50 + 0j, 50 + 20j), Line(50 + 20j, 20j), Line(20j, 0j)))
    with pytest.raises(Refusal, match="does not fit") as refused:
        rounded(box, (0.0, 10.0, 11.0, 0.0))
    radius, _, _, before, after, largest = refused.value.message.quantities
    assert (radius.value, before.value, after.value) == (11.0, 10.0, pytest.approx(50.0))
    assert (largest.value, largest.form) == (pytest.approx(10.0), "down")
    with pytest.raises(Refusal, match="a corner radius of 0 is right"):
        round_corner(Line(0j, 10 + 0j), Line(10 + 0j, 30 + 0j), 3.0)
    with pytest.raises(Refusal, match="a corner radius of 0 is right"):
        round_corner(Line(0j, 10 + 0j), Line(10 + 0j, 0j), 3.0)


@given(
    st.floats(-50, 50), st.floats(-50, 50), st.floats(0.1, 20), st.floats(0.1, 20),
    st.sampled_from(["left", "right"]), st.sampled_from(["left", "right"]),
)  # fmt: skip
def test_a_tangent_line_touches_both_circles(u: float, v: float, r1: float, r2: float, s1: str, s2: str) -> None:
    assume(abs(complex(u, v)) > r1 + r2 + 0.01)
    a, b = Circle(3 - 7j, r1), Circle(3 - 7j + complex(u, v), r2)
    line = tangent_line(a, s1, b, s2)  # type: ignore[arg-type]
    for circle, side in ((a, s1), (b, s2)):
        left = cross(line.end_tangent, circle.centre - line.start)
        assert left == pytest.approx(circle.radius if side == "left" else -circle.radius, rel=1e-9, abs=1e-9)
    assert abs(line.start - a.centre) == pytest.approx(r1)
    assert abs(line.end - b.centre) == pytest.approx(r2)


def test_tangent_from_a_point() -> None:
    # the 3-4-5 triangle: radius 3, distance 5, tangent length 4
    touch = tangent_point(-5 + 0j, Circle(0j, 3.0), "left")
    assert abs(touch + 5) == pytest.approx(4.0)
    assert touch.imag < 0.0
    assert tangent_point(-5 + 0j, Circle(0j, 3.0), "right") == pytest.approx(touch.conjugate())
    with pytest.raises(Refusal, match="one holds the other"):
        tangent_point(1 + 0j, Circle(0j, 3.0), "left")
