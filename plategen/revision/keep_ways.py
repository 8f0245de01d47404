"""The ways to reach a new place of the pin with every weld left alone.

Each is tried by making the bracket that it gives and judging it by the new job; it holds only when no check says stop
that did not before, and every welded edge is where it was. A way that cannot serve says why.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

from plategen.bracket.model import Bracket, Hole, Plate
from plategen.checks.judge import judge
from plategen.design.design import Design
from plategen.design.loads import rules_of
from plategen.design.motion import off_line
from plategen.flat.inside import inside
from plategen.flat.loop import Circle
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.revision.compare import REPLACED, compare, fits_old
from plategen.revision.same import SAME_MM
from plategen.work import Work

ROD_END_RAD = math.radians(12.0)
"""Misalignment that nearly every rod end of an inch or metric series allows (makers' catalogues say 12 to 17 degrees,
common practice, no source; the one bought decides)."""


MOST_SHIM_MM = 6.35
"""Packing up to 1/4 in takes nothing off a bolt's shear (AISC 360 J5.2, from memory)."""

_SQUARE = "they move along the pin only, and the pin must move square to it"
_NOT_IN_LINE = "the pin must move otherwise than square to the cylinder's line"


@dataclass(frozen=True, slots=True, kw_only=True)
class Way:
    """One way to keep the welds.

    Args:
        change: What is changed, in a few words.
        holds: True when it reaches the new place and every check.
        told: What to do, or why it does not serve.
        work: The bracket as it then is, for files and checks; None if it cannot be made.
    """

    change: str
    holds: bool
    told: str
    work: Work | None = None


@dataclass(frozen=True, slots=True)
class Move:
    """Where the pin goes, seen from the bracket as it stands: along the cylinder, square to it, along the pin."""

    old: Work
    new: Work
    step: complex
    along_pin_mm: float

    @property
    def stays_square(self) -> bool:
        """True when the pin moves along itself at the most."""
        return abs(self.step) <= SAME_MM

    @property
    def stays(self) -> bool:
        """True when the pin and the eye on it stay as they are."""
        return self.stays_square and abs(self.along_pin_mm) <= SAME_MM and self.same_eye

    @property
    def same_eye(self) -> bool:
        """True when the eye is as wide as before."""
        was, now = self.old.bracket.pin.eye_width_mm, self.new.bracket.pin.eye_width_mm
        return abs(was - now) <= SAME_MM


def _as_it_stands(move: Move) -> Iterator[Way]:
    if move.stays:
        told = "the pin stays where it is; use the bracket as it stands"
        off = [p.name for p in compare(move.old, move.new).plates if p.old and p.old.welded and not p.notch_kept]
        if off and move.old.rail != move.new.rail:
            told += f"; but the rail as now known has another edge under {', '.join(off)}: look at the gaps"
        yield _way(move, "nothing", told, _judged(move, move.old.bracket))


def _spacers(move: Move) -> Iterator[Way]:
    """The eye moved along the pin between the ears, the rest of their room filled."""
    if abs(move.step) > SAME_MM:
        yield Way(change="spacers", holds=False, told=_SQUARE)
        return
    pin, eye = move.old.bracket.pin, move.new.bracket.pin.eye_width_mm
    room = pin.eye_width_mm + 2 * pin.gap_mm
    sides = [(room - eye) / 2 + sign * move.along_pin_mm for sign in (1.0, -1.0)]
    show = Show(move.new.job.units)
    if min(sides) < -SAME_MM:
        told = f"the eye lacks {show.length(-min(sides))} of room between the ears; they are {show.length(room)} apart"
        yield Way(change="spacers", holds=False, told=told)
        return
    u, v, w = pin.centre
    bracket = replace(
        move.old.bracket,
        pin=replace(pin, centre=(u, v, w + move.along_pin_mm), eye_width_mm=eye, gap_mm=max(sides)),
    )
    told = f"spacers of {show.length(sides[0])} below the eye along the pin and {show.length(sides[1])} above it"
    yield _way(move, "spacers", told, _judged(move, bracket))


