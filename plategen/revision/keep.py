"""Holding every weld: what can still be done to reach the new place of the pin, the smallest change first.

The bracket stands on the rail as it was welded; the new job puts the pin elsewhere. Each way is the new job with the
bracket as it would then stand, judged like any other; it holds only when nothing stops.
"""

import math
from collections.abc import Callable, Iterator, Set
from dataclasses import dataclass, replace
from typing import TypeAlias

from plategen.bracket.model import Hole, Plate
from plategen.checks.finding import Finding, stops
from plategen.design.motion import off_line, rules_of
from plategen.design.places import PinPlace
from plategen.flat.inside import inside
from plategen.flat.loop import Circle
from plategen.ground.in_words import in_words
from plategen.ground.message import NOTHING, Message, Value, joined, message, mm, rad, size
from plategen.job.revision import Keep
from plategen.make import standing
from plategen.rail.tube import Tube
from plategen.revision.change import REPLACED, SAME_MM, fits_old
from plategen.revision.compare import Comparison, compare
from plategen.revision.way import Move, Way, own_stops
from plategen.steering.vector import array, as_point
from plategen.work import Work

Ways: TypeAlias = tuple[Way, ...]
"""The ways that one idea leads to; none where it has nothing to say."""

MOST_SHIM_MM = 6.35
"""Packing up to 1/4 in takes nothing off a bolt's shear (AISC 360 J5.2, from memory)."""

ROD_END_RAD = math.radians(12.0)
"""Misalignment that nearly every rod end of an inch or metric series allows (makers' catalogues say 12 to 17 degrees,
common practice, no source; the one bought decides)."""

_SQUARE = "they move along the pin only, and the pin must move square to it"


def _no(change: str, why: str, *values: Value) -> Ways:
    """The way that does not serve, and why."""
    return (Way(change=change, advice=message(why, *values)),)


def as_it_stands(move: Move) -> Ways:
    """Nothing done at all, when the pin stays where it is."""
    if not move.stays:
        return ()
    advice = message("the pin stays where it is; use the bracket as it stands")
    off = [in_words(p.name) for p in compare(move.old, move.new).plates if p.old and p.old.welded and not p.notch_kept]
    if off:
        looked = message("but the rail as now known has another edge under {}: look at the gaps", ", ".join(off))
        advice = joined("; ", (advice, looked))
    return (move.way("nothing", advice, move.standing()),)


def another_hole(move: Move) -> Ways:
    """Another hole in the ears as they stand, or the old one bored out for a thicker pin."""
    refused = _no_hole(move)
    if refused:
        return _no("another hole", refused)
    stands = move.standing()
    plates: list[Plate] = []
    for plate in stands.plates:
        old = plate.pin_hole
        if old is None:
            plates.append(plate)
            continue
        hole = _wanted_hole(move, old)
        lies = _lies_wrong(plate, hole)
        if lies:
            words = "{}: a hole {} from the old one would lie {}"
            return _no("another hole", words, in_words(plate.name), mm(abs(move.step)), lies)
        plates.append(replace(plate, holes=tuple(_drilled(plate, old, hole))))
    if move.stays_square:
        advice = message("bore the pin's holes out for a pin of {}", size(stands.pin.diameter_mm))
    else:
        words = "drill the ears on the machine, {} along the cylinder and {} square to it from the old hole"
        advice = message(words, mm(abs(move.step.real)), mm(abs(move.step.imag)))
    return (move.way("another hole", advice, replace(stands, plates=tuple(plates))),)


def _no_hole(move: Move) -> str:
    """Why no hole brings the pin there; empty when one may."""
    if not move.stays_along and not move.stays_square:
        return "the pin moves square to itself and along itself; a hole does the one only"
    if not move.stays_along:
        return "the pin moves along itself, which no hole can do"
    if move.stays_square and move.same_pin:
        return "the pin stays where it is"
    return "" if move.same_eye else "the eye is of another width, which no hole changes"


def _wanted_hole(move: Move, old: Hole) -> Hole:
    """The hole that the new job's pin asks for, at its new place in a plate as it stands."""
    pin = move.new.bracket.pin
    holes = [hole for plate in move.new.bracket.plates for hole in plate.holes if hole.purpose == "pin"]
    like = next((hole for hole in holes if hole.bolt_mm == pin.diameter_mm), old)
    return replace(like, circle=Circle(old.circle.centre + move.step, like.circle.radius))


def _lies_wrong(plate: Plate, hole: Hole) -> Message:
    """Why a hole cannot be made in a plate as it stands; empty when it can."""
    if fits_old(hole, plate, plate.outline):
        return NOTHING
    if not inside(plate.outline, hole.circle.centre):
        return message("off the plate")
    edge_mm = plate.outline.distance(hole.circle.centre)
    if edge_mm < hole.edge_required_mm:
        return message("{} from the edge, where {} is asked", mm(edge_mm), mm(hole.edge_required_mm))
    return message("too near to the old hole")


