"""What a job's stops have in common: one number of it without which they go.

One wrong number makes checks of many kinds stop, each with a cure of its own that mends little. So a few single changes
are tried, each judged once, and a number is named as the cause of just those stops that are gone with the change.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from plategen.checks.finding import Finding, stops
from plategen.design.foot import HEIGHTS
from plategen.ground.cure import Change, Cure
from plategen.ground.message import Message, Quantity, message, mpa, oil_mpa, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.ground.unit import PSI_MPA, Units
from plategen.job import Job
from plategen.job.change import changed
from plategen.make import rebuilt
from plategen.rail.surface import Rail
from plategen.work import Work

KINDS = 3
"""Stops of fewer kinds than this are told one by one: their own cures are enough."""

ENOUGH = 0.5
"""Share of the stops that a size must take away, or else the pressure is asked: less of it cures almost anything, so
that it tells a cause only where no size does."""

FAR = 2.0
"""Lengths of its foot that no pin stands over it (common practice, no source): a number that says so was read wrong."""

LEAST_PRESSURE_MPA = 3.5
"""No cylinder that steers is set lower (common practice, no source): a bracket that holds below it alone has another
cause."""

MOST_PLATE_MM = 40.0
"""No thicker plate is tried: the tables of steels end here, and a plate as thick as that takes long to draw."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cause:
    """A number of the job, and the stops that go when it alone is changed."""

    what: Message  # The number as the job has it: ``"the foot of 2 in"``.
    cure: Cure  # What was tried; it changes no key where only a person can know whether the number is a fact.
    followers: tuple[Finding, ...]  # The stops that are gone with it, the worst first.
    # True where the number is plainly wrong: sizes that grew until they hold what follows from it would hide that.
    misread: bool = False


@dataclass(frozen=True, slots=True)
class _Trial:
    """A change to a number of the job that is tried."""

    what: Message  # The number.
    advice: Message  # What to do about it where the change helps.
    changes: tuple[Change, ...]
    # False for a fact of the machine, which a program must not change to have its checks hold.
    ours: bool = True
    misread: bool = False


def causes(work: Work) -> tuple[Cause, ...]:
    """The causes of what stops, the one with the most followers first; none where the stops have none in common.

    At most six brackets are built for it, and none where fewer than :data:`KINDS` kinds of checks stop.
    """
    stopping = stops(work.findings)
    if len({f.check for f in stopping}) < KINDS:
        return ()
    tried = [(trial, _gone(work, trial, stopping)) for trial in _sizes(work, stopping)]
    if max((len(gone) for _, gone in tried), default=0) < ENOUGH * len(stopping):
        tried += [(trial, _gone(work, trial, stopping)) for trial in _pressure(work.job, stopping)]
    found: list[Cause] = []
    left = stopping
    while tried:
        trial, gone = max(tried, key=lambda each: sum(f in each[1] for f in left))
        followers = tuple(f for f in left if f in gone)
        if len({f.check for f in followers}) < KINDS:
            break
        cure = Cure(trial.advice, trial.changes if trial.ours else ())
        found.append(Cause(what=trial.what, cure=cure, followers=followers, misread=trial.misread))
        left = [f for f in left if f not in followers]
    return tuple(found)


def _gone(work: Work, trial: _Trial, stopping: Sequence[Finding]) -> tuple[Finding, ...]:
    """The stops that a change takes away; none where it cannot be built, or where as many others stop with it."""
    try:
        after = stops(rebuilt(work, changed(work.job, trial.changes)).findings)
    except Refusal:
        return ()
    still, before = {f.judged for f in after}, {f.judged for f in stopping}
    gone = tuple(f for f in stopping if f.judged not in still)
    return gone if len(gone) > len(still - before) else ()


def _sizes(work: Work, stopping: Sequence[Finding]) -> Iterator[_Trial]:
    """A change for each size and place of the job that may be wrong, the likeliest first."""
    job, mount = work.job, work.job.mount
    foot = mount.foot_mm
    if foot is not None:
        whole = message("the foot of {}", size(foot[1] - foot[0])) if len(foot) == 2 else message("the foot")
        rise = (Change("mount.foot_rise", None),) if mount.foot_rise_mm is not None else ()
        names = "`foot` and `foot_rise`" if rise else "`foot`"
        advice = message("take {} out of [mount]: a rule chooses the foot, and they hold", names)
        yield _Trial(whole, advice, (Change("mount.foot", None), *rise))
    if mount.pin == "here":
        yield from _pin(work)
    thickness = message("the plates' thickness of {}", size(job.bracket.thickness_mm))
    yield from _asked_for(stopping, "bracket.thickness", thickness)
    yield from _asked_for(stopping, "weld.leg", message("the weld's leg of {}", size(job.weld.leg_mm)))


def _pin(work: Work) -> Iterator[_Trial]:
    """The pin over the middle of its foot, and no higher over it than a foot of that length carries."""
    job, pin, rail = work.job, work.design.pin, work.rail
    foot = work.design.foot.foot
    if not isinstance(rail, Rail) or foot.end_mm is None:
        return
    begin, end = foot.stations
    middle = PLATE_SIZES.down((begin + end) / 2, job.units)
    if not begin <= pin.station_mm <= end:
        what = message("the pin's station of {}, beyond the foot", size(pin.station_mm))
        words = "over the middle of the foot, at station {}, they hold; measure again where the pin is"
        advice = message(words, size(middle))
        yield _Trial(what, advice, (Change("mount.pin_station", size(middle)),), ours=False, misread=True)
    at = complex(min(max(pin.station_mm, begin), end))
    section = rail.section(pin.plane_mm)
    height = section.distance(at)
    carried = (end - begin) / HEIGHTS
    if height > carried:
        offset = PLATE_SIZES.down(pin.inline_offset_mm - (height - carried), job.units)
        what = message("the in-line offset of {}", size(pin.inline_offset_mm))
        words = "at {} they hold; measure again how far the cylinder's line is from the straightedge"
        advice = message(words, size(offset))
        yield _Trial(
            what,
            advice,
            (Change("mount.inline_offset", size(offset)),),
            ours=False,
            misread=height > FAR * (end - begin),
        )


def _asked_for(stopping: Sequence[Finding], key: str, what: Message) -> Iterator[_Trial]:
    """A size made as large as the most demanding of the stops' own cures asks for."""
    asked = [
        change.to.value
        for f in stopping
        if f.cure is not None and len(f.cure.changes) == 1
        for change in f.cure.changes
        if change.key == key and isinstance(change.to, Quantity)
    ]
    if asked and max(asked) <= MOST_PLATE_MM:
        to = size(max(asked))
        yield _Trial(what, message("with {} they hold", to), (Change(key, to),))


def _pressure(job: Job, stopping: Sequence[Finding]) -> Iterator[_Trial]:
    """Less pressure by as much as the worst of what loads the bracket is over its strength."""
    now = job.cylinder.pressure_mpa
    over = [f.ratio for f in stopping if f.of.limit == "strength" and math.isfinite(f.ratio)]
    if over and (least := _on_a_gauge(now / max(over), job.units)) >= LEAST_PRESSURE_MPA:
        what = message("the pressure of {}", oil_mpa(now))
        advice = message("at {} they hold; read the relief valve's setting again", oil_mpa(least))
        yield _Trial(what, advice, (Change("cylinder.pressure", mpa(least)),), ours=False)


def _on_a_gauge(mpa: float, units: Units) -> float:
    """A pressure down to the next 50 psi or 5 bar."""
    step = 50.0 * float(PSI_MPA) if units == "in" else 0.5
    return math.floor(mpa / step) * step
