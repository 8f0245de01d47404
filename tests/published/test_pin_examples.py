"""Pins to EN 1993-1-8:2005 3.13: a published calculation routine's example (16 mm pin, S235)."""

import math

import pytest

from plategen.rules.column import Bar
from plategen.rules.pin_plate import (
    bending_nmm,
    contact_limit_mpa,
    contact_stress_mpa,
    en_bearing_n,
    moment_nmm,
    service_bearing_n,
    service_bending_nmm,
    shear_n,
    shear_with_bending,
)
from tests.checks.bench import Bench
from tests.checks.cases import STRAIGHT


def test_area_201_062_and_modulus_402_124() -> None:
    pin = Bar(16.0, 1.0, 235.0)
    assert pin.section[0] == pytest.approx(201.062, abs=5e-4)
    assert pin.modulus_mm3 == pytest.approx(402.124, abs=5e-4)


def test_shear_35_kn() -> None:
    assert shear_n(235, 360, 16, "en-1993") / 1e3 == pytest.approx(35, abs=0.5)


def test_shear_share_one_seventh() -> None:
    assert shear_n(235, 360, 16, "en-1993") / 5000 == pytest.approx(6.95, abs=0.005)


def test_bending_123_nm_with_the_sheets_partial_factor() -> None:
    # the sheet divides by gM0 = 1.15, a national value; EN 1993 recommends 1.00, which the code takes
    assert bending_nmm(235, 16, "en-1993") / 1.15 / 1e3 == pytest.approx(123, abs=0.5)


def test_service_bending_76_nm() -> None:
    assert service_bending_nmm(235, 16) / 1e3 == pytest.approx(76, abs=0.5)


def test_moment_27_1_nm_and_interaction() -> None:
    # 27.1 Nm for 10 kN in the eye, twice the sheet's 5 kN a plane: b + 4 c + 2 a = 21.68 mm
    assert moment_nmm(10e3, 21.68, 0, 0) / 1e3 == pytest.approx(27.1, abs=0.05)
    assert shear_with_bending(0.14, 0.21) == pytest.approx(0.14**2 + 0.21**2)


def test_bearing_in_service_is_six_fifteenths_of_the_bearing_strength_of_table_3_10() -> None:
    # Fb,Rd = 1.5 t d fy/gM0 and Fb,Rd,ser = 0.6 t d fy/gM6,ser of EN 1993-1-8:2005 Table 3.10, both factors 1.00
    assert service_bearing_n(235, 16, 10) == pytest.approx(0.4 * en_bearing_n(235, 16, 10))
    assert service_bearing_n(235, 16, 10) == pytest.approx(22_560)


@pytest.mark.parametrize(
    ("force", "pin", "hole", "t"), [(60e3, 40, 40.5, 20), (20e3, 25, 25.1, 10), (5e3, 16, 16.4, 6)]
)
def test_the_contact_stress_is_hertz_pressure_of_a_cylinder_in_a_groove(
    force: float, pin: float, hole: float, t: float
) -> None:
    # Hertz, as textbooks of machine design print it: b = sqrt(4 F R (1 - nu^2)/(pi l (E/2))), p = 2 F/(pi b l), with
    # 1/R = 2/d - 2/d0 for a groove; EN 1993-1-8 puts d^2 for d d0, which is a little more
    radius = 1.0 / (2.0 / pin - 2.0 / hole)
    half_width = math.sqrt(4.0 * force * radius * 2.0 * (1.0 - 0.3**2) / (math.pi * t * 210e3))
    pressure = 2.0 * force / (math.pi * half_width * t)
    assert contact_stress_mpa(force, pin, hole, t) == pytest.approx(pressure * math.sqrt(hole / pin), rel=1e-3)


def test_the_contact_stress_falls_with_the_play_and_with_the_plate() -> None:
    assert contact_stress_mpa(60e3, 40, 40.5, 20) == pytest.approx(262.25, abs=0.05)
    assert contact_stress_mpa(60e3, 40, 40, 20) == 0.0
    assert contact_stress_mpa(60e3, 40, 40.5, 40) < contact_stress_mpa(60e3, 40, 40.5, 20)
    assert contact_limit_mpa(355) == 887.5


def test_a_replaceable_pin_is_judged_by_bearing_in_service_as_well() -> None:
    # F with shock: in service F/(0.6 t d fy), for strength 1.5 F/(1.5 t d fy); 5/3 of it
    bench = Bench(pin=20.0, hole=20.2, thickness=8.0, rules={"set": "en-1993", **STRAIGHT}, pressure=25.0)
    told = {f.check: f for f in bench.findings() if f.part.words == "ear_near" and f.decides}
    strength, service = told["bearing of plate and pin"], told["bearing in service"]
    assert 0.6 < strength.ratio < 0.7
    assert service.ratio == pytest.approx(strength.ratio * 5.0 / 3.0)
    assert service.verdict == "stop"
