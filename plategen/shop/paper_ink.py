"""What is printed of one plate, in the plate's own millimetres: strokes and words, whatever they are drawn with.

The PDF and the true-scale SVG draw the same list, so the two papers cannot differ.
"""

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

from plategen.bracket.model import Plate, Vector, WeldRun
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle
from plategen.flat.segment import Arc, Line, Segment
from plategen.flat.side import offset_from
from plategen.quantity import Show
from plategen.shop.picture_station import Station, crossings, stations, step_mm
from plategen.shop.plate_words import facing, shape_mark
from plategen.shop.work import Work

Weight: TypeAlias = Literal["cut", "fine", "centre", "weld", "joint"]
"""``cut`` is the line the scissors and the torch follow; ``fine`` ticks and crosses; ``centre`` chain-dotted."""

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
        *(Stroke(opening.segments, "cut", closed=True) for opening in plate.openings),
        Stroke(plate.outline.segments, "cut", closed=True),
        *_name(work, plate, show, joins),
    )


def inward(plate: Plate, at: complex, along: complex) -> complex:
    """The unit vector square to ``along`` that points from an edge of the plate at ``at`` into its steel."""
    side = along / abs(along) * 1j
    return side if offset_from(Chain(plate.outline.segments), at + 0.5 * side) > 0.0 else -side


def in_plane(run: WeldRun, plate: Plate) -> Chain:
    """A weld's root line in the plate's plane, seen square to it; exact for runs in planes alongside the plate."""
    place, own = run.placement, plate.placement

    def flat(p: complex) -> complex:
        return own.flat(place.point(p))

    turns_over = _dot(place.normal, own.normal) < 0.0
    return Chain(
        tuple(
            Arc(flat(s.start), flat(s.end), -s.bulge if turns_over else s.bulge)
            if isinstance(s, Arc)
            else Line(flat(s.start), flat(s.end))
            for s in run.path
        )
    )


def lies_along(run: WeldRun, plate: Plate) -> bool:
    """Whether a run is this plate's and lies in a plane alongside it, so that its template can show it."""
    return run.plate == plate.name and abs(_dot(run.placement.normal, plate.placement.normal)) > 1.0 - 1e-9


def _dot(a: Vector, b: Vector) -> float:
    return sum(x * y for x, y in zip(a, b, strict=True))


def _line(start: complex, end: complex, weight: Weight) -> Stroke:
    return Stroke((Line(start, end),), weight)


def _datum(work: Work, plate: Plate) -> Iterator[Ink]:
    """The cylinder's centre line and the square line through the pin, where the plate lies across the pin."""
    if abs(plate.placement.normal[2]) < 1.0 - 1e-9:
        return
    pin = plate.placement.flat(work.bracket.pin.centre)
    along = complex(plate.placement.u[0], plate.placement.v[0])
    outline = Chain(plate.outline.segments)
    for direction, words in ((along, "cylinder centre line"), (along * 1j, "square through the pin")):
        normal = direction * 1j
        cuts = crossings(outline, normal, (pin * normal.conjugate()).real)
        reach = [((p - pin) * direction.conjugate()).real for p in cuts] or [-20.0, 20.0]
        low, high = min(reach) - 6.0, max(reach) + 6.0
        yield _line(pin + direction * low, pin + direction * high, "centre")
        if direction == along:
            yield Words(words, pin + direction * (high + 1.5), 2.4, "start")


def _welds(work: Work, plate: Plate) -> Iterator[Ink]:
    """A run's ends and slanting strokes along its root, once for runs that lie over each other."""
    drawn: dict[tuple[complex, complex], list[WeldRun]] = {}
    paths: dict[tuple[complex, complex], Chain] = {}
    for run in work.bracket.welds:
        if lies_along(run, plate):
            path = in_plane(run, plate)
            key = tuple(sorted((_rounded(path.start), _rounded(path.end)), key=lambda p: (p.real, p.imag)))
            drawn.setdefault((key[0], key[1]), []).append(run)
            paths[key[0], key[1]] = path
    for key, runs in drawn.items():
        path = paths[key]
        middle = path.point(path.length / 2)
        index, t = path.nearest(middle)
        into = inward(plate, middle, path.segments[index].tangent(t))
        left = (into / path.segments[index].tangent(t)).imag > 0.0
        count = max(2, round(path.length / 5.0))
        for i in range(count):
            distance = (i + 0.5) * path.length / count
            index, t = path.at(distance)
            tangent = path.segments[index].tangent(t)
            at = path.segments[index].point(t)
            inside = tangent * (1j if left else -1j)
            yield _line(at + inside * 0.8, at + inside * 3.0 + tangent * 1.2, "weld")
        for at, tangent in ((path.start, path.segments[0].start_tangent), (path.end, path.segments[-1].end_tangent)):
            yield _line(at, at + tangent * (1j if left else -1j) * 7.0, "weld")
        names = " ".join(run.name for run in runs)
        at = path.point(path.length * 0.32)
        yield Words(f"weld {names}", at + into * 13.5, 2.6, bold=True)


