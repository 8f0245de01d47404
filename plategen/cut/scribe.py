"""What is scribed on a plate: STOP where a check says no, its name and mark, and where each weld begins and ends.

Words are letters of single strokes (``cut.letters``). STOP comes before every other word and is on every plate.
"""

import cmath
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from plategen.bracket.model import Plate, WeldRun
from plategen.bracket.shape_mark import shape_mark
from plategen.cut.letters import lettered, width_mm
from plategen.flat.chain import Chain
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Contour
from plategen.flat.segment import Line, Segment

HEIGHTS_MM = (10.0, 8.0, 6.0, 5.0, 4.0)
"""Heights of lettering tried, the largest first; a plasma torch cannot scribe smaller ones well."""

SMALLEST_MM = (3.0, 2.5)
"""Heights tried for STOP alone, where a word that is hard to read is better than none (ISO 3098: 2.5 mm is read)."""

CLEAR_MM, LEAST_CLEAR_MM = 3.0, 1.5
"""Nearest that lettering comes to an edge, a hole or a mark; nearest that STOP does where it has no room else."""

TICK_MM, FROM_EDGE_MM = 6.0, 1.5
"""Length of a weld-end tick and its distance from the edge, where the bead would hide it."""

ON_EDGE_MM = 0.5
"""A mark nearer to an edge than this is on it."""

TWIN_MM = 1.0
"""Ticks nearer than this are one: the runs on both faces mostly end at one place."""

GRID = 20
"""The place for the name is looked for on a grid of this many steps each way."""


STOP = "STOP"
"""Scribed on a plate of a job of which a check says no."""

CROSSED = "two crossing strokes"
"""What stands for it on a plate that has no room for the word."""


@dataclass(frozen=True, slots=True)
class Scribing:
    """Everything that is scribed on a plate, in its own plane, and what the letters among it say."""

    lines: tuple[Chain, ...]
    words: tuple[str, ...]  # In the order of scribing; ``CROSSED`` where strokes stand for a word.


def scribed(plate: Plate, welds: Iterable[WeldRun] = (), *, stopped: bool = False) -> Scribing:
    """Marks, weld ends and words of a plate, STOP first where a check says no, and never left out then.

    A mark on an edge is left out, since the cut takes it away. The words are name and mark of the shape, else the mark,
    which paper and sheet give too, else the name; none where nothing fits.
    """
    shown = [mark.path for mark in plate.marks if not mark.behind]
    marks = tuple(path for path in shown if all(_clear(plate, s, ON_EDGE_MM) for s in path))
    lines, words = (*marks, *weld_ticks(plate, welds)), []
    if stopped:
        word, strokes = _stop(plate, lines)
        lines, words = (*lines, *strokes), [word]
    mark, middles = shape_mark(plate), _roomy_middles(plate, lines)
    name = plate.name.removeprefix(f"{STOP.lower()}_")  # a pad for a stop: the word itself means only one thing
    for text in (f"{name} {mark}", mark, name):
        if strokes := _laid(plate, text, HEIGHTS_MM, lines, middles):
            return Scribing((*lines, *strokes), (*words, text))
    return Scribing(lines, tuple(words))


def identified(words: Iterable[str]) -> bool:
    """True when words scribed on a plate say which it is: its name, its mark or both are among them."""
    return any(word not in (STOP, CROSSED) for word in words)


def _stop(plate: Plate, lines: Sequence[Chain]) -> tuple[str, tuple[Chain, ...]]:
    """STOP where there is room, smaller and nearer to edges where it must be, at last across weld ends and marks."""
    for heights, others, clear_mm in (
        (HEIGHTS_MM, lines, CLEAR_MM),
        (HEIGHTS_MM, lines, LEAST_CLEAR_MM),
        (SMALLEST_MM, lines, LEAST_CLEAR_MM),
        (HEIGHTS_MM + SMALLEST_MM, (), LEAST_CLEAR_MM),
    ):
        middles = _roomy_middles(plate, others, clear_mm)
        if strokes := _laid(plate, STOP, heights, others, middles, clear_mm):
            return STOP, strokes
    return CROSSED, _crossed(plate)


def _crossed(plate: Plate) -> tuple[Chain, ...]:
    """Two strokes that cross where the steel is widest, as long as it lets them be."""
    room, middle = max(_roomy_middles(plate, (), 0.0), key=lambda one: one[0])
    arms = [cmath.rect(max(room - LEAST_CLEAR_MM, room / 2), turn * math.pi / 4) for turn in (1, 3)]
    return tuple(Chain((Line(middle - arm, middle + arm),)) for arm in arms)


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


def _laid(
    plate: Plate,
    words: str,
    heights_mm: Iterable[float],
    lines: Sequence[Chain],
    middles: Sequence[tuple[float, complex]],
    clear_mm: float = CLEAR_MM,
) -> tuple[Chain, ...]:
    """Words in the largest lettering for which there is room, in the roomiest place along u or v; none if none fits."""
    for height in heights_mm:
        place = _roomiest(plate, lines, middles, width_mm(words, height), height, clear_mm)
        if place is not None:
            corner, turn = place
            return tuple(chain.moved(turn, corner) for chain in lettered(words, height))
    return ()


def _roomy_middles(plate: Plate, marks: Sequence[Chain], clear_mm: float = CLEAR_MM) -> list[tuple[float, complex]]:
    """Points of a grid on the plate with their distance to the nearest edge, hole or mark, the largest first."""
    u0, v0, u1, v1 = plate.outline.bounds
    grid = (
        complex(u0 + (u1 - u0) * i / GRID, v0 + (v1 - v0) * j / GRID) for i in range(1, GRID) for j in range(1, GRID)
    )
    rooms = [(room, p) for p in grid if (room := _room(plate, marks, p)) > clear_mm]
    return sorted(rooms, key=lambda one: (-one[0], one[1].real, one[1].imag))


def _roomiest(
    plate: Plate,
    marks: Sequence[Chain],
    middles: Sequence[tuple[float, complex]],
    wide_mm: float,
    high_mm: float,
    clear_mm: float,
) -> tuple[complex, complex] | None:
    """Lower left corner and direction of the box of lettering that keeps furthest from everything; None if none fits.

    The box is covered by overlapping circles along its middle, so a place that is found is certain.
    """
    beads = max(2, math.ceil(wide_mm / (high_mm / 2)) + 1)
    step = wide_mm / (beads - 1)
    best, best_room = None, math.hypot(high_mm, step) / 2 + clear_mm
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
