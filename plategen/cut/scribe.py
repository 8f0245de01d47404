"""What is scribed on a plate: its name where there is room for it, and where each weld begins and ends.

Cutting files may hold no text, so words are letters of single strokes, drawn for this project.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from itertools import count, pairwise

from plategen.bracket.model import Plate, WeldRun
from plategen.flat.chain import Chain
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Contour
from plategen.flat.segment import Line, Segment

GRID_HIGH, GRID_STEP = 6, 6
"""Height of a capital and distance from letter to letter, in grid units."""

STROKES = {
    "A": "00 26 40|12 32",
    "B": "00 06 36 45 44 33 03|33 42 41 30 00",
    "C": "45 36 16 05 01 10 30 41",
    "D": "00 06 26 44 42 20 00",
    "E": "46 06 00 40|03 33",
    "F": "46 06 00|03 33",
    "G": "45 36 16 05 01 10 30 41 43 23",
    "H": "00 06|40 46|03 43",
    "I": "16 36|26 20|10 30",
    "J": "46 41 30 10 01",
    "K": "00 06|46 02|13 40",
    "L": "06 00 40",
    "M": "00 06 23 46 40",
    "N": "00 06 40 46",
    "O": "10 01 05 16 36 45 41 30 10",
    "P": "00 06 36 45 44 33 03",
    "Q": "10 01 05 16 36 45 41 30 10|22 40",
    "R": "00 06 36 45 44 33 03|23 40",
    "S": "45 36 16 05 04 13 33 42 41 30 10 01",
    "T": "06 46|26 20",
    "U": "06 01 10 30 41 46",
    "V": "06 20 46",
    "W": "06 10 23 30 46",
    "X": "00 46|06 40",
    "Y": "06 23 46|23 20",
    "Z": "06 46 00 40",
    "0": "10 01 05 16 36 45 41 30 10|11 35",
    "1": "05 26 20|10 30",
    "2": "05 16 36 45 44 00 40",
    "3": "06 46 23 33 42 41 30 10 01",
    "4": "30 36 02 42",
    "5": "46 06 03 33 42 41 30 10 01",
    "6": "36 16 05 01 10 30 41 42 33 03",
    "7": "06 46 10",
    "8": "13 04 05 16 36 45 44 33 13 02 01 10 30 41 42 33",
    "9": "10 30 41 45 36 16 05 04 13 43",
    "-": "13 33",
    "_": "00 40",
    ".": "10 11",
    "/": "00 46",
    "+": "13 33|22 24",
}
"""Every sign as strokes on a grid four wide and six high: runs of its points, two digits each."""


def lettered(words: str, height_mm: float) -> tuple[Chain, ...]:
    """The strokes of words that begin at the origin and run along u, in capitals so high.

    Letters, figures and ``- _ . / +`` are drawn; anything else is left as a space.
    """
    unit_mm = height_mm / GRID_HIGH
    return tuple(
        Chain(tuple(Line(a, b) for a, b in pairwise(complex(int(p[0]) + at, int(p[1])) * unit_mm for p in run.split())))
        for at, letter in zip(count(step=GRID_STEP), words.upper())
        for run in filter(None, STROKES.get(letter, "").split("|"))
    )


def width_mm(words: str, height_mm: float) -> float:
    """How wide the words come out.

    >>> width_mm("AB", 6.0)
    10.0
    """
    return (len(words) * GRID_STEP - (GRID_STEP - 4)) * height_mm / GRID_HIGH if words else 0.0


HEIGHTS_MM = (10.0, 8.0, 6.0, 5.0, 4.0)
"""Heights of lettering tried, the largest first; a plasma torch cannot scribe smaller ones."""

CLEAR_MM = 3.0
"""Nearest that lettering comes to an edge, a hole or a mark."""

TICK_MM, FROM_EDGE_MM = 6.0, 1.5
"""Length of a weld-end tick and its distance from the edge, where the bead would hide it."""

ON_EDGE_MM = 0.5
"""A mark nearer to an edge than this is on it."""

TWIN_MM = 1.0
"""Ticks nearer than this are one: the runs on both faces mostly end at one place."""

GRID = 20
"""The place for the name is looked for on a grid of this many steps each way."""


STOP = "STOP "
"""Scribed before the name of a plate of which a check says no."""


def scribed(plate: Plate, welds: Iterable[WeldRun] = (), *, stopped: bool = False) -> tuple[Chain, ...]:
    """Marks, weld ends and name of a plate, in its own plane, with a stop before the name where a check says no.

    A mark on an edge is left out, since the cut takes it away; the name is left out when it fits nowhere.
    """
    marks = tuple(mark.path for mark in plate.marks if all(_clear(plate, s, ON_EDGE_MM) for s in mark.path))
    lines = (*marks, *weld_ticks(plate, welds))
    return (*lines, *_name(plate, STOP + plate.name if stopped else plate.name, lines))


def weld_ticks(plate: Plate, welds: Iterable[WeldRun]) -> tuple[Chain, ...]:
    """A short line into the plate from each end of the runs that hold it, square to the run."""
    ticks: list[Chain] = []
    for tick in _ticks(plate, welds):
        if all(abs(tick.start - other.start) > TWIN_MM for other in ticks):
            ticks.append(tick)
    return tuple(ticks)


def _ticks(plate: Plate, welds: Iterable[WeldRun]) -> Iterator[Chain]:
    for weld in welds:
        if weld.plate != plate.name or plate.rolled_mm:
            continue
        path = weld.path.segments
        for p, along in ((path[0].start, path[0].start_tangent), (path[-1].end, -path[-1].end_tangent)):
            at = plate.placement.drop(p, weld.placement)
            ahead = plate.placement.drop(p + along, weld.placement) - at
            if abs(ahead) < 0.5:
                continue  # a run that climbs across the plate's thickness has no end on its face
            # a little along the run, so that the tick stands on the plate and not on the edge it ends at
            foot = at + ahead / abs(ahead) * FROM_EDGE_MM
            for into in (1j, -1j):
                way = ahead / abs(ahead) * into
                tick = Line(foot + way * FROM_EDGE_MM, foot + way * (FROM_EDGE_MM + TICK_MM))
                if _clear(plate, tick, FROM_EDGE_MM / 2):
                    yield Chain((tick,))


def _clear(plate: Plate, line: Segment, clear_mm: float) -> bool:
    """True when an edge lies on the plate, away from its edges and holes (seen at nine points along it)."""
    return all(_on_plate(plate, line.point(k / 8), clear_mm) for k in range(9))


def _on_plate(plate: Plate, p: complex, clear_mm: float) -> bool:
    holes: list[Contour] = [Circle(hole.circle.centre, hole.circle.radius + clear_mm) for hole in plate.holes]
    return (
        inside(plate.outline, p)
        and plate.outline.distance(p) >= clear_mm
        and not any(inside(contour, p) for contour in (*holes, *plate.openings))
        and all(opening.distance(p) >= clear_mm for opening in plate.openings)
    )


def _name(plate: Plate, name: str, marks: Sequence[Chain]) -> tuple[Chain, ...]:
    """A name in the largest lettering for which there is room, in the roomiest place along u or v."""
    middles = _roomy_middles(plate, marks)
    for height in HEIGHTS_MM:
        place = _roomiest(plate, marks, middles, width_mm(name, height), height)
        if place is not None:
            corner, turn = place
            return tuple(chain.moved(turn, corner) for chain in lettered(name, height))
    return ()


def _roomy_middles(plate: Plate, marks: Sequence[Chain]) -> list[tuple[float, complex]]:
    """Points of a grid on the plate with their distance to the nearest edge, hole or mark, the largest first."""
    u0, v0, u1, v1 = plate.outline.bounds
    grid = (
        complex(u0 + (u1 - u0) * i / GRID, v0 + (v1 - v0) * j / GRID) for i in range(1, GRID) for j in range(1, GRID)
    )
    rooms = [(room, p) for p in grid if (room := _room(plate, marks, p)) > CLEAR_MM]
    return sorted(rooms, key=lambda one: (-one[0], one[1].real, one[1].imag))


def _roomiest(
    plate: Plate, marks: Sequence[Chain], middles: Sequence[tuple[float, complex]], wide_mm: float, high_mm: float
) -> tuple[complex, complex] | None:
    """Lower left corner and direction of the box of lettering that keeps furthest from everything; None if none fits.

    The box is covered by overlapping circles along its middle, so a place that is found is certain.
    """
    beads = max(2, math.ceil(wide_mm / (high_mm / 2)) + 1)
    step = wide_mm / (beads - 1)
    best, best_room = None, math.hypot(high_mm, step) / 2 + CLEAR_MM
    for middle_room, middle in middles:
        if middle_room <= best_room:
            break  # no box has more room than its middle, and the rest have less
        for turn in (1 + 0j, 1j):
            room = middle_room
            # the two ends first: a box that does not fit mostly fails there
            for k in (0, beads - 1, *range(1, beads - 1)):
                room = min(room, _room(plate, marks, middle + turn * (k * step - wide_mm / 2)))
                if room <= best_room:
                    break
            else:
                best, best_room = (middle - complex(wide_mm, high_mm) * turn / 2, turn), room
    return best


def _room(plate: Plate, marks: Sequence[Chain], p: complex) -> float:
    """Distance from a point of the plate to the nearest edge, hole or mark; negative off the plate."""
    if not inside(plate.outline, p) or any(inside(opening, p) for opening in plate.openings):
        return -1.0
    return min(
        plate.outline.distance(p),
        *(abs(p - hole.circle.centre) - hole.circle.radius for hole in plate.holes),
        *(opening.distance(p) for opening in plate.openings),
        *(mark.distance(p) for mark in marks),
        math.inf,
    )
