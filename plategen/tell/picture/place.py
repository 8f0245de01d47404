"""Finding room for words beside a plate: places are tried in turn, and the first that covers nothing is taken."""

import cmath
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from plategen.bracket.model import Plate
from plategen.flat.distance import offsets_from
from plategen.flat.loop import Circle
from plategen.flat.segment import unit
from plategen.tell.picture.plate_features import Datum, clearances


@dataclass(frozen=True, slots=True)
class Box:
    """An upright rectangle: smallest and largest corner."""

    low: complex
    high: complex

    def meets(self, other: "Box") -> bool:
        """Whether two rectangles overlap."""
        return (
            self.low.real < other.high.real
            and other.low.real < self.high.real
            and self.low.imag < other.high.imag
            and other.low.imag < self.high.imag
        )

    def within(self, other: "Box") -> bool:
        """Whether this rectangle lies wholly in the other."""
        return (
            other.low.real <= self.low.real
            and other.low.imag <= self.low.imag
            and self.high.real <= other.high.real
            and self.high.imag <= other.high.imag
        )

    def crossed(self, start: complex, end: complex) -> bool:
        """Whether a straight stroke runs through the rectangle's inside."""
        first, last = 0.0, 1.0
        for low, high, at, by in (
            (self.low.real, self.high.real, start.real, end.real - start.real),
            (self.low.imag, self.high.imag, start.imag, end.imag - start.imag),
        ):
            if by == 0.0:
                if not low < at < high:
                    return False
                continue
            a, b = sorted(((low - at) / by, (high - at) / by))
            first, last = max(first, a), min(last, b)
        return first < last

    def spots(self) -> Iterable[complex]:
        """A five by three grid of its points."""
        size = self.high - self.low
        return (self.low + complex(size.real * i / 4, size.imag * j / 2) for i in range(5) for j in range(3))


def box_about(middle: complex, width: float, height: float) -> Box:
    """The rectangle of this width and height about a point."""
    half = complex(width, height) / 2
    return Box(middle - half, middle + half)


def words_box(elbow: complex, right: bool, width: float, height: float) -> Box:
    """Where a leader's words and shelf lie, beyond its elbow."""
    reach = width + 1.2 * height
    middle = elbow + (reach / 2 if right else -reach / 2)
    return box_about(middle, reach, 1.3 * height)


@dataclass(frozen=True, slots=True)
class Note:
    """Words that a leader ties to a plate: at one of ``tips``, each with the direction to try first.

    For a hole ``ring`` is its circle, which the arrow touches on the side of the words.
    """

    words: str
    tips: tuple[tuple[complex, complex], ...]
    ring: Circle | None = None


def leader_place(
    plate: Plate, note: Note, width: float, height: float, field: Box, taken: Sequence[Box]
) -> tuple[complex, complex, Box]:
    """Where a leader's arrow touches, its elbow, and its words' rectangle, which covers neither edges nor words.

    The words are ``width`` wide (mm of the picture, as the lettering's ``height``) and stand within ``field``, clear of
    ``taken``: in the nearest place that is free; failing one, the nearest that covers edges only.
    """
    places = [
        (tip, elbow, words_box(elbow, elbow.real >= tip.real, width, height))
        for far in (2.2, 3.2, 4.5, 6.0, 8.0, 10.0, 13.0)
        for step in (0, 1, -1, 2, -2, 3, -3, 4, -4, 5, -5, 6, -6, 7, -7, 8)
        for tip, out in note.tips
        for elbow in (tip + unit(out) * cmath.rect(far * height, step * math.pi / 8),)
    ]
    inside = [p for p in places if p[2].within(field)]
    clear = [p for p in inside if not any(p[2].meets(t) for t in taken)]
    beside = [p for p in inside if not any(p[2].meets(t) for t in taken[:1])]  # the plate's own name comes first
    tip, elbow, box = next((p for p in clear if _free(plate, p[2], height)), (clear or beside or inside or places)[0])
    if note.ring is not None:
        tip = note.ring.centre + note.ring.radius * unit(elbow - note.ring.centre)
    return tip, elbow, box


def level_places(
    plate: Plate, datum: Datum, halves: tuple[float, float], height: float, taken: Sequence[Box]
) -> tuple[Box, ...]:
    """Where the words stand that name the level line: whole over or under it, else half over it and half under.

    ``halves`` are the widths of either half; edges, holes and what is ``taken`` stay free.
    """
    u0, _, u1, _ = plate.outline.bounds

    def rows(width: float, ups: Sequence[float]) -> Iterator[tuple[Box, ...]]:
        first, last = u0 + 0.4 * height, u1 - 0.4 * height - width
        for i in range(25):
            middle = complex(first + (last - first) * i / 24 + width / 2, datum.at.imag)
            yield tuple(box_about(middle + up * height * 1j, width, 1.2 * height) for up in ups)

    def sure(boxes: tuple[Box, ...]) -> bool:
        return all(
            not any(box.meets(t) for t in taken)
            and _free(plate, box, 0.4 * height)
            and len({offset > 0.0 for offset in offsets_from(plate.outline, box.spots())}) == 1
            for box in boxes
        )

    whole = sum(halves) + 0.5 * height
    tried = [*rows(whole, (0.85,)), *rows(whole, (-0.85,)), *rows(max(halves), (0.85, -0.85))]
    return next((boxes for boxes in tried if sure(boxes)), tried[0])


def _free(plate: Plate, box: Box, height: float) -> bool:
    places = tuple(box.spots())
    sides = offsets_from(plate.outline, places)
    if min(abs(s) for s in sides) < 0.5 * height or min(sides) < 0.0 < max(sides):
        return False
    spots = [p for p, side in zip(places, sides, strict=True) if side > 0.0]
    return all(room > 0.5 * height for room in clearances(plate, spots))
