"""What drawings and paper alike read off a plate and say of it.

Its datum, which way its steel lies and where there is room; its welds, seen as its own drawing sees them: root lines in
the plate's plane, each with its runs; its face.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from plategen.bracket.model import Plate, WeldRun
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from, offsets_from
from plategen.flat.loop import Loop
from plategen.flat.segment import Arc, Line, dot
from plategen.ground import space
from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.work import Work


def inward(plate: Plate, at: complex, along: complex) -> complex:
    """The unit vector square to ``along`` that points from an edge of the plate at ``at`` into its steel."""
    side = along / abs(along) * 1j
    return side if offset_from(plate.outline, at + 0.5 * side) > 0.0 else -side


def corners(plate: Plate) -> tuple[complex, complex] | None:
    """The notch's two ends, the one of smaller u first; None without a notch."""
    if plate.notch is None:
        return None
    first, last = sorted((plate.notch.start, plate.notch.end), key=lambda p: p.real)
    return first, last


def clearance(plate: Plate, p: complex) -> float:
    """Distance from a point to the nearest edge of any kind; negative where there is no steel."""
    return clearances(plate, (p,))[0]


def clearances(plate: Plate, points: Sequence[complex]) -> list[float]:
    """The same as :func:`clearance`, for many points of one plate."""
    rooms = [offsets_from(plate.outline, points)]
    rooms += [[abs(p - h.circle.centre) - h.circle.radius for p in points] for h in plate.holes]
    for opening in plate.openings:
        outwards = -math.copysign(1.0, opening.area)
        rooms.append([outwards * offset for offset in offsets_from(opening, points)])
    return [min(room) for room in zip(*rooms, strict=True)]


def clear_place(plate: Plate, lines: Sequence[Line] = ()) -> complex:
    """The place on the plate that lies farthest from its edges and holes, and from ``lines``.

    Sought on a grid of 9 by 9 over the plate and then on one of 5 by 5 about the best place found: for words, near
    enough. Of places that are as good the one nearest to the middle is taken.
    """
    u0, v0, u1, v1 = plate.outline.bounds
    middle = complex(u0 + u1, v0 + v1) / 2

    def widest(grid: Sequence[complex]) -> complex:
        rooms = [
            min(*(abs(line.point(line.nearest(p)) - p) for line in lines), clear, math.inf)
            for p, clear in zip(grid, clearances(plate, grid), strict=True)
        ]
        return max(zip(rooms, grid, strict=True), key=lambda one: (round(one[0], 1), -abs(one[1] - middle)))[1]

    cell = complex(u1 - u0, v1 - v0) / 9
    best = widest(_grid(complex(u0, v0) + cell / 2, cell, 9))
    return widest(_grid(best - cell / 2, cell / 4, 5))


def _grid(corner: complex, cell: complex, count: int) -> list[complex]:
    return [corner + complex(cell.real * i, cell.imag * j) for i in range(count) for j in range(count)]


def meeting(a: Line, b: Line) -> complex:
    """Where two straight edges that are not parallel meet when carried on."""
    along, square = a.end - a.start, (b.end - b.start) * 1j
    return a.start + along * dot(b.start - a.start, square) / dot(along, square)


@dataclass(frozen=True, slots=True)
class Datum:
    """The point dimensions are measured from, in the plate's plane, and the name of the level line through it.

    ``short`` is the same name where there is little room.
    """

    at: complex
    line: str
    short: str


LIE_ON_RAIL = ("doubler", "base", "backing", "wall", "formed")
"""What lies along the rail's face, measured from where the pin's middle and the cylinder's line stand over it."""


def datum_of(work: Work, plate: Plate) -> Datum | None:
    """The plate's datum; None when it has no hole."""
    if plate.role in LIE_ON_RAIL:
        return Datum(plate.placement.flat(work.bracket.pin.centre), "under the cylinder's line", "cylinder")
    pin = pin_in(work, plate)
    if pin is not None and any(abs(hole.circle.centre - pin) < 1e-6 for hole in plate.holes):
        return Datum(pin, "cylinder centre line", "centre line")
    if plate.holes:
        first = plate.holes[0]
        return Datum(first.circle.centre, f"level with {first.name}", first.name)
    return None


def pin_in(work: Work, plate: Plate) -> complex | None:
    """Where the pin's axis goes through the plate's plane; None for a plate that does not lie across it."""
    if abs(plate.placement.normal[2]) < 1.0 - 1e-9:
        return None
    return plate.placement.flat(work.bracket.pin.centre)


def bolt_places(plate: Plate) -> list[complex]:
    """Centres of all holes, and the places of the bolts in slots."""
    return [hole.circle.centre for hole in plate.holes] + [slot.at for slot in plate.slots]


def plain_openings(plate: Plate) -> tuple[Loop, ...]:
    """The openings that are no slots of bolts: those that another plate's tongue goes through."""
    slots = [_at(slot.contour) for slot in plate.slots]
    return tuple(cut for cut in plate.openings if all(abs(_at(cut) - at) > 1e-6 for at in slots))


def _at(loop: Loop) -> complex:
    u0, v0, u1, v1 = loop.bounds
    return complex(u0 + u1, v0 + v1) / 2


@dataclass(frozen=True, slots=True)
class Opening:
    """A straight-sided opening: its middle, its length and width, and the way its length runs."""

    middle: complex
    length_mm: float
    width_mm: float
    along: complex


