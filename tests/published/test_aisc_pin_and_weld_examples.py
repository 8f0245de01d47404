"""AISC Design Examples: D.7 pin-connected tension member (editions 13.0 and 14.0) and J.1 fillet weld (14.0)."""

import math

import pytest

from plategen.rules.pin_plate import (
    bearing_n,
    effective_width_mm,
    shear_rupture_n,
    tension_rupture_n,
)
from plategen.rules.safety import RUPTURE
from plategen.rules.weld import least_leg_mm, most_leg_mm, throat_mm

IN, KSI, KIP = 25.4, 6.894757, 4448.2216
FY, FU = 36 * KSI, 58 * KSI
T, D, A, W, C = 0.5 * IN, 1.0 * IN, 2.25 * IN, 4.25 * IN, 2.5 * IN
NET = 1.61 * IN


def test_effective_width_is_the_real_net_width_1_61_in() -> None:
    assert effective_width_mm(T, NET) / IN == pytest.approx(1.61, abs=0.005)


def test_effective_width_2t_plus_0_63_is_1_63_in() -> None:
    assert effective_width_mm(T, 100.0) / IN == pytest.approx(1.63, abs=0.005)


def test_tension_rupture_93_4_kips() -> None:
    assert tension_rupture_n(FU, T, NET) / KIP == pytest.approx(93.4, abs=0.05)


def test_tension_rupture_of_the_13th_edition_94_5_kips_and_70_9_available() -> None:
    # the 13.0 examples used the whole 1.63 in; 0.75 times it is printed too
    nominal = tension_rupture_n(FU, T, 1.63 * IN) / KIP
    assert nominal == pytest.approx(94.5, abs=0.05)
    assert RUPTURE.available(nominal, "aisc-lrfd") == pytest.approx(70.9, abs=0.05)


def test_shear_rupture_95_7_kips_and_71_8_available() -> None:
    nominal = shear_rupture_n(FU, T, A, D) / KIP
    assert nominal == pytest.approx(95.7, abs=0.05)
    assert RUPTURE.available(nominal, "aisc-lrfd") == pytest.approx(71.8, abs=0.05)


def test_bearing_32_4_kips_and_24_3_available() -> None:
    nominal = bearing_n(FY, D, T) / KIP
    assert nominal == pytest.approx(32.4, abs=0.05)
    assert RUPTURE.available(nominal, "aisc-lrfd") == pytest.approx(24.3, abs=0.05)


def test_j1_strength_of_a_3_16_in_fillet_is_5_57_kips_an_inch() -> None:
    per_mm = 0.60 * 70 * KSI * throat_mm(3 / 16 * IN)
    assert per_mm * IN / KIP == pytest.approx(5.57, abs=0.005)


def test_j1_length_wanted_is_47_9_in() -> None:
    per_inch = RUPTURE.available(0.60 * 70 * throat_mm(3 / 16 * IN) / IN, "aisc-lrfd")
    assert 200 / per_inch == pytest.approx(47.9, abs=0.05)


def test_j1_least_leg_on_quarter_inch_plate_is_1_8_in_and_greatest_3_16_in() -> None:
    assert least_leg_mm(0.25 * IN, "in")[0] == pytest.approx(IN / 8)
    assert most_leg_mm(0.25 * IN, "in") == pytest.approx(3 * IN / 16)


@pytest.mark.parametrize(
    ("upto_in", "leg_in", "upto_mm", "leg_mm"),
    [(1 / 4, 1 / 8, 6, 3), (1 / 2, 3 / 16, 13, 5), (3 / 4, 1 / 4, 19, 6), (2.0, 5 / 16, 50, 8)],
)
def test_table_j2_4_in_both_systems(upto_in: float, leg_in: float, upto_mm: float, leg_mm: float) -> None:
    # AISC 360-16 Table J2.4 and J2.4M, each read by the job's system whatever a caliper reads
    assert least_leg_mm(upto_in * IN, "in")[0] == pytest.approx(leg_in * IN)
    assert least_leg_mm((upto_in - 0.003) * IN, "in")[0] == pytest.approx(leg_in * IN)
    assert least_leg_mm(upto_mm, "mm")[0] == leg_mm
    assert least_leg_mm(upto_mm - 0.07, "mm")[0] == leg_mm


def test_greatest_leg_along_an_edge_in_both_systems() -> None:
    # AISC 360-16 J2.2b: under 1/4 in (6 mm) the thickness, from there on 1/16 in (2 mm) less
    assert [most_leg_mm(t, "mm") for t in (5.9, 6.0, 10.0)] == [5.9, 4.0, 8.0]
    assert [most_leg_mm(t * IN, "in") / IN for t in (0.24, 0.375)] == pytest.approx([0.24, 0.3125])


def test_handy_values_per_sixteenth_of_leg() -> None:
    # AISC Manual part 8: 1.392 D and 0.928 D kip/in for E70
    per = 0.60 * 70 * throat_mm(1.0) / 16
    assert RUPTURE.available(per, "aisc-lrfd") == pytest.approx(1.392, abs=5e-4)
    assert RUPTURE.available(per, "aisc-asd") == pytest.approx(0.928, abs=5e-4)
    assert throat_mm(1.0) == pytest.approx(math.sqrt(0.5))
