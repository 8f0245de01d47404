"""The ways that leave the pin where it is, though the new job wants it elsewhere: the cylinder lies off its line."""

import math
from collections.abc import Iterator
from dataclasses import replace

from plategen.design.motion import off_line, rules_of
from plategen.design.pin_place import PinPlace
from plategen.ground.message import Message, message, mm, rad
from plategen.make import standing
from plategen.rail.tube import Tube
from plategen.revision.change import SAME_MM
from plategen.revision.way import Move, Way
from plategen.steering.vector import array, as_point

ROD_END_RAD = math.radians(12.0)
"""Misalignment that nearly every rod end of an inch or metric series allows (makers' catalogues say 12 to 17 degrees,
common practice, no source; the one bought decides)."""


def pin_left(move: Move) -> Iterator[Way]:
    """The cylinder off its line: as far as ``skew`` allows, else with rod ends that take it or kept from closing."""
    lies, allowed = _lies_off(move), rules_of(move.new.job).skew_rad
    if lies is None:
        for change in ("another rod end", "cylinder limit"):
            yield Way(change=change, advice=message("the pin must move otherwise than square to the cylinder's line"))
    elif lies <= allowed:
        words = "leave the pin: the cylinder lies {} off its line at most, as much as the job allows"
        yield _left(move, "off its line", message(words, rad(lies)), lies)
    else:
        yield _another_rod_end(move, lies)
        yield _cylinder_limit(move, allowed)


def _another_rod_end(move: Move, lies: float) -> Way:
    if lies > ROD_END_RAD:
        words = "closed, the cylinder would lie {} off its line, more than usual rod ends allow"
        return Way(change="another rod end", advice=message(words, rad(lies)))
    words = (
        "leave the pin and take rod ends that allow {} or more: it lies that far off its line when closed, and its "
        "side force is checked for that"
    )
    return _left(move, "another rod end", message(words, rad(lies)), lies)


def _cylinder_limit(move: Move, allowed: float) -> Way:
    """The cylinder kept from closing so far that it lies too far off its line."""
    cylinder = move.new.job.cylinder
    closed, opened = cylinder.closed_length_mm, cylinder.open_length_mm
    shortest = abs(move.step.imag) / math.sin(allowed) if allowed > 0.0 else math.inf
    if shortest >= opened:
        advice = message("even wide open the cylinder would lie more than {} off its line", rad(allowed))
        return Way(change="cylinder limit", advice=advice)
    advice = message(
        "leave the pin and stop the cylinder from closing under {} pin to pin (a collar of {} on the rod): it lies {} "
        "off its line at the most, and {} of stroke are left",
        mm(shortest), mm(shortest - closed), rad(allowed), mm(opened - shortest),
    )  # fmt: skip
    return _left(move, "cylinder limit", advice, allowed)


def _lies_off(move: Move) -> float | None:
    """How far the closed cylinder lies off its line with the pin left, rad; None if the pin must move otherwise."""
    off_mm = abs(move.step.imag)
    if off_mm <= SAME_MM or abs(move.step.real) > SAME_MM or not move.stays_along:
        return None
    return math.asin(min(1.0, off_mm / move.new.job.cylinder.closed_length_mm))


def _left(move: Move, change: str, advice: Message, lies_rad: float) -> Way:
    """The bracket and its pin as they stand, with the cylinder lying off its line when it is closed."""
    pin, design, rail = _pin_left(move), move.new.design, move.new.rail
    if isinstance(rail, Tube):
        rail = replace(rail, axis=complex(rail.axis.real, pin.inline_offset_mm))
    else:
        rail = replace(rail, inline_offset_mm=pin.inline_offset_mm)
    motion = off_line(design.job, design.motion, math.copysign(lies_rad, move.step.imag))
    bracket = replace(move.old.bracket, pin=move.pin_left)
    return move.judged(change, advice, standing(replace(design, pin=pin, motion=motion), rail, bracket))


def _pin_left(move: Move) -> PinPlace:
    """The pin where it stands, though the new job wants it a step away."""
    pin, study, step = move.new.design.pin, move.new.design.study, move.step
    fixed_mm = pin.fixed_mm
    if fixed_mm is not None and study is not None and study.in_line is not None:
        swing = study.in_line.swing
        u, v, w = (array(axis) for axis in (swing.u, swing.v, swing.w))
        fixed_mm = as_point(array(fixed_mm) - step.real * u - step.imag * v - move.along_pin_mm * w)
    return replace(
        pin,
        station_mm=pin.station_mm - step.real,
        inline_offset_mm=pin.inline_offset_mm + step.imag,
        plane_mm=pin.plane_mm - move.along_pin_mm,
        fixed_mm=fixed_mm,
    )
