"""Plates welded from one side alone: half the runs, a root that nothing may open, a caution where plates are tied."""

import pytest

from plategen.checks.finding import stops
from plategen.make import Work, carry_through
from tests.support.random_jobs import example


def made(name: str, one_side: bool) -> Work:
    given = example(name)
    job = given.job.replaced(weld=given.job.weld.replaced(one_side=one_side))
    return carry_through(job, given.traces)


def test_half_the_runs_are_left_all_on_the_outside() -> None:
    both, one = (made("sprayer-kicked-rail", one_side) for one_side in (False, True))
    assert [run.side for run in one.bracket.welds] == ["outside", "outside"]
    assert sum(run.length_mm for run in one.bracket.welds) == pytest.approx(
        sum(run.length_mm for run in both.bracket.welds if run.side == "outside")
    )


def test_a_plate_that_stands_alone_may_not_be_welded_so() -> None:
    found = stops(made("sprayer-kicked-rail", True).findings)
    assert {f.check for f in found} == {"run on one side alone"}
    assert all(f.cure is not None and f.cure.changes[0].key == "weld.one_side" for f in found)


def test_ears_on_one_straight_line_of_weld_hold_nothing_aside() -> None:
    throats = [f for f in made("quarry-straight-rail", True).findings if f.check == "weld throat stress" and f.decides]
    assert all(f.ratio == float("inf") for f in throats)
    assert all(f.cure is not None and f.cure.changes[0].key == "weld.one_side" for f in throats)


def test_ears_that_closing_plates_tie_are_cautioned() -> None:
    found = [f for f in made("quarry-screen-corner", True).findings if f.check == "run on one side alone"]
    assert found
    assert {f.verdict for f in found} == {"caution"}
