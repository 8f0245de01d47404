"""What becomes of each plate and each weld run from one revision to the next, and when two of a thing are the same.

What is welded is compared where it lies on the rail, in the straightedge's frame: moving the cylinder in line moves the
pin, not the notch.
"""

import math
from collections.abc import Iterator, Set
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Literal, TypeAlias

from plategen.bracket.model import Hole, Plate, WeldRun
from plategen.bracket.unfold import cut_of
from plategen.flat.chain import Chain
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.placement import Placement
from plategen.flat.segment import Segment
from plategen.ground.message import NOTHING, Message, message, mm
from plategen.ground.space import Vector, dot, minus
from plategen.rules.bead import minutes
from plategen.work import Work

SAME_MM = 0.05
"""Outlines, holes and runs that differ by less are the same: a tenth of a good cut's own scatter."""

WEB_OVER_HOLE = 0.5
"""Least web between an old hole that stays open and a new one, in diameters of the new (common practice, no source)."""

PlateKind: TypeAlias = Literal["unchanged", "drill only", "trim only", "cut again", "new", "gone"]
"""What becomes of a plate."""

REPLACED = ("cut again", "new", "gone")
"""Kinds of plates whose welds cannot stay."""

GRIND_MM_PER_MIN = 12.0
"""Grinding out a 6 mm fillet by hand (common practice, no source); it goes with the square of the leg."""

RunKind: TypeAlias = Literal["kept", "built up", "lengthened", "ground out and redone", "new", "ground out"]
"""What becomes of a run."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateChange:
    """One plate: what is done to it, why, and whether its notch stays; outlines on the rail, old and new."""

    name: str
    kind: PlateKind
    why: Message
    notch_kept: bool
    holes: tuple[tuple[str, float], ...]
    old: Plate | None
    new: Plate | None
    old_shift: complex
    new_shift: complex


def ends(old: Work, new: Work) -> tuple[tuple[Work | None, Work | None], ...]:
    """The two brackets on the frame, and the two seats at the rod's end where either job has one."""
    seats = old.rod_end, new.rod_end
    return ((old, new),) if seats == (None, None) else ((old, new), seats)


def plate_changes(old: Work | None, new: Work | None) -> Iterator[PlateChange]:
    """What becomes of each plate of either end; None where a job has no such end."""
    was_at, now_at = on_rail(old), on_rail(new)
    before, after = ({plate.name: plate for plate in cut_of(work.bracket)} if work else {} for work in (old, new))
    for name in dict.fromkeys((*before, *after)):
        was, now = before.get(name), after.get(name)
        kind: PlateKind = "new" if was is None else "gone"
        why = message("not there before" if was is None else "no longer there")
        notch_kept = False
        holes: tuple[tuple[str, float], ...] = ()
        if was is not None and now is not None:
            moved = _moved(now, _step(was, now, now_at - was_at))
            if was.notch is not None and moved.notch is not None and _same_place(was, now):
                notch_kept = same_run(was.notch.segments, moved.notch.segments)
            kind, why = _plate_kind(was, moved, notch_kept=notch_kept)
            at = {hole.name: hole.circle.centre for hole in was.holes}
            moves = ((h.name, abs(h.circle.centre - at.get(h.name, h.circle.centre))) for h in moved.holes)
            holes = tuple((hole, far_mm) for hole, far_mm in moves if far_mm > SAME_MM)
        yield PlateChange(
            name=name, kind=kind, why=why, notch_kept=notch_kept, holes=holes, old=was, new=now,
            old_shift=was_at, new_shift=now_at,
        )  # fmt: skip


def _plate_kind(was: Plate, now: Plate, *, notch_kept: bool) -> tuple[PlateKind, Message]:
    """What becomes of a plate that both jobs have, the new one carried to where the old one lies."""
    if was.steel != now.steel or abs(was.thickness_mm - now.thickness_mm) > SAME_MM:
        return "cut again", message("another steel or thickness")
    if not _same_place(was, now):
        return "cut again", message("it stands elsewhere along the pin")
    if was.role == "formed" and not _same_marks(was, now):
        return "cut again", message("its bends lie elsewhere")
    same_outline = same_run(was.outline.segments, now.outline.segments)
    if same_outline and _same_holes(was, now):
        return "unchanged", NOTHING
    unfit = _unfit(now, was, was.outline)
    if unfit is None and (same_outline or notch_kept):
        return "drill only", message("the outline stays" if same_outline else "the outline stays; only the hole is new")
    if not same_outline:
        points = points_along(now.outline.segments)
        beyond_mm = max((was.outline.distance(p) for p in points if not inside(was.outline, p)), default=0.0)
        if beyond_mm > SAME_MM:
            return "cut again", message("the new outline reaches up to {} beyond the old", mm(beyond_mm, "up"))
        unfit = _unfit(now, was, now.outline)
    if unfit is not None:
        return "cut again", message("the {} hole comes too near to an edge or to an old hole", unfit.name)
    return "trim only", message("the new outline lies within the old one")


