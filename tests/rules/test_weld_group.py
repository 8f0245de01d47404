"""The weld group in space: handbook rows, direct sums, and what must not change it."""

import cmath
import itertools
import math

import numpy as np
import pytest

from plategen.checks.weld import piece
from plategen.flat.placement import Placement
from plategen.flat.segment import Arc, Line
from plategen.ground.space import Vector
from plategen.rules.weld_group import Piece, WeldGroup
from tests.support.weld_lines import line_load, straight

B, D, R = 70.0, 110.0, 45.0


def line(*points: tuple[float, float]) -> list[Piece]:
    return [straight((*p, 0.0), (*q, 0.0)) for p, q in itertools.pairwise(points)]


def flat_arc(centre: complex, radius: float, start: float, sweep: float) -> Piece:
    return piece(Arc.about(centre, radius, start, sweep), Placement((0, 0, 0), (1, 0, 0), (0, 1, 0)))


def circle(radius: float) -> list[Piece]:
    return [flat_arc(0j, radius, quarter * math.pi / 2, math.pi / 2) for quarter in range(4)]


# b along x, d along y; length, Ix, polar J of the handbook's table of welds treated as lines
ROWS = {
    "one vertical line": (line((0, 0), (0, D)), D, D**3 / 12, D**3 / 12),
    "two vertical lines": (line((0, 0), (0, D)) + line((B, 0), (B, D)), 2 * D, D**3 / 6, D * (3 * B**2 + D**2) / 6),
    "two horizontal lines": (
        line((0, 0), (B, 0)) + line((0, D), (B, D)),
        2 * B,
        B * D**2 / 2,
        B * (3 * D**2 + B**2) / 6,
    ),
    "L": (
        line((0, D), (0, 0), (B, 0)),
        B + D,
        D**3 * (4 * B + D) / (12 * (B + D)),
        ((B + D) ** 4 - 6 * B**2 * D**2) / (12 * (B + D)),
    ),
    "C": (
        line((B, 0), (0, 0), (0, D), (B, D)),
        2 * B + D,
        D**2 * (6 * B + D) / 12,
        (8 * B**3 + 6 * B * D**2 + D**3) / 12 - B**4 / (2 * B + D),
    ),
    "U": (
        line((0, 0), (0, D), (B, D), (B, 0)),
        B + 2 * D,
        2 * D**3 / 3 - 2 * D**2 * (D**2 / (B + 2 * D)) + (B + 2 * D) * (D**2 / (B + 2 * D)) ** 2,
        (B**3 + 6 * B**2 * D + 8 * D**3) / 12 - D**4 / (B + 2 * D),
    ),
    "I": (
        line((0, 0), (B, 0)) + line((0, D), (B, D)) + line((B / 2, 0), (B / 2, D)),
        2 * B + D,
        D**2 * (6 * B + D) / 12,
        (2 * B**3 + 6 * B * D**2 + D**3) / 12,
    ),
    "box": (line((0, 0), (B, 0), (B, D), (0, D), (0, 0)), 2 * (B + D), D**2 * (3 * B + D) / 6, (B + D) ** 3 / 6),
    "circle": (circle(R), 2 * math.pi * R, math.pi * R**3, 2 * math.pi * R**3),
}


@pytest.mark.parametrize("row", ROWS)
def test_handbook_rows(row: str) -> None:
    pieces, length, inertia, polar = ROWS[row]
    group = WeldGroup([pieces])
    assert group.length == pytest.approx(length, rel=1e-12)
    assert group.k[0][0] == pytest.approx(inertia, rel=1e-9)
    assert group.k[2][2] == pytest.approx(polar, rel=1e-9)


@pytest.mark.parametrize("row", [row for row in ROWS if row != "one vertical line"])
def test_bending_out_of_the_plane_is_the_handbooks_moment_over_section_modulus(row: str) -> None:
    pieces, length, inertia, _ = ROWS[row]
    group = WeldGroup([pieces])
    x, y, _ = group.centroid
    lift, push = 300.0, 5000.0
    ys = [end[1] for p in pieces for end in p.ends()]
    symmetric = row not in ("L",)
    if symmetric:
        q = group.worst([((0.0, push, 0.0), (x, y, lift))])[0][0]
        far = max(max(ys) - y, y - min(ys)) if row != "circle" else R
        assert q == pytest.approx(math.hypot(push / length, push * lift * far / inertia), rel=1e-9)