def _rounded(p: complex) -> complex:
    return complex(round(p.real, 3), round(p.imag, 3))


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
    yield Words(show.short(station.along_mm), at + (beside if right else -beside), 2.6, "start" if right else "end")


def _bends(plate: Plate, show: Show) -> Iterator[Ink]:
    """Where each bend of the rail begins and ends, with its radius."""
    for segment in plate.notch or ():
        if not isinstance(segment, Arc):
            continue
        middle = segment.point(0.5)
        out = -inward(plate, middle, segment.tangent(0.5))
        for at, tangent in ((segment.start, segment.start_tangent), (segment.end, segment.end_tangent)):
            square = tangent * 1j if (tangent * 1j * out.conjugate()).real > 0 else tangent * -1j
            yield _line(at - square * 3.0, at + square * 7.0, "centre")
        yield Words(f"bend R {show.short(segment.radius)}", middle + out * 9.5, 2.4)
    if plate.notch is not None:
        index, t = plate.notch.at(plate.notch.length * 0.8)
        at, tangent = plate.notch.segments[index].point(t), plate.notch.segments[index].tangent(t)
        yield Words("RAIL SIDE", at - inward(plate, at, tangent) * 7.0, 3.4, bold=True, turn_rad=turned(tangent))


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


def _name(work: Work, plate: Plate, show: Show, joins: Sequence[tuple[complex, complex]]) -> Iterator[Ink]:
    """Name, steel, revision and facing, in the widest free place of the plate."""
    lines = (
        (plate.name.replace("_", " "), 5.0, True),
        (f"{show.length(plate.thickness_mm)} {plate.steel}, cut {plate.count}", 2.8, False),
        (f"shape {shape_mark(plate)}", 2.8, False),
        (facing(work, plate), 3.0, True),
    )
    at = clear_place(plate, [*(Line(a, b) for a, b in joins), *_through_pin(work, plate)])
    room = min(1.0, _clearance(plate, at) / 12.0)
    line_at = at + 7.0j * room
    for words, height, bold in lines:
        yield Words(words, line_at, height * room, bold=bold)
        line_at -= (height * 0.5 + 3.6) * room * 1j


def clear_place(plate: Plate, lines: Sequence[Line] = ()) -> complex:
    """The place of a 24 by 24 grid over the plate that lies farthest from its edges and holes, and from ``lines``."""
    u0, v0, u1, v1 = plate.outline.bounds
    places = [
        complex(u0 + (u1 - u0) * (i + 0.5) / 24, v0 + (v1 - v0) * (j + 0.5) / 24) for i in range(24) for j in range(24)
    ]
    return max(places, key=lambda p: min(_clearance(plate, p), *(_off(line, p) for line in lines), math.inf))


def _off(line: Line, p: complex) -> float:
    return abs(line.point(line.nearest(p)) - p)


def _through_pin(work: Work, plate: Plate) -> list[Line]:
    """The square line through the pin, within the plate's height."""
    return [
        ink.segments[0] for ink in _datum(work, plate) if isinstance(ink, Stroke) and isinstance(ink.segments[0], Line)
    ]


def _clearance(plate: Plate, p: complex) -> float:
    edge = offset_from(Chain(plate.outline.segments), p)
    holes = (abs(p - hole.circle.centre) - hole.circle.radius for hole in plate.holes)
    return min(edge, *holes, *(opening.distance(p) for opening in plate.openings), math.inf)


def turned(direction: complex) -> float:
    """The angle at which words along ``direction`` read from below or from the right."""
    angle = cmath.phase(direction)
    return angle - math.copysign(math.pi, angle) if abs(angle) > math.pi / 2 + 1e-9 else angle