def _unfit(now: Plate, was: Plate, outline: Loop) -> Hole | None:
    """The first new hole that cannot be made in the old plate, with its old holes open."""
    return next((hole for hole in now.holes if not fits_old(hole, was, outline)), None)


def fits_old(hole: Hole, was: Plate, outline: Loop) -> bool:
    """True when a hole can be made in an old plate whose own holes stay: edge distance, and web or bored out."""
    centre, radius = hole.circle.centre, hole.circle.radius
    if not inside(outline, centre) or outline.distance(centre) < hole.edge_required_mm - SAME_MM:
        return False
    for old in was.holes:
        apart = abs(centre - old.circle.centre)
        within = apart + old.circle.radius <= radius + SAME_MM  # it is bored out
        if not within and apart < radius + old.circle.radius + WEB_OVER_HOLE * 2 * radius:
            return False
    return True


def _moved(plate: Plate, shift: complex) -> Plate:
    return replace(
        plate,
        outline=plate.outline.moved(shift=shift),
        holes=tuple(replace(hole, circle=hole.circle.moved(shift=shift)) for hole in plate.holes),
        openings=tuple(o.moved(shift=shift) for o in plate.openings),
        notch=plate.notch.moved(shift=shift) if plate.notch else None,
    )


def _across(placement: Placement) -> bool:
    """True when a plane lies square to the pin, its frame turned as the plate frame is."""
    return (placement.u, placement.v) == ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0))


def _step(was: Plate, now: Plate, step: complex) -> complex:
    """What carries the new plate's own frame into the old one's, the rail standing still.

    A plate that lies otherwise than across the pin, or is only bolted and can be moved, is compared in its own frame.
    """
    a, b = was.placement, now.placement
    if not (_across(a) and _across(b) and now.welded):
        return 0j
    return step + complex(b.origin[0] - a.origin[0], b.origin[1] - a.origin[1])


def _same_place(was: Plate, now: Plate) -> bool:
    """True when both lie in one plane, whichever way the frames run in it."""
    a, b = was.placement, now.placement
    if _across(a) and _across(b):
        return abs(a.origin[2] - b.origin[2]) <= SAME_MM
    return sum(abs(x - y) for x, y in zip(a.normal, b.normal, strict=True)) < 1e-6


def _same_marks(was: Plate, now: Plate) -> bool:
    """True when what is scribed on both is the same, line by line."""
    pairs = zip(was.marks, now.marks, strict=False)
    return len(was.marks) == len(now.marks) and all(same_run(a.path.segments, b.path.segments) for a, b in pairs)


def _same_holes(was: Plate, now: Plate) -> bool:
    """True when all holes and openings are the same, made alike, in the same order."""
    these: list[Contour] = [*(hole.circle for hole in was.holes), *was.openings]
    others: list[Contour] = [*(hole.circle for hole in now.holes), *now.openings]
    made_alike = [hole.made for hole in was.holes] == [hole.made for hole in now.holes]
    return made_alike and len(these) == len(others) and all(map(same_contour, these, others))


@dataclass(frozen=True, slots=True, kw_only=True)
class RunChange:
    """One weld run: what is done to it, how long it is now, how much is ground out and laid, and the time for both."""

    name: str
    plate: str
    kind: RunKind
    length_mm: float
    ground_mm: float
    laid_mm: float
    minutes: float
    grinding_minutes: float  # Of those, the ones spent on grinding out.


def run_changes(old: Work | None, new: Work | None, replaced: Set[str]) -> Iterator[RunChange]:
    """What is done to each run; those of plates that are ``replaced`` (cut again, new or gone) cannot stay."""
    was_at, now_at = on_rail(old), on_rail(new)
    before, after = (_by_place(work) if work else {} for work in (old, new))
    for key in dict.fromkeys((*before, *after)):
        was, now = before.get(key), after.get(key)
        yield _run(was, now, was_at, now_at, replaced=bool(replaced & {key[0], key[1]}))


