"""What is written beside a plate with a leader, and where the name of its level line stands.

Holes, slots and radii that are alike are written once, with their number.
"""

import re
from collections.abc import Iterable, Iterator
from typing import Literal, TypeAlias

from plategen.bracket.model import HOW_MADE, Hole, Plate, Slot
from plategen.flat.segment import Arc
from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter
from plategen.tell.picture.place import Box, Drawn, Note, box_about, leader_place, level_places
from plategen.tell.picture.plate_dimension import of_notch
from plategen.tell.picture.plate_features import (
    Datum,
    clearance,
    inward,
    opening_of,
    plain_openings,
    tape,
)
from plategen.tell.picture.plate_foot import foot_boxes
from plategen.tell.picture.plate_name import NameBlock

_Radius: TypeAlias = Literal["bend", "relief", "nose", ""]


_WAYS_OUT = (complex(-0.8, -0.6), complex(0.8, -0.6), complex(0.8, 0.6), complex(-0.8, 0.6))
"""Ways to leave a round hole with a leader, the first preferred."""


def leaders(
    plate: Plate, datum: Datum | None, name: NameBlock, named: Iterable[Box], drafter: Drafter, show: Show
) -> Iterator[str]:
    """Holes, slots and radii, each with a leader to where there is room, clear of the words ``named`` too."""
    h = drafter.height_mm
    u0, v0, u1, v1 = plate.outline.bounds
    within = Box(complex(u0 - 1.0 * h, v0 - 1.2 * h), complex(u1 + 1.0 * h, v1 + 1.9 * h))
    lettered = [name.box, *(runs := tuple(named))]
    taken = [name.box, *runs, _band(u0, u1, v0, h), *foot_boxes(plate, drafter)]
    taken += [
        box_about(at + 1.2 * h * inward(plate, at, tangent), 2.2 * h, 2.4 * h)
        for at, tangent in (plate.notch.spaced(2.0 * h) if plate.notch else ())
    ]
    if datum is not None:
        at, level = datum.at, [box for _, box in level_words(plate, datum, (name.box, *runs), drafter)]
        lettered += level
        taken += [
            Box(complex(at.real - 0.4 * h, v0), complex(at.real + 0.4 * h, v1)),
            _band(u0 - 7 * h, u1 + 7 * h, at.imag, h),
            *level,
        ]
    drawn = Drawn(taken, lettered)
    for note in (*_holes(plate, show), *_slots(plate, show), *_openings(plate, show), *_radii(plate, show)):
        for words in _shorter(note.words):
            tip, elbow, box = leader_place(plate, note, drafter.width(words), h, within, drawn)
            if box.within(within):
                break
        drawn.add(tip, elbow, box)
        on_steel = clearance(plate, (box.low + box.high) / 2) > 0.0
        yield drafter.leader(tip, elbow, words, kind="on-steel" if on_steel else "")


def _shorter(words: str) -> tuple[str, ...]:
    """The words of a leader, and what is left of them where there is no room: the tables hold the rest."""
    plain = re.sub(r" \([^)]*\)", "", words)
    return tuple(dict.fromkeys((words, plain, plain.partition(", ")[0])))


def level_words(plate: Plate, datum: Datum, named: Iterable[Box], drafter: Drafter) -> list[tuple[str, Box]]:
    """The words that name the level line and where they stand: clear of those ``named`` and of the square line."""
    h, at = drafter.height_mm, datum.at
    _, v0, _, v1 = plate.outline.bounds
    square = Box(complex(at.real - 0.4 * h, v0), complex(at.real + 0.4 * h, v1))
    first, _, rest = datum.line.partition(" ")
    rows = ((datum.line,), (first, rest), (datum.short,))
    return level_places(plate, datum, rows, drafter, (square, *named))


def _holes(plate: Plate, show: Show) -> Iterator[Note]:
    alike: dict[str, list[Hole]] = {}
    for hole in plate.holes:
        how = "" if hole.made == "cut" else f", {HOW_MADE[hole.made]}"
        what = "hole" if hole.purpose == "other" else f"{hole.purpose} hole"
        words = f"{what} {tape(show, 2 * hole.circle.radius)} dia.{how}"
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


def _openings(plate: Plate, show: Show) -> Iterator[Note]:
    """Slots that tongues go through; how one is turned is in the table, where there is room."""
    for opening in map(opening_of, plain_openings(plate)):
        ways = (opening.along * opening.length_mm / 2, -opening.along * opening.length_mm / 2)
        tips = tuple((opening.middle + way, way) for way in ways)
        yield Note(f"slot {tape(show, opening.width_mm)} by {tape(show, opening.length_mm)}", tips)


def _radii(plate: Plate, show: Show) -> Iterator[Note]:
    alike: dict[tuple[_Radius, str], list[Arc]] = {}
    for segment in plate.outline:
        if isinstance(segment, Arc):
            alike.setdefault((_radius(plate, segment), tape(show, segment.radius)), []).append(segment)
    for (kind, radius), arcs in alike.items():
        touch = [arc.point(0.75 if kind == "nose" else 0.5) for arc in arcs]
        outs = [(tip - arc.centre) * (1 if arc.bulge > 0 else -1) for tip, arc in zip(touch, arcs, strict=True)]
        words = f"{kind} R {radius}" if kind else f"R {radius}"
        rounds = len({(round(arc.centre.real, 3), round(arc.centre.imag, 3)) for arc in arcs})
        yield Note(_times(rounds, words), tuple(zip(touch, outs, strict=True)))


def _times(count: int, words: str) -> str:
    return f"{count} × {words}" if count > 1 else words


def _radius(plate: Plate, arc: Arc) -> _Radius:
    """Which of the plate's roundings an arc of its outline is; "" for one without a name."""
    if of_notch(plate, arc):
        return "bend" if any(seat.distance(arc.point(0.5)) < 1e-6 for seat in plate.seats) else "relief"
    pins = (hole.circle.centre for hole in plate.holes if hole.purpose == "pin")
    return "nose" if any(abs(arc.centre - centre) < 1e-6 for centre in pins) else ""


def _aside(slot: Slot, end: complex) -> complex:
    """From the centre of a slot's end to the middle of its round."""
    other = slot.ends[1] if end == slot.ends[0] else slot.ends[0]
    return (end - other) / abs(end - other) * slot.width_mm / 2


def _band(left: float, right: float, at: float, height: float) -> Box:
    """The room of a line that runs across the picture."""
    return Box(complex(left, at - 0.7 * height), complex(right, at + 0.7 * height))