def _another_hole(move: Move) -> Iterator[Way]:
    """Another hole in the ears as they stand."""
    if move.stays_square:
        yield Way(change="another hole", holds=False, told="the pin moves along itself, which no hole can do")
        return
    if abs(move.along_pin_mm) > SAME_MM:
        told = "the pin moves square to itself and along itself; a hole does the one only"
        yield Way(change="another hole", holds=False, told=told)
        return
    show = Show(move.new.job.units)
    wanted = {hole.bolt_mm: hole for plate in move.new.bracket.plates for hole in plate.holes if hole.name == "pin"}
    plates: list[Plate] = []
    for plate in move.old.bracket.plates:
        pin = next((hole for hole in plate.holes if hole.name == "pin"), None)
        if pin is None:
            plates.append(plate)
            continue
        like = wanted.get(move.new.bracket.pin.diameter_mm, pin)
        hole = replace(like, circle=Circle(pin.circle.centre + move.step, like.circle.radius))
        if not fits_old(hole, plate, plate.outline):
            edge = plate.outline.distance(hole.circle.centre)
            asked = show.length(hole.edge_required_mm)
            why = "too near to the old hole"
            if not inside(plate.outline, hole.circle.centre):
                why = "off the plate"
            elif edge < hole.edge_required_mm:
                why = f"{show.length(edge)} from the edge, where {asked} is asked"
            told = f"{plate.name}: a hole {show.length(abs(move.step))} from the old one would lie {why}"
            yield Way(change="another hole", holds=False, told=told)
            return
        plates.append(replace(plate, holes=tuple(_drilled(plate, pin, hole))))
    centre = move.old.bracket.pin.centre
    moved = (centre[0] + move.step.real, centre[1] + move.step.imag, centre[2])
    pin_moved = replace(move.new.bracket.pin, centre=moved)
    bracket = replace(move.old.bracket, plates=tuple(plates), pin=pin_moved)
    told = (
        f"drill the ears on the machine, {show.length(abs(move.step.real))} along the cylinder and "
        f"{show.length(abs(move.step.imag))} square to it from the old hole"
    )
    yield _way(move, "another hole", told, _judged(move, bracket))


def _drilled(plate: Plate, pin: Hole, hole: Hole) -> Iterator[Hole]:
    """The plate's holes with the new one, the old one open beside it unless it is bored out."""
    bored_out = abs(pin.circle.centre - hole.circle.centre) + pin.circle.radius <= hole.circle.radius + SAME_MM
    yield hole
    yield from (replace(h, name="old pin") if h is pin else h for h in plate.holes if h is not pin or not bored_out)


def _off_line(move: Move) -> Iterator[Way]:
    """The pin left where it is and the cylinder run off its line, as far as the job's rules allow (``skew``)."""
    lies, allowed = _lies_off(move), rules_of(move.new.job).skew_rad
    if lies is not None and lies <= allowed:
        show = Show(move.new.job.units)
        told = f"leave the pin: the cylinder lies {show.angle(lies)} off its line at most, as much as the job allows"
        yield _way(move, "off its line", told, _swung(move, lies))


def _another_rod_end(move: Move) -> Iterator[Way]:
    """The pin left where it is, and rod ends that take the cylinder's angle."""
    lies, show = _lies_off(move), Show(move.new.job.units)
    if lies is None:
        yield Way(change="another rod end", holds=False, told=_NOT_IN_LINE)
    elif lies > ROD_END_RAD:
        told = f"closed, the cylinder would lie {show.angle(lies)} off its line, more than usual rod ends allow"
        yield Way(change="another rod end", holds=False, told=told)
    elif lies > rules_of(move.new.job).skew_rad:
        told = (
            f"leave the pin and take rod ends that allow {show.angle(lies)} or more: it lies that far off "
            "its line when closed, and its side force is checked for that"
        )
        yield _way(move, "another rod end", told, _swung(move, lies))


def _cylinder_limit(move: Move) -> Iterator[Way]:
    """The pin left where it is, and the cylinder kept from closing so far that it lies too far off its line."""
    lies, allowed, show = _lies_off(move), rules_of(move.new.job).skew_rad, Show(move.new.job.units)
    if lies is None:
        yield Way(change="cylinder limit", holds=False, told=_NOT_IN_LINE)
        return
    if lies <= allowed:
        return
    cylinder, off_mm = move.new.job.cylinder, abs(move.step.imag)
    closed, opened = cylinder.closed_length_mm, cylinder.open_length_mm
    shortest = off_mm / math.sin(allowed) if allowed > 0.0 else math.inf
    if shortest >= opened:
        told = f"even wide open the cylinder would lie more than {show.angle(allowed)} off its line"
        yield Way(change="cylinder limit", holds=False, told=told)
        return
    told = (
        f"leave the pin and stop the cylinder from closing under {show.length(shortest)} pin to pin (a collar of "
        f"{show.length(shortest - closed)} on the rod): it lies {show.angle(allowed)} off its line at the most, "
        f"and {show.length(opened - shortest)} of stroke are left"
    )
    yield _way(move, "cylinder limit", told, _swung(move, allowed))


def _lies_off(move: Move) -> float | None:
    """How far the closed cylinder lies off its line with the pin left where it is; None if it must move otherwise."""
    off_mm = abs(move.step.imag)
    if off_mm <= SAME_MM or abs(move.step.real) > SAME_MM or abs(move.along_pin_mm) > SAME_MM:
        return None
    return math.asin(min(1.0, off_mm / move.new.job.cylinder.closed_length_mm))


