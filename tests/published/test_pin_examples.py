"""Pins to EN 1993-1-8:2005 3.13: a published calculation routine's example (16 mm pin, S235)."""

import pytest

from plategen.rules.column import Bar
from plategen.rules.pin_plate import (
    bending_nmm,
    moment_nmm,
    service_bending_nmm,
    shear_n,
    shear_with_bending,
)


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
