"""A wall in bending: the manual's table of flange bending (from memory), worked joints of tubes, rules that must agree.

The second opinion by finite elements: ``python -m tests.bench walls``.
"""

import math

import pytest

from plategen.rules import tube_wall
from plategen.rules import wall_bending as rule
from plategen.rules.safety import YIELDING
from tests.bench import walls_across
from tests.bench.walls import ALLOWED, FY, OVER, THICK, WALLS, WAYS, Wall, Way, grid, limit_load

KSI, INCH, KIP = 6.894757293168361, 25.4, 4448.2216152605


@pytest.mark.parametrize(
    ("flange_in", "lrfd", "asd"),
    [(0.710, 142.0, 94.3), (0.605, 103.0, 68.5), (0.560, 88.2, 58.7)],  # W14x90, W12x65, W10x49, Fy 50 ksi
)
def test_flange_bending_of_the_steel_manual(flange_in: float, lrfd: float, asd: float) -> None:
    nominal = rule.flange_pulled_n(50.0 * KSI, flange_in * INCH) / KIP
    assert YIELDING.available(nominal, "aisc-lrfd") == pytest.approx(lrfd, rel=4e-3)
    assert YIELDING.available(nominal, "aisc-asd") == pytest.approx(asd, rel=1e-3)


def test_a_plate_through_a_square_tube_of_design_guide_24() -> None:
    # AISC Design Guide 24: a plate of 1/4 by 8 in through an HSS 8x8x1/4 (46 ksi) at 45 degrees, 148 kips in the tube:
    # 46.2 kips (LRFD), as a public library's test quotes it. Through both walls it counts twice (360-10 K1-13); K1-17
    # holds the ends by the tube's own stress, over its area of 7.10 sq in
    fy, t, b = 46.0, 0.93 * 0.25, 8.0
    wall = rule.face_along(fy, t, b, 0.25, 8.0 / math.sin(math.radians(45.0)), en=False)
    left = tube_wall.left_of_square(148.0 / (fy * 7.10), en=False)
    nominal = 2.0 * (wall.beside_n + wall.ends_n * left) / math.sin(math.radians(45.0))
    assert rule.FACE.available(nominal, "aisc-lrfd") == pytest.approx(46.2, abs=0.3)


@pytest.mark.parametrize(("width", "aisc_kn", "en_kn"), [(100.0, 29.5, 33.6), (200.0, 14.8, 15.9)])
def test_a_flange_across_both_faces_of_a_tube(width: float, aisc_kn: float, en_kn: float) -> None:
    # a public verification of an IPE 160 on an HSS 200x100x4 of 250 MPa: K1-1 with J4.1 at 0.90, EN 1993-1-8 Table 7.13
    aisc, en = (rule.face_across_n(250.0, 4.0, width, 82.0, en=en) / 1000.0 for en in (False, True))
    assert 0.90 * aisc == pytest.approx(aisc_kn, abs=0.06)
    assert en == pytest.approx(min(aisc, en_kn), abs=0.06)


@pytest.mark.parametrize(("across", "t", "length"), [(88.9, 5.0, 100.0), (114.3, 6.3, 160.0), (219.1, 10.0, 300.0)])
def test_a_plate_along_a_round_tube_by_two_codes(across: float, t: float, length: float) -> None:
    # "Design of SHS welded joints" (TUB 2765, p. 23), after EN 1993-1-8 Table 7.3: N = 5 fy t^2 (1 + 0.25 h/d); AISC
    # 360-22 K2-2a has 5.5
    n = 5.0 * 355.0 * t**2 * (1.0 + 0.25 * length / across)
    assert tube_wall.round_along_n(355.0, t, across, length, en=True) == pytest.approx(n, rel=1e-12)
    assert tube_wall.round_along_n(355.0, t, across, length, en=False) == pytest.approx(1.1 * n, rel=1e-12)


@pytest.mark.parametrize("share", [0.21, 0.5, 0.8, 1.0])
def test_a_plate_across_a_round_tube_and_the_couples_of_table_k2_1(share: float) -> None:
    # AISC 360-22 Table K2.1: Fy t^2 5.5/(1 - 0.81 Bb/D) (K2-1a), 0.5 Bb Pn (K2-1b), 0.8 lb Pn (K2-2b); Table K2.1A:
    # D/t up to 50, Bb/D from 0.2, Fy up to 52 ksi and 0.8 Fu
    fy, t, across = 345.0, 7.0, 168.3
    can = 5.5 * fy * t**2 / (1.0 - 0.81 * share)
    assert tube_wall.round_across_n(fy, t, across, share * across, en=False) == pytest.approx(can, rel=1e-12)
    assert (tube_wall.ACROSS_ARM, tube_wall.ALONG_ARM) == (0.5, 0.8)
    assert (tube_wall.MOST_SLENDER_ROUND, tube_wall.LEAST_ROUND_ACROSS) == (50.0, 0.2)
    assert tube_wall.counted_yield_mpa(414.0, 483.0, en=False) == pytest.approx(52.0 * KSI, rel=5e-3)


def test_side_walls_and_the_tilt_of_a_plate_along_a_square_tube() -> None:
    # the same, p. 29: side walls fy t (2 t1 + 10 t); a couple along the plate 0.5 h N, which the yield lines keep under
    assert tube_wall.sidewalls_n(355.0, 6.0, 12.0, 9.0, en=True) == pytest.approx(355.0 * 6.0 * (2.0 * 12.0 + 60.0))
    wall = rule.face_along(355.0, 6.0, 120.0, 12.0, 150.0, en=False)
    assert wall.tilt_nmm(150.0) <= 0.5 * 150.0 * wall.push_n