def _shims(move: Move) -> Iterator[Way]:
    """Bolted ears packed off their tabs, along the pin."""
    old, new, show = move.old.job.split, move.new.job.split, Show(move.new.job.units)
    if old is None or new is None:
        yield Way(change="shims", holds=False, told="the ears are welded, not bolted to tabs; there is nothing to pack")
        return
    if not move.stays_square:
        yield Way(change="shims", holds=False, told=_SQUARE)
        return
    ears = [plate for plate in move.old.bracket.plates if not plate.welded]
    step = {p.name: p.placement.origin[2] for p in move.new.bracket.plates}
    by = [step[ear.name] - ear.placement.origin[2] for ear in ears if ear.name in step]
    if len(by) != 2 or move.old.job.bracket.thickness_mm != move.new.job.bracket.thickness_mm:
        yield Way(change="shims", holds=False, told="the ears are of another thickness")
        return
    packed = [old.shim_mm + by[0], old.shim_mm - by[1]]  # each tab lies outside its ear
    if min(packed) < -SAME_MM:
        told = f"the ears would have to go {show.length(-min(packed))} into their tabs"
        yield Way(change="shims", holds=False, told=told)
        return
    if max(packed) > MOST_SHIM_MM:
        told = f"{show.length(max(packed))} of packing; more than {show.length(MOST_SHIM_MM)} weakens the bolts"
        yield Way(change="shims", holds=False, told=told)
        return
    moved = dict(zip((ear.name for ear in ears), by, strict=True))
    plates = tuple(_along_pin(plate, moved.get(plate.name, 0.0)) for plate in move.old.bracket.plates)
    bracket = replace(move.old.bracket, plates=plates, pin=move.new.bracket.pin)
    near, far = (f"{show.length(thick)} behind {ear.name}" for thick, ear in zip(packed, ears, strict=True))
    told = f"packing of {near} and {far}"
    job = move.new.job.replaced(split=new.replaced(shim_mm=max(0.0, *packed)))
    yield _way(move, "shims", told, _judged(move, bracket, replace(move.new.design, job=job)))


def _along_pin(plate: Plate, by_mm: float) -> Plate:
    u, v, w = plate.placement.origin
    return replace(plate, placement=replace(plate.placement, origin=(u, v, w + by_mm)))


def _another_ear(move: Move) -> Iterator[Way]:
    """Ears that are bolted, cut anew on the tabs that stay."""
    if all(plate.welded for plate in move.new.bracket.plates):
        yield Way(change="another ear", holds=False, told='the ears are welded; only in style "split" they are bolted')
        return
    change = compare(move.old, move.new)
    welded = {plate.name for plate in (*move.old.bracket.plates, *move.new.bracket.plates) if plate.welded}
    lost = [p.name for p in change.plates if p.name in welded and p.kind != "unchanged"]
    ground = [run.name for run in change.runs if run.kind != "kept"]
    if lost or ground:
        yield Way(change="another ear", holds=False, told=f"it would touch what is welded: {', '.join(lost + ground)}")
        return
    cut = [plate.name for plate in change.plates if plate.kind in REPLACED]
    drilled = [plate.name for plate in change.plates if plate.kind in ("drill only", "trim only")]
    told = f"cut again what is bolted: {', '.join(cut)}" if cut else "move what is bolted in its slots or holes"
    if drilled:
        told += f"; drill or trim {', '.join(drilled)}"
    yield _way(move, "another ear", told, move.new)


WAYS: tuple[Callable[[Move], Iterator[Way]], ...] = (
    _as_it_stands, _another_hole, _another_ear, _shims, _spacers, _off_line, _another_rod_end, _cylinder_limit,
)  # fmt: skip
"""The smallest change first."""


def _judged(move: Move, bracket: Bracket, design: Design | None = None) -> Work:
    """The bracket as it stands, with its changes, judged by the new job."""
    design = design or move.new.design
    findings = judge(design.job, bracket, design.motion.cases)
    return replace(move.old, design=design, bracket=bracket, findings=findings)


def _swung(move: Move, swing_rad: float) -> Work:
    """The bracket as it stands with the cylinder swinging about a line that lies so far off."""
    design = move.new.design
    wider = replace(design, motion=off_line(design.job, off_line(design.job, design.motion, swing_rad), -swing_rad))
    return _judged(move, move.old.bracket, wider)


def _way(move: Move, change: str, told: str, work: Work) -> Way:
    """The way, which holds unless a check says stop that did not before."""
    refused = [f for f in work.findings if f.verdict == "stop" and not f.opinion]
    known = {(f.check, f.part) for f in (*move.old.findings, *move.new.findings) if f.verdict == "stop"}
    new_stops = [f"{f.check}, {f.part}" for f in refused if (f.check, f.part) not in known]
    changed = [run for run in compare(move.old, replace(work, rail=move.old.rail)).runs if run.kind != "kept"]
    if change != "another ear" and changed:
        raise Refusal("keeping the welds would move one; this is an error of the program")
    if new_stops:
        return Way(change=change, holds=False, told=f"{told}; but it does not hold: {'; '.join(new_stops)}", work=work)
    return Way(change=change, holds=True, told=told, work=work)
