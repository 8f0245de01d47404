"""A plate drawn for the bench: its shape, the rail it meets, its welds, and every dimension a tape can check."""

from collections.abc import Iterable, Iterator

from plategen.bracket.model import Plate
from plategen.draw.svg import element, path_data
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle
from plategen.flat.segment import Line, unit
from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter, framed, readable
from plategen.tell.picture.on_rail import drawn_beside, room_for_names
from plategen.tell.picture.place import Box, box_about
from plategen.tell.picture.plate_bend import drawn_bends, named_bends
from plategen.tell.picture.plate_dimension import (
    across,
    ordinates,
    risen,
    second_lane,
    toes,
    upright,
)
from plategen.tell.picture.plate_features import (
    Datum,
    clearance,
    clearances,
    corners,
    datum_of,
    inward,
    opening_of,
    plain_openings,
    relief_arcs,
    roots,
    spoken,
)
from plategen.tell.picture.plate_foot import ROOM as FEET_ABOVE
from plategen.tell.picture.plate_foot import drawn_feet, feet, named_feet
from plategen.tell.picture.plate_leader import leaders, level_words
from plategen.tell.picture.plate_name import NameBlock, name_block
from plategen.tell.picture.plate_station import risers, stations, step_mm
from plategen.work import Work

LETTERING = 0.0185
"""Height of lettering as a share of the picture's width: 7 pt where the smallest is printed 147 mm wide."""

TALL_LETTERING = 0.026
"""The same as a share of a tall plate's height: 7 pt where the picture, 57 of it high, is printed 150 mm high."""

LEFT, RIGHT, BELOW, ABOVE, ABOVE_STATIONS = 10.0, 12.0, 7.2, 3.0, 9.6
"""Room round the plate for dimensions, in heights of lettering."""

INNER = 2.4
"""More of it, left and below, where openings and reliefs have a lane of their own."""


def plate_picture(work: Work, plate: Plate) -> str:
    """The plate's drawing as SVG that stands in a page."""
    show = Show(work.job.units)
    u0, v0, u1, v1 = plate.outline.bounds
    # the lettering is a share of the whole width, which is the plate's and so many letterings on either side
    drafter = Drafter(max(LETTERING * (u1 - u0) / (1.0 - (LEFT + RIGHT) * LETTERING), TALL_LETTERING * (v1 - v0)))
    h = drafter.height_mm
    datum = datum_of(work, plate)
    named = [*_weld_boxes(work, plate, drafter), *(box for _, _, _, box in named_feet(plate, drafter))]
    named += [box for _, _, box in named_bends(work, plate, drafter, show)]
    name = name_block(work, plate, datum, named, drafter, show)
    level = abs(plate.placement.v[0]) < 1e-9
    columns = max(2, int(_foot(plate) / (3.7 * h)) + 1)
    ticks = stations(plate, step_mm(_foot(plate), work.job.units, columns)) if level and datum else ()
    rise = _rise(plate)
    rows = max(2, int(rise / (4.0 * h)))
    heights = risers(plate, step_mm(rise, work.job.units, rows)) if level and datum and rise > 4.0 * h else ()
    above = ABOVE_STATIONS if ticks else FEET_ABOVE if feet(plate) else ABOVE
    content = (
        *_rail(plate, h),
        element("path", d=path_data(plate.outline, *(h.circle for h in plate.holes), *plate.openings), class_="plate"),
        drafter.path(plate.notch, "notch") if plate.notch else "",
        *drawn_beside(work, plate, drafter, show, v1 + above * h),
        *_welds(work, plate, drafter),
        *(ordinates(plate, ticks, datum, drafter, show) if datum else ()),
        *(risen(plate, heights, datum, drafter, show) if datum else ()),
        *(drafter.cross(Circle(arc.centre, 0.4 * h), 0.5 * h) for arc in relief_arcs(plate)),
        *(drafter.cross(Circle(opening_of(cut).middle, 0.2 * h), 0.4 * h) for cut in plain_openings(plate)),
        *_datum(plate, datum, (name.box, *named), drafter),
        *_holes(plate, drafter),
        *(drafter.path(mark.path, "mark") for mark in plate.marks if not mark.foot),
        *drawn_bends(work, plate, drafter, show),
        *drawn_feet(plate, drafter, show),
        *_name(plate, name, drafter),
        *across(plate, datum, drafter, show),
        *upright(plate, datum, drafter, show),
        *toes(plate, drafter, show),
        *leaders(plate, datum, name, named, drafter, show),
    )
    more = INNER if second_lane(plate, datum) else 0.0
    bounds = (
        u0 - (LEFT + more) * h,
        v0 - (BELOW + more) * h,
        u1 + RIGHT * h,
        v1 + (above + room_for_names(work, plate)) * h,
    )
    return framed(
        f"plate-{plate.name}",
        f"{spoken(plate)}, dimensioned",
        _description(plate, work.job.style.stands_on, show),
        bounds,
        content,
    )


