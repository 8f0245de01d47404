"""The ways that bring the pin to its new place on the bracket as it is welded, the smallest change first."""

from collections.abc import Iterator
from dataclasses import replace

from plategen.bracket.model import Hole, Plate
from plategen.flat.inside import inside
from plategen.flat.loop import Circle
from plategen.ground.message import Message, joined, message, mm, size
from plategen.revision.change import REPLACED, SAME_MM, fits_old
from plategen.revision.compare import compare
from plategen.revision.way import Move, Way

MOST_SHIM_MM = 6.35
"""Packing up to 1/4 in takes nothing off a bolt's shear (AISC 360 J5.2, from memory)."""

_SQUARE = message("they move along the pin only, and the pin must move square to it")


def as_it_stands(move: Move) -> Iterator[Way]:
    """Nothing done at all, when the pin stays where it is."""
    if not move.stays:
        return
    advice = message("the pin stays where it is; use the bracket as it stands")
    off = [p.name for p in compare(move.old, move.new).plates if p.old and p.old.welded and not p.notch_kept]
    if off:
        looked = message("but the rail as now known has another edge under {}: look at the gaps", ", ".join(off))
        advice = joined("; ", (advice, looked))
    yield move.way("nothing", advice, move.standing())


def spacers(move: Move) -> Iterator[Way]:
    """The eye moved along the pin between the ears, the rest of their room filled."""
    if not move.stays_square:
        yield Way(change="spacers", advice=_SQUARE)
        return
    if not move.same_pin:
        yield Way(change="spacers", advice=message("they fill no hole, and the pin is of another size"))
        return
    pin, eye_mm = move.old.bracket.pin, move.new.bracket.pin.eye_width_mm
    room_mm = pin.eye_width_mm + 2 * pin.gap_mm
    sides = [(room_mm - eye_mm) / 2 + sign * move.along_pin_mm for sign in (1.0, -1.0)]
    if min(sides) < -SAME_MM:
        advice = message("the eye lacks {} of room between the ears; they are {} apart", mm(-min(sides)), mm(room_mm))
        yield Way(change="spacers", advice=advice)
        return
    advice = message("spacers of {} below the eye along the pin and {} above it", mm(sides[0]), mm(sides[1]))
    yield move.way("spacers", advice, move.standing(gap_mm=max(sides)))


def another_hole(move: Move) -> Iterator[Way]:
    """Another hole in the ears as they stand, or the old one bored out for a thicker pin."""
    refused = _no_hole(move)
    if refused:
        yield Way(change="another hole", advice=refused)
        return
    standing = move.standing()
    plates: list[Plate] = []
    for plate in standing.plates:
        old = plate.pin_hole
        if old is None:
            plates.append(plate)
            continue
        hole = _wanted_hole(move, old)
        lies = _lies_wrong(plate, hole)
        if lies:
            advice = message("{}: a hole {} from the old one would lie {}", plate.name, mm(abs(move.step)), lies)
            yield Way(change="another hole", advice=advice)
            return
        plates.append(replace(plate, holes=tuple(_drilled(plate, old, hole))))
    advice = (
        message("bore the pin's holes out for a pin of {}", size(standing.pin.diameter_mm))
        if move.stays_square
        else message(
            "drill the ears on the machine, {} along the cylinder and {} square to it from the old hole",
            mm(abs(move.step.real)), mm(abs(move.step.imag)),
        )
    )  # fmt: skip
    yield move.way("another hole", advice, replace(standing, plates=tuple(plates)))


def _no_hole(move: Move) -> Message:
    """Why no hole brings the pin there; empty when one may."""
    if not move.stays_along and not move.stays_square:
        return message("the pin moves square to itself and along itself; a hole does the one only")
    if not move.stays_along:
        return message("the pin moves along itself, which no hole can do")
    if move.stays_square and move.same_pin:
        return message("the pin stays where it is")
    if not move.same_eye:
        return message("the eye is of another width, which no hole changes")
    return message("")


