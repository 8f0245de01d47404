"""The bracket in space with its words: each part's name, which way is which, station 0, and where each trace was read.

Near and far are the sides as the parts' names have them; the traces lie on the rail in the planes where they were read,
and the straightedge along them.
"""

from collections.abc import Iterator

from plategen.bracket.envelope import barrel_start_mm
from plategen.flat.chain import Chain
from plategen.flat.placement import across_pin
from plategen.flat.segment import Line, unit
from plategen.ground.show import Show
from plategen.ground.space import Vector
from plategen.rail.surface import Rail
from plategen.tell.picture.callout import Callout, Inked, inked, lettered, placed
from plategen.tell.picture.drafter import Drafter, framed
from plategen.tell.picture.place import Box
from plategen.tell.picture.plate_features import spoken
from plategen.tell.picture.plate_station import numbered
from plategen.tell.picture.scene import Scene
from plategen.tell.picture.view import LABEL, Seen, Stroke, bracket_scene, described, projected, seen
from plategen.work import Work

LETTERING = 0.023
"""Height of lettering as a share of the drawing's width: with the words beside it about 12 px of 640."""

STRAIGHTEDGE, TRACE, ZERO = "straightedge", "trace ", "zero"
"""Beginnings of the names of what is pointed at."""

Ways = tuple[tuple[Vector, str], ...]
WAYS: Ways = (
    ((1.0, 0.0, 0.0), "stations grow"),
    ((0.0, 1.0, 0.0), "up, to the {}"),
    ((0.0, 0.0, 1.0), "plane grows, to the far side"),
)
"""The three directions and their words."""


def labelled_view(work: Work) -> str:
    """The picture as SVG that stands in a page."""
    bracket, rail, body_mm = work.bracket, work.rail, work.job.cylinder.body_diameter_mm
    scene = bracket_scene(bracket, rail, work.job.rail.wall_mm, body_mm, work.features)
    if isinstance(rail, Rail):
        _add_traces(scene, rail)
    found = seen(scene)
    u0, v0, u1, v1 = found.bounds
    drafter = Drafter(LETTERING * max(u1 - u0, 0.9 * (v1 - v0)))
    h = drafter.height_mm
    strokes = [(stroke.start, stroke.end) for stroke in found.strokes]
    rose, arms = _rose(inked(strokes, 0.4 * h), found.bounds, "rail" if isinstance(rail, Rail) else "tube", h)
    way, tip = _cylinder_arrow(work, body_mm, h)
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
    content = [
        *found.paths(),
        *(drafter.line(start, end, "tick") + drafter.arrow(end, end - start) for start, end in arrows),
        *lettered(places, drafter),
    ]
    return framed("view", LABEL, f"{described(bracket, rail)} Each part is named.", bounds, content)


def _add_traces(scene: Scene, rail: Rail) -> None:
    """Where each trace was read, as a line on the rail, and the straightedge along the first."""
    for fitted in rail.traces:
        plane = fitted.trace.plane_mm
        scene.add_path(rail.section(plane), across_pin(plane), "trace-line", TRACE + fitted.trace.file)
    first = rail.traces[0].trace
    last = max(reading.point.real for reading in first.readings)
    level = complex(0.0, rail.inline_offset_mm)
    scene.add_path(Chain((Line(level, level + last),)), across_pin(first.plane_mm), "centre", STRAIGHTEDGE)
    tick = Chain((Line(level - 12j, level + 12j),))
    scene.add_path(tick, across_pin(first.plane_mm), "tick", ZERO)


def _notes(work: Work, found: Seen) -> Iterator[Callout]:
    """Names of parts, traces, straightedge and station 0, each at the middle of the longest stroke seen of it."""
    show = Show(work.job.units)
    longest: dict[str, Stroke] = {}
    for stroke in found.strokes:
        so_far = longest.get(stroke.of)
        if so_far is None or abs(stroke.end - stroke.start) > abs(so_far.end - so_far.start):
            longest[stroke.of] = stroke
    middles = {of: (stroke.start + stroke.end) / 2 for of, stroke in longest.items()}
    for plate in work.bracket.plates:
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


def _rose(
    ink: Inked, bounds: tuple[float, float, float, float], stands_on: str, h: float
) -> tuple[list[Callout], list[tuple[complex, complex]]]:
    """The three directions as arrows from a corner of the picture where least is drawn, and their words."""
    u0, v0, u1, v1 = bounds
    corners = [complex(u, v) for u in (u0 + 5.0 * h, u1 - 5.0 * h) for v in (v0 + 4.0 * h, v1 - 4.0 * h)]
    middle = min(corners, key=lambda at: int((abs(ink - at) < 6.0 * h).sum()))
    notes, arms = [], []
    for axis, words in WAYS:
        along = unit(projected(axis))
        tip = middle + 4.0 * h * along
        arms.append((middle, tip))
        notes.append(Callout(words.format(stands_on), tip, "datum", along))
    return notes, arms
