"""What is printed, in millimetres: strokes and words, whatever they are drawn with, and room for the words.

The PDF and the true-scale SVG draw the same list, so the two papers cannot differ. Each label takes the first of its
places that covers nothing it should not. What is on the paper already is kept as points a fraction of a letter apart,
each with what covering it costs: another word must stay readable, the line that is cut must stay whole, a tick may
stop behind lettering.
"""

import cmath
import math
from bisect import bisect_left, bisect_right
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal, TypeAlias

import numpy as np

from plategen.draw.pen import draw
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Contour
from plategen.flat.segment import Arc, Line

Weight: TypeAlias = Literal["cut", "fine", "centre", "weld", "joint", "torch"]
"""``cut`` is the line the scissors follow; ``fine`` ticks and crosses; ``centre`` chain-dotted; ``torch`` a band for a
torch that is led by hand."""

Anchor: TypeAlias = Literal["start", "middle", "end"]
"""Which point of a line of words is given."""

STROKES_MM: dict[Weight, tuple[float, tuple[float, ...]]] = {
    "cut": (0.35, ()),
    "fine": (0.15, ()),
    "centre": (0.15, (6.0, 1.2, 1.2, 1.2)),
    "weld": (0.25, ()),
    "joint": (0.15, (3.0, 1.5)),
    "torch": (0.0, ()),
}
"""Width of each weight's stroke, and its dashes; a band brings its own width."""

GREY: dict[Weight, float] = {"cut": 0.0, "fine": 0.0, "centre": 0.25, "weld": 0.35, "joint": 0.25, "torch": 0.78}
"""How light each weight is on paper, from black to white."""

LETTER = {False: 0.52, True: 0.58}
"""Mean advance of a letter in heights of lettering, plain and bold: Helvetica's figures are 0.556 em, its i 0.22."""


@dataclass(frozen=True, slots=True)
class Stroke:
    """An outline drawn in one weight; ``filled`` for a punch mark's dot, ``wide_mm`` in place of the weight's width."""

    shape: Contour | Chain
    weight: Weight
    filled: bool = False
    wide_mm: float | None = None

    @property
    def width_mm(self) -> float:
        """How wide it is drawn."""
        return STROKES_MM[self.weight][0] if self.wide_mm is None else self.wide_mm


@dataclass(frozen=True, slots=True)
class Words:
    """A line of lettering, its half height at ``at``."""

    text: str
    at: complex
    height_mm: float
    anchor: Anchor = "middle"
    bold: bool = False
    turn_rad: float = 0.0

    @property
    def width_mm(self) -> float:
        """About how wide it comes out."""
        return LETTER[self.bold] * self.height_mm * len(self.text)

    @property
    def corners(self) -> tuple[complex, complex, complex, complex]:
        """Its rectangle, anticlockwise from the lower left corner as one reads it."""
        left = LEFT_OF[self.anchor] * self.width_mm
        turn, half = cmath.rect(1.0, self.turn_rad), 0.5j * self.height_mm
        right = left + self.width_mm
        a, b, c, d = (self.at + p * turn for p in (left - half, right - half, right + half, left + half))
        return a, b, c, d

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """The upright rectangle about it: left, low, right, high."""
        if self.turn_rad:
            corners = self.corners
            u, v = [p.real for p in corners], [p.imag for p in corners]
            return min(u), min(v), max(u), max(v)
        wide, half, at = self.width_mm, 0.5 * self.height_mm, self.at
        left = LEFT_OF[self.anchor] * wide
        return at.real + left, at.imag - half, at.real + (left + wide), at.imag + half


LEFT_OF: dict[Anchor, float] = {"start": 0.0, "middle": -0.5, "end": -1.0}
"""Where a line of lettering begins from its place, in its widths."""

Ink: TypeAlias = Stroke | Words
"""Anything that is drawn."""


def line(start: complex, end: complex, weight: Weight) -> Stroke:
    """A straight stroke."""
    return Stroke(Chain((Line(start, end),)), weight)


APART_MM = 0.8
"""Distance of the points that stand for ink: less than half the smallest lettering."""

AROUND_MM = 0.7
"""Kept clear round words."""

SURE_MM = 0.5
"""More than the corners of a line's clear space lie beyond those of its words moved out by it upright."""

COSTS: dict[Weight, float] = {"cut": 60.0, "joint": 40.0, "centre": 3.0, "weld": 2.0, "fine": 3.0, "torch": 0.5}
"""Of covering a point of a stroke."""

WORD_COST = 200.0
"""Of covering a point of other words."""

OUTSIDE_COST = 1e5
"""Of standing on no sheet whole."""

