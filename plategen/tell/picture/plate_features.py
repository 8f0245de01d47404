"""What drawings and paper read off a plate: its datum, which way its steel lies and where there is room, its welds.

A plate's weld runs are seen as its own drawing sees them: root lines in the plate's plane, each with its runs.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

from plategen.bracket.model import Plate, WeldRun
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.segment import Arc, Line, dot
from plategen.ground import space
from plategen.work import Work


def inward(plate: Plate, at: complex, along: complex) -> complex:
    """The unit vector square to ``along`` that points from an edge of the plate at ``at`` into its steel."""
    side = along / abs(along) * 1j
    return side if offset_from(Chain(plate.outline.segments), at + 0.5 * side) > 0.0 else -side


def corners(plate: Plate) -> tuple[complex, complex] | None:
    """The notch's two ends, the one of smaller u first; None without a notch."""
    if plate.notch is None:
        return None
    first, last = sorted((plate.notch.start, plate.notch.end), key=lambda p: p.real)
    return first, last


def clearance(plate: Plate, p: complex) -> float:
    """Distance from a point to the nearest edge of any kind; negative where there is no steel."""
    edge = offset_from(Chain(plate.outline.segments), p)
    holes = (abs(p - hole.circle.centre) - hole.circle.radius for hole in plate.holes)
    openings = (-offset_from(Chain(o.segments), p) * math.copysign(1.0, o.area) for o in plate.openings)
    return min(edge, *holes, *openings, math.inf)


def clear_place(plate: Plate, lines: Sequence[Line] = ()) -> complex:
    """The place on the plate that lies farthest from its edges and holes, and from ``lines``.

    Sought on a grid of 9 by 9 over the plate and then on one of 5 by 5 about the best place found: for words, near
    enough.
    """
    u0, v0, u1, v1 = plate.outline.bounds

    def room(p: complex) -> float:
        return min(*(abs(line.point(line.nearest(p)) - p) for line in lines), clearance(plate, p), math.inf)

    cell = complex(u1 - u0, v1 - v0) / 9
    best = max(_grid(complex(u0, v0) + cell / 2, cell, 9), key=room)
    return max(_grid(best - cell / 2, cell / 4, 5), key=room)


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


def datum_of(work: Work, plate: Plate) -> Datum | None:
    """The plate's datum; None when it has no hole."""
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