def test_the_two_rules_for_a_plate_along_a_face_differ_by_the_divisor_alone() -> None:
    given = (344.74, 5.918, 152.4, 9.525, 152.4)
    aisc, en = rule.face_along(*given, en=False), rule.face_along(*given, en=True)
    assert aisc.push_n * (1.0 - 9.525 / 152.4) == pytest.approx(en.push_n, rel=1e-12)
    assert en.push_n / KIP == pytest.approx(15.94, abs=0.01)


def test_the_rule_for_a_long_plate_along_a_face_is_four_hinges() -> None:
    # both sides of the plate: a hinge at it and one at the wall, each turned by the push over half the clear width
    fy, t, b, tp, lb = 250.0, 8.0, 120.0, 12.0, 1e6
    hinges = 4.0 * rule.hinge_n(fy, t) * lb / ((b - tp) / 2.0)
    assert rule.face_along(fy, t, b, tp, lb, en=False).beside_n == pytest.approx(hinges, rel=1e-12)


@pytest.mark.parametrize(("arm", "beyond", "length"), [(40.0, 32.0, 200.0), (30.0, 30.0, 157.5), (20.0, 60.0, 125.66)])
def test_a_point_on_a_flange_has_the_effective_lengths_of_a_bolt_row(arm: float, beyond: float, length: float) -> None:
    # EN 1993-1-8:2005 Table 6.4: the smaller of 2 pi m and 4 m + 1.25 e; Table 6.2 without prying: 2 M/m on two flanges
    pushed = rule.flange_along(250.0, 6.35, 0.0, arm, beyond).push_n
    assert pushed * arm == pytest.approx(0.25 * length * 6.35**2 * 250.0, rel=1e-4)


@pytest.mark.parametrize("wall", [WALLS[2], WALLS[3]], ids=lambda wall: wall.name)
def test_yield_lines_are_the_limit_load_by_finite_elements_within_a_fifth(wall: Wall) -> None:
    pytest.importorskip("skfem")
    assert wall.rule("push") == pytest.approx(limit_load(wall, "push", 8), rel=ALLOWED)


NEAR_AN_EDGE = [wall for wall in grid() if wall.name.startswith(("flange, plate at 0.9", "flange, plate at 1.0"))]
SHORT_ON_A_FACE = [wall for wall in grid() if wall.name.endswith("0.15 long")]


@pytest.mark.parametrize("wall", [*NEAR_AN_EDGE, *SHORT_ON_A_FACE], ids=lambda wall: wall.name)
@pytest.mark.parametrize("way", WAYS)
def test_no_rule_of_a_wall_stands_over_the_limit_load_by_finite_elements(wall: Wall, way: Way) -> None:
    # a force at a flange's free edge was told up to 1.17 times of it, a moment aside up to 15 times, a short plate on a
    # face up to 1.5 times; the rest of the proportions by ``python -m tests.bench walls``
    pytest.importorskip("skfem")
    assert wall.rule(way) <= OVER * limit_load(wall, way, 10)


@pytest.mark.parametrize("foot", walls_across.FEET, ids=lambda foot: foot.name)
@pytest.mark.parametrize("way", WAYS)
def test_no_rule_of_a_plate_across_a_flange_stands_over_the_limit_load(foot: walls_across.Across, way: Way) -> None:
    # half of J10.1, which counts the web under the plate as well, stood up to 2.7 times over it
    pytest.importorskip("skfem")
    assert foot.rule(way) <= OVER * walls_across.limit_load(foot, way, 10)


def test_finite_elements_find_the_collapse_of_a_clamped_strip() -> None:
    # a plate as long as the wall bends it to a cylinder, but for its ends: four hinges, each 2/sqrt(3) m (von Mises)
    pytest.importorskip("skfem")
    long, longer = (limit_load(Wall("strip", 100.0, 10.0, length), "push", 6) for length in (400.0, 600.0))
    hinges = 4.0 * rule.hinge_n(FY, THICK) * 200.0 / 45.0 * 2.0 / math.sqrt(3.0)
    assert longer - long == pytest.approx(hinges, rel=0.06)


@pytest.mark.parametrize("share", [0.3, 0.5, 0.8, 0.84, 0.88, 0.95, 1.0])
def test_a_plate_across_a_face_counts_with_its_effective_width_in_both_rules(share: float) -> None:
    # AISC 360-22 K1-1: Be = 10/(B/t) (Fy t)/(Fyb tb) Bb; EN 1993-1-8:2005 Table 7.13: b_eff is the same, and the face's
    # hinges are asked beside it; equal at b = 0.8
    fy, t, b, fyb, tb = 350.0, 6.0, 120.0, 250.0, 10.0
    effective = 10.0 / (b / t) * fy * t / (fyb * tb) * share * b
    aisc, en = (rule.face_across_n(fy, t, b, share * b, en=en) for en in (False, True))
    assert aisc == pytest.approx(fyb * tb * effective)
    hinges = fy * t**2 * (2.0 + 2.8 * min(0.85, share)) / math.sqrt(1.0 - 0.9 * min(0.85, share))
    assert en == pytest.approx(min(aisc, hinges))
    # K1-2 with 0.6 Fy in shear on both faces of the plate: punching asks for less
    punched = 0.6 * fy * t * (2.0 * tb + 2.0 * 10.0 / (b / t) * share * b)
    assert punched > aisc


def test_a_face_as_wide_as_its_plate_bends_nowhere() -> None:
    assert math.isinf(rule.face_along(250.0, 8.0, 20.0, 20.0, 100.0, en=False).push_n)
    assert math.isinf(rule.face_tilt_n(250.0, 8.0, 20.0, 20.0))
