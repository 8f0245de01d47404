"""The dimensions of a plate's drawing, each in a lane of its own so that none runs through another."""

from collections.abc import Iterator

from plategen.bracket.model import Plate
from plategen.flat.segment import Arc, Line, Segment
from plategen.quantity import Show
from plategen.shop.picture_pen import Pen
from plategen.shop.picture_place import Box, Note, box_about, leader_place
from plategen.shop.picture_station import Station, numbered
from plategen.shop.plate_place import clear_place, clearance, corners, inward, meeting, spaced
from plategen.shop.plate_words import tape


def ordinates(plate: Plate, ticks: tuple[Station, ...], pin: complex, pen: Pen, show: Show) -> Iterator[str]:
    """In a strip above the plate: each whole station, and how far the notch lies from the cylinder's centre line."""
    if not ticks:
        return
    v1, h = plate.outline.bounds[3], pen.height_mm
    fine, first, second = v1 + 3.5 * h, v1 + 4.7 * h, v1 + 6.8 * h
    away = 1.0 if plate.placement.v[1] > 0 else -1.0
    left, right = (f(tick.point.real for tick in ticks) for f in (min, max))
    for tick in ticks:
        at = tick.point
        value, _, decimals = tape(show, away * (at.imag - pin.imag)).partition(" (")
        yield pen.path([Line(at - 0.5j * h, complex(at.real, fine - (0.7 if decimals else -0.2) * h))], "tick")
        yield pen.words(value, complex(at.real, first), kind="strong")
        if decimals:
            yield pen.words(decimals.rstrip(")"), complex(at.real, fine), kind="soft", size=0.85)
        yield pen.words(numbered(show, tick.along_mm), complex(at.real, second), kind="datum strong")
    yield pen.words("station", complex(left - 2.5 * h, second), anchor="end", kind="datum", size=0.9)
    yield pen.words("notch above", complex(left - 2.5 * h, first), anchor="end", kind="soft", size=0.9)
    yield pen.words("centre line", complex(left - 2.5 * h, first - h), anchor="end", kind="soft", size=0.9)
    for at, kind in ((second, "datum"), (first, "soft")):
        yield pen.words(show.units, complex(right + 2.5 * h, at), anchor="start", kind=kind, size=0.9)
    rule = complex(0, second - 1.05 * h)
    yield pen.path([Line(left - 6.5 * h + rule, right + 3.2 * h + rule)], "grid")


def across(plate: Plate, pin: complex | None, pen: Pen, show: Show) -> Iterator[str]:
    """Below the plate: from the pin to both ends of the foot, and the width over all."""
    u0, v0, u1, _ = plate.outline.bounds
    h = pen.height_mm
    for end in (corners(plate) or ()) if pin is not None else ():
        if pin is not None and abs(end.real - pin.real) > h:
            words = tape(show, abs(end.real - pin.real))
            yield pen.dimension(complex(pin.real, v0), end, complex(0.0, v0 - 2.4 * h), words, along=1 + 0j)
    words = f"{tape(show, u1 - u0)} {show.units} over all"
    lane = complex(0.0, v0 - 5.2 * h)
    yield pen.dimension(_extreme(plate, -1 + 0j), _extreme(plate, 1 + 0j), lane, words, along=1 + 0j)


def upright(plate: Plate, pin: complex | None, pen: Pen, show: Show) -> Iterator[str]:
    """Beside the plate: from the cylinder's centre line to both corners of the foot, and the height over all."""
    u0, v0, u1, v1 = plate.outline.bounds
    h = pen.height_mm
    lanes = (u0 - 5.2 * h, u1 + 3.2 * h)
    for end, lane in zip(corners(plate) or (), lanes, strict=False):
        if pin is not None and abs(end.imag - pin.imag) > h:
            words = tape(show, abs(end.imag - pin.imag))
            yield pen.dimension(complex(lane, pin.imag), end, complex(lane, 0.0), words, along=1j)
    words = f"{tape(show, v1 - v0)} {show.units} over all"
    lane_at = complex(u1 + 7.6 * h, 0.0)
    yield pen.dimension(_extreme(plate, -1j), _extreme(plate, 1j), lane_at, words, along=1j)


def toes(plate: Plate, pen: Pen, show: Show) -> Iterator[str]:
    """The height of the end faces at the rail, once when both are alike."""
    told: list[str] = []
    for corner, side in zip(corners(plate) or (), (-1j, 1j), strict=False):
        foot = _end_of_face(plate, corner)
        words = f"toe {tape(show, abs(foot - corner))}" if foot is not None else ""
        if foot is None or words in told:
            continue
        told.append(words)
        out = (foot - corner) / abs(foot - corner) * side
        yield pen.dimension(corner, foot, corner + out * 1.9 * pen.height_mm, words)


