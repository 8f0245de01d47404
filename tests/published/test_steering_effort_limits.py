"""Limits of the effort at the rim, and the worked example of a kingpin's jacking moment."""

import math

import numpy as np
import pytest

from plategen.job.steering_equipment import TyreEntry
from plategen.rules.steering_effort import effort_limit
from plategen.steering.linkage import Lever
from plategen.steering.tyre import jacking_nmm, scrub_disc_nmm


@pytest.mark.parametrize(
    ("vehicle", "intact", "failed"),
    [
        # UN Regulation 79, table of steering control effort, from memory: N, s, m
        ("M1", (150, 4, 12), (300, 20)),
        ("M2", (150, 4, 12), (300, 20)),
        ("M3", (200, 4, 12), (450, 20)),
        ("N1", (200, 4, 12), (300, 20)),
        ("N2", (250, 4, 12), (400, 20)),
        ("N3", (200, 4, 12), (450, 20)),
        # Directive 2009/66/EC, Annex I, 2.2.1.2: 12 m radius, 25 daN, and 60 daN where the assist's power fails (read)
        ("tractor", (250, None, 12), (600, 12)),
        # ISO 5010, earth-moving machines, from memory, weak
        ("earth-moving", (115, None, None), (350, None)),
    ],
)
def test_the_limits(vehicle: str, intact: tuple[float, ...], failed: tuple[float, ...]) -> None:
    limit = effort_limit(vehicle)
    metres = [None if r is None else r / 1000.0 for r in (limit.intact_radius_mm, limit.failed_radius_mm)]
    assert (limit.intact_n, limit.intact_s, metres[0]) == intact
    assert (limit.failed_n, metres[1]) == failed
    assert ("memory" in limit.source) is (vehicle != "tractor")


def test_the_efforts_of_road_vehicles_span_what_a_text_that_was_read_says() -> None:
    # A trade text on steering, quoted in a public forum on old lorries (read there): by Directive
    # 70/311/EEC and ECE R79 no more than 150 N to 250 N with assist, and 300 N to 450 N with it failed, by the class
    limits = [effort_limit(vehicle) for vehicle in ("M1", "M2", "M3", "N1", "N2", "N3")]
    assert {f(each.intact_n for each in limits) for f in (min, max)} == {150.0, 250.0}
    assert {f(each.failed_n for each in limits) for f in (min, max)} == {300.0, 450.0}


def test_the_effort_of_earth_moving_machines_is_that_of_a_text_that_was_read() -> None:
    # Central Motor Vehicles Rules 1989 (India), rule 98A(3), construction equipment: 11.7 kg with hydrostatic steering
    assert effort_limit("earth-moving").intact_n == pytest.approx(11.7 * 9.80665, abs=0.5)


def test_the_worked_example_of_scrub_and_jacking() -> None:
    # Barton and Fieldhouse, Automotive Chassis Engineering (2018), pp. 82 and 90: 2400 kg axle, kingpin 12 deg,
    # patch 250 mm, offset 25 mm, mu 0.58: scrub 594 N m a wheel; jacking 28 N m at 28 deg, 42 N m at 45 deg
    tyre = TyreEntry(load_n=1200.0 * 9.81, width_mm=250.0, contact_mm=250.0, offset_mm=25.0, friction=0.58)
    kingpin = Lever("spindle", (0, 700, 300), (0.0, -math.tan(math.radians(12.0)), 1.0), {"x": (0, 500, 300)}, "left")
    assert scrub_disc_nmm(tyre) / 1000.0 == pytest.approx(594.0, abs=0.5)
    lifted = jacking_nmm(tyre, kingpin, np.radians([28.0, -45.0])) / 1000.0
    np.testing.assert_allclose(lifted, [28.0, 42.0], atol=0.5)
