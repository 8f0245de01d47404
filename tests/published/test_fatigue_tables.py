"""Fatigue: Appendix 3 of AISC 360-22, the allowable ranges of 1989, and the constants of EN 1993-1-9.

Those of AISC 360-22 were read in its text, those of EN 1993-1-9:2005 in a public copy of its pages 11, 14 to
18 and 25; those of 1989 are from memory.
"""

import math

import pytest

from plategen.rules import fatigue
from plategen.rules.fatigue import aisc, aisc_root, en_direct, en_shear, en_tee_category, root_reduction

KSI = 6.894757293168361

RANGES = {
    "A": (63, 37, 24),
    "B": (49, 29, 18),
    "B'": (39, 23, 15),
    "C": (35, 21, 13),
    "D": (28, 16, 10),
    "E": (22, 13, 8),
    "E'": (16, 9, 6),
}
"""Table A-K4.3 of the specification of 1989, ksi, at 100,000, 500,000 and 2,000,000 cycles; printed in whole ksi."""


PRINTED = {
    "A": (25, 24, 170),
    "B": (12, 16, 110),
    "B'": (6.1, 12, 83),
    "C": (4.4, 10, 69),
    "D": (2.2, 7, 48),
    "E": (1.1, 4.5, 31),
    "E'": (0.39, 2.6, 18),
}
"""AISC 360-22 Table A-3.1: the constant Cf, the threshold in ksi and the one in MPa."""


@pytest.mark.parametrize("category", PRINTED)
def test_constants_and_thresholds_of_table_a_3_1(category: str) -> None:
    constant, ksi, mpa = PRINTED[category]
    curve = aisc(category)
    assert curve.limit_mpa == pytest.approx(ksi * KSI, rel=1e-9)
    assert curve.limit_mpa == pytest.approx(mpa, rel=0.03)  # printed in whole MPa
    for cycles in (2e4, 1e6):
        # A-3-1 in ksi and A-3-1M in MPa, whose 6,900 is rounded
        assert curve.range_mpa(cycles) / KSI == pytest.approx(1000.0 * (constant / cycles) ** 0.333)
        assert curve.range_mpa(cycles) == pytest.approx(6900.0 * (constant / cycles) ** 0.333, rel=1e-3)


@pytest.mark.parametrize("cycles", [2e4, 1e5, 1e6, 1e8])
def test_throats_by_a_3_2_in_both_units(cycles: float) -> None:
    assert aisc("F").range_mpa(cycles, 1.0) / KSI == pytest.approx(max(8.0, 100.0 * (1.5 / cycles) ** 0.167), rel=1e-9)
    assert aisc("F").range_mpa(cycles, 1.0) == pytest.approx(max(55.0, 690.0 * (1.5 / cycles) ** 0.167), rel=3e-3)


def test_a_root_has_no_threshold_and_a_leg_that_closes_it_is_category_c() -> None:
    # the user note under A-3-6: C'' cannot be designed for endless life; R_FIL of 1 is category C at the toe
    assert aisc_root(root_reduction(12.7, 6.35)).limit_mpa == 0.0
    assert math.isfinite(aisc_root(0.8).cycles(1.0, 1.0))
    assert root_reduction(6.35, 8.0) == 1.0


@pytest.mark.parametrize("category", RANGES)
def test_allowable_ranges_of_1989(category: str) -> None:
    for cycles, ksi in zip((1e5, 5e5, 2e6), RANGES[category], strict=True):
        # the table rounds to a whole ksi; at two million the threshold of A and E' stands in it
        assert aisc(category).range_mpa(cycles, 1.0) / KSI == pytest.approx(ksi, abs=0.6)


def test_category_f_of_1989_within_half_a_ksi() -> None:
    ksi = [aisc("F").range_mpa(cycles, 1.0) / KSI for cycles in (1e5, 5e5, 2e6)]
    assert ksi == pytest.approx([15, 12, 9], abs=0.75)


