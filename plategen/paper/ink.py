"""What is printed, in millimetres: strokes and words, whatever they are drawn with.

The PDF and the true-scale SVG draw the same list, so the two papers cannot differ.
"""

import cmath
from dataclasses import dataclass
from typing import Literal, TypeAlias

from plategen.flat.chain import Chain
from plategen.flat.loop import Contour
from plategen.flat.segment import Line

Weight: TypeAlias = Literal["cut", "fine", "centre", "weld", "joint"]
"""``cut`` is the line the scissors and the torch follow; ``fine`` ticks and crosses; ``centre`` chain-dotted."""

STROKES_MM: dict[Weight, tuple[float, tuple[float, ...]]] = {
    "cut": (0.35, ()),
    "fine": (0.15, ()),
    "centre": (0.15, (6.0, 1.2, 1.2, 1.2)),
    "weld": (0.25, ()),
    "joint": (0.15, (3.0, 1.5)),
}
"""Width of each weight's stroke, and its dashes."""

LETTER = {False: 0.52, True: 0.58}
"""Mean advance of a letter in heights of lettering, plain and bold: Helvetica's figures are 0.556 em, its i 0.22."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """An outline drawn in one weight; ``filled`` for a punch mark's dot."""

    shape: Contour | Chain
    weight: Weight
    filled: bool = False


@dataclass(frozen=True, slots=True)
class Words:
    """A line of lettering, its half height at ``at``."""

    text: str
    at: complex
    height_mm: float
    anchor: Literal["start", "middle", "end"] = "middle"
    bold: bool = False
    turn_rad: float = 0.0

    @property
    def width_mm(self) -> float:
        """About how wide it comes out."""
        return LETTER[self.bold] * self.height_mm * len(self.text)

    @property
    def corners(self) -> tuple[complex, complex, complex, complex]:
        """Its rectangle, anticlockwise from the lower left corner as one reads it."""
        left = {"start": 0.0, "middle": -0.5, "end": -1.0}[self.anchor] * self.width_mm
        turn, half = cmath.rect(1.0, self.turn_rad), 0.5j * self.height_mm
        ends = (left, left + self.width_mm)
        return (
            self.at + (ends[0] - half) * turn,
            self.at + (ends[1] - half) * turn,
            self.at + (ends[1] + half) * turn,
            self.at + (ends[0] + half) * turn,
        )


Ink: TypeAlias = Stroke | Words
"""Anything that is drawn."""


def line(start: complex, end: complex, weight: Weight) -> Stroke:
    """A straight stroke."""
    return Stroke(Chain((Line(start, end),)), weight)
