"""Finite elements against closed forms: a hole in a wide plate, a cantilever strip, a plain pull; and an ear."""

import math
import xml.etree.ElementTree as ET

import numpy as np
import pytest

from plategen.checks.elements import check_elements, solve_ears
from plategen.checks.setting import Setting
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.rules.elements import solve_plate
from plategen.rules.plate_mesh import mesh_plate
from plategen.tell.picture.stress import stress_svg
from tests.checks.bench import Bench
from tests.checks.cases import box

pytest.importorskip("skfem")
E, POISSON = 200e3, 0.3


def test_kirsch_hole_in_a_wide_plate() -> None:
    # Kirsch 1898: three times the far stress at the hole's sides, minus once the far stress at its ends
    # the plate is 40 holes wide and 80 long: a narrower one has higher stresses of its own, and its held end pinches it
    mesh = mesh_plate(box(-800, -400, 800, 400), [], [Circle(0j, 10.0)], 80.0, 0.1)
    pull = (lambda x: x[0] > 799.999, lambda x: np.stack([np.full(x[0].shape, 1.0), 0.0 * x[0]]))
    field = solve_plate(mesh, lambda x: x[0] < -799.999, [pull])
    at = mesh.points @ np.array([1.0, 1j])
    side, end = np.argmin(np.abs(at - 10j)), np.argmin(np.abs(at - 10.0))
    assert field.stress_mpa[side, 0] == pytest.approx(3.0, rel=0.03)
    assert field.stress_mpa[end, 1] == pytest.approx(-1.0, rel=0.03)
    # two radii from the middle, across: 1 + 1/2 (1/4) + 3/2 (1/16) = 1.219 times
    near = np.argmin(np.abs(at - 20j))
    r = abs(at[near]) / 10.0
    if abs(at[near].real) < 1.0:
        assert field.stress_mpa[near, 0] == pytest.approx(1 + 0.5 / r**2 + 1.5 / r**4, rel=0.03)


@pytest.mark.parametrize("size", [8.0, 4.0])
def test_cantilever_strip(size: float) -> None:
    length, depth, force = 200.0, 20.0, 1.0
    inertia = depth**3 / 12
    mesh = mesh_plate(box(0, -depth / 2, length, depth / 2), [], [], size, 0.2)
    shear = (
        lambda x: x[0] > length - 1e-6,
        lambda x: np.stack([0.0 * x[0], force * (depth**2 / 4 - x[1] ** 2) / (2 * inertia)]),
    )
    field = solve_plate(mesh, lambda x: x[0] < 1e-6, [shear])
    tip = field.displacement_mm[np.argmin(np.hypot(mesh.points[:, 0] - length, mesh.points[:, 1])), 1]
    assert tip == pytest.approx(
        force * length**3 / (3 * E * inertia) + 1.2 * force * length / (E / (2 * (1 + POISSON)) * depth), rel=0.03
    )
    middle = np.argmin(np.hypot(mesh.points[:, 0] - length / 2, mesh.points[:, 1] - depth / 2))
    x, y = mesh.points[middle]
    assert field.stress_mpa[middle, 0] == pytest.approx(-force * (length - x) * y / inertia, rel=0.03)


def test_a_plain_pull_is_exact() -> None:
    mesh = mesh_plate(box(0, 0, 60, 20), [], [], 5.0, 0.2)
    pull = (lambda x: x[0] > 60.0 - 1e-6, lambda x: np.stack([7.0 + 0.0 * x[0], 0.0 * x[0]]))
    field = solve_plate(mesh, lambda x: x[0] < 1e-6, [pull])
    right = mesh.points[:, 0] > 40.0
    assert field.stress_mpa[right, 0] == pytest.approx(np.full(right.sum(), 7.0), rel=0.01)


def test_mesh_points_of_arcs_lie_on_them_and_the_area_is_filled() -> None:
    arc = Arc(40 + 0j, 40 + 30j, math.tan(math.pi / 4))
    outline = Loop((Line(0j, 40 + 0j), arc, Line(40 + 30j, 30j), Line(30j, 0j)))
    mesh = mesh_plate(outline, [], [Circle(20 + 15j, 6.0)], 6.0, 0.3)
    for rim, curves in zip(mesh.rims, mesh.curves, strict=True):
        for (a, _), curve in zip(rim, curves, strict=True):
            if curve:
                assert abs(complex(*mesh.points[a]) - curve[0]) == pytest.approx(curve[1], rel=1e-9)
    a, b, c = (mesh.points[mesh.triangles[:, i]] for i in range(3))
    area = 0.5 * ((b - a)[:, 0] * (c - a)[:, 1] - (b - a)[:, 1] * (c - a)[:, 0])
    assert (area > 0).all()
    assert area.sum() == pytest.approx(outline.area - math.pi * 36.0, rel=0.01)


def test_triangles_are_well_shaped() -> None:
    mesh = mesh_plate(Bench().outline(), [], [Circle(0j, 12.75)], 15.0, 0.2)
    p = mesh.points[mesh.triangles]
    sides = np.linalg.norm(p - np.roll(p, -1, axis=1), axis=2)
    a, b, c = np.sort(sides, axis=1).T
    least = np.degrees(np.arccos((b**2 + c**2 - a**2) / (2 * b * c)))
    assert least.min() > 12.0
    assert np.median(least) > 40.0


def test_a_plate_that_nothing_holds_is_refused() -> None:
    mesh = mesh_plate(box(0, 0, 20, 20), [], [], 10.0, 0.2)
    with pytest.raises(Refusal, match="no edge of the plate is held"):
        solve_plate(mesh, lambda x: x[0] < -5.0, [])


@pytest.fixture(scope="module")
def ears() -> tuple:
    bench = Bench(height=120.0, nose=35.0, foot=60.0)
    setting = Setting(bench.design(), bench.bracket(), None)
    return setting, solve_ears(setting)


def test_an_ear_settles_and_agrees_with_plane_sections_within_a_quarter(ears: tuple) -> None:
    # a stocky tapering plate is no beam: plane sections stay within 25 % of the elements at the worst cut's edge
    for ear in ears[1]:
        assert ear.error < 0.05
        assert ear.section_field_mpa == pytest.approx(ear.section_mpa, rel=0.25)
        assert ear.rim_mpa > ear.body_mpa


def test_the_findings_say_the_mesh_error_and_decide_nothing(ears: tuple) -> None:
    findings = list(check_elements(*ears))
    assert {f.check for f in findings} == {"finite elements, body of the plate", "finite elements, rim of the pin hole"}
    assert all(f.opinion and "checked in small pieces (" in str(f.assumed) for f in findings)


def test_the_stress_picture_is_one_small_well_formed_drawing(ears: tuple) -> None:
    svg = stress_svg(ears[1][0].field, Show("in"), "near ear & pin, <push>")
    root = ET.fromstring(svg)
    assert root.tag.endswith("svg")
    assert " psi" in svg
    assert len(svg) < 600_000