def _drilled(plate: Plate, old: Hole, hole: Hole) -> Iterator[Hole]:
    """The plate's holes with the new one, the old one open beside it unless it is bored out."""
    bored_out = abs(old.circle.centre - hole.circle.centre) + old.circle.radius <= hole.circle.radius + SAME_MM
    yield hole
    for h in plate.holes:
        if h is not old:
            yield h
        elif not bored_out:
            yield replace(h, name="old pin", purpose="old pin")


def another_ear(move: Move) -> Ways:
    """Ears that are bolted, cut anew on the tabs that stay."""
    if all(plate.welded for plate in move.new.bracket.plates):
        return _no("another ear", 'the ears are welded; only in style "split" they are bolted')
    change = compare(move.old, move.new)
    welded = {plate.name for work in (move.old, move.new) for plate in work.bracket.plates if plate.welded}
    lost = [in_words(p.name) for p in change.plates if p.name in welded and p.kind != "unchanged"]
    lost += [run.name for run in change.runs if run.kind != "kept"]
    if lost:
        return _no("another ear", "it would touch what is welded: {}", ", ".join(lost))
    cut = ", ".join(in_words(plate.name) for plate in change.plates if plate.kind in REPLACED)
    drilled = ", ".join(in_words(plate.name) for plate in change.plates if plate.kind in ("drill only", "trim only"))
    bolted = message("cut again what is bolted: {}", cut)
    advice = bolted if cut else message("move what is bolted in its slots or holes")
    if drilled:
        advice = joined("; ", (advice, message("drill or trim {}", drilled)))
    return (move.judged("another ear", advice, move.new),)


def shims(move: Move) -> Ways:
    """Bolted ears packed off their tabs, along the pin."""
    split = move.old.job.split
    if split is None or move.new.job.split is None:
        return _no("shims", "the ears are welded, not bolted to tabs; there is nothing to pack")
    if not move.stays_square:
        return _no("shims", _SQUARE)
    place = {plate.name: plate.placement.origin[2] for plate in move.new.bracket.plates}
    ears = [plate for plate in move.old.bracket.plates if not plate.welded and plate.name in place]
    by = {ear.name: place[ear.name] - ear.placement.origin[2] for ear in ears}
    if len(by) != 2 or move.old.job.bracket.thickness_mm != move.new.job.bracket.thickness_mm:
        return _no("shims", "the ears are of another thickness")
    near, far = by
    packed = [split.shim_mm + by[near], split.shim_mm - by[far]]  # each tab lies outside its ear
    if min(packed) < -SAME_MM:
        return _no("shims", "the ears would have to go {} into their tabs", mm(-min(packed)))
    if max(packed) > MOST_SHIM_MM:
        words = "{} of packing; more than {} weakens the bolts"
        return _no("shims", words, mm(max(packed)), mm(MOST_SHIM_MM, "down"))
    stands = move.standing()
    plates = tuple(replace(p, placement=p.placement.shifted((0.0, 0.0, by.get(p.name, 0.0)))) for p in stands.plates)
    pin = replace(stands.pin, gap_mm=move.new.bracket.pin.gap_mm)
    advice = message("packing of {} behind {} and {} behind {}", mm(packed[0]), near, mm(packed[1]), far)
    return (move.way("shims", advice, replace(stands, plates=plates, pin=pin)),)


def spacers(move: Move) -> Ways:
    """The eye moved along the pin between the ears, the rest of their room filled."""
    if not move.stays_square:
        return _no("spacers", _SQUARE)
    if not move.same_pin:
        return _no("spacers", "they fill no hole, and the pin is of another size")
    pin, eye_mm = move.old.bracket.pin, move.new.bracket.pin.eye_width_mm
    room_mm = pin.eye_width_mm + 2 * pin.gap_mm
    sides = [(room_mm - eye_mm) / 2 + sign * move.along_pin_mm for sign in (1.0, -1.0)]
    if min(sides) < -SAME_MM:
        words = "the eye lacks {} of room between the ears; they are {} apart"
        return _no("spacers", words, mm(-min(sides)), mm(room_mm))
    advice = message("spacers of {} below the eye along the pin and {} above it", mm(sides[0]), mm(sides[1]))
    return (move.way("spacers", advice, move.standing(gap_mm=max(sides))),)


