"""What is written beside a plate with a leader: holes, slots and radii, alike ones together, and the plate's name."""

from collections.abc import Iterator

from plategen.bracket.model import Hole, Plate, Slot
from plategen.flat.segment import Arc, Line
from plategen.ground.quantity import Show
from plategen.tell.picture.dimension import of_notch
from plategen.tell.picture.pen import Pen
from plategen.tell.picture.place import Box, Note, box_about, leader_place, level_places
from plategen.tell.picture.plate_datum import Datum
from plategen.tell.picture.plate_place import clear_place, clearance, inward, spaced
from plategen.tell.picture.plate_words import tape

_LOWER_LEFT = complex(-0.8, -0.6)
_WAYS_OUT = (_LOWER_LEFT, complex(0.8, -0.6), complex(0.8, 0.6), complex(-0.8, 0.6))
"""Ways to leave a round hole with a leader, the first preferred."""


def leaders(plate: Plate, datum: Datum | None, name_at: complex, pen: Pen, show: Show) -> Iterator[str]:
    """Holes, slots and radii, each with a leader to where there is room."""
    h = pen.height_mm
    u0, v0, u1, v1 = plate.outline.bounds
    field = Box(complex(u0 - 1.0 * h, v0 - 1.2 * h), complex(u1 + 1.0 * h, v1 + 1.9 * h))
    taken = [box_about(name_at, 14 * h, 6.5 * h), _band(u0, u1, v0, h)]
    taken += [
        box_about(at + 1.2 * h * inward(plate, at, tangent), 2.2 * h, 2.4 * h)
        for at, tangent in (spaced(plate.notch, 2.0 * h) if plate.notch else ())
    ]
    if datum is not None:
        at = datum.at
        taken += [
            Box(complex(at.real - 0.4 * h, v0), complex(at.real + 0.4 * h, v1)),
            _band(u0 - 7 * h, u1 + 7 * h, at.imag, h),
            *(box for _, box in level_words(plate, datum, name_at, pen)),
        ]
    for note in (*_holes(plate, show), *_slots(plate, show), *_radii(plate, show)):
        tip, elbow, box = leader_place(plate, note, pen.width(note.words), h, field, taken)
        taken.append(box)
        on_steel = clearance(plate, (box.low + box.high) / 2) > 0.0
        yield pen.leader(tip, elbow, note.words, kind="on-steel" if on_steel else "")


def level_words(plate: Plate, datum: Datum, name_at: complex, pen: Pen) -> list[tuple[str, Box]]:
    """The words that name the level line and where they stand: clear of the plate's name and of the square line."""
    h, at = pen.height_mm, datum.at
    _, v0, _, v1 = plate.outline.bounds
    square = Box(complex(at.real - 0.4 * h, v0), complex(at.real + 0.4 * h, v1))
    name = box_about(name_at, 14 * h, 6.5 * h)
    first, _, rest = datum.line.partition(" ")
    boxes = level_places(plate, datum, (pen.width(first), pen.width(rest)), h, (name, square))
    return list(zip((datum.line,) if len(boxes) == 1 else (first, rest), boxes, strict=True))


def name_place(plate: Plate, datum: Datum | None) -> complex:
    """Where the plate's name stands: clear of its edges and of the datum lines."""
    u0, v0, u1, v1 = plate.outline.bounds
    if datum is None:
        return clear_place(plate)
    at = datum.at
    return clear_place(
        plate, [Line(complex(at.real, v0), complex(at.real, v1)), Line(complex(u0, at.imag), complex(u1, at.imag))]
    )


def _holes(plate: Plate, show: Show) -> Iterator[Note]:
    alike: dict[str, list[Hole]] = {}
    for hole in plate.holes:
        how = "" if hole.made == "cut" else ", punch and drill"
        words = f"{hole.name.rstrip('0123456789 ')} hole {tape(show, 2 * hole.circle.radius)} dia.{how}"
        alike.setdefault(words, []).append(hole)
    for words, holes in alike.items():
        ways = _WAYS_OUT if len(holes) > 1 else _WAYS_OUT[:1]
        tips = tuple((h.circle.centre + way * h.circle.radius, way) for h in holes for way in ways)
        yield Note(_times(len(holes), words), tips, holes[0].circle if len(holes) == 1 else None)


def _slots(plate: Plate, show: Show) -> Iterator[Note]:
    alike: dict[str, list[Slot]] = {}
    for slot in plate.slots:
        alike.setdefault(f"slot {tape(show, slot.width_mm)} by {tape(show, slot.length_mm)}", []).append(slot)
    for words, slots in alike.items():
        tips = tuple((end + _aside(slot, end), _aside(slot, end)) for slot in slots for end in slot.ends)
        yield Note(_times(len(slots), words), tips)


def _radii(plate: Plate, show: Show) -> Iterator[Note]:
    alike: dict[str, list[Arc]] = {}
    for segment in plate.outline:
        if isinstance(segment, Arc):
            alike.setdefault(f"{_kind(plate, segment)} {tape(show, segment.radius)}", []).append(segment)
    for words, arcs in alike.items():
        touch = [arc.point(0.75 if words.startswith("nose") else 0.5) for arc in arcs]
        outs = [(tip - arc.centre) * (1 if arc.bulge > 0 else -1) for tip, arc in zip(touch, arcs, strict=True)]
        yield Note(_times(len(arcs), words), tuple(zip(touch, outs, strict=True)))


def _times(count: int, words: str) -> str:
    return f"{count} × {words}" if count > 1 else words


def _kind(plate: Plate, arc: Arc) -> str:
    if of_notch(plate, arc):
        on_rail = any(seat.distance(arc.point(0.5)) < 1e-6 for seat in plate.seats)
        return "bend R" if on_rail else "relief R"
    pins = (hole.circle.centre for hole in plate.holes if hole.name == "pin")
    return "nose R" if any(abs(arc.centre - centre) < 1e-6 for centre in pins) else "R"


def _aside(slot: Slot, end: complex) -> complex:
    """From the centre of a slot's end to the middle of its round."""
    other = slot.ends[1] if end == slot.ends[0] else slot.ends[0]
    return (end - other) / abs(end - other) * slot.width_mm / 2


def _band(left: float, right: float, at: float, height: float) -> Box:
    """The room of a line that runs across the picture."""
    return Box(complex(left, at - 0.7 * height), complex(right, at + 0.7 * height))
