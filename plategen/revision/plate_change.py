"""What becomes of a plate from one revision to the next: unchanged, drilled, trimmed, cut again, new or gone.

What is welded is compared where it lies on the rail, in the straightedge's frame: moving the cylinder in line moves the
pin, not the notch.
"""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from plategen.bracket.model import Hole, Plate
from plategen.flat.inside import inside
from plategen.flat.loop import Loop
from plategen.ground.message import NOTHING, Message, message, mm
from plategen.revision.same import SAME_MM, on_rail, points_along, same_run
from plategen.work import Work

WEB_OVER_HOLE = 0.5
"""Least web between an old hole that stays open and a new one, in diameters of the new (common practice, no source)."""

PlateKind: TypeAlias = Literal["unchanged", "drill only", "trim only", "cut again", "new", "gone"]
"""What becomes of a plate."""

REPLACED = ("cut again", "new", "gone")
"""Kinds of plates whose welds cannot stay."""


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


def plate_changes(old: Work, new: Work) -> Iterator[PlateChange]:
    """What becomes of each plate of either job."""
    before, after = ({plate.name: plate for plate in work.bracket.plates} for work in (old, new))
    for name in dict.fromkeys((*before, *after)):
        was, now = before.get(name), after.get(name)
        kind, why = _plate_kind(was, now, on_rail(old), on_rail(new))
        yield PlateChange(
            name=name, kind=kind, why=why, notch_kept=_notch_kept(was, now, on_rail(old), on_rail(new)),
            holes=tuple(_holes_moved(was, now, on_rail(new) - on_rail(old))),
            old=was, new=now, old_shift=on_rail(old), new_shift=on_rail(new),
        )  # fmt: skip


def _plate_kind(was: Plate | None, now: Plate | None, was_at: complex, now_at: complex) -> tuple[PlateKind, Message]:
    if was is None or now is None:
        return ("new", message("not there before")) if was is None else ("gone", message("no longer there"))
    if was.steel != now.steel or abs(was.thickness_mm - now.thickness_mm) > SAME_MM:
        return "cut again", message("another steel or thickness")
    if not _same_place(was, now):
        return "cut again", message("it stands elsewhere along the pin")
    moved = _moved(now, _step(was, now, now_at - was_at))
    same_holes = _same_holes(was, moved) and _same_openings(was, moved)
    if same_run(was.outline.segments, moved.outline.segments):
        if same_holes:
            return "unchanged", NOTHING
        return _drilled(was, moved, was.outline, message("the outline stays"))
    if all(fits_old(hole, was, was.outline) for hole in moved.holes) and _notch_kept(was, now, was_at, now_at):
        kind, why = _drilled(was, moved, was.outline, message("the old outline serves the new hole"))
        if kind == "drill only":
            return kind, why
    if _covers(was.outline, moved.outline):
        kind, why = _drilled(was, moved, moved.outline, NOTHING)
        if kind != "cut again":
            return "trim only", message("the new outline lies within the old one")
        return kind, why
    beyond_mm = _outside_mm(was.outline, moved.outline)
    return "cut again", message("the new outline reaches up to {} beyond the old", mm(beyond_mm))


def _drilled(was: Plate, moved: Plate, outline: Loop, why: Message) -> tuple[PlateKind, Message]:
    """Whether the new holes can be made in the old plate, with its old holes open."""
    for hole in moved.holes:
        if not fits_old(hole, was, outline):
            return "cut again", message("the {} hole comes too near to an edge or to an old hole", hole.name)
    return "drill only", why


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


def _notch_kept(was: Plate | None, now: Plate | None, was_at: complex, now_at: complex) -> bool:
    """True when the edge that meets the rail lies where it lay, on the rail."""
    if was is None or now is None or was.notch is None or now.notch is None:
        return False
    return _same_place(was, now) and same_run(
        was.notch.segments, now.notch.moved(shift=_step(was, now, now_at - was_at)).segments
    )


def _moved(plate: Plate, shift: complex) -> Plate:
    return replace(
        plate,
        outline=plate.outline.moved(shift=shift),
        holes=tuple(
            replace(h, circle=replace(h.circle, centre=h.circle.centre + shift)) for h in plate.holes
        ),
        openings=tuple(o.moved(shift=shift) for o in plate.openings),
        notch=plate.notch.moved(shift=shift) if plate.notch else None,
    )  # fmt: skip


def _across(plate: Plate) -> bool:
    return plate.placement.u == (1.0, 0.0, 0.0) and plate.placement.v == (0.0, 1.0, 0.0)


def _step(was: Plate, now: Plate, step: complex) -> complex:
    """What carries the new plate's own frame into the old one's, the rail standing still.

    A plate that lies otherwise than across the pin, or is only bolted and can be moved, is compared in its own frame.
    """
    if not (_across(was) and _across(now) and now.welded):
        return 0j
    a, b = was.placement.origin, now.placement.origin
    return step + complex(b[0] - a[0], b[1] - a[1])


def _same_place(was: Plate, now: Plate) -> bool:
    """True when both lie in one plane, whichever way the frames run in it."""
    a, b = was.placement, now.placement
    turned = sum(abs(x - y) for x, y in zip(a.normal, b.normal, strict=True))
    if _across(was) and _across(now):
        return abs(a.origin[2] - b.origin[2]) <= SAME_MM
    return turned < 1e-6


def _same_holes(was: Plate, now: Plate) -> bool:
    return len(was.holes) == len(now.holes) and all(
        a.made == b.made
        and abs(a.circle.centre - b.circle.centre) <= SAME_MM
        and abs(a.circle.radius - b.circle.radius) <= SAME_MM / 2
        for a, b in zip(was.holes, now.holes, strict=True)
    )


def _same_openings(was: Plate, now: Plate) -> bool:
    return len(was.openings) == len(now.openings) and all(
        same_run(a.segments, b.segments) for a, b in zip(was.openings, now.openings, strict=True)
    )


def _holes_moved(was: Plate | None, now: Plate | None, step: complex) -> Iterator[tuple[str, float]]:
    """Holes of the same name and how far they moved on the rail."""
    if was is None or now is None:
        return
    before = {hole.name: hole.circle.centre for hole in was.holes}
    for hole in now.holes:
        if hole.name in before:
            far = abs(hole.circle.centre + _step(was, now, step) - before[hole.name])
            if far > SAME_MM:
                yield hole.name, far


def _covers(outer: Loop, inner: Loop) -> bool:
    return _outside_mm(outer, inner) <= SAME_MM


def _outside_mm(outer: Loop, inner: Loop) -> float:
    """Farthest that ``inner`` reaches beyond ``outer``."""
    return max((outer.distance(p) for p in points_along(inner.segments) if not inside(outer, p)), default=0.0)
