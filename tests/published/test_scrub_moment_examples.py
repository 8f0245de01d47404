"""The moment that turns a standing tyre, against the worked examples of D. C. Barton and J. D. Fieldhouse, Automotive
Chassis Engineering (Springer 2018), chapter 2: example E2.1 and the example with motor power after it.
"""

import math

import pytest

from plategen.job.steering_equipment import TyreEntry
from plategen.steering.tyre import scrub_disc_nmm, scrub_width_nmm

G = 9.81


def test_medium_van() -> None:
    # E2.1: patch 250 mm, offset 25 mm, 1200 kg a wheel, coefficient 0.58 read off the book's curve: h = 87 mm, 594 N m
    tyre = TyreEntry(load_n=1200 * G, width_mm=250, contact_mm=250, offset_mm=25, friction=0.58)
    arm = scrub_disc_nmm(tyre) / (tyre.friction * tyre.load_n)
    assert arm == pytest.approx(87.0, abs=0.5)
    assert scrub_disc_nmm(tyre) / 1000.0 == pytest.approx(594.0, rel=0.002)


def test_small_car() -> None:
    # patch 200 mm, offset 20 mm, 400 kg a wheel, coefficient 0.55: h = 69.6 mm, 150.2 N m a wheel
    tyre = TyreEntry(load_n=400 * G, width_mm=200, contact_mm=200, offset_mm=20, friction=0.55)
    arm = scrub_disc_nmm(tyre) / (tyre.friction * tyre.load_n)
    assert arm == pytest.approx(69.6, abs=0.05)
    assert scrub_disc_nmm(tyre) / 1000.0 == pytest.approx(150.2, abs=0.1)


def test_the_trades_formula_lies_a_little_above() -> None:
    # common practice, no source: sqrt(B^2 / 8 + E^2) against a third of the patch: 1.06 times without offset
    tyre = TyreEntry(load_n=10_000, width_mm=240, offset_mm=0.0)
    assert scrub_width_nmm(tyre) / scrub_disc_nmm(tyre) == pytest.approx(3.0 / math.sqrt(8.0))
