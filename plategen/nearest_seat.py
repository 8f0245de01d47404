"""What would build a seat whose tabs reach further beside its tube than the tube, or any pad on it, carries.

No one size is wrong there: the tabs may be thinner, their beads smaller, the pad thicker, or a clamp may take the pad's
place. Each way is tried, in growing steps, with the pad's width put right where that is all that is then missing.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import TypeAlias

from plategen.design.motion import tables_of
from plategen.design.on_tube import LEAST_TAB_MM
from plategen.ground.cure import Change, Cure
from plategen.ground.message import Message, joined, message, size
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PART_SIZES
from plategen.job import Job
from plategen.job.change import changed
from plategen.job.style_tables import Clamp, Pad, Seat
from plategen.rules.hole_size import made_bolts_mm
from plategen.rules.weld import least_leg_mm

KEYS = ("seat.pad.width", "seat.axis")
"""The keys that such a refusal names."""

MOST_PAD_MM = 25.4
"""A pad is asked to be no thicker."""

LEAST_CLAMP_BOLT_MM, PLATE_OVER_BOLT = 12.0, 1.5
"""A clamp is tried with bolts from this size on, and plates so many times as thick (common practice, no source)."""

Builds: TypeAlias = Callable[[Job], object]
"""Builds the bracket of a job, or refuses."""


@dataclass(frozen=True, slots=True)
class _Way:
    """A job that builds: what of it is other, in words, and the keys, where keys alone do it."""

    advice: Message
    job: Job
    changes: tuple[Change, ...] = ()
    with_width: str = "{} with a pad {} wide"  # How the pad's width is said where it is other too.


def with_seat_ways(refusal: Refusal, job: Job, builds: Builds) -> Refusal:
    """The refusal of a seat with every way that was found to build, and the first that keys alone make as its cure.

    Args:
        refusal: Of the job, at one of :data:`KEYS`; its words end with the advice of a cure that knows no amounts.
        job: The job, with a seat.
        builds: Builds the bracket of a changed job, or refuses.
    """
    seat, plain = job.seat, refusal.cure
    if seat is None or plain is None or refusal.message.values[-1] != plain.advice:
        return refusal
    kinds = (_tabs(job), _legs(job), _pads(job, seat), _eyes(job, refusal), _on_axis(job, seat), _clamps(job, seat))
    found = [way for kind in kinds if (way := _first(kind, builds)) is not None]
    if not found and (larger := _first(_tubes(job, seat), builds)) is not None:
        found = [larger]
    if not found:
        return refusal
    tried = joined(", or ", (way.advice for way in found))
    told = Message(refusal.message.template, (*refusal.message.values[:-1], tried))
    by_keys = next((way for way in found if way.changes), None)
    cure = Cure(by_keys.advice, by_keys.changes) if by_keys else Cure(tried)
    return Refusal(told, refusal.key, place=refusal.place, cure=cure, units=refusal.units)


def _first(ways: Iterator[_Way], builds: Builds) -> _Way | None:
    return next((built for way in ways if (built := _built(way, builds)) is not None), None)


def _built(way: _Way, builds: Builds) -> _Way | None:
    """The way if it builds, if need be with the pad's width that its own refusal knows to be right."""
    try:
        builds(way.job)
    except Refusal as refusal:
        cure = refusal.cure
        if cure is None or refusal.key != "seat.pad.width":
            return None
        changes = (*way.changes, *cure.changes) if way.changes else ()
        wider = replace(way, job=changed(way.job, cure.changes), changes=changes)
        try:
            builds(wider.job)
        except Refusal:
            return None
        way = wider
        seat = way.job.seat
        assert seat is not None
        assert seat.pad is not None, "its width was refused"
        way = replace(way, advice=message(way.with_width, way.advice, size(seat.pad.width_mm)))
    return way


def _set(job: Job, key: str, to_mm: float, words: str) -> _Way:
    change = Change(key, size(to_mm))
    return _Way(message(words, change.to), changed(job, (change,)), (change,))  # type: ignore[arg-type]


def _tabs(job: Job) -> Iterator[_Way]:
    for mm in PART_SIZES.below(job.bracket.thickness_mm, job.units, LEAST_TAB_MM):
        yield _set(job, "bracket.thickness", mm, "tabs {} thick")


def _legs(job: Job) -> Iterator[_Way]:
    least_mm, _ = least_leg_mm(job.bracket.thickness_mm, tables_of(job))
    for mm in PART_SIZES.below(job.weld.leg_mm, job.units, least_mm):
        yield _set(job, "weld.leg", mm, "a leg of {}")


def _pads(job: Job, seat: Seat) -> Iterator[_Way]:
    if seat.hold == "clamp":
        return
    if seat.pad is not None:
        for mm in PART_SIZES.above(seat.pad.thickness_mm, job.units, MOST_PAD_MM):
            thicker = _set(job, "seat.pad.thickness", mm, "a pad {} thick")
            yield replace(thicker, with_width="{} and {} wide")
        return
    for mm in PART_SIZES.above(LEAST_TAB_MM, job.units, MOST_PAD_MM):
        pad = Pad(thickness_mm=mm, width_mm=seat.across_mm)
        words = message("[seat.pad] with a thickness of {}", size(mm))
        yield _Way(words, job.replaced(seat=seat.replaced(pad=pad)), with_width="{} and a width of {}")


def _eyes(job: Job, refusal: Refusal) -> Iterator[_Way]:
    """A narrower eye, where the tabs miss the tube itself; it is another cylinder's, so no key of this job."""
    if refusal.key != "seat.axis":
        return
    cylinder = job.cylinder
    for mm in PART_SIZES.below(cylinder.base.eye_width_mm, job.units, cylinder.base.eye_width_mm / 2):
        narrower = cylinder.replaced(base=cylinder.base.replaced(eye_width_mm=mm))
        yield _Way(message("an eye {} wide", size(mm)), job.replaced(cylinder=narrower))


def _on_axis(job: Job, seat: Seat) -> Iterator[_Way]:
    if seat.axis_mm is not None and seat.along == "cylinder":
        yield _Way(
            message("the tube midway between the tabs, without `axis`"), job.replaced(seat=seat.replaced(axis_mm=None))
        )


def _clamps(job: Job, seat: Seat) -> Iterator[_Way]:
    if seat.hold == "clamp":
        return
    for bolt_mm in made_bolts_mm(job.units):
        if bolt_mm < LEAST_CLAMP_BOLT_MM:
            continue
        clamp = Clamp(bolt_mm=bolt_mm, thickness_mm=PART_SIZES.up(PLATE_OVER_BOLT * bolt_mm, job.units))
        words = 'hold = "clamp" with bolts of {} and plates {} thick' + (" in place of the pad" if seat.pad else "")
        yield _Way(
            message(words, size(clamp.bolt_mm), size(clamp.thickness_mm)),
            job.replaced(seat=seat.replaced(hold="clamp", pad=None, clamp=clamp)),
        )


def _tubes(job: Job, seat: Seat) -> Iterator[_Way]:
    for mm in PART_SIZES.above(seat.across_mm, job.units, 3.0 * seat.across_mm):
        yield _set(job, "seat.across", mm, "a tube {} across")
