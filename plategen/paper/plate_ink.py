"""What is printed of one plate, in the plate's own millimetres: its lines, and words where there is room."""

import contextlib
import math
from collections.abc import Iterator, Sequence

from plategen.bracket.model import Plate
from plategen.bracket.unfold import bend_limits, bends_in
from plategen.cut.by_hand import drilled_corners, torch_line_mm
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle
from plategen.flat.offset import offset_loops
from plategen.flat.segment import Arc, dot
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.paper.ink import Ink, Room, Stroke, Window, line
from plategen.paper.plate_label import labels
from plategen.tell.picture.on_rail import beside, holes_there
from plategen.tell.picture.plate_features import datum_of, inward, roots
from plategen.tell.picture.plate_station import Station, crossings, stations, step_mm
from plategen.work import Work

PUNCH_RADIUS_MM = 1.5
"""The ring round a punch mark: a 3 mm (1/8 in) pilot."""

TICK_IN_MM, TICK_OUT_MM = 7.0, 4.5
"""How far a station's tick reaches into the steel and out of it."""

MOST_TICKS = 18
"""Most stations ticked on one notch."""

LEAST_ALONG = 0.5
"""Least share of the straightedge's direction that lies in a plate whose stations are worth a tick."""


def ink_of(
    work: Work, plate: Plate, windows: Sequence[Window], there: Sequence[Ink] = (), alike: Sequence[Plate] = ()
) -> tuple[Ink, ...]:
    """Everything printed of a plate, of which each sheet shows one of ``windows``: every word stands whole on one.

    Words keep clear of ``there``, what is printed besides. Plates ``alike`` are named on it too.
    """
    ticks = plate_stations(work, plate)
    lines = (
        *torch_band(plate, torch_line_mm(work.job, plate)),
        *_datum(work, plate),
        *(Stroke(shape, "joint") for _, shape in beside(work, plate)),
        *_welds(work, plate),
        *(_tick(plate, station) for station in ticks),
        *_bends(plate),
        *_folds(work, plate),
        *(Stroke(mark.path, "fine") for mark in plate.marks if not mark.behind),
        *_holes(plate, holes_there(work) if plate.role == "wall" else ()),
        *_slots(plate),
        *_corners(work, plate),
        *(Stroke(opening, "cut") for opening in plate.openings),
        Stroke(plate.outline, "cut"),
    )
    room = Room(tuple(windows))
    room.take((*lines, *there))
    words = [word for label in labels(work, plate, ticks, Show(work.job.units), alike) for word in room.place(label)]
    return (*lines, *words)


def torch_band(plate: Plate, wide_mm: float) -> Iterator[Stroke]:
    """A grey band outside every edge that is cut by hand; holes are drilled. None in an opening that is too narrow."""
    if not wide_mm or plate.role == "wall":
        return
    for loop in (plate.outline, *plate.openings):
        # an outline has its steel on the left, an opening, walked the same way, on its right
        out = -wide_mm / 2 if loop is plate.outline else math.copysign(wide_mm / 2, loop.area)
        with contextlib.suppress(Refusal):
            yield from (Stroke(band, "torch", wide_mm=wide_mm) for band in offset_loops(loop, out))


def plate_stations(work: Work, plate: Plate) -> tuple[Station, ...]:
    """The whole stations that are ticked on the plate's notch; none where it runs across the straightedge."""
    if plate.notch is None or abs(complex(plate.placement.u[0], plate.placement.v[0])) < LEAST_ALONG:
        return ()
    return stations(plate, step_mm(abs(plate.notch.end - plate.notch.start), work.job.units, MOST_TICKS))


