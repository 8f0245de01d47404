"""The plan: the rail's face seen from the cylinder, with what is on it and what is put on it.

Stations run to the right and the pin's direction up the page, both true to each other: on a face that slants along the
rail lengths along it come out a little short. Rooms to keep clear are dashed.
"""

from collections.abc import Iterator

from plategen.bracket.feature import Feature
from plategen.bracket.model import STOOD_ON, Plate
from plategen.draw.svg import element, path_data
from plategen.flat.convex import convex_hull
from plategen.flat.loop import Circle, Contour, Loop, polygon
from plategen.flat.offset import offset_loop
from plategen.flat.segment import Line
from plategen.ground.show import Show
from plategen.ground.space import Vector
from plategen.rail.tube import Tube
from plategen.tell.picture.drafter import Drafter, framed
from plategen.tell.picture.plate_features import spoken
from plategen.tell.picture.plate_station import numbered, step_mm
from plategen.work import Work

LETTERING, AROUND = 0.02, 5.0
"""Height of lettering as a share of the picture's width, and the room around in letterings."""

_SAME_MM = 1e-6


def plan_picture(work: Work) -> str:
    """The plan as SVG that stands in a page; "" where nothing is known of the rail's face."""
    if isinstance(work.rail, Tube) or not (work.features or work.bracket.wall):
        return ""
    show = Show(work.job.units)
    plates = sorted(work.bracket.plates, key=lambda plate: plate.role != "base")  # the base lies under the ears
    feet = [(plate, foot) for plate in plates if (foot := _footprint(plate)) is not None]
    seen = [_seen(feature) for feature in work.features]
    pin = work.bracket.pin.centre
    rooms = (_around(shape, each.clear_mm) or shape for each, shape in zip(work.features, seen, strict=True))
    boxes = [shape.bounds for shape in (*(foot for _, foot in feet), *rooms)]
    u0, w0 = min(box[0] for box in boxes), min(box[1] for box in boxes)
    u1, w1 = max(box[2] for box in boxes), max(box[3] for box in boxes)
    drafter = Drafter(LETTERING * (u1 - u0) / (1.0 - 2.0 * AROUND * LETTERING))
    h = drafter.height_mm
    content = (
        *_stations(work, (u0, u1), w0 - 2.2 * h, drafter, show),
        *(part for plate, foot in feet for part in _foot(plate, foot, drafter)),
        *_welds(work, drafter),
        *(
            part
            for each, shape in zip(work.features, seen, strict=True)
            for part in _feature(each, shape, drafter, show)
        ),
        *_bolts(work, drafter),
        drafter.line(complex(pin[0], w0 - h), complex(pin[0], w1 + h), "centre"),
        drafter.line(complex(u0 - 2 * h, pin[2]), complex(u1 + 2 * h, pin[2]), "centre"),
    )
    words = (
        f"{len(work.features)} things on the rail, {len(feet)} plates; stations to the right, along the pin upwards."
    )
    bounds = (u0 - AROUND * h, w0 - AROUND * h, u1 + AROUND * h, w1 + AROUND * h)
    return framed("plan", "The rail's face, seen from the cylinder", words, bounds, content)


def flat(p: Vector) -> complex:
    """A point of space in the plan: its station, and its place along the pin."""
    return complex(p[0], p[2])


def _seen(feature: Feature) -> Contour:
    place = feature.placement
    if isinstance(feature.outline, Circle):
        return Circle(flat(place.origin), feature.outline.radius)
    return polygon([flat(place.point(edge.start)) for edge in feature.outline])


def _footprint(plate: Plate) -> Loop | None:
    """Where a plate stands on the face: of one across the pin its notch over its thickness; a base lies on it."""
    if plate.role in STOOD_ON:
        return polygon([flat(plate.placement.point(edge.start)) for edge in plate.outline])
    if plate.notch is None:
        return None
    ends = (plate.notch.start, plate.notch.end)
    corners = [flat(plate.placement.point(p, depth)) for p in ends for depth in (0.0, plate.thickness_mm)]
    return polygon(convex_hull(corners, _SAME_MM).tolist())


def _foot(plate: Plate, foot: Loop, drafter: Drafter) -> Iterator[str]:
    u0, w0, u1, w1 = foot.bounds
    yield element("path", d=path_data(foot), class_="plate")
    yield drafter.words(spoken(plate), complex((u0 + u1) / 2, (w0 + w1) / 2), kind="on-steel", size=0.9)


def _bolts(work: Work, drafter: Drafter) -> Iterator[str]:
    """The bolts of a base: their holes, and their names where they are new."""
    base, wall, h = work.design.base, work.bracket.wall, drafter.height_mm
    if base is None or wall is None:
        return
    for k, bolt in enumerate(base.bolts, start=1):
        hole = Circle(complex(bolt.station_mm, bolt.plane_mm), wall.holes[k - 1].circle.radius)
        yield element("path", d=path_data(hole), class_="notch")
        yield drafter.cross(hole, 0.6 * h)
        yield drafter.words(f"bolt {k}", hole.centre - 1j * (hole.radius + 1.1 * h), kind="on-steel strong", size=0.8)


def _welds(work: Work, drafter: Drafter) -> Iterator[str]:
    base = work.bracket.of_role("base")
    for run in work.bracket.welds:
        if run.joint == "rail" or (base is not None and run.other == base.name):
            first, last = (flat(run.placement.point(p)) for p in (run.path.start, run.path.end))
            yield element("path", d=path_data((Line(first, last),)), class_="weld-run")


def _feature(feature: Feature, shape: Contour, drafter: Drafter, show: Show) -> Iterator[str]:
    h = drafter.height_mm
    yield element("path", d=path_data(shape), class_="on-rail")
    around = _around(shape, feature.clear_mm)
    if around is not None:
        yield element("path", d=path_data(around), class_="mark")
    if isinstance(shape, Circle):
        yield drafter.cross(shape, 0.8 * h)
    _, _, _, top = (around or shape).bounds
    words = f"{feature.name}, {show.short(feature.size_mm)}"
    at = complex(flat(feature.placement.origin).real, top + 0.8 * h)
    yield drafter.words(words, at, kind="strong", size=0.9)


def _around(shape: Contour, by_mm: float) -> Contour | None:
    """The room to keep clear; None where there is none to keep."""
    if by_mm <= 0.0:
        return None
    if isinstance(shape, Circle):
        return Circle(shape.centre, shape.radius + by_mm)
    return offset_loop(shape, -by_mm)


def _stations(work: Work, reach: tuple[float, float], level: float, drafter: Drafter, show: Show) -> Iterator[str]:
    h, (u0, u1) = drafter.height_mm, reach
    step = step_mm(u1 - u0, work.job.units, max(2, int((u1 - u0) / (4.0 * h))))
    first, last = int(u0 // step), int(u1 // step) + 1
    for k in range(first, last + 1):
        if u0 - 1e-6 <= k * step <= u1 + 1e-6:
            at = complex(k * step, level)
            yield drafter.line(at, at + 0.7j * h, "tick")
            yield drafter.words(numbered(show, k * step), at - 0.8j * h, kind="datum", size=0.85)
