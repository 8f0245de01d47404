"""Columns: textbook problems solved in print (machine elements 334, strength of materials 13.1, 13.2 and 10.51)."""

import math

import pytest

from plategen.rules.column import aisc_stress_mpa, critical_n, euler_n, round_bar

IN, KSI, KIP = 25.4, 6.894757, 4448.2216
E_TEXT = 30e3 * KSI


def critical_kips(diameter_in: float, length_in: float, yield_ksi: float) -> float:
    return critical_n(*round_bar(diameter_in * IN), length_in * IN, yield_ksi * KSI, E_TEXT) / KIP


@pytest.mark.parametrize(
    ("diameter", "length", "yield_ksi"),
    [(1.096, 25.0, 48.0), (1.507, 50.0, 48.0), (1.0657, 25.0, 150.0)],
    ids=["334a Johnson", "334b Euler", "334c Euler"],
)
def test_design_of_machine_elements_334_sizes_a_rod_for_ten_kips_three_times_over(
    diameter: float, length: float, yield_ksi: float
) -> None:
    assert critical_kips(diameter, length, yield_ksi) == pytest.approx(30.0, rel=0.004)


def test_mechanics_of_materials_13_1_tube_228_2_kn() -> None:
    _, inertia = round_bar(150.0, 140.0)
    assert euler_n(inertia, 7200.0, 200e3) / 1e3 == pytest.approx(228.2, abs=0.1)


def test_mechanics_of_materials_13_1_stress_100_mpa() -> None:
    area, inertia = round_bar(150.0, 140.0)
    assert euler_n(inertia, 7200.0, 200e3) / area == pytest.approx(100.2, abs=0.1)


def test_mechanics_of_materials_13_2_euler_1887_6_kn_but_yield_governs() -> None:
    assert euler_n(15.3e6, 4000.0, 200e3) / 1e3 == pytest.approx(1887.6, abs=0.1)
    # the text stops at 1472.5 kN, 250 MPa on the whole area; Johnson between gives less, which is right
    assert critical_n(5890.0, 15.3e6, 4000.0, 250.0, 200e3) < 1472.5e3


def test_strength_of_materials_10_51_euler_24_392_kips() -> None:
    _, inertia = round_bar(2.0 * IN)
    assert euler_n(inertia, 96 * IN, 29e3 * KSI) / KIP == pytest.approx(24.392, abs=0.001)


def test_aisc_e3_curves_meet_where_the_specification_says() -> None:
    # AISC 360 E3: 4.71 sqrt(E/Fy) is where 0.658^(Fy/Fe) Fy and 0.877 Fe cross, at 0.39 Fy
    bound = 4.71 * math.sqrt(29e3 / 36)
    below, above = (aisc_stress_mpa(bound * f, 36 * KSI, 29e3 * KSI) for f in (0.999, 1.001))
    assert below == pytest.approx(above, rel=0.006)
    assert above / (36 * KSI) == pytest.approx(0.39, abs=0.003)