def test_torsion_in_the_plane_is_direct_shear_plus_moment_over_polar() -> None:
    pieces, length, _, polar = ROWS["C"]
    group = WeldGroup([pieces])
    cx, cy, _ = group.centroid
    force, arm = 8000.0, 240.0
    corners = [(B, 0.0), (0.0, 0.0), (0.0, D), (B, D)]
    torque = -force * arm
    expected = max(
        math.hypot(-torque * (y - cy) / polar, -force / length + torque * (x - cx) / polar) for x, y in corners
    )
    assert group.worst([((0.0, -force, 0.0), (cx + arm, cy, 0.0))])[0][0] == pytest.approx(expected, rel=1e-9)


def _mixed() -> list[list[Piece]]:
    tilted = Placement((30.0, -20.0, 12.0), (0.8, 0.6, 0.0), (-0.36, 0.48, 0.8))
    path = [
        Line(0j, 60 + 10j),
        Arc(60 + 10j, 90 + 45j, 0.4),
        Line(90 + 45j, 70 + 120j),
        Arc(70 + 120j, 20 + 130j, -0.9),
    ]
    other = Placement((0.0, 0.0, 40.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
    return [[piece(s, tilted) for s in path], [piece(s, other) for s in path[:2]]]


def _points(p: Piece, count: int) -> list[Vector]:
    if not p.half_sweep:
        (a, b) = p.ends()
        return [tuple(a[k] + (b[k] - a[k]) * (i + 0.5) / count for k in range(3)) for i in range(count)]
    return [p.at(-p.half_sweep + 2 * p.half_sweep * (i + 0.5) / count) for i in range(count)]


def test_closed_forms_equal_a_fine_sum_over_tilted_lines_and_arcs() -> None:
    group = WeldGroup(_mixed())
    count = 4000
    points, weights = [], []
    for run in _mixed():
        for p in run:
            points += _points(p, count)
            weights += [p.length / count] * count
    r, w = np.array(points), np.array(weights)
    centroid = (r * w[:, None]).sum(0) / w.sum()
    assert np.allclose(centroid, group.centroid, rtol=0, atol=1e-5)
    r = r - centroid
    k = (np.einsum("i,ij,ij->", w, r, r) * np.eye(3)) - np.einsum("i,ij,ik->jk", w, r, r)
    assert np.allclose(k, group.k, rtol=1e-6)


def test_the_line_loads_balance_force_and_moment() -> None:
    group = WeldGroup(_mixed())
    force, at = (1200.0, -700.0, 350.0), (10.0, 150.0, 60.0)
    total, turning, count = np.zeros(3), np.zeros(3), 800
    for run in _mixed():
        for p in run:
            for where in _points(p, count):
                q = np.array(line_load(group, force, at, where)) * p.length / count
                total += q
                turning += np.cross(where, q)
    assert np.allclose(total, force, rtol=1e-6)
    assert np.allclose(turning, np.cross(at, force), rtol=1e-5)


def test_the_worst_point_of_an_arc_may_lie_inside_it() -> None:
    group = WeldGroup(_mixed())
    rng = np.random.default_rng(7)
    inside = 0
    for _ in range(24):
        force, at = tuple(rng.normal(0, 1e3, 3)), tuple(rng.normal(0, 80, 3))
        found = group.worst([(force, at)])[0]
        for run, got in zip(_mixed(), found, strict=True):
            swept = max(math.hypot(*line_load(group, force, at, w)) for p in run for w in (*_points(p, 120), *p.ends()))
            ends = max(math.hypot(*line_load(group, force, at, w)) for p in run for w in p.ends())
            assert got >= swept - 1e-9 * swept
            assert got == pytest.approx(swept, rel=2e-3)
            inside += got > ends * (1 + 1e-6)
    assert inside > 2


def _moved(p: Piece, turn: np.ndarray, shift: np.ndarray) -> Piece:
    return Piece(
        tuple(turn @ p.middle + shift),
        tuple(turn @ p.along),
        tuple(turn @ p.bow),
        p.half_sweep,  # type: ignore[arg-type]
    )


def test_rotating_and_moving_the_whole_job_changes_nothing() -> None:
    turn, _ = np.linalg.qr(np.random.default_rng(3).normal(size=(3, 3)))
    turn *= np.sign(np.linalg.det(turn))
    shift = np.array([812.0, -455.0, 2300.0])
    force, at = np.array([900.0, 400.0, -250.0]), np.array([15.0, 140.0, 33.0])
    here = WeldGroup(_mixed()).worst([(tuple(force), tuple(at))])[0]
    there = WeldGroup([[_moved(p, turn, shift) for p in run] for run in _mixed()])
    assert there.worst([(tuple(turn @ force), tuple(turn @ at + shift))])[0] == pytest.approx(here, rel=1e-9)


def test_doubling_the_force_doubles_the_line_load() -> None:
    group = WeldGroup(_mixed())
    once, twice = group.worst([((300.0, 100.0, 50.0), (5.0, 90.0, 20.0)), ((600.0, 200.0, 100.0), (5.0, 90.0, 20.0))])
    assert twice == pytest.approx([2 * q for q in once], rel=1e-12)


def test_splitting_a_run_changes_nothing() -> None:
    place = Placement((3.0, 4.0, 5.0), (0.6, 0.8, 0.0), (0.0, 0.0, 1.0))
    path = [Line(0j, 50 + 5j), Arc(50 + 5j, 80 + 60j, 0.7)]
    cut = [part for s in path for part in (s.part(0.0, 0.37), s.part(0.37, 1.0))]
    load = ((500.0, -900.0, 120.0), (60.0, 20.0, 90.0))
    whole = WeldGroup([[piece(s, place) for s in path]])
    split = WeldGroup([[piece(s, place) for s in cut]])
    assert split.worst([load])[0] == pytest.approx(whole.worst([load])[0], rel=1e-9)
    assert split.centroid == pytest.approx(whole.centroid, rel=1e-12)


def test_an_almost_straight_arc_is_a_line() -> None:
    place = Placement((0, 0, 0), (1, 0, 0), (0, 1, 0))
    corner = piece(Line(100 + 0j, 100 + 80j), place)
    for bulge in (1e-10, 1e-7, 1e-4, 4e-3):
        bent = WeldGroup([[piece(Arc(0j, 100 + 0j, bulge), place), corner]])
        fine = [Arc(0j, 100 + 0j, bulge).part(i / 512, (i + 1) / 512) for i in range(512)]
        chords = WeldGroup([[piece(Line(s.start, s.end), place) for s in fine] + [corner]])
        assert bent.k[2][2] == pytest.approx(chords.k[2][2], rel=5e-8)
        assert bent.k[0][0] == pytest.approx(chords.k[0][0], rel=5e-8)


def test_runs_on_one_line_carry_no_moment_about_it() -> None:
    group = WeldGroup([line((0, 0), (0, D))])
    assert math.isinf(group.worst([((0.0, 0.0, 100.0), (30.0, D / 2, 0.0))])[0][0])
    across = group.worst([((100.0, 0.0, 0.0), (0.0, D, 0.0))])[0][0]
    assert across == pytest.approx(100 / D + 100 * (D / 2) * (D / 2) / (D**3 / 12), rel=1e-9)


def test_an_arc_bows_to_the_side_its_bulge_says() -> None:
    arc = Arc(0j, 10 + 0j, 0.5)
    p = piece(arc, Placement((0, 0, 0), (1, 0, 0), (0, 1, 0)))
    assert complex(*p.at(0.0)[:2]) == pytest.approx(arc.point(0.5))
    assert p.length == pytest.approx(arc.length)
    assert cmath.isclose(complex(*p.at(p.half_sweep)[:2]), arc.end)
