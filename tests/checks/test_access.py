"""Torch access of a closed bracket."""

from dataclasses import replace

import pytest

from plategen.bracket.model import Bracket, Plate
from plategen.bracket.style import design_on
from plategen.checks.access import REACH_MM, check_access
from plategen.checks.finding import Finding
from plategen.checks.setting import Setting
from plategen.job import Job
from plategen.job.style_tables import Closing
from tests.support.brackets import corner_job, flat_rail
from tests.support.designs import built


def _moved(plate: Plate, by: tuple[float, float, float]) -> Plate:
    place = plate.placement
    origin = (place.origin[0] + by[0], place.origin[1] + by[1], place.origin[2] + by[2])
    return replace(plate, placement=replace(place, origin=origin))


def _closed(eye_mm: float = 60.0) -> Bracket:
    job = corner_job(False, eye_mm).replaced(closing=Closing(back=True, thickness_mm=8.0, leg_mm=5.0))
    return built(job, flat_rail(0.0, 0.0))


CLOSED = corner_job(False).replaced(closing=Closing(back=True, thickness_mm=8.0, leg_mm=5.0))


def _asked(bracket: Bracket, job: Job = CLOSED) -> list[Finding]:
    rail = flat_rail(0.0, 0.0)
    return list(check_access(Setting(design_on(job, rail), bracket, rail)))


def _ways(bracket: Bracket) -> dict[str, Finding]:
    return {f.part.names[0]: f for f in _asked(bracket)}


def test_an_open_bracket_is_asked_of_the_runs_between_its_ears_alone() -> None:
    job = corner_job(False)
    bracket = built(job, flat_rail(0.0, 0.0))
    inner = [run.name for run in bracket.welds if run.side == "inside"]
    assert [finding.part.names[0] for finding in _asked(bracket, job)] == inner


def test_every_run_of_a_wide_box_is_reached() -> None:
    bracket = _closed()
    ways = _ways(bracket)
    assert set(ways) == {run.name for run in bracket.welds}
    assert all(way.verdict == "ok" for way in ways.values())


@pytest.mark.parametrize(("apart_mm", "reached"), [(16.0, False), (24.0, False), (60.0, True)])
def test_runs_between_plates_that_stand_close_are_not(apart_mm: float, reached: bool) -> None:
    bracket = _closed()
    near, far, closing = bracket.plates
    gap = far.placement.origin[2] - near.placement.origin[2] - near.thickness_mm
    # the far ear is brought nearer, the closing plate out of the way
    plates = (near, _moved(far, (0.0, 0.0, apart_mm - gap)), _moved(closing, (0.0, -5000.0, 0.0)))
    ways = _ways(replace(bracket, plates=plates))
    assert (ways["W2"].capacity >= REACH_MM) == reached
    assert ways["W2"].verdict == ("ok" if reached else "caution")
    assert ways["W1"].capacity == REACH_MM
