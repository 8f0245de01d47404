"""The bracket in space with its words: each part's name, which way is which, station 0, and where each trace was read.

Near and far are the sides as the parts' names have them; the traces lie on the rail in the planes where they were read,
and the straightedge along them. A tube has its mark of station 0 across it instead.
"""

import cmath
import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from plategen.bracket.envelope import barrel_start_mm
from plategen.bracket.measure import along_pin
from plategen.bracket.unfold import bodies_of
from plategen.design.front import front_of
from plategen.flat.chain import Chain
from plategen.flat.placement import across_pin
from plategen.flat.segment import Line, unit
from plategen.ground.show import Show
from plategen.ground.space import Vector
from plategen.rail.surface import Rail
from plategen.rail.tube import Tube
from plategen.tell.picture.callout import Callout, Inked, Placed, inked, lettered, placed
from plategen.tell.picture.drafter import Drafter, framed
from plategen.tell.picture.place import Box
from plategen.tell.picture.plate_features import spoken
from plategen.tell.picture.plate_station import numbered
from plategen.tell.picture.scene import Scene
from plategen.tell.picture.view import LABEL, Seen, Stroke, bracket_scene, described, projected, seen
from plategen.work import Work

PRINTED_MM = (129.0, 73.0)
"""Room for the picture on the sheet's first printed page, beside the job's facts."""

LEAST_PRINTED_MM = 2.55
"""Height of lettering there, a little over 7 point; a telephone, where the picture is wider, shows it at over 12 px."""

TRIES = 8
"""How often the lettering is set larger, with the room that its words take, until it comes out high enough."""

STRAIGHTEDGE, TRACE, ZERO = "straightedge", "trace ", "zero"
"""Beginnings of the names of what is pointed at."""

Ways = tuple[tuple[Vector, str], ...]
WAYS: Ways = (
    ((1.0, 0.0, 0.0), "stations grow"),
    ((0.0, 1.0, 0.0), "up, to the {}"),
    ((0.0, 0.0, 1.0), "plane grows, to the far side"),
)
"""The three directions and their words."""

FRONT, FRONT_TOO = "machine's front", "{}, to the machine's front"
"""What the arrow to the machine's front is called, alone and where one of the three lies along it."""

ROSE_LOW, ROSE_HIGH = 4.0 + 4.0j, 18.0 + 6.0j
"""How far the directions' arrows and words reach from where the arrows begin, in heights of lettering."""

ALONG_COS = math.cos(math.radians(10.0))
"""Directions within this are one to the eye."""

MARK_MM = 12.0
"""How far the mark of station 0 reaches from straightedge or tube."""


@dataclass(frozen=True, slots=True)
class _Lettered:
    """The picture's words and arrows at one height of lettering."""

    drafter: Drafter
    places: list[Placed]
    arrows: list[tuple[complex, complex]]
    bounds: tuple[float, float, float, float]

    @property
    def printed_mm(self) -> float:
        """How high the words come out on paper."""
        u0, v0, u1, v1 = self.bounds
        return self.drafter.height_mm * min(PRINTED_MM[0] / (u1 - u0), PRINTED_MM[1] / (v1 - v0))


def labelled_view(work: Work) -> str:
    """The picture as SVG that stands in a page."""
    bracket, rail, body_mm = work.bracket, work.rail, work.job.cylinder.body_diameter_mm
    scene = bracket_scene(bracket, rail, work.job.rail.wall_mm, body_mm, work.features)
    if isinstance(rail, Rail):
        _add_traces(scene, rail)
    else:
        _add_mark(scene, rail, along_pin(bracket.plates))
    found = seen(scene)
    u0, v0, u1, v1 = found.bounds
    words = _lettered(work, found, LEAST_PRINTED_MM / min(PRINTED_MM[0] / (u1 - u0), PRINTED_MM[1] / (v1 - v0)))
    for _ in range(TRIES):
        if words.printed_mm >= LEAST_PRINTED_MM:
            break
        words = _lettered(work, found, words.drafter.height_mm * 1.02 * LEAST_PRINTED_MM / words.printed_mm)
    drafter = words.drafter
    content = [
        *found.paths(),
        *(drafter.line(start, end, "tick") + drafter.arrow(end, end - start) for start, end in words.arrows),
        *lettered(words.places, drafter),
    ]
    return framed("view", LABEL, f"{described(bracket, rail)} Each part is named.", words.bounds, content)


def _lettered(work: Work, found: Seen, h: float) -> _Lettered:
    """Arrows and words with a place for each, their lettering so high."""
    drafter, (u0, v0, u1, v1) = Drafter(h), found.bounds
    strokes = [(stroke.start, stroke.end) for stroke in found.strokes]
    ways = _ways("rail" if isinstance(work.rail, Rail) else "tube", front_of(work.job, work.design.study))
    rose, arms = _rose(inked(strokes, 0.4 * h), found.bounds, ways, h)
    way, tip = _cylinder_arrow(work, work.job.cylinder.body_diameter_mm, h)
    arrows = [*arms, (way, tip)]
    notes = [*_notes(work, found), Callout("cylinder this way", tip, "datum", unit(tip - way))]
    ink = inked([*strokes, *arrows], 0.4 * h)
    places = placed([*rose, *notes], ink, Box(complex(u0, v0), complex(u1, v1)), drafter)
    boxes = [place.box for place in places]
    ends = [end for arrow in arrows for end in arrow]
    bounds = (
        min(u0, *(box.low.real - 0.5 * h for box in boxes), *(end.real - h for end in ends)),
        min(v0, *(box.low.imag - 0.5 * h for box in boxes), *(end.imag - h for end in ends)),
        max(u1, *(box.high.real + 0.5 * h for box in boxes), *(end.real + h for end in ends)),
        max(v1, *(box.high.imag + 0.5 * h for box in boxes), *(end.imag + h for end in ends)),
    )
    return _Lettered(drafter, places, arrows, bounds)