def opening_of(cut: Loop) -> Opening:
    """An opening told as a person measures it: along its longest side and square to it."""
    longest = max((s for s in cut.segments if isinstance(s, Line)), key=lambda s: s.length, default=None)
    along = 1 + 0j if longest is None else (longest.end - longest.start) / abs(longest.end - longest.start)
    along = -along if (along.imag, along.real) < (0.0, 0.0) else along
    turned = [s.point(k / 64) / along for s in cut.segments for k in range(64)]
    low = complex(min(p.real for p in turned), min(p.imag for p in turned))
    high = complex(max(p.real for p in turned), max(p.imag for p in turned))
    return Opening((low + high) / 2 * along, (high - low).real, (high - low).imag, along)


def relief_arcs(plate: Plate) -> list[Arc]:
    """The arcs that part the notch's seats, where the rail's corner is relieved; those of one centre only once."""
    found: list[Arc] = []
    for segment in plate.notch or ():
        if not isinstance(segment, Arc) or any(seat.distance(segment.point(0.5)) < 1e-6 for seat in plate.seats):
            continue
        if all(abs(segment.centre - arc.centre) > 0.05 for arc in found):
            found.append(segment)
    return found


def inner_places(plate: Plate) -> list[complex]:
    """Middles of openings and centres of reliefs, which have a lane of dimensions of their own."""
    return [*(opening_of(cut).middle for cut in plain_openings(plate)), *(arc.centre for arc in relief_arcs(plate))]


def tab_places(plate: Plate) -> tuple[complex, ...]:
    """Of a plate that closes a bracket: both edges of its tabs' ends, and its body's sides at the same heights."""
    if plate.role != "closing":
        return ()
    u0, _, u1, _ = plate.outline.bounds
    uprights = [s for s in plate.outline if isinstance(s, Line) and abs((s.end - s.start).real) < SAME_MM]
    ends = [p for s in uprights for p in (s.start, s.end) if min(p.real - u0, u1 - p.real) < SAME_MM]
    sides = {s.start.real for s in uprights if min(s.start.real - u0, u1 - s.start.real) > SAME_MM}
    if not ends or not sides:
        return ()
    low, high = (complex(0.0, f(p.imag for p in ends)) for f in (min, max))
    return tuple(u + v for u in (u0, min(sides), max(sides), u1) for v in (low, high))


SAME_MM = 1e-6
"""Edges nearer than this are in one line."""


@dataclass(frozen=True, slots=True)
class Root:
    """A root line in the plate's plane and the runs along it, one on each face where there are two."""

    path: Chain
    runs: tuple[WeldRun, ...]

    @property
    def names(self) -> str:
        """``'W1 W2'``."""
        return " ".join(run.name for run in self.runs)

    @property
    def sides(self) -> str:
        """``'W1 outside, W2 inside'``."""
        return ", ".join(f"{run.name} {run.side}" for run in self.runs)


def roots(work: Work, plate: Plate) -> tuple[Root, ...]:
    """The plate's root lines that lie in planes alongside it, in the order of their first runs."""
    by_ends: dict[tuple[complex, ...], Root] = {}
    for run in work.bracket.welds:
        if run.plate != plate.name or abs(space.dot(run.placement.normal, plate.placement.normal)) < 1.0 - 1e-9:
            continue
        path = _seen_square(run, plate)
        ends = (complex(round(p.real, 3), round(p.imag, 3)) for p in (path.start, path.end))
        key = tuple(sorted(ends, key=lambda p: (p.real, p.imag)))
        so_far = by_ends.get(key)
        by_ends[key] = Root(path, (*so_far.runs, run)) if so_far else Root(path, (run,))
    return tuple(by_ends.values())


def _seen_square(run: WeldRun, plate: Plate) -> Chain:
    """A run's root line dropped square onto the plate's plane; a plane seen from behind turns its arcs over."""
    turned_over = space.dot(run.placement.normal, plate.placement.normal) < 0.0

    def flat(p: complex) -> complex:
        return plate.placement.flat(run.placement.point(p))

    return Chain(
        tuple(
            Arc(flat(s.start), flat(s.end), -s.bulge if turned_over else s.bulge)
            if isinstance(s, Arc)
            else Line(flat(s.start), flat(s.end))
            for s in run.path
        )
    )


def spoken(plate: Plate) -> str:
    """The plate's name as one says it: ``'ear near'``."""
    return in_words(plate.name)


def tape(show: Show, mm: float) -> str:
    """A length as one reads it off a tape, decimals beside it when it lies off the marks: ``'5 5/16 (5.305)'``."""
    short, full = show.short(mm), show.length(mm)
    return full.replace(" in (", " (") if "." in short and " in (" in full else short


def facing(work: Work, plate: Plate) -> str:
    """Which way the face turns that the drawings show (where the plate's normal points); nothing of a loose plate."""
    if plate in work.loose:
        return ""
    place, pin = plate.placement, work.bracket.pin.centre
    u0, v0, u1, v1 = plate.outline.bounds
    middle = place.point(complex(u0 + u1, v0 + v1) / 2, plate.thickness_mm / 2)
    away = sum((m - p) * n for m, p, n in zip(middle, pin, place.normal, strict=True))
    if abs(away) <= plate.thickness_mm / 2:
        return ""
    return "THIS FACE OUT, away from the eye" if away > 0.0 else "THIS FACE IN, towards the eye"