def _datum(work: Work, plate: Plate) -> Iterator[Ink]:
    """The level and the square line through the plate's datum: the pin's hole, or a bolt's; a roll's direction."""
    datum = datum_of(work, plate)
    if plate.rolled_mm:
        u0, _, u1, _ = plate.outline.bounds
        yield line(complex(u0 - 6.0, 0.0), complex(u1 + 6.0, 0.0), "centre")
    if datum is None:
        return
    for direction in (1 + 0j, 1j):
        cuts = crossings(Chain(plate.outline.segments), direction * 1j, dot(datum.at, direction * 1j))
        reach = [dot(p - datum.at, direction) for p in cuts]
        yield line(datum.at + direction * (min(reach) - 6.0), datum.at + direction * (max(reach) + 6.0), "centre")


def _welds(work: Work, plate: Plate) -> Iterator[Ink]:
    """Slanting strokes along each root line, and a square stroke at its ends."""
    for root in roots(work, plate):
        for at, tangent in root.path.spaced(5.0):
            into = inward(plate, at, tangent)
            yield line(at + into * 0.8, at + into * 3.0 + tangent * 1.2, "weld")
        first, last = root.path.segments[0], root.path.segments[-1]
        middle = root.path.point(root.path.length / 2)
        for at, tangent in ((first.start, first.start_tangent), (last.end, last.end_tangent)):
            # square to the run, to the side on which the steel lies at its middle
            side = tangent * 1j if dot(inward(plate, middle, tangent), tangent * 1j) > 0.0 else tangent * -1j
            yield line(at, at + 7.0 * side, "weld")


def _tick(plate: Plate, station: Station) -> Stroke:
    into = inward(plate, station.point, complex(plate.placement.u[0], plate.placement.v[0]))
    return line(station.point + into * TICK_IN_MM, station.point - into * TICK_OUT_MM, "fine")


def _bends(plate: Plate) -> Iterator[Ink]:
    """Where each bend of the rail begins and ends, square across the notch."""
    for segment in plate.notch or ():
        if not isinstance(segment, Arc):
            continue
        out = -inward(plate, segment.point(0.5), segment.tangent(0.5))
        for at, tangent in ((segment.start, segment.start_tangent), (segment.end, segment.end_tangent)):
            square = tangent * 1j if dot(tangent * 1j, out) > 0 else tangent * -1j
            yield line(at - square * 4.0, at + square * 8.0, "centre")


def _folds(work: Work, plate: Plate) -> Iterator[Ink]:
    """Where each bend of the plate itself begins and ends."""
    for bend in bends_in(work.bracket, plate):
        yield from (line(limit.start, limit.end, "centre") for limit in bend_limits(bend))


def _holes(plate: Plate, there: Sequence[str]) -> Iterator[Ink]:
    """Every hole with its cross; those that are there already are not punched."""
    for hole in plate.holes:
        c, reach = hole.circle.centre, hole.circle.radius + 5.0
        yield Stroke(hole.circle, "cut")
        yield line(c - reach, c + reach, "fine")
        yield line(c - reach * 1j, c + reach * 1j, "fine")
        if hole.name not in there:
            yield from _punch(c)


def _slots(plate: Plate) -> Iterator[Ink]:
    """The way a bolt can move, and the centres of a slot's ends."""
    for slot in plate.slots:
        one, other = slot.ends
        along = (other - one) / abs(other - one)
        yield line(one - along * (slot.width_mm / 2 + 5.0), other + along * (slot.width_mm / 2 + 5.0), "fine")
        for end in slot.ends:
            across = along * 1j * (slot.width_mm / 2 + 4.0)
            yield line(end - across, end + across, "fine")
            yield from _punch(end)


def _corners(work: Work, plate: Plate) -> Iterator[Ink]:
    """Corners that are drilled before the plate is sawn."""
    for circle in drilled_corners(work.job, plate):
        yield Stroke(circle, "fine")
        yield from _punch(circle.centre)


def _punch(at: complex) -> Iterator[Ink]:
    """A centre to be punched."""
    yield Stroke(Circle(at, PUNCH_RADIUS_MM), "fine")
    yield Stroke(Circle(at, 0.3), "fine", filled=True)
