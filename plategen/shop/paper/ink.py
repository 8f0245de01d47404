"""What is printed of one plate, in the plate's own millimetres: strokes and words, whatever they are drawn with.

The PDF and the true-scale SVG draw the same list, so the two papers cannot differ.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from plategen.bracket.model import Plate
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle
from plategen.flat.segment import Arc, Line, Segment, dot
from plategen.flat.side import offset_from
from plategen.quantity import Show
from plategen.shop.picture.pen import readable
from plategen.shop.picture.plate_datum import datum_of
from plategen.shop.picture.plate_place import clear_place, clearance, inward, on_chain, spaced
from plategen.shop.picture.plate_weld import roots
from plategen.shop.picture.plate_words import facing, shape_mark
from plategen.shop.picture.station import Station, crossings, numbered, stations, step_mm
from plategen.shop.work import Work

Weight: TypeAlias = Literal["cut", "fine", "centre", "weld", "joint"]
"""``cut`` is the line the scissors and the torch follow; ``fine`` ticks and crosses; ``centre`` chain-dotted."""

STROKES_MM: dict[Weight, tuple[float, tuple[float, ...]]] = {
    "cut": (0.30, ()),
    "fine": (0.15, ()),
    "centre": (0.15, (6.0, 1.2, 1.2, 1.2)),
    "weld": (0.25, ()),
    "joint": (0.15, (3.0, 1.5)),
}
"""Width of each weight's stroke, and its dashes."""

PUNCH_RADIUS_MM = 1.5
"""The ring round a punch mark: a 3 mm (1/8 in) pilot."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """Edges that follow each other, drawn in one weight."""

    segments: tuple[Segment, ...]
    weight: Weight
    closed: bool = False


@dataclass(frozen=True, slots=True)
class Ring:
    """A circle; ``filled`` for a punch mark's dot."""

    circle: Circle
    weight: Weight
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """A line of lettering, its half height at ``at``."""

    text: str
    at: complex
    height_mm: float
    anchor: Literal["start", "middle", "end"] = "middle"
    bold: bool = False
    turn_rad: float = 0.0


Ink: TypeAlias = Stroke | Ring | Words
"""Anything that is drawn."""


def ink_of(work: Work, plate: Plate, joins: Sequence[tuple[complex, complex]] = ()) -> tuple[Ink, ...]:
    """Everything printed of a plate; its name keeps clear of the joining lines ``joins``."""
    show = Show(work.job.units)
    return (
        *_datum(work, plate),
        *_welds(work, plate),
        *_stations(work, plate, show),
        *_bends(plate, show),
        *(Stroke(mark.path.segments, "fine") for mark in plate.marks),
        *_holes(plate, show),
        *_slots(plate, show),
        *(Stroke(opening.segments, "cut", closed=True) for opening in plate.openings),
        Stroke(plate.outline.segments, "cut", closed=True),
        *_name(work, plate, show, joins),
    )


def _line(start: complex, end: complex, weight: Weight) -> Stroke:
    return Stroke((Line(start, end),), weight)


def _datum(work: Work, plate: Plate) -> Iterator[Ink]:
    """The level and the square line through the plate's datum: the pin's hole, or a bolt's."""
    datum = datum_of(work, plate)
    if datum is None:
        return
    for direction in (1 + 0j, 1j):
        cuts = crossings(Chain(plate.outline.segments), direction * 1j, dot(datum.at, direction * 1j))
        reach = [dot(p - datum.at, direction) for p in cuts]
        yield _line(datum.at + direction * (min(reach) - 6.0), datum.at + direction * (max(reach) + 6.0), "centre")
        if direction == 1:
            yield Words(datum.line, datum.at + direction * (max(reach) + 7.5), 2.4, "start")


def _welds(work: Work, plate: Plate) -> Iterator[Ink]:
    """Slanting strokes along each root line, a square stroke at its ends, and the runs' names."""
    for root in roots(work, plate):
        for at, tangent in spaced(root.path, 5.0):
            into = inward(plate, at, tangent)
            yield _line(at + into * 0.8, at + into * 3.0 + tangent * 1.2, "weld")
        middle, tangent = on_chain(root.path, 0.5)
        left = (inward(plate, middle, tangent) / tangent).imag > 0.0
        first, last = root.path.segments[0], root.path.segments[-1]
        for at, tangent in ((first.start, first.start_tangent), (last.end, last.end_tangent)):
            yield _line(at, at + tangent * (7j if left else -7j), "weld")
        at, tangent = on_chain(root.path, 0.32)
        yield Words(f"weld {root.names}", at + inward(plate, at, tangent) * 13.5, 2.6, bold=True)