@pytest.mark.parametrize(("category", "millions"), [("B", 2.93), ("C", 4.40), ("D", 6.41), ("E", 12.1), ("A", 1.81)])
def test_cycles_at_which_a_curve_meets_its_threshold(category: str, millions: float) -> None:
    # by the curves' printed constants before 2016, whose exponent is a third; 0.333 moves them by up to 1.7 %
    curve = aisc(category)
    assert curve.cycles(curve.limit_mpa) / 1e6 == pytest.approx(millions, rel=0.02)
    assert math.isinf(curve.cycles(curve.limit_mpa, curve.limit_mpa))


@pytest.mark.parametrize(
    ("category", "knee", "cut_off"),
    [(36, 26.5, 14.6), (40, 29.5, 16.2), (50, 36.8, 20.2), (56, 41.3, 22.7), (71, 52.3, 28.7), (80, 58.9, 32.4)],
)
def test_knee_and_cut_off_of_en_1993_1_9(category: float, knee: float, cut_off: float) -> None:
    curve = en_direct("", float(category))
    assert curve.knee_mpa == pytest.approx(knee, abs=0.06)
    assert curve.cut_off_mpa == pytest.approx(cut_off, abs=0.06)
    assert curve.knee_mpa == pytest.approx(0.737 * category, rel=1e-3)  # 7.1(2)
    assert curve.cut_off_mpa == pytest.approx(0.549 * curve.knee_mpa, rel=1e-3)  # 7.1(2)
    assert en_shear("", float(category)).cut_off_mpa == pytest.approx(0.457 * category, rel=1e-3)  # 7.1(2)


TEE = (
    (80, (10, 49.9), (1, 200)), (71, (50.1, 80), (1, 200)), (63, (80.1, 100), (1, 200)), (56, (100.1, 120), (1, 200)),
    (56, (120.1, 900), (1, 20)), (50, (120.1, 200), (20.1, 200)), (50, (200.1, 900), (20.1, 30)),
    (45, (200.1, 300), (30.1, 200)), (45, (300.1, 900), (30.1, 50)), (40, (300.1, 900), (50.1, 200)),
)  # fmt: skip
"""EN 1993-1-9:2005 Table 8.5, detail 1: category, and from where to where l and t lie, mm."""


@pytest.mark.parametrize(("category", "length", "thick"), TEE)
def test_every_row_of_a_tee_joints_toe(category: int, length: tuple[float, float], thick: tuple[float, float]) -> None:
    for at in length:
        for t in thick:
            assert en_tee_category(at, t) == category


def test_root_throat_and_safety_of_en_1993_1_9() -> None:
    # Table 8.5, detail 3: 36* for the weld's direct stress and 80 for its shear; Table 3.1: safe life, high
    # consequence; Figure 7.1 draws no other categories than these
    assert (fatigue.EN_ROOT, fatigue.EN_THROAT_SHEAR, fatigue.GAMMA_MF) == (36.0, 80.0, 1.35)
    drawn = {160, 140, 125, 112, 100, 90, 80, 71, 63, 56, 50, 45, 40, 36}
    assert {category for category, _, _ in TEE} | {fatigue.EN_ROOT, fatigue.EN_PIN} <= drawn


@pytest.mark.parametrize(("tp", "leg", "left"), [(3 / 8, 1 / 4, 0.636), (3 / 8, 5 / 16, 0.777)])
def test_root_reduction_in_inches_and_by_the_formula_printed_in_millimetres(tp: float, leg: float, left: float) -> None:
    mm = (0.103 + 1.24 * leg / tp) / (tp * 25.4) ** 0.167
    assert root_reduction(tp * 25.4, leg * 25.4) == pytest.approx(left, abs=6e-4)
    assert root_reduction(tp * 25.4, leg * 25.4) == pytest.approx(mm, rel=5e-3)


@pytest.mark.parametrize("curve", [aisc("C"), aisc("F"), en_direct("", 80.0), en_shear("", 80.0)])
def test_range_and_cycles_are_each_others_inverse(curve) -> None:  # type: ignore[no-untyped-def]
    for cycles in (1e4, 1e6, 2e7):
        assert curve.cycles(curve.range_mpa(cycles)) == pytest.approx(cycles, rel=1e-9)
