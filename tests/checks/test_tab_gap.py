"""A tab cut square on a round tube stands off under its outer face; the cure names the thickest tab that may."""

import math
from pathlib import Path

import pytest

from plategen.job.change import changed
from plategen.job.load import load_job
from plategen.make import on_rail
from tests.support.designs import tube_on

SEAT = Path(__file__).parents[2] / "profiles" / "vineyard-drag-link-seat"
INCH = 25.4
MOST_GAP = 3 / 16
"""AWS D1.1 7.21.1: the root opening of a fillet is no more than 3/16 in (from memory)."""


def gap_in(thickness: float) -> float:
    """The gap under an outer face by the circle: 2 1/2 in tube, 5/16 in pad, 7/8 in eye, 1/32 in play."""
    radius, inside = 2.5 / 2 + 5 / 16, (7 / 8) / 2 + 1 / 32
    return math.sqrt(radius**2 - inside**2) - math.sqrt(radius**2 - (inside + thickness) ** 2)


def test_the_cure_is_the_thickest_tab_that_the_circle_allows() -> None:
    job = load_job(SEAT).job
    thick = job.replaced(bracket=job.bracket.replaced(thickness_mm=0.5 * INCH))
    stops = [
        each
        for each in on_rail(thick, tube_on(thick)).findings
        if each.check == "fit-up gap" and each.verdict == "stop"
    ]
    assert stops
    for stop in stops:
        assert stop.demand == pytest.approx(gap_in(0.5) * INCH, abs=1e-6)
        assert stop.cure is not None
        (change,) = stop.cure.changes
        assert change.key == "bracket.thickness"
        cured = changed(thick, stop.cure.changes)
        chosen = cured.bracket.thickness_mm / INCH
        assert gap_in(chosen) <= MOST_GAP < gap_in(chosen + 1 / 16)
        again = on_rail(cured, tube_on(cured)).findings
        assert not [each for each in again if each.check == "fit-up gap" and each.verdict == "stop"]