def _stations(work: Work, plate: Plate, show: Show) -> Iterator[Ink]:
    """A tick across the notch at each whole station, numbered as the trace numbers it."""
    if plate.notch is None:
        return
    span = abs(plate.notch.end - plate.notch.start)
    along = complex(plate.placement.u[0], plate.placement.v[0])
    for station in stations(plate, step_mm(span, work.job.units, 18)):
        yield from _tick(plate, station, along, show)


def _tick(plate: Plate, station: Station, along: complex, show: Show) -> Iterator[Ink]:
    into = inward(plate, station.point, along)
    yield _line(station.point + into * 7.0, station.point - into * 4.5, "fine")
    beside = along / abs(along) * 1.0
    outline = Chain(plate.outline.segments)
    at = station.point + into * 6.2
    right = offset_from(outline, at + 4 * beside) > 1.0
    yield Words(numbered(show, station.along_mm), at + (beside if right else -beside), 2.6, "start" if right else "end")


def _bends(plate: Plate, show: Show) -> Iterator[Ink]:
    """Where each bend of the rail begins and ends, with its radius; arcs that do not touch the rail are reliefs."""
    for segment in plate.notch or ():
        if not isinstance(segment, Arc):
            continue
        middle = segment.point(0.5)
        out = -inward(plate, middle, segment.tangent(0.5))
        for at, tangent in ((segment.start, segment.start_tangent), (segment.end, segment.end_tangent)):
            square = tangent * 1j if dot(tangent * 1j, out) > 0 else tangent * -1j
            yield _line(at - square * 3.0, at + square * 7.0, "centre")
        what = "bend" if any(seat.distance(middle) < 1e-6 for seat in plate.seats) else "relief"
        yield Words(f"{what} R {show.short(segment.radius)}", middle + out * 9.5, 2.4)
    if plate.notch is not None:
        at, tangent = on_chain(plate.notch, 0.8)
        yield Words("RAIL SIDE", at - inward(plate, at, tangent) * 7.0, 3.4, bold=True, turn_rad=readable(tangent))


def _holes(plate: Plate, show: Show) -> Iterator[Ink]:
    for hole in plate.holes:
        c, reach = hole.circle.centre, hole.circle.radius + 5.0
        yield Ring(hole.circle, "cut")
        yield _line(c - reach, c + reach, "fine")
        yield _line(c - reach * 1j, c + reach * 1j, "fine")
        yield Ring(Circle(c, PUNCH_RADIUS_MM), "fine")
        yield Ring(Circle(c, 0.3), "fine", filled=True)
        how = "cut" if hole.made == "cut" else "punch and drill"
        words = f"{hole.name} {show.length(2 * hole.circle.radius)} dia., {how}"
        yield Words(words, c + (hole.circle.radius + 4.0) * 1j + 1.5, 2.6, "start")


def _slots(plate: Plate, show: Show) -> Iterator[Ink]:
    """The way a bolt can move, the centres of a slot's ends, and its size."""
    for slot in plate.slots:
        one, other = slot.ends
        along = (other - one) / abs(other - one)
        yield _line(one - along * (slot.width_mm / 2 + 5.0), other + along * (slot.width_mm / 2 + 5.0), "fine")
        for end in slot.ends:
            across = along * 1j * (slot.width_mm / 2 + 4.0)
            yield _line(end - across, end + across, "fine")
            yield Ring(Circle(end, PUNCH_RADIUS_MM), "fine")
            yield Ring(Circle(end, 0.3), "fine", filled=True)
        size = f"{show.short(slot.width_mm)} by {show.short(slot.length_mm)} {show.units}"
        lowest = min(slot.ends, key=lambda p: p.imag)
        yield Words(f"slot {size}", lowest - (slot.width_mm / 2 + 7.5) * 1j, 2.4)


def _name(work: Work, plate: Plate, show: Show, joins: Sequence[tuple[complex, complex]]) -> Iterator[Ink]:
    """Name, steel, revision and facing, in the widest free place of the plate."""
    face, _, whither = facing(work, plate).partition(",")
    lines = (
        (plate.name.replace("_", " "), 5.0, True),
        (f"{show.length(plate.thickness_mm)} {plate.steel}, cut {plate.count}", 2.8, False),
        (f"shape {shape_mark(plate)}", 2.8, False),
        (face, 3.0, True),
        (whither.strip(), 2.8, False),
    )
    at = clear_place(plate, [*(Line(a, b) for a, b in joins), *_datum_lines(work, plate)])
    room = min(1.0, clearance(plate, at) / 22.0)
    line_at = at + 7.0j * room
    for words, height, bold in lines:
        yield Words(words, line_at, height * room, bold=bold)
        line_at -= (height * 0.5 + 3.6) * room * 1j


def _datum_lines(work: Work, plate: Plate) -> list[Line]:
    """The datum lines, for words to keep clear of."""
    strokes = [ink.segments[0] for ink in _datum(work, plate) if isinstance(ink, Stroke)]
    return [line for line in strokes if isinstance(line, Line)]
