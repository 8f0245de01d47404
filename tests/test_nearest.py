"""A refusal whose amount only building tells knows the nearest size that builds, and with it the bracket is built."""

from collections.abc import Callable
from dataclasses import replace

import pytest

from plategen.ground.cure import Change, Cure, set_to
from plategen.ground.message import mm, size
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.change import changed
from plategen.make import carry_through
from plategen.nearest import with_nearest
from plategen.rail.surface import Rail
from plategen.work import Work
from tests.support.every_example import work_of

EARS, CORNER, SPLIT = "sprayer-kicked-rail", "quarry-screen-corner", "forwarder-split-mount"

MISTAKES = {
    "a toe taller than the flanks": (EARS, "bracket.toe", 180.0),
    "a corner wider than the toe": (EARS, "bracket.corner_radius", 45.0),
    "a corner wider than a low toe": (CORNER, "bracket.toe", 3.0),
    "a foot that rises beyond its trace": (CORNER, "mount.foot_rise", 400.0),
    "a foot that hardly rises": (CORNER, "mount.foot_rise", 9.0),
    "a closing plate beyond the foot": (CORNER, "closing.back_inset", 400.0),
    "a pin out of the tabs' reach": (SPLIT, "mount.inline_offset", 60.0),
}


def _carried(example: Work, job: Job) -> Work:
    rail = example.rail
    assert isinstance(rail, Rail)
    return carry_through(job, example.traces, rail_of=lambda _, offset_mm: replace(rail, inline_offset_mm=offset_mm))


def _refused(name: str) -> tuple[Work, Job, Refusal]:
    profile, key, to_mm = MISTAKES[name]
    example = work_of(profile)
    job = changed(example.design.job, (Change(key, size(to_mm)),))
    with pytest.raises(Refusal) as refused:
        _carried(example, job)
    return example, job, refused.value


@pytest.mark.parametrize("name", MISTAKES)
def test_the_nearest_size_that_builds_is_told_and_cures(name: str) -> None:
    example, job, refusal = _refused(name)
    assert refusal.cure is not None, refusal
    assert refusal.cure.changes
    assert str(refusal).endswith("is the nearest that can be built"), refusal
    _carried(example, changed(job, refusal.cure.changes))


def _only(builds: set[int]) -> Callable[[Job], None]:
    """A builder that builds toes of so many mm."""

    def build(job: Job) -> None:
        if job.bracket.toe_mm not in builds:
            raise Refusal("not so", "bracket.toe")

    return build


@pytest.mark.parametrize(
    ("builds", "right"),
    [({21, 30}, 21.0), ({16, 35}, 16.0), (set(range(46, 90)), 46.0), ({1, 2, 3}, 3.0), (set(), None)],
)
def test_the_nearest_is_the_smallest_change(builds: set[int], right: float | None) -> None:
    job = changed(work_of("quarry-straight-rail").design.job, (Change("bracket.toe", size(20.0)),))
    told = with_nearest(Refusal("no", "bracket.toe"), job, _only(builds))
    wanted: tuple[Change, ...] | None = None if right is None else (Change("bracket.toe", size(right)),)
    assert (told.cure and told.cure.changes) == wanted


@pytest.mark.parametrize("cure", [None, set_to("bracket.toe", mm(9.0), "a toe of {}")])
def test_what_has_a_cure_or_no_size_is_left_as_it_is(cure: Cure | None) -> None:
    refusal = Refusal("no", "bracket.toe" if cure else "bracket.steel", cure=cure)
    assert with_nearest(refusal, work_of("quarry-straight-rail").design.job, _only({21})) is refusal