def leaders(plate: Plate, pin: complex | None, pen: Pen, show: Show) -> Iterator[str]:
    """Holes and radii, each with a leader to where there is room."""
    h = pen.height_mm
    u0, v0, u1, v1 = plate.outline.bounds
    field = Box(complex(u0 - 1.0 * h, v0 - 1.2 * h), complex(u1 + 1.0 * h, v1 + 1.9 * h))
    taken = [box_about(name_place(plate, pin), 14 * h, 6.5 * h), _band(u0, u1, v0, h)]
    taken += [
        box_about(at + 1.2 * h * inward(plate, at, tangent), 2.2 * h, 2.4 * h)
        for at, tangent in (spaced(plate.notch, 2.0 * h) if plate.notch else ())
    ]
    if pin is not None:
        taken += [
            Box(complex(pin.real - 0.4 * h, v0), complex(pin.real + 0.4 * h, v1)),
            _band(u0 - 7 * h, u1 + 7 * h, pin.imag, h),
            box_about(complex(u0 + 5 * h, pin.imag + h), 11 * h, 2 * h),
        ]
    for note in _notes(plate, show):
        tip, elbow, box = leader_place(plate, note, pen.width(note.words), h, field, taken)
        taken.append(box)
        on_steel = clearance(plate, (box.low + box.high) / 2) > 0.0
        yield pen.leader(tip, elbow, note.words, kind="on-steel" if on_steel else "")


def name_place(plate: Plate, pin: complex | None) -> complex:
    """Where the plate's name stands: clear of its edges and of the upright datum line."""
    _, v0, _, v1 = plate.outline.bounds
    return clear_place(plate, [] if pin is None else [Line(complex(pin.real, v0), complex(pin.real, v1))])


def _notes(plate: Plate, show: Show) -> Iterator[Note]:
    """Every hole's diameter and every radius, alike radii together."""
    for hole in plate.holes:
        words = f"{hole.name} hole {tape(show, 2 * hole.circle.radius)} dia."
        out = complex(-0.8, -0.6)
        at = hole.circle.centre + out * hole.circle.radius
        yield Note(words if hole.made == "cut" else f"{words}, punch and drill", ((at, out),), hole.circle)
    arcs: dict[str, list[Arc]] = {}
    for segment in plate.outline:
        if isinstance(segment, Arc):
            arcs.setdefault(f"{_kind(plate, segment)} {tape(show, segment.radius)}", []).append(segment)
    for words, alike in arcs.items():
        tips = [arc.point(0.75 if words.startswith("nose") else 0.5) for arc in alike]
        outs = [(tip - arc.centre) * (1 if arc.bulge > 0 else -1) for tip, arc in zip(tips, alike, strict=True)]
        many = f", {len(alike)} places" if len(alike) > 1 else ""
        yield Note(f"{words}{many}", tuple(zip(tips, outs, strict=True)))


def _kind(plate: Plate, arc: Arc) -> str:
    if _of_notch(plate, arc):
        return "bend R"
    return "nose R" if any(abs(arc.centre - hole.circle.centre) < 1e-6 for hole in plate.holes) else "R"


def _of_notch(plate: Plate, segment: Segment) -> bool:
    """Whether an edge of the outline is one of the notch's, whichever way the notch is walked."""
    ends = {segment.start, segment.end}
    return any(max(min(abs(end - p) for p in (s.start, s.end)) for end in ends) < 1e-6 for s in plate.notch or ())


def _end_of_face(plate: Plate, corner: complex) -> complex | None:
    """Where the end face that begins at a corner of the notch would meet the next flank, a rounding undone."""
    for loop in (plate.outline.segments, plate.outline.reversed().segments):
        for i, face in enumerate(loop):
            if abs(face.start - corner) > 1e-6 or isinstance(face, Arc) or _of_notch(plate, face):
                continue
            corner_arc, flank = loop[(i + 1) % len(loop)], loop[(i + 2) % len(loop)]
            if isinstance(corner_arc, Arc) and isinstance(flank, Line):
                return meeting(face, flank)
            return face.end
    return None


def _extreme(plate: Plate, direction: complex) -> complex:
    """The outline's farthest point in one of the four directions along the axes; the lowest or leftmost of several."""
    u0, v0, u1, v1 = plate.outline.bounds
    edge = {1 + 0j: u1, -1 + 0j: u0, 1j: v1, -1j: v0}[direction]
    across = direction.real != 0.0
    spots = [s.point(i / 64) for s in plate.outline for i in range(64)]
    nearest = min(
        spots, key=lambda p: (round(abs((p.real if across else p.imag) - edge), 3), p.imag if across else p.real)
    )
    return complex(edge, nearest.imag) if across else complex(nearest.real, edge)


def _band(left: float, right: float, at: float, height: float) -> Box:
    """The room of a line that runs across the picture."""
    return Box(complex(left, at - 0.7 * height), complex(right, at + 0.7 * height))
