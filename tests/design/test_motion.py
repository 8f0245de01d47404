"""How the cylinder turns: what was measured, else what the study found, else what the rules take; and its loads."""

import math
from pathlib import Path

import pytest

from plategen.design.motion import motion_of, off_line
from plategen.job.cylinder import Swing
from plategen.job.load import load_job
from plategen.job.rules import Rules
from plategen.make import study_of
from tests.support.brackets import corner_job

ORCHARD = load_job(Path(__file__).parents[2] / "profiles" / "orchard-sprayer-steering").job


def test_the_swing_is_what_was_measured_then_what_the_study_found_then_the_rules() -> None:
    study = study_of(ORCHARD)
    assert study is not None
    (swing,) = study.swings_about("fixed pin")
    measured = corner_job(False, swing_rad=0.2)
    assert (motion_of(measured, study).swing_rad, motion_of(measured, study).swing_from) == ((-0.2, 0.2), "measured")
    bare = measured.replaced(swing=None)
    drawn = motion_of(bare, study)
    assert (drawn.swing_rad, drawn.swing_from) == (swing.in_plane_range_rad, "drawn")
    assert (drawn.skew_rad, drawn.skew_from) == (swing.out_of_plane_range_rad, "drawn")
    ruled = motion_of(bare, None)
    assert ruled.swing_rad == pytest.approx((-math.radians(5.0), math.radians(5.0)))
    assert (ruled.swing_from, ruled.skew_from) == ("rule", "rule")
    # a table that says only what stands out of the cylinder measures no swing
    assert motion_of(measured.replaced(swing=Swing(barrel_start_mm=80.0)), None).swing_from == "rule"


def test_a_measured_swing_loads_the_pin_as_the_same_swing_by_rule_does() -> None:
    job = corner_job(False, swing_rad=math.radians(25.0))
    by_rule = job.replaced(swing=None, rules=Rules(swing_rad=math.radians(25.0)))
    measured, ruled = motion_of(job, None).cases, motion_of(by_rule, None).cases
    assert measured == ruled
    # F sin(25 deg) towards the rail and away from it, whatever the skew
    size = measured[0].size_n
    flat = size * math.cos(math.radians(2.0))
    assert max(case.force_n[1] for case in measured if case.push) == pytest.approx(flat * math.sin(math.radians(25.0)))


def test_a_one_sided_swing_loads_its_ends_and_its_middle() -> None:
    job = corner_job(False).replaced(swing=Swing(low_rad=0.0, high_rad=0.4))
    pushes = [case for case in motion_of(job, None).cases if case.push]
    angles = {round(math.atan2(-case.force_n[1], -case.force_n[0]), 9) for case in pushes}
    assert angles == {0.0, 0.2, 0.4}


def test_a_cylinder_run_off_its_line_swings_further_to_that_side() -> None:
    job = corner_job(False, swing_rad=0.2)
    motion = motion_of(job, None)
    wider = off_line(job, motion, -0.05)
    assert wider.swing_rad == pytest.approx((-0.25, 0.2))
    assert wider.skew_rad == motion.skew_rad
    assert max(case.force_n[1] for case in wider.cases) > max(case.force_n[1] for case in motion.cases)