def _add_traces(scene: Scene, rail: Rail) -> None:
    """Where each trace was read, as a line on the rail, and the straightedge along the first."""
    for fitted in rail.traces:
        plane = fitted.trace.plane_mm
        scene.add_path(rail.section(plane), across_pin(plane), "trace-line", TRACE + fitted.trace.file)
    first = rail.traces[0].trace
    last = max(reading.point.real for reading in first.readings)
    level = complex(0.0, rail.inline_offset_mm)
    scene.add_path(Chain((Line(level, level + last),)), across_pin(first.plane_mm), "centre", STRAIGHTEDGE)
    tick = Chain((Line(level - MARK_MM * 1j, level + MARK_MM * 1j),))
    scene.add_path(tick, across_pin(first.plane_mm), "tick", ZERO)


def _add_mark(scene: Scene, tube: Tube, plates_mm: tuple[float, float]) -> None:
    """Station 0 as a mark round a tube along the cylinder; beside one along the pin, over the cylinder's line."""
    if tube.along_pin:
        stroke = Chain((Line(0j, complex(0.0, tube.axis.imag)),))
        scene.add_path(stroke, across_pin(sum(plates_mm) / 2.0), "tick", ZERO)
        return
    place = tube.across(-tube.axis.real / math.cos(tube.lean_rad))
    radius = 0.5 * tube.across_mm * (1.0 if tube.round else math.sqrt(2.0)) + 0.1
    round_it = [cmath.rect(radius, math.radians(10 * i)) for i in range(37)]
    scene.add_path(Chain(tuple(Line(p, q) for p, q in pairwise(round_it))), place, "tick", ZERO)


def _notes(work: Work, found: Seen) -> Iterator[Callout]:
    """Names of parts, traces, straightedge and station 0, each at the middle of the longest stroke seen of it."""
    show = Show(work.job.units)
    longest: dict[str, Stroke] = {}
    for stroke in found.strokes:
        so_far = longest.get(stroke.of)
        if so_far is None or abs(stroke.end - stroke.start) > abs(so_far.end - so_far.start):
            longest[stroke.of] = stroke
    middles = {of: (stroke.start + stroke.end) / 2 for of, stroke in longest.items()}
    for plate in bodies_of(work.bracket):
        if plate.name in middles:
            yield Callout(spoken(plate), middles[plate.name])
    for fitted in work.rail.traces:
        if (at := middles.get(TRACE + fitted.trace.file)) is not None:
            plane = f"plane {numbered(show, fitted.trace.plane_mm)} {show.units}"
            yield Callout(f"trace {fitted.trace.file}, {plane}", at, "datum")
    if ZERO in middles:
        yield Callout("station 0", middles[ZERO], "datum strong")
    if STRAIGHTEDGE in middles:
        yield Callout("straightedge", middles[STRAIGHTEDGE], "datum")


def _cylinder_arrow(work: Work, body_mm: float, h: float) -> tuple[complex, complex]:
    """From the barrel's begin along the cylinder, under it, so that the arrow lies free."""
    u, v, w = work.bracket.pin.centre
    begins = barrel_start_mm(work.bracket, body_mm)
    at = projected((u + begins, v - body_mm, w))
    return at, at + 6.0 * h * unit(projected((1.0, 0.0, 0.0)))


def _ways(stands_on: str, front: Vector | None) -> list[tuple[Vector, str]]:
    """The directions to draw with their words: the front has an arrow of its own where none of the three lies so."""
    ways = [(axis, words.format(stands_on)) for axis, words in WAYS]
    if front is None:
        return ways
    for i, (axis, words) in enumerate(ways):
        if sum(a * b for a, b in zip(axis, front, strict=True)) > ALONG_COS:
            return [*ways[:i], (axis, FRONT_TOO.format(words)), *ways[i + 1 :]]
    return [*ways, (front, FRONT)]


def _rose(
    ink: Inked, bounds: tuple[float, float, float, float], ways: list[tuple[Vector, str]], h: float
) -> tuple[list[Callout], list[tuple[complex, complex]]]:
    """The directions as arrows from a corner of the picture where least is drawn, and their words."""
    u0, v0, u1, v1 = bounds
    corners = [complex(u, v) for u in (u0 + 5.0 * h, u1 - 18.0 * h) for v in (v0 - 1.0 * h, v0 + 4.0 * h, v1 - 4.0 * h)]
    middle = min(corners, key=lambda at: _inside(ink, Box(at - h * ROSE_LOW, at + h * ROSE_HIGH)))
    notes, arms = [], []
    for axis, words in ways:
        along = unit(projected(axis))
        tip = middle + 4.0 * h * along
        arms.append((middle, tip))
        notes.append(Callout(words, tip, "datum", along))
    return notes, arms


def _inside(ink: Inked, box: Box) -> int:
    """How much is drawn in a rectangle."""
    across = (box.low.real < ink.real) & (ink.real < box.high.real)
    return int((across & (box.low.imag < ink.imag) & (ink.imag < box.high.imag)).sum())
