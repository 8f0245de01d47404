"""ASME BTH-1 section 3-3.3: four published lug sheets (three to the 2005, one to the 2014 edition).

The sheets are public calculations by practising engineers, each printing its input and its results.
"""

import math

import pytest

from plategen.rules.pin_plate import (
    bth_bearing_n,
    bth_effective_width_mm,
    bth_fracture_n,
    bth_shear_n,
    bth_tension_n,
    play_factor,
)

IN, KSI, KIP = 25.4, 6.894757, 4448.2216
FY, FU = 36 * KSI, 58 * KSI


def strengths(t: float, a: float, dp: float, be: float, dh: float, edge: float = math.inf) -> list[float]:
    """Pt, Pb, Pv, Pp in kips for dimensions in inches, Nd 2."""
    t, a, dp, be, dh, edge = (x * IN for x in (t, a, dp, be, dh, edge))
    return [
        x / KIP
        for x in (
            bth_tension_n(FY, FU, t, be, dp, dh, 2.0),
            bth_fracture_n(FU, t, a + dh / 2, be, dp, dh, 2.0),
            bth_shear_n(FU, t, a, dp, dh, 2.0, edge),
            bth_bearing_n(FY, dp, t, 2.0),
        )
    ]


def test_sheet_1_2005_with_the_effect_of_play_and_a_curved_edge() -> None:
    found = strengths(0.75, 3.3125, 1.375, 1.66, 1.6875, 4.15625)
    assert found == pytest.approx([49.30, 68.76, 88.41, 23.20], abs=0.03)
    assert play_factor(1.375, 1.6875) == pytest.approx(0.841, abs=5e-4)


def test_sheet_1_effective_width_1_62_in() -> None:
    width = bth_effective_width_mm(1.66 * IN, 0.75 * IN, 1.6875 * IN, FY, FU) / IN
    assert width == pytest.approx(1.62, abs=0.005)


def test_sheet_2_2005_without_play_and_with_a_straight_edge() -> None:
    # this sheet leaves Cr out (Dh/Dp under its bound): divided out here, and phi as if the pin filled the hole
    tension, fracture, _, bearing = strengths(1.25, 3.0, 2.75, 3.0, 3.0)
    cr = play_factor(2.75, 3.0)
    assert tension / cr == pytest.approx(175.21, abs=0.05)
    assert fracture / cr == pytest.approx(144.09, abs=0.05)
    assert bearing == pytest.approx(77.34, abs=0.05)


def test_sheet_2_shear_145_46_kips_by_the_2005_area() -> None:
    # 2005 edition: Av = 2 [a + (Dh/2)(1 - cos 45 deg)] t; later editions, and the code, let the angle follow Dp/Dh
    by_2005 = 0.70 * 58 / (1.20 * 2) * 2 * (3.0 + 3.0 / 2 * (1 - math.cos(math.radians(45)))) * 1.25
    assert by_2005 == pytest.approx(145.46, abs=0.01)
    assert strengths(1.25, 3.0, 2.75, 3.0, 3.0)[2] == pytest.approx(by_2005, rel=0.02)


def test_sheet_3_2005_metric_lug() -> None:
    found = strengths(5 / 25.4, 9 / 25.4, 10 / 25.4, 9 / 25.4, 12 / 25.4, 15 / 25.4)
    assert found == pytest.approx([2.86, 2.37, 2.64, 1.74], abs=0.01)


def test_sheet_4_2014_category_b_tension_19_3343_and_fracture_17_0312_kips() -> None:
    # the sheet prints its factor of safety as Fy; its results are those of Nd = 3
    t, be, dp, dh, r = (x * IN for x in (0.75, 1.0625, 0.75, 0.875, 1.5))
    assert bth_tension_n(FY, FU, t, be, dp, dh, 3.0) / KIP == pytest.approx(19.3343, abs=1e-3)
    assert bth_fracture_n(FU, t, r, be, dp, dh, 3.0) / KIP == pytest.approx(17.0312, abs=1e-3)


def test_sheet_4_factor_0_8583533_and_width_0_9321_in() -> None:
    assert play_factor(0.75, 0.875) == pytest.approx(0.8583533, abs=1e-7)
    width = bth_effective_width_mm(1.0625 * IN, 0.75 * IN, 0.875 * IN, FY, FU) / IN
    assert width == pytest.approx(0.9321, abs=5e-5)


def test_sheet_4_prints_a_wrong_shear_area() -> None:
    # printed 2.3049 in^2 and 25.99 kips for phi = 47.142857 deg; its own formula gives 1.7737 in^2 and 20.00 kips.
    # Its "bearing capacity" of 15 is Fp in ksi: times Dp t it is 8.44 kips.
    phi = math.radians(47.142857)
    area = 2 * (1.0625 + 0.375 * (1 - math.cos(phi))) * 0.75
    shear = bth_shear_n(FU, 0.75 * IN, 1.0625 * IN, 0.75 * IN, 0.875 * IN, 3.0) / KIP
    assert shear == pytest.approx(0.70 * 58 / 3.6 * area, rel=1e-5)
    assert shear == pytest.approx(20.00, abs=0.01)
    assert bth_bearing_n(FY, 0.75 * IN, 0.75 * IN, 3.0) / KIP == pytest.approx(15.0 * 0.75**2, abs=1e-3)