def _wanted_hole(move: Move, old: Hole) -> Hole:
    """The hole that the new job's pin asks for, at its new place in a plate as it stands."""
    diameter_mm = move.new.bracket.pin.diameter_mm
    holes = [hole for plate in move.new.bracket.plates for hole in plate.holes if hole.purpose == "pin"]
    like = next((hole for hole in holes if hole.bolt_mm == diameter_mm), old)
    return replace(like, circle=Circle(old.circle.centre + move.step, like.circle.radius))


def _lies_wrong(plate: Plate, hole: Hole) -> Message:
    """Why a hole cannot be made in a plate as it stands; empty when it can."""
    if fits_old(hole, plate, plate.outline):
        return message("")
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


def shims(move: Move) -> Iterator[Way]:
    """Bolted ears packed off their tabs, along the pin."""
    split = move.old.job.split
    if split is None or move.new.job.split is None:
        advice = message("the ears are welded, not bolted to tabs; there is nothing to pack")
        yield Way(change="shims", advice=advice)
        return
    if not move.stays_square:
        yield Way(change="shims", advice=_SQUARE)
        return
    place = {plate.name: plate.placement.origin[2] for plate in move.new.bracket.plates}
    by = {
        ear.name: place[ear.name] - ear.placement.origin[2]
        for ear in move.old.bracket.plates
        if not ear.welded and ear.name in place
    }
    if len(by) != 2 or move.old.job.bracket.thickness_mm != move.new.job.bracket.thickness_mm:
        yield Way(change="shims", advice=message("the ears are of another thickness"))
        return
    near, far = by
    packed = [split.shim_mm + by[near], split.shim_mm - by[far]]  # each tab lies outside its ear
    if min(packed) < -SAME_MM:
        yield Way(change="shims", advice=message("the ears would have to go {} into their tabs", mm(-min(packed))))
        return
    if max(packed) > MOST_SHIM_MM:
        advice = message("{} of packing; more than {} weakens the bolts", mm(max(packed)), mm(MOST_SHIM_MM, "down"))
        yield Way(change="shims", advice=advice)
        return
    standing = move.standing()
    plates = tuple(_along_pin(plate, by.get(plate.name, 0.0)) for plate in standing.plates)
    pin = replace(standing.pin, gap_mm=move.new.bracket.pin.gap_mm)
    advice = message("packing of {} behind {} and {} behind {}", mm(packed[0]), near, mm(packed[1]), far)
    yield move.way("shims", advice, replace(standing, plates=plates, pin=pin))


def _along_pin(plate: Plate, by_mm: float) -> Plate:
    u, v, w = plate.placement.origin
    return replace(plate, placement=replace(plate.placement, origin=(u, v, w + by_mm)))


def another_ear(move: Move) -> Iterator[Way]:
    """Ears that are bolted, cut anew on the tabs that stay."""
    if all(plate.welded for plate in move.new.bracket.plates):
        advice = message('the ears are welded; only in style "split" they are bolted')
        yield Way(change="another ear", advice=advice)
        return
    change = compare(move.old, move.new)
    welded = {plate.name for plate in (*move.old.bracket.plates, *move.new.bracket.plates) if plate.welded}
    lost = [p.name for p in change.plates if p.name in welded and p.kind != "unchanged"]
    lost += [run.name for run in change.runs if run.kind != "kept"]
    if lost:
        advice = message("it would touch what is welded: {}", ", ".join(lost))
        yield Way(change="another ear", advice=advice)
        return
    cut = [plate.name for plate in change.plates if plate.kind in REPLACED]
    drilled = [plate.name for plate in change.plates if plate.kind in ("drill only", "trim only")]
    advice = (
        message("cut again what is bolted: {}", ", ".join(cut))
        if cut
        else message("move what is bolted in its slots or holes")
    )
    if drilled:
        advice = joined("; ", (advice, message("drill or trim {}", ", ".join(drilled))))
    yield move.judged("another ear", advice, move.new)