def _by_place(work: Work) -> dict[tuple[str, str, str, int], WeldRun]:
    """The runs by plate, what it is held to, side, and which of several it is there: a pad has two on one side."""
    found: dict[tuple[str, str, str, int], WeldRun] = {}
    for run in work.bracket.welds:
        place = run.plate, run.other, run.side
        found[(*place, sum(key[:3] == place for key in found))] = run
    return found


def _run(was: WeldRun | None, now: WeldRun | None, was_at: complex, now_at: complex, *, replaced: bool) -> RunChange:
    if now is None:
        assert was is not None  # one of the two is there
        return _change(was, "ground out", ground_mm=was.length_mm)
    if was is None:
        return _change(now, "new", laid_mm=now.length_mm)
    if replaced or not _along(was, now, now_at - was_at):
        return _change(
            now, "ground out and redone", ground_mm=was.length_mm, laid_mm=now.length_mm, ground_leg_mm=was.leg_mm
        )
    if not _along(now, was, was_at - now_at):
        return _change(now, "lengthened", laid_mm=max(0.0, now.length_mm - was.length_mm))
    if now.leg_mm > was.leg_mm + SAME_MM:
        return _change(now, "built up", laid_mm=now.length_mm * (1.0 - (was.leg_mm / now.leg_mm) ** 2))
    return _change(now, "kept")


def _change(
    run: WeldRun, kind: RunKind, *, ground_mm: float = 0.0, laid_mm: float = 0.0, ground_leg_mm: float | None = None
) -> RunChange:
    grinding = ground_mm * ((ground_leg_mm or run.leg_mm) / 6.0) ** 2 / GRIND_MM_PER_MIN
    return RunChange(
        name=run.name, plate=run.plate, kind=kind, length_mm=run.length_mm, ground_mm=ground_mm, laid_mm=laid_mm,
        minutes=grinding + minutes(run.laid_leg_mm, laid_mm), grinding_minutes=grinding,
    )  # fmt: skip


def _along(run: WeldRun, other: WeldRun, other_shift: complex) -> bool:
    """True when a run lies along another, which is shifted first, and nowhere off it."""
    a, b = run.placement, other.placement.shifted((other_shift.real, other_shift.imag, 0.0))
    if _across(a) and _across(b):
        near = abs(a.origin[2] - b.origin[2]) <= SAME_MM
        step = complex(b.origin[0] - a.origin[0], b.origin[1] - a.origin[1])
        return near and runs_along(run.path.segments, other.path.moved(shift=step).segments)
    line = list(pairwise(_in_space(other.path, b, 400)))
    return all(min(_to_piece(p, *piece) for piece in line) <= 2 * SAME_MM for p in _in_space(run.path, a, 24))


def _in_space(path: Chain, placement: Placement, count: int) -> list[Vector]:
    return [placement.point(path.point(path.length * i / count)) for i in range(count + 1)]


def _to_piece(p: Vector, a: Vector, b: Vector) -> float:
    """How far a point lies from the straight piece between two."""
    along, away = minus(b, a), minus(p, a)
    t = min(1.0, max(0.0, dot(along, away) / (dot(along, along) or 1e-30)))
    return math.dist(away, [t * x for x in along])


def on_rail(work: Work | None) -> complex:
    """What carries the plate frame into the straightedge's, where the rail stands still."""
    return 0j if work is None else complex(0.0, -work.rail.inline_offset_mm)


def same_run(a: tuple[Segment, ...], b: tuple[Segment, ...]) -> bool:
    """True when no point of either lies off the other."""
    return runs_along(a, b) and runs_along(b, a)


def same_contour(a: Contour, b: Contour) -> bool:
    """True when two holes or openings are the same: circles by their middle and diameter."""
    if isinstance(a, Circle) and isinstance(b, Circle):
        return abs(a.centre - b.centre) <= SAME_MM and abs(a.radius - b.radius) <= SAME_MM / 2
    return same_run(a.segments, b.segments)


def runs_along(these: tuple[Segment, ...], others: tuple[Segment, ...]) -> bool:
    """True when these edges run along the others, and nowhere off them."""
    there = [s for s in others if s.start != s.end]
    return all(min(abs(s.point(s.nearest(p)) - p) for s in there) <= SAME_MM for p in points_along(these))


def points_along(segments: tuple[Segment, ...]) -> list[complex]:
    """Nine points of every edge, its ends among them."""
    return [segment.point(i / 8) for segment in segments for i in range(9)]
