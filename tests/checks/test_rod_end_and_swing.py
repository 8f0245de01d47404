"""Findings about a rod end and about the swing."""

import math
from collections.abc import Iterable
from dataclasses import replace

import pytest

from plategen.bracket.swing import Room
from plategen.checks.cylinder import check_rod_end
from plategen.checks.finding import Finding
from plategen.checks.setting import Setting
from plategen.checks.swing import check_swing
from plategen.design.motion import motion_of
from plategen.ground.message import rad
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.rules.pin_plate import tilt_before_plates_rad
from tests.checks.bench import Bench
from tests.support.brackets import corner_job


def _rod_end(**given: object) -> Job:
    job = corner_job(False)
    base = job.cylinder.base.replaced(kind="rod_end", head_width_mm=37.0, **given)
    return job.replaced(cylinder=job.cylinder.replaced(base=base))


def _tilts(job: Job, skew_rad: float | None = None) -> list[Finding]:
    design = replace(Bench().design(), job=job, motion=motion_of(job, None))
    if skew_rad is not None:
        design = replace(design, motion=replace(design.motion, skew_rad=(-skew_rad, 0.0)))
    return list(check_rod_end(Setting(design, Bench().bracket(), None)))


class _Swept(Setting):
    """A setting whose rooms are known."""

    def __init__(self, job: Job, rooms: Iterable[Room]) -> None:
        super().__init__(replace(Bench().design(), job=job), Bench().bracket(), None)
        self.__dict__["rooms"] = tuple(rooms)


def test_spacers_let_a_rod_end_tilt_further() -> None:
    (bare,) = _tilts(_rod_end())
    (spaced,) = _tilts(_rod_end(spacer_mm=8.0))
    assert bare.capacity == pytest.approx(math.degrees(tilt_before_plates_rad(50.0 + 2.0, 37.0, 84.0)))
    assert spaced.capacity == pytest.approx(math.degrees(tilt_before_plates_rad(66.0 + 2.0, 37.0, 84.0)))
    assert spaced.capacity > bare.capacity
    assert bare.demand == pytest.approx(2.0)
    assert bare.verdict == "ok"


def test_too_much_skew_stops() -> None:
    (found,) = _tilts(_rod_end(), math.radians(15.0))
    assert found.verdict == "stop"
    assert found.cure


def test_the_balls_own_limit_is_judged_when_the_ball_is_known() -> None:
    plates, seat = _tilts(_rod_end(ball_mm=70.0))
    assert "plate" in str(plates.assumed)
    assert "shoulder" in str(seat.assumed)
    spaced = (_rod_end(ball_mm=70.0, spacer_mm=5.0, spacer_diameter_mm=d) for d in (60.0, 42.0))
    wide, narrow = (_tilts(job)[1] for job in spaced)
    assert narrow.capacity > wide.capacity


def test_other_ends_have_no_tilt_to_judge() -> None:
    assert _tilts(corner_job(False)) == []


@pytest.mark.parametrize(
    ("given", "message"),
    [
        ({"kind": "fork"}, "fork_width: missing"),
        ({"kind": "fork", "fork_width_mm": 40.0}, "the fork must be wider than its gap"),
        ({"kind": "rod_end"}, "head_width: missing"),
        ({"kind": "rod_end", "head_width_mm": 60.0}, "the ball must stand out of its head"),
        ({"kind": "rod_end", "head_width_mm": 37.0, "ball_mm": 45.0}, "the ball must be larger than its width"),
        ({"kind": "rod_end", "head_width_mm": 37.0, "spacer_diameter_mm": 45.0}, "spacers of no width"),
        ({"head_width_mm": 30.0}, "only a rod end has it"),
        ({"fork_width_mm": 90.0}, "only a fork has it"),
    ],
)
def test_ends_that_cannot_be_are_refused(given: dict[str, object], message: str) -> None:
    with pytest.raises(Refusal) as refused:
        corner_job(False).cylinder.base.replaced(**given)
    assert message in str(refused.value)


@pytest.mark.parametrize(("mm", "verdict"), [(10.0, "ok"), (3.0, "ok"), (2.9, "stop"), (0.0, "stop"), (-4.0, "stop")])
def test_a_room_too_small_stops(mm: float, verdict: str) -> None:
    room = Room(
        of="barrel", part="barrel", to="closing_bottom", kind="closing", mm=mm, at=(1.0, 2.0, 3.0), angle_rad=0.1
    )
    (found,) = check_swing(_Swept(corner_job(False), [room]))
    assert found.verdict == verdict
    assert found.case.quantities == (rad(0.1),)
    assert bool(found.cure) == (verdict == "stop")
