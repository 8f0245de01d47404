"""A job with keys changed is the job that its file would be with those keys, and nothing else of it moves."""

from pathlib import Path

import pytest

from plategen.ground.cure import Change
from plategen.ground.message import mm, rad, size
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.change import changed
from plategen.job.load import load_job

PROFILES = Path(__file__).parents[2] / "profiles"


def example(name: str = "sprayer-kicked-rail") -> Job:
    return load_job(PROFILES / name).job


def test_a_key_is_set_and_nothing_else() -> None:
    job = example()
    new = changed(job, [Change("weld.leg", size(8.0))])
    assert new.weld.leg_mm == 8.0
    assert new.replaced(weld=job.weld) == job


def test_a_tuple_a_word_and_a_switch() -> None:
    new = changed(
        example("forwarder-split-mount"),
        [
            Change("mount.foot", (mm(40.0), mm(300.0))),
            Change("rules.pretensioned", False),
            Change("rules.pin_steel", "42CrMo4"),
        ],
    )
    assert new.mount.foot_mm == (40.0, 300.0)
    assert new.rules is not None
    assert (new.rules.pretensioned, new.rules.pin_steel) == (False, "42CrMo4")


def test_a_table_that_is_left_out_is_begun_with_its_usual_values() -> None:
    job = example()
    assert job.rules is None
    new = changed(job, [Change("rules.skew", rad(0.01))])
    assert new.rules is not None
    assert new.rules.skew_rad == 0.01
    assert new.rules.shock_factor == 1.5


def test_keys_that_only_go_together_are_set_together() -> None:
    job = example()
    pin, eye = 3.0 * job.cylinder.base.eye_radius_mm, 4.0 * job.cylinder.base.eye_radius_mm
    with pytest.raises(Refusal):
        changed(job, [Change("cylinder.base.pin", mm(pin))])
    new = changed(job, [Change("cylinder.base.pin", mm(pin)), Change("cylinder.base.eye_radius", mm(eye))])
    assert (new.cylinder.base.pin_mm, new.cylinder.base.eye_radius_mm) == (pin, eye)


def test_one_table_of_a_list() -> None:
    job = example("orchard-sprayer-steering")
    assert job.steering is not None
    new = changed(job, [Change("steering.rod[1].diameter", size(30.0)), Change("steering.rod[0].diameter", size(50.0))])
    assert new.steering is not None
    assert [rod.diameter_mm for rod in new.steering.rod[:2]] == [50.0, 30.0]
    assert new.steering.rod[0].name == job.steering.rod[0].name


@pytest.mark.parametrize(
    ("key", "words"),
    [
        ("weld.legs", "weld.legs: the job file has no legs; `plategen keys` lists what there is"),
        ("weld.leg.size", "weld.leg: leg is one value"),
        ("split.bolt", "this job has no [split], and one key does not make it"),
        ("steering.rod[0].diameter", "steering.lever: give the levers"),
        ("rail.trace[7].plane", "rail.trace[7]: the job file has no rail.trace[7]"),
        ("weld leg", "the job file has no weld leg"),
    ],
)
def test_what_is_no_key_of_the_job_is_refused(key: str, words: str) -> None:
    with pytest.raises(Refusal) as refused:
        changed(example(), [Change(key, mm(1.0))])
    assert words in str(refused.value)
