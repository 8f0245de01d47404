"""Finding room for words beside a plate: places are tried in turn, and the first that covers nothing is taken."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from plategen.bracket.model import Plate
from plategen.flat.chain import Chain
from plategen.flat.segment import unit
from plategen.flat.side import offset_from


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


def elbow_for(
    plate: Plate, tip: complex, out: complex, width: float, height: float, field: Box, taken: Sequence[Box]
) -> tuple[complex, Box]:
    """An elbow for a leader whose arrow touches ``tip`` and whose words cover neither edges nor words.

    Args:
        plate: Whose edges and holes must stay free.
        tip: What the arrow touches.
        out: The direction to try first.
        width: Of the words.
        height: Of the lettering.
        field: Where words may stand.
        taken: Where words stand already.

    Returns:
        The elbow and the words' rectangle; the last place tried when none is free.
    """
    outline = Chain(plate.outline.segments)
    tried: tuple[complex, Box] | None = None
    for far in (2.5, 4.0, 6.0, 8.0, 11.0, 14.0):
        for turn in (1, 1 + 0.4j, 1 - 0.4j, 1 + 1j, 1 - 1j, 1j, -1j, -1 + 1j, -1 - 1j, -1):
            elbow = tip + unit(out * turn) * far * height
            box = words_box(elbow, elbow.real >= tip.real, width, height)
            tried = elbow, box
            if box.within(field) and not any(box.meets(t) for t in taken) and _free(plate, outline, box, height):
                return elbow, box
    assert tried is not None
    return tried


def _free(plate: Plate, outline: Chain, box: Box, height: float) -> bool:
    sides = [offset_from(outline, p) for p in box.spots()]
    if min(abs(s) for s in sides) < 0.5 * height or min(sides) < 0.0 < max(sides):
        return False
    return all(abs(p - h.circle.centre) > h.circle.radius + 0.8 * height for h in plate.holes for p in box.spots())