def pin_left(move: Move) -> Ways:
    """The cylinder off its line: as far as ``skew`` allows, else with rod ends that take it or kept from closing."""
    lies, allowed = _lies_off(move), rules_of(move.new.job).skew_rad
    if lies is None:
        why = "the pin must move otherwise than square to the cylinder's line"
        return _no("another rod end", why) + _no("cylinder limit", why)
    if lies <= allowed:
        words = "leave the pin: the cylinder lies {} off its line at most, as much as the job allows"
        return _left(move, "off its line", message(words, rad(lies)), lies)
    return _another_rod_end(move, lies) + _cylinder_limit(move, allowed)


def _another_rod_end(move: Move, lies: float) -> Ways:
    if lies > ROD_END_RAD:
        words = "closed, the cylinder would lie {} off its line, more than usual rod ends allow"
        return _no("another rod end", words, rad(lies))
    words = (
        "leave the pin and take rod ends that allow {} or more: it lies that far off its line when closed, and its "
        "side force is checked for that"
    )
    return _left(move, "another rod end", message(words, rad(lies)), lies)


def _cylinder_limit(move: Move, allowed: float) -> Ways:
    """The cylinder kept from closing so far that it lies too far off its line."""
    cylinder = move.new.job.cylinder
    closed, opened = cylinder.closed_length_mm, cylinder.open_length_mm
    shortest = abs(move.step.imag) / math.sin(allowed) if allowed > 0.0 else math.inf
    if shortest >= opened:
        return _no("cylinder limit", "even wide open the cylinder would lie more than {} off its line", rad(allowed))
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


def _left(move: Move, change: str, advice: Message, lies_rad: float) -> Ways:
    """The bracket and its pin as they stand, with the cylinder lying off its line when it is closed."""
    pin, design, rail = _pin_left(move), move.new.design, move.new.rail
    if isinstance(rail, Tube):
        rail = replace(rail, axis=complex(rail.axis.real, pin.inline_offset_mm))
    else:
        rail = replace(rail, inline_offset_mm=pin.inline_offset_mm)
    motion = off_line(design.job, design.motion, math.copysign(lies_rad, move.step.imag))
    bracket = replace(move.old.bracket, pin=move.pin_left)
    left = replace(design, pin=pin, motion=motion, base=design.base and move.old.design.base)
    return (move.judged(change, advice, standing(left, rail, bracket)),)


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


WAYS: tuple[Callable[[Move], Ways], ...] = (as_it_stands, another_hole, another_ear, shims, spacers, pin_left)
"""The smallest change first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Kept:
    """The ways that were tried, in order; what stops in the new job itself, made anew; and what else must be cut.

    ``what`` they keep, and ``must_cut`` is empty unless no way can be made or each stops by itself.
    """

    ways: tuple[Way, ...]
    job_stops: tuple[Finding, ...]
    must_cut: tuple[Message, ...] = ()
    what: Keep = "welds"

    @property
    def best(self) -> Way | None:
        """The smallest change that holds."""
        return next((way for way in self.ways if way.holds), None)

    @property
    def best_but_for_the_job(self) -> Way | None:
        """The smallest change of which nothing stops but what stops in the new job itself; None if one holds."""
        return None if self.best else next((w for w in self.ways if w.work and not self.own_stops(w)), None)

    def own_stops(self, way: Way) -> tuple[Finding, ...]:
        """What stops in a way and not, or not as badly, in the new job itself."""
        return () if way.work is None else own_stops(way.work, self.job_stops)


def keep_welds(old: Work, new: Work) -> Kept:
    """What can be done with the bracket as it was welded for the old job, when the new one is wanted."""
    move = Move.between(old, new)
    ways: list[Way] = []
    for way in WAYS:
        ways += way(move)
        if move.stays:
            break  # there is nothing else to do
    kept = Kept(ways=tuple(ways), job_stops=tuple(stops(new.findings)))
    if kept.best or kept.best_but_for_the_job:
        return kept
    return replace(kept, must_cut=tuple(_must_cut(compare(old, new))))


def _must_cut(change: Comparison, of: Set[str] | None = None) -> Iterator[Message]:
    """What is cut, of the plates of these names or of all."""
    for plate in change.plates:
        if plate.kind != "unchanged" and (of is None or plate.name in of):
            why = message(" ({})", plate.why) if plate.why else plate.why
            yield message("{}: {}{}", in_words(plate.name), plate.kind, why)
    for run in change.runs:
        if run.kind != "kept":
            yield message("weld {} of {}: {}", run.name, in_words(run.plate), run.kind)


def welds_lost(old: Work, new: Work) -> tuple[Message, ...]:
    """What is welded and would not stay as it is, a message each; empty when every weld stays."""
    welded = {plate.name for work in (old, new) for plate in work.standing_plates if plate.welded}
    return tuple(_must_cut(compare(old, new), welded))
