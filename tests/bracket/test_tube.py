"""The tube's surface against closed forms, and its sections against the solid kernel's own intersection."""

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plategen.flat.distance import offset_from
from plategen.ground.refusal import Refusal
from plategen.rail.tube import Tube
from plategen.solid.bodies import tube_solid
from plategen.solid.kernel import kernel, volume_mm3
from tests.support.style_jobs import CASES


def tube(**given: object) -> Tube:
    usual: dict[str, object] = {
        "round": True, "across_mm": 80.0, "corner_mm": 0.0, "wall_mm": 8.0, "along_pin": False, "lean_rad": 0.0,
        "axis": 150 + 100j, "axis_w_mm": 15.0, "shown_mm": (-150.0, 150.0),
    }  # fmt: skip
    return Tube(**{**usual, **given})  # type: ignore[arg-type]


@settings(max_examples=CASES, deadline=None)
@given(radius=st.floats(10, 100), share=st.floats(-0.99, 0.99))
def test_height_is_half_the_chord_of_the_circle(radius: float, share: float) -> None:
    x = radius * share
    height = tube(across_mm=2 * radius).height(x)
    assert height == pytest.approx(radius * math.sin(math.acos(share)), rel=1e-12)
    assert height**2 + x**2 == pytest.approx(radius**2)
    # and the slant there is that of the circle's tangent
    assert math.atan(tube(across_mm=2 * radius).slope(15.0 + x)) == pytest.approx(math.asin(share), abs=1e-9)


@settings(max_examples=CASES, deadline=None)
@given(half=st.floats(20, 60), share=st.floats(0.05, 0.9), x=st.floats(-0.999, 0.999))
def test_height_of_a_square_tube_and_its_corner(half: float, share: float, x: float) -> None:
    r = half * share
    square = tube(round=False, across_mm=2 * half, corner_mm=r)
    at = half * x
    height = square.height(at)
    if abs(at) <= half - r:
        assert height == half
    else:  # on the corner's circle about (half - r, half - r)
        assert math.hypot(abs(at) - (half - r), height - (half - r)) == pytest.approx(r, rel=1e-9)
        step = 1e-6 * half
        if abs(at) + step < half * 0.999:
            rate = (square.height(abs(at) + step) - square.height(abs(at) - step)) / (2 * step)
            assert square.slope(15.0 + abs(at)) == pytest.approx(-rate, rel=1e-3, abs=1e-4)


@pytest.mark.parametrize("x", [40.0, -40.0, 55.0])
def test_beside_the_tube_is_refused(x: float) -> None:
    with pytest.raises(Refusal, match=r"what carries them reaches 40.0 mm"):
        tube().height(x)


def _cut(shape: object, w_mm: float) -> list[complex]:
    """Points on the kernel's section of a solid with a plane across the pin."""
    gp = kernel("gp")
    plane = gp.gp_Pln(gp.gp_Pnt(0, 0, w_mm), gp.gp_Dir(0, 0, 1))
    section = kernel("BRepAlgoAPI").BRepAlgoAPI_Section(shape, plane)
    explorer = kernel("TopExp").TopExp_Explorer(section.Shape(), kernel("TopAbs").TopAbs_ShapeEnum.TopAbs_EDGE)
    found = []
    while explorer.More():
        curve = kernel("BRepAdaptor").BRepAdaptor_Curve(kernel("TopoDS").TopoDS.Edge_s(explorer.Current()))
        first, last = curve.FirstParameter(), curve.LastParameter()
        for k in range(17):
            p = curve.Value(first + (last - first) * k / 16)
            found.append(complex(p.X(), p.Y()))
        explorer.Next()
    return found


@pytest.mark.parametrize("lean", [0.0, 0.12, -0.2])
@pytest.mark.parametrize(("is_round", "corner"), [(True, 0.0), (False, 16.0)])
@pytest.mark.parametrize("w", [15.0, 30.0, -8.0, 50.0])
def test_sections_along_are_the_kernels(lean: float, is_round: bool, corner: float, w: float) -> None:
    one = tube(round=is_round, corner_mm=corner, lean_rad=lean)
    near = one.section(w)
    points = _cut(tube_solid(one), w)
    # of all the section's points, none lies nearer to the cylinder, and those of its near edge lie on the line
    offsets = [offset_from(near, p) for p in points]
    assert min(offsets) == pytest.approx(0.0, abs=1e-6)
    assert sum(abs(x) < 1e-6 for x in offsets) >= 17


@pytest.mark.parametrize(("is_round", "corner"), [(True, 0.0), (False, 16.0)])
def test_the_coped_curve_across_is_the_kernels(is_round: bool, corner: float) -> None:
    one = tube(round=is_round, corner_mm=corner, along_pin=True, shown_mm=(-100.0, 100.0))
    near = one.section(0.0)
    half = 40.0 - corner if not is_round else 39.9  # beside the near half its ends run on, and say nothing
    points = [p for p in _cut(tube_solid(one), 7.0) if abs(p.real - one.axis.real) < half]
    points = [p for p in points if p.imag < one.axis.imag]
    outside = [p for p in points if abs(offset_from(near, p)) < 1e-6]
    assert len(outside) >= 6
    assert min(offset_from(near, p) for p in points) > -1e-6
    # every point of the curve is the tube's own distance from its axis or its flat
    for edge in near:
        for k in range(9):
            p = edge.point(k / 8) - one.axis
            assert abs(p) == pytest.approx(40.0) if is_round else max(abs(p.real), abs(p.imag)) <= 40.0 + 1e-9


@pytest.mark.parametrize("lean", [0.0, 0.2])
def test_volume_of_the_tubes_solid(lean: float) -> None:
    round_one = tube(lean_rad=lean)
    assert volume_mm3(tube_solid(round_one)) == pytest.approx(math.pi * (40**2 - 32**2) * 300, rel=1e-9)
    square = tube(round=False, corner_mm=16.0, lean_rad=lean)
    area = (80**2 - (4 - math.pi) * 16**2) - (64**2 - (4 - math.pi) * 8**2)
    assert volume_mm3(tube_solid(square)) == pytest.approx(area * 300, rel=1e-9)


def test_both_faces_look_away_from_the_tube() -> None:
    for one in (tube(lean_rad=0.1), tube(along_pin=True)):
        for far in (False, True):
            place = one.facing(44.0, far=far)
            from_axis = [a - b for a, b in zip(place.origin, one.across(0.0).origin, strict=True)]
            assert sum(a * b for a, b in zip(from_axis, place.normal, strict=True)) == pytest.approx(44.0)
            assert (place.normal[1] > 0.0) == far
            assert sum(a * b for a, b in zip(place.u, one.direction, strict=True)) == pytest.approx(1.0)
