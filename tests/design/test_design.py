"""One design of a job: the job stays what was written, and every size that a rule chose says why."""

import pytest

from plategen.bracket.style import design_on
from plategen.design.design import nose_radius, relief_for_leg_mm, relief_radius, toe_height
from plategen.design.foot import Foot
from plategen.job.load import load_job
from tests.support.brackets import corner_job, corner_rail, flat_rail
from tests.support.every_example import EXAMPLES, PROFILES, work_of


@pytest.mark.parametrize("name", EXAMPLES)
def test_the_job_stays_what_was_written(name: str) -> None:
    work = work_of(name)
    assert work.job == load_job(PROFILES / name).job
    assert work.design.job is work.job
    assert work.rail.inline_offset_mm == work.design.pin.inline_offset_mm
    assert work.bracket.pin.centre[0] == work.design.pin.station_mm
    assert bool(work.design.pin.why) == (work.job.mount.pin == "study")


def test_what_the_job_gives_has_no_reason_and_what_a_rule_chose_has_one() -> None:
    job = corner_job(False)
    given = job.bracket.replaced(nose_radius_mm=55.0, toe_mm=31.0, relief_mm=4.0)
    design = design_on(job.replaced(bracket=given), flat_rail(0.0, 0.0))
    assert (design.nose.mm, design.toe.mm, design.relief.mm) == (55.0, 31.0, 4.0)
    assert design.foot.foot == Foot(90.0, 400.0)
    assert design.reasons(relieved=True) == ()
    left = job.replaced(mount=job.mount.replaced(foot_mm=None))
    chosen = design_on(left, flat_rail(0.0, 0.0))
    assert [str(why).split()[0] for why in chosen.reasons(relieved=True)] == ["nose", "toe", "foot", "relief"]
    assert [str(why).split()[0] for why in chosen.reasons(relieved=False)] == ["nose", "toe", "foot"]


def test_the_rules_sizes_are_the_rules_numbers_on_the_next_shop_size() -> None:
    job = corner_job(True)  # a pin of 40 mm, plates of 15 mm, legs of 8 mm
    assert nose_radius(job).mm == 60.0  # 1.5 pins (common practice), more than AISC 360 Table J3.4 asks of 40 mm
    assert toe_height(job, 15.0).mm == 23.0  # 1.5 x 15 mm, on the next whole millimetre
    assert toe_height(job, 8.0).mm == 16.0  # 2 x 8 mm
    assert relief_radius(job).mm == relief_for_leg_mm(8.0, "mm") == 16.0
    inches = job.replaced(units="in")
    assert nose_radius(inches).mm == pytest.approx(2.375 * 25.4)  # the next 1/8 in over 60 mm


def test_a_foot_round_the_corner_is_one_station_and_a_rise() -> None:
    job = corner_job(True)
    left = job.replaced(mount=job.mount.replaced(foot_mm=None, foot_rise_mm=None))
    foot = design_on(left, corner_rail(6.0, 0.0, 0.0, 0.0)).foot
    assert foot.foot.end_mm is None
    assert foot.foot.rise_mm is not None
    assert foot.why
    with pytest.raises(AssertionError, match="one station"):
        _ = foot.foot.stations
