"""Finding room for words beside a plate: places are tried in turn, and the first that covers nothing is taken."""

import cmath
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field

from plategen.bracket.model import Plate
from plategen.flat.distance import offset_from
from plategen.flat.loop import Circle
from plategen.flat.segment import unit
from plategen.tell.picture.drafter import Drafter
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
    beyond, half = words_span(width, height)
    middle = elbow + (beyond if right else -beyond)
    return Box(middle - half, middle + half)


def words_span(width: float, height: float) -> tuple[float, complex]:
    """How far beyond its elbow the middle of a leader's words lies, and from there to their upper right corner."""
    reach = width + 1.2 * height
    return reach / 2, complex(reach, 1.3 * height) / 2


@dataclass(frozen=True, slots=True)
class Note:
    """Words that a leader ties to a plate: at one of ``tips``, each with the direction to try first.

    For a hole ``ring`` is its circle, which the arrow touches on the side of the words.
    """

    words: str
    tips: tuple[tuple[complex, complex], ...]
    ring: Circle | None = None


@dataclass(slots=True)
class Drawn:
    """What is drawn on a plate so far: words keep clear of all of it, and leaders of the words."""

    taken: list[Box]  # What no words may cover: words, lines, the weld along the notch; the plate's own name first.
    lettered: list[Box]  # Where words stand.
    leaders: list[tuple[complex, complex]] = field(default_factory=list)  # From the arrow's tip to the elbow.

    def covered(self, box: Box) -> bool:
        """Whether words there would cover something."""
        return any(box.meets(taken) for taken in self.taken) or any(box.crossed(*leader) for leader in self.leaders)

    def crossed(self, tip: complex, elbow: complex) -> bool:
        """Whether a leader there would run through words."""
        return any(box.crossed(tip, elbow) for box in self.lettered)

    def muddled(self, tip: complex, elbow: complex, box: Box) -> bool:
        """Whether words there would cover words or a leader, or their own leader run through words; lines they may."""
        over = any(map(box.meets, self.lettered)) or any(box.crossed(*leader) for leader in self.leaders)
        return over or self.crossed(tip, elbow)

    def add(self, tip: complex, elbow: complex, box: Box) -> None:
        """Take up a leader and its words."""
        self.taken.append(box)
        self.lettered.append(box)
        self.leaders.append((tip, elbow))


_EIGHTHS = tuple(3 * step * way for step in range(9) for way in (1, -1))
_BETWEEN = tuple(step * way for step in range(24) if step % 3 for way in (1, -1))
"""Ways tried round a tip, in parts of 7.5 degrees: the eighths of half a turn, and what lies between them."""


def leader_place(
    plate: Plate, note: Note, width: float, height: float, within: Box, drawn: Drawn
) -> tuple[complex, complex, Box]:
    """Where a leader's arrow touches, its elbow, and its words' rectangle, which covers neither edges nor words.

    The words are ``width`` wide (mm of the picture, as the lettering's ``height``) and stand ``within`` a rectangle,
    clear of what is drawn: in the nearest place that is free; failing one, the nearest that covers no words.
    """

    def places(steps: Iterable[int]) -> Iterator[tuple[complex, complex, Box]]:
        for far in (2.2, 3.2, 4.5, 6.0, 8.0, 10.0, 13.0):
            for step in steps:
                for tip, out in note.tips:
                    elbow = tip + unit(out) * cmath.rect(far * height, step * math.pi / 24)
                    box = words_box(elbow, elbow.real >= tip.real, width, height)
                    if box.within(within):
                        yield tip, elbow, box

    def best(places: Iterable[tuple[complex, complex, Box]]) -> tuple[complex, complex, Box] | None:
        """The first that is free on the plate; failing one, the first."""
        first = None
        for place in places:
            first = first or place
            if _free(plate, place[2], height):
                return place
        return first

    tip, out = note.tips[0]
    elbow = tip + 2.2 * height * unit(out)
    tip, elbow, box = (
        best(p for p in places(_EIGHTHS) if not drawn.covered(p[2]) and not drawn.crossed(*p[:2]))
        or best(p for p in places(_BETWEEN) if not drawn.muddled(*p))
        or next((p for p in places(_EIGHTHS) if not drawn.covered(p[2])), None)
        or next(places(_EIGHTHS), None)
        or (tip, elbow, words_box(elbow, elbow.real >= tip.real, width, height))
    )
    if note.ring is not None:
        tip = note.ring.centre + note.ring.radius * unit(elbow - note.ring.centre)
    return tip, elbow, box


def level_places(
    plate: Plate, datum: Datum, told: Sequence[tuple[str, ...]], drafter: Drafter, taken: Sequence[Box]
) -> list[tuple[str, Box]]:
    """The words that name the level line, each with its place: one over or under the line, or two with it between them.

    The first of ``told`` that has room is taken; edges, holes and what is ``taken`` stay free.
    """
    u0, _, u1, _ = plate.outline.bounds
    h = drafter.height_mm

    def rows(words: tuple[str, ...], ups: Sequence[float]) -> Iterator[list[tuple[str, Box]]]:
        width = max(map(drafter.width, words))
        first, last = u0 + 0.4 * h, u1 - 0.4 * h - width
        for i in range(25):
            middle = complex(first + (last - first) * i / 24 + width / 2, datum.at.imag)
            boxes = (box_about(middle + up * h * 1j, width, 1.2 * h) for up in ups)
            yield list(zip(words, boxes, strict=True))

    def sure(boxes: Iterable[Box]) -> bool:
        return all(not any(box.meets(t) for t in taken) and _free(plate, box, 0.4 * h) for box in boxes)

    lanes = [(words, ups) for words in told for ups in (((0.85,), (-0.85,)) if len(words) == 1 else ((0.85, -0.85),))]
    tried = [place for words, ups in lanes for place in rows(words, ups)]
    return next((place for place in tried if sure(box for _, box in place)), tried[0])


def _free(plate: Plate, box: Box, height: float) -> bool:
    """Whether words there lie wholly on the plate or wholly beside it, clear of its edge, its holes and openings."""
    spots, on = tuple(box.spots()), set()
    for spot in spots:
        side = offset_from(plate.outline, spot)
        on.add(side > 0.0)
        if abs(side) < 0.5 * height or len(on) > 1:
            return False
    return on == {False} or all(room > 0.5 * height for room in clearances(plate, spots))
