"""Which of a rule's two tables counts is for the job to say: a number that a caliper read never chooses it."""

import pytest

from plategen.design.design import nose_radius
from tests.checks.bench import Bench

IN = 25.4


@pytest.mark.parametrize("wall_in", [0.31, 0.251, 0.3125, 0.25])
def test_a_wall_read_with_a_caliper_asks_an_inch_leg_in_a_job_in_inches(wall_in: float) -> None:
    bench = Bench(units="in", wall=wall_in * IN, leg=3 / 16 * IN)
    legs = [f for f in bench.findings() if f.check == "least leg"]
    assert {f.verdict for f in legs} == {"ok"}
    assert {round(f.demand / IN, 6) for f in legs} == {0.125 if wall_in <= 0.25 else 0.1875}
    assert {f.source for f in legs} == {"AISC 360-16/22 Table J2.4"}


def test_a_job_in_millimetres_asks_the_metric_leg_of_an_inch_plate() -> None:
    legs = [f for f in Bench(wall=0.25 * IN, leg=5.0).findings() if f.check == "least leg"]
    assert {(f.demand, f.source) for f in legs} == {(5.0, "AISC 360-16/22 Table J2.4M")}


def test_the_rules_may_name_the_other_system() -> None:
    legs = [f for f in Bench(wall=0.25 * IN, rules={"tables": "in"}).findings() if f.check == "least leg"]
    assert {f.demand for f in legs} == {0.125 * IN}


def test_a_worn_pin_keeps_its_nose() -> None:
    # AISC 360-16 Table J3.4 asks 1 1/4 in of a 1 in pin, and 1.5 pins are more of either
    worn, new = (Bench(units="in", pin=pin * IN, hole=1.03 * IN, nose=1.5 * IN) for pin in (0.999, 1.0))
    for bench in (worn, new):
        assert [f.demand for f in bench.findings() if f.check == "edge distance"] == pytest.approx([1.25 * IN] * 2)
    assert nose_radius(worn.job()).mm == nose_radius(new.job()).mm
