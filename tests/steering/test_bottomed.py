"""A cylinder that ends before the wheels are stopped is the stop itself: what it bears, and who is judged for it."""

import numpy as np
import pytest

from plategen.checks.caution import not_covered
from plategen.checks.steering import NO_STOPS, findings
from plategen.job.load import load_job
from plategen.job.parse import parse_job, parse_steering
from plategen.make import carry_through
from plategen.steering.study import SteeringStudy, study
from plategen.work import Work
from tests.support.orchard import HELD, ROLLING

LATE = HELD.replace('turn = "left"\nat = "35 deg"', 'turn = "left"\nat = "43 deg"')
BOX = 'tolerance = "1 deg"\nbox_moment = "16000 lbf-in"\nstrike = "2000 lbf"'
LBF, LBF_IN = 4.4482216152605, 4.4482216152605 * 25.4


def studied(text: str) -> SteeringStudy:
    return study(parse_steering(text))


def test_box_and_blow_pull_at_a_cylinder_that_is_drawn_out_to_its_end() -> None:
    found = studied(LATE.replace('tolerance = "1 deg"', BOX))
    (end,) = found.bottomed
    assert (end.turn, end.opens) == ("left", True)
    assert found.sweep is not None
    assert found.in_line is not None
    # virtual work on finite steps of the sweep's last intervals, which end just short of the cylinder's own end
    lengths, driver = found.in_line.pins.length_mm, found.sweep.driver_rad
    opened = float(lengths[-1] - lengths[-3])
    assert end.box_n == pytest.approx(16_000.0 * LBF_IN * float(driver[-1] - driver[-3]) / opened, rel=0.08)
    steered = max(abs(float(values[-1] - values[-3])) for values in found.sweep.steer_rad.values())
    blow = 2_000.0 * LBF * (3.5 + 11.25 / 2.0) * 25.4
    assert end.strike_n == pytest.approx(blow * steered / opened, rel=0.08)
    assert end.force_n == end.box_n + end.strike_n


def test_a_cylinder_that_ends_after_the_wheels_stop_bears_nothing_more() -> None:
    assert studied(HELD).bottomed == ()


def test_the_bracket_is_judged_for_it_once_and_not_in_every_stroke() -> None:
    traces = load_job(ROLLING).traces
    right, late = (carry_through(parse_job(text), traces) for text in (HELD, LATE))
    assert late.steering is not None
    (end,) = late.steering.bottomed
    ends = [case for case in late.design.motion.cases if "bottomed, turning left" in str(case.name)]
    assert ends
    assert not any(case.every_stroke or case.push for case in ends)
    np.testing.assert_allclose([case.size_n for case in ends], end.force_n)

    def worst(work: Work, check: str) -> float:
        return max(f.ratio for f in work.findings if f.check == check)

    assert worst(late, "weld throat stress") > worst(right, "weld throat stress")
    assert worst(late, "weld throat fatigue") == pytest.approx(worst(right, "weld throat fatigue"))
    bent = {str(f.case) for f in late.findings if f.check == "pin bending"}
    assert bent == {"bottomed, turning left, in any direction"}  # it was called a pull
    assert "spindle stop before the cylinder's end" in {f.check for f in late.findings if f.verdict == "stop"}
    assert any(f.check == "cylinder bottomed: its pins, rod and balls" for f in late.findings)


def test_a_cylinder_whose_stops_nobody_tells_is_not_said_to_be_stopped() -> None:
    start, end = HELD.index("[steering.stops]"), HELD.index("[steering.marks]")
    untold = findings(studied(HELD[:start] + HELD[end:]))
    assert any(NO_STOPS in words for words in not_covered(untold))
    assert not any(NO_STOPS in words for words in not_covered(findings(studied(HELD))))