Label = Iterable[tuple[Words, ...]]
"""The places of words that stand together, the first preferred: in each, the lines as they would be printed."""


@dataclass(frozen=True, slots=True)
class Window:
    """An upright rectangle in which words must stand whole: a sheet's share of the drawing."""

    low: complex
    high: complex

    def holds(self, words: Words) -> bool:
        """Whether the words lie wholly in it."""
        left, low, right, high = words.bounds
        return self.low.real <= left and right <= self.high.real and self.low.imag <= low and high <= self.high.imag


@dataclass(slots=True)
class Room:
    """What is on the paper, as words are put on it one after the other."""

    windows: tuple[Window, ...]
    _at: list[np.ndarray] = field(default_factory=list)
    _cost: list[np.ndarray] = field(default_factory=list)

    def take(self, ink: Iterable[Ink]) -> None:
        """Counts ink as being there."""
        for item in ink:
            match item:
                case Stroke():
                    pen = _SpotPen()
                    draw(item.shape, pen)
                    for spots in pen.runs:
                        self._add(spots, COSTS[item.weight])
                case Words():
                    self._add(_over(item), WORD_COST)

    def place(self, label: Label) -> tuple[Words, ...]:
        """The cheapest of the places, the earlier of two alike; from now on it is taken."""
        there = self._there()
        best: tuple[Words, ...] = ()
        least = math.inf
        for lines in label:
            price = sum(map(self._outside, lines))
            for words in lines:
                if price >= least:  # more words make it no cheaper
                    break
                price += there.price(words)
            if price < least:
                best, least = lines, price
            if price == 0.0:
                break
        self.take(best)
        return best

    def cost(self, words: Words) -> float:
        """What it would cost to put words where they stand; 0 where they cover nothing and stand whole on a sheet."""
        return self._outside(words) + self._there().price(words)

    def _outside(self, words: Words) -> float:
        return 0.0 if any(window.holds(words) for window in self.windows) else OUTSIDE_COST

    def _there(self) -> "_There":
        at, cost = np.concatenate(self._at), np.concatenate(self._cost)
        order = np.argsort(at.real)
        return _There(at[order], cost[order], at.real[order].tolist())

    def _add(self, points: np.ndarray, cost: float) -> None:
        self._at.append(points)
        self._cost.append(np.full(len(points), cost))


@dataclass(frozen=True, slots=True, eq=False)
class _There:
    """The points of what is on the paper, from left to right, and what covering each costs."""

    at: np.ndarray
    cost: np.ndarray
    left_mm: list[float]  # How far to the right each lies.

    def price(self, words: Words) -> float:
        """Of what words would cover."""
        left, low, right, high = words.bounds
        more = AROUND_MM + SURE_MM
        some = slice(bisect_left(self.left_mm, left - more), bisect_right(self.left_mm, right + more))
        off = self.at[some] - complex((left + right) / 2, (low + high) / 2)
        if words.turn_rad:
            off *= cmath.rect(1.0, -words.turn_rad)
        over = np.abs(off.real) < words.width_mm / 2 + AROUND_MM
        over &= np.abs(off.imag) < words.height_mm / 2 + AROUND_MM
        return float(self.cost[some][over].sum())


class _SpotPen:
    """Puts points on edges, near enough to stand for ink."""

    def __init__(self) -> None:
        self.runs: list[np.ndarray] = []

    def move_to(self, start: complex) -> None:
        """Nothing: each edge brings its start."""

    def line_to(self, line: Line) -> None:
        self.runs.append(np.asarray(line.start + (line.end - line.start) * self._shares(line.length)))

    def arc_to(self, arc: Arc) -> None:
        self.runs.append(np.array([arc.point(float(share)) for share in self._shares(arc.length)]))

    def finish(self, *, closed: bool) -> None:
        """Nothing: every edge has its points."""

    def circle(self, circle: Circle) -> None:
        count = max(8, math.ceil(circle.length / APART_MM))
        self.runs.append(circle.centre + circle.radius * np.exp(2j * math.pi * np.arange(count) / count))

    @staticmethod
    def _shares(length_mm: float) -> np.ndarray:
        return np.linspace(0.0, 1.0, max(2, math.ceil(length_mm / APART_MM)))


def _over(words: Words) -> np.ndarray:
    """Points all over a line of words."""
    a, b, _, d = words.corners
    across = np.linspace(0.0, 1.0, max(2, math.ceil(words.width_mm / APART_MM)))
    up = np.linspace(0.0, 1.0, max(2, math.ceil(words.height_mm / APART_MM)))
    return (a + up[:, None] * (d - a) + across[None, :] * (b - a)).ravel()