def _foot(plate: Plate) -> float:
    ends = corners(plate)
    return ends[1].real - ends[0].real if ends else 0.0


def _rise(plate: Plate) -> float:
    """How far the notch goes up the rail's side."""
    return max((abs((seat.end - seat.start).imag) for seat in plate.seats), default=0.0)


def _description(plate: Plate, stands_on: str, show: Show) -> str:
    u0, v0, u1, v1 = plate.outline.bounds
    holes = "".join(f" {h.name} hole {show.length(2 * h.circle.radius)} across." for h in plate.holes)
    notch = f" The heavy edge is the notch that meets the {stands_on}." if plate.notch else ""
    size = f"{show.length(u1 - u0)} wide, {show.length(v1 - v0)} high, {show.length(plate.thickness_mm)} thick."
    return f"{size}{holes}{notch} The dimensions are in the tables as well."


def _rail(plate: Plate, height: float) -> Iterator[str]:
    """The rail beyond the notch, hatched as cut material is."""
    if plate.notch is None:
        return
    strokes = []
    for at, tangent in (place for seat in plate.seats for place in seat.spaced(0.75 * height)):
        out = -inward(plate, at, tangent)
        right = tangent if tangent.real > 0 else -tangent
        strokes.append((Line(at + out * 0.15 * height, at + (out * 1.2 + right * 0.8) * height),))
    yield element("path", d=path_data(*strokes), class_="hatch")


def _welds(work: Work, plate: Plate, drafter: Drafter) -> Iterator[str]:
    """Each root line that carries a run: strokes across it on the steel, and which run lies on which face."""
    for root in roots(work, plate):
        strokes = []
        for at, tangent in root.path.spaced(0.7 * drafter.height_mm):
            into = inward(plate, at, tangent) * drafter.height_mm
            strokes.append((Line(at + into * 0.15, at + into * 0.75),))
        yield element("path", d=path_data(*strokes), class_="weld-run")
        at, tangent = _weld_place(plate, root.path, drafter.width(root.sides), drafter.height_mm)
        yield drafter.words(root.sides, at, kind="weld on-steel", turn_rad=readable(tangent))


def _weld_boxes(work: Work, plate: Plate, drafter: Drafter) -> Iterator[Box]:
    """Where the names of the runs stand."""
    h = drafter.height_mm
    for root in roots(work, plate):
        wide = drafter.width(root.sides)
        at, tangent = _weld_place(plate, root.path, wide, h)
        turned = unit(tangent)
        size = complex(abs(turned.real) * wide + abs(turned.imag) * h, abs(turned.imag) * wide + abs(turned.real) * h)
        yield box_about(at, size.real + h, size.imag + 0.4 * h)


def _weld_place(plate: Plate, path: Chain, wide: float, h: float) -> tuple[complex, complex]:
    """Where along a root line the names of its runs lie on steel and away from its ends, and the line's direction."""
    least = min(0.5, (wide / 2 + 0.5 * h) / path.length)
    places = [path.place(share) for share in (max(0.22, least), 0.3, 0.4, 0.5, 0.6, 0.7, min(0.78, 1.0 - least))]

    def room(place: tuple[complex, complex]) -> float:
        middle = place[0] + inward(plate, *place) * 1.8 * h
        spots = [middle + place[1] * wide / 8 * i for i in range(-4, 5)]
        return min(0.3 * h, *(room - 0.7 * h for room in clearances(plate, spots)))

    at, tangent = max(places, key=room)
    return at + inward(plate, at, tangent) * 1.8 * h, tangent


def _datum(plate: Plate, datum: Datum | None, named: Iterable[Box], drafter: Drafter) -> Iterator[str]:
    if datum is None:
        return
    u0, v0, u1, v1 = plate.outline.bounds
    at, h = datum.at, drafter.height_mm
    yield drafter.line(complex(u0 - 6.5 * h, at.imag), complex(u1 + 4.0 * h, at.imag), "centre")
    yield drafter.line(complex(at.real, v0 - 3.2 * h), complex(at.real, v1 + 0.5 * h), "centre")
    for words, box in level_words(plate, datum, named, drafter):
        middle = (box.low + box.high) / 2
        yield drafter.words(words, middle, kind="datum on-steel" if clearance(plate, middle) > 0.0 else "datum")


def _holes(plate: Plate, drafter: Drafter) -> Iterator[str]:
    for hole in plate.holes:
        yield drafter.cross(hole.circle, drafter.height_mm)
        if hole.made == "drill":
            yield drafter.dot(hole.circle.centre, 0.3 * drafter.height_mm, "tick")


def _name(plate: Plate, name: NameBlock, drafter: Drafter) -> Iterator[str]:
    yield drafter.words(spoken(plate), name.name_at, kind="strong on-steel", size=1.35)
    for words, at in name.placed():
        yield drafter.words(words, at, kind="on-steel" if words is name.lines[0] else "on-steel soft")
