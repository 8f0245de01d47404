"""A rail's wall in bending: the manual's table of flange bending (from memory), and rules that must agree."""

import math

import pytest

from plategen.rules import wall_bending as rule
from plategen.rules.safety import YIELDING

KSI, INCH, KIP = 6.894757293168361, 25.4, 4448.2216152605


@pytest.mark.parametrize(
    ("flange_in", "lrfd", "asd"),
    [(0.710, 142.0, 94.3), (0.605, 103.0, 68.5), (0.560, 88.2, 58.7)],  # W14x90, W12x65, W10x49, Fy 50 ksi
)
def test_flange_bending_of_the_steel_manual(flange_in: float, lrfd: float, asd: float) -> None:
    nominal = rule.flange_across_n(50.0 * KSI, flange_in * INCH) / KIP
    assert YIELDING.available(nominal, "aisc-lrfd") == pytest.approx(lrfd, rel=4e-3)
    assert YIELDING.available(nominal, "aisc-asd") == pytest.approx(asd, rel=1e-3)


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


def test_a_point_on_a_flange_is_the_yield_line_of_half_fy_t_squared() -> None:
    # 2 m of a strip spread by 45 degrees to both sides, wherever on the flange it stands
    for arm in (10.0, 40.0):
        assert rule.flange_along(250.0, 6.35, 0.0, arm).push_n == pytest.approx(250.0 * 6.35**2 / 2.0)


def test_a_face_as_wide_as_its_plate_bends_nowhere() -> None:
    assert math.isinf(rule.face_along(250.0, 8.0, 20.0, 20.0, 100.0, en=False).push_n)
    assert math.isinf(rule.face_tilt_n(250.0, 8.0, 20.0, 20.0))
