"""The ways that leave the pin where it is, though the new job wants it elsewhere: the cylinder lies off its line."""

import math
from collections.abc import Iterator
from dataclasses import replace

from plategen.design.loads import rules_of
from plategen.ground.message import Message, message, mm, rad
from plategen.job import Job
from plategen.make import standing
from plategen.rail.tube import Surface, Tube
from plategen.revision.same import SAME_MM
from plategen.revision.way import Move, Way
from plategen.steering.study import SteeringStudy
from plategen.steering.vector import array, as_point

ROD_END_RAD = math.radians(12.0)
"""Misalignment that nearly every rod end of an inch or metric series allows (makers' catalogues say 12 to 17 degrees,
common practice, no source; the one bought decides)."""

_NOT_IN_LINE = message("the pin must move otherwise than square to the cylinder's line")


def off_its_line(move: Move) -> Iterator[Way]:
    """The cylinder run off its line, as far as the job's rules allow (``skew``)."""
    lies, allowed = lies_off(move), rules_of(move.new.job).skew_rad
    if lies is not None and lies <= allowed:
        advice = message(
            "leave the pin: the cylinder lies {} off its line at most, as much as the job allows", rad(lies)
        )
        yield _left(move, "off its line", advice, lies)


def another_rod_end(move: Move) -> Iterator[Way]:
    """Rod ends that take the cylinder's angle."""
    lies = lies_off(move)
    if lies is None:
        yield Way(change="another rod end", advice=_NOT_IN_LINE)
    elif lies > ROD_END_RAD:
        yield Way(
            change="another rod end",
            advice=message("closed, the cylinder would lie {} off its line, more than usual rod ends allow", rad(lies)),
        )
    elif lies > rules_of(move.new.job).skew_rad:
        advice = message(
            "leave the pin and take rod ends that allow {} or more: it lies that far off its line when closed, and its "
            "side force is checked for that",
            rad(lies),
        )
        yield _left(move, "another rod end", advice, lies)


def cylinder_limit(move: Move) -> Iterator[Way]:
    """The cylinder kept from closing so far that it lies too far off its line."""
    lies, allowed = lies_off(move), rules_of(move.new.job).skew_rad
    if lies is None:
        yield Way(change="cylinder limit", advice=_NOT_IN_LINE)
        return
    if lies <= allowed:
        return
    cylinder = move.new.job.cylinder
    closed, opened = cylinder.closed_length_mm, cylinder.open_length_mm
    shortest = abs(move.step.imag) / math.sin(allowed) if allowed > 0.0 else math.inf
    if shortest >= opened:
        advice = message("even wide open the cylinder would lie more than {} off its line", rad(allowed))
        yield Way(change="cylinder limit", advice=advice)
        return
    advice = message(
        "leave the pin and stop the cylinder from closing under {} pin to pin (a collar of {} on the rod): it lies {} "
        "off its line at the most, and {} of stroke are left",
        mm(shortest), mm(shortest - closed), rad(allowed), mm(opened - shortest),
    )  # fmt: skip
    yield _left(move, "cylinder limit", advice, allowed)


def lies_off(move: Move) -> float | None:
    """How far the closed cylinder lies off its line with the pin left, rad; None if the pin must move otherwise."""
    off_mm = abs(move.step.imag)
    if off_mm <= SAME_MM or abs(move.step.real) > SAME_MM or not move.stays_along:
        return None
    return math.asin(min(1.0, off_mm / move.new.job.cylinder.closed_length_mm))


def _left(move: Move, change: str, advice: Message, lies_rad: float) -> Way:
    """The bracket and its pin as they stand, with the cylinder lying off its line when it is closed."""
    job, inline_mm = _job_with_pin_left(move), move.new.job.mount.inline_offset_mm + move.step.imag
    bracket = replace(move.old.bracket, pin=move.pin_left)
    rail, off_line_rad = _at_offset(move.new.rail, inline_mm), math.copysign(lies_rad, move.step.imag)
    return move.judged(change, advice, standing(job, rail, bracket, move.new.steering, off_line_rad=off_line_rad))


def _job_with_pin_left(move: Move) -> Job:
    """The new job, asking for the pin where it stands."""
    job, step, study = move.new.job, move.step, move.new.steering
    mount = job.mount.replaced(
        pin_station_mm=job.mount.pin_station_mm - step.real,
        inline_offset_mm=job.mount.inline_offset_mm + step.imag,
    )
    plane_mm = job.bracket.plane_mm - move.along_pin_mm
    job = job.replaced(mount=mount, bracket=job.bracket.replaced(plane_mm=plane_mm))
    return _drawn_where_it_is_left(job, study, (step.real, step.imag, move.along_pin_mm))


def _drawn_where_it_is_left(job: Job, study: SteeringStudy | None, step: tuple[float, float, float]) -> Job:
    """The job with its drawn fixed pin brought back by a step of the plate frame."""
    steering = job.steering
    if steering is None or steering.cylinder_mount is None or study is None or study.in_line is None:
        return job
    swing, mount = study.in_line.swing, steering.cylinder_mount
    u, v, w = (array(axis) for axis in (swing.u, swing.v, swing.w))
    fixed = array(mount.fixed_pin_mm) - step[0] * u - step[1] * v - step[2] * w
    return job.replaced(steering=steering.replaced(cylinder_mount=mount.replaced(fixed_pin_mm=as_point(fixed))))


def _at_offset(rail: Surface, inline_offset_mm: float) -> Surface:
    """The rail, or tube, at another in-line offset."""
    if isinstance(rail, Tube):
        return replace(rail, axis=complex(rail.axis.real, inline_offset_mm))
    return replace(rail, inline_offset_mm=inline_offset_mm)
