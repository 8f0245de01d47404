"""Words about a picture in space, each with a leader: put where they cover neither words nor, if it can be, lines."""

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.tell.picture.drafter import Drafter
from plategen.tell.picture.place import Box, words_span

Inked: TypeAlias = NDArray[np.complex128]
"""Points along what is drawn, close enough together that no word slips between two."""

FAR = (2.0, 3.0, 4.2, 5.6, 7.2, 9.0, 11.0, 13.5, 16.0)
"""Distances tried from a point to its words, in heights of lettering."""

BESIDE = 5.0
"""How far words may stand beyond what is drawn, in heights of lettering, before that is dear."""


@dataclass(frozen=True, slots=True)
class Callout:
    """Words, the point that they are of, and which way they had best lie from it; ``kind`` is the words' class."""

    words: str
    at: complex
    kind: str = "strong"
    way: complex = 0j


@dataclass(frozen=True, slots=True)
class Placed:
    """A callout with the elbow of its leader and the rectangle of its words."""

    of: Callout
    elbow: complex
    box: Box


def inked(strokes: Sequence[tuple[complex, complex]], step: float) -> Inked:
    """Points along straight strokes, ``step`` apart."""
    starts, ends = np.array(strokes, dtype=np.complex128).reshape(-1, 2).T
    spaces = np.maximum(1, np.ceil(np.abs(ends - starts) / step)).astype(int)
    first = np.cumsum(spaces + 1) - spaces - 1
    along = np.arange(len(spaces) + spaces.sum()) - np.repeat(first, spaces + 1)
    return np.asarray(np.repeat(starts, spaces + 1) + along * np.repeat((ends - starts) / spaces, spaces + 1))


def placed(notes: Sequence[Callout], ink: Inked, field: Box, drafter: Drafter) -> list[Placed]:
    """A place for each note, in their order; ``field`` is what the drawing fills, ``ink`` what words keep off."""
    h = drafter.height_mm
    found: list[Placed] = []
    leaders: list[Inked] = []  # of those found, as points sorted by their height
    ink = ink[np.argsort(ink.imag)]
    for note in notes:
        elbows: Inked = note.at + h * _AROUND
        beyond, half = words_span(drafter.width(note.words), h)
        middles = elbows + np.where(elbows.real >= note.at.real, beyond, -beyond)
        boxes = _Boxes.of(middles - half, middles + half)
        best = int(np.argmin(_costs(note, elbows, boxes, found, leaders, ink, field, h)))
        leader = inked([(note.at, complex(elbows[best]))], 0.4 * h)
        leaders.append(leader if elbows[best].imag > note.at.imag else leader[::-1])
        found.append(
            Placed(note, complex(elbows[best]), Box(complex(middles[best] - half), complex(middles[best] + half)))
        )
    return found


_AROUND: Inked = np.array([cmath.rect(far, step * math.pi / 12) for far in FAR for step in range(24)])
"""Every place that is tried for the elbow of a leader, about its point and in heights of lettering."""


@dataclass(frozen=True, slots=True)
class _Boxes:
    """Rectangles as columns, of shape (n,)."""

    left: NDArray[np.float64]
    low: NDArray[np.float64]
    right: NDArray[np.float64]
    high: NDArray[np.float64]

    @classmethod
    def of(cls, low: Inked, high: Inked) -> "_Boxes":
        """From their lower left and upper right corners."""
        return cls(low.real, low.imag, high.real, high.imag)

    def meet(self, other: Box) -> NDArray[np.bool_]:
        """Which of them overlap another."""
        return (
            (self.left < other.high.real)
            & (other.low.real < self.right)
            & (self.low < other.high.imag)
            & (other.low.imag < self.high)
        )

    def hold(self, points: Inked) -> NDArray[np.int_]:
        """How many of the points, which are sorted by their height, lie within each."""
        x, y = points.real, points.imag
        first, last = np.searchsorted(y, self.low, "right"), np.searchsorted(y, self.high, "left")
        level = np.maximum(last - first, 0)  # of the points at its height each has a run; the runs one after another
        box = np.repeat(np.arange(len(level)), level)
        at = x[np.arange(len(box)) + np.repeat(first - np.cumsum(level) + level, level)]
        within = (at > self.left[box]) & (at < self.right[box])
        return np.bincount(box[within], minlength=len(level))

    def beyond(self, field: Box, free: float) -> NDArray[np.float64]:
        """How far each reaches beyond the field and what is free beside it."""
        over = (
            field.low.real - self.left, self.right - field.high.real,
            field.low.imag - self.low, self.high - field.high.imag,
        )  # fmt: skip
        return np.asarray(sum(np.maximum(0.0, by - free) for by in over))


def _costs(
    note: Callout,
    elbows: Inked,
    boxes: _Boxes,
    others: Sequence[Placed],
    leaders: Sequence[Inked],
    ink: Inked,
    field: Box,
    h: float,
) -> NDArray[np.float64]:
    """What each place covers, the worst dearest."""
    price = 25.0 * np.minimum(4, boxes.hold(ink)) + 6.0 * boxes.beyond(field, BESIDE * h) / h
    price += np.abs(elbows - note.at) / h
    if note.way:
        price += 2.0 * np.abs(np.angle((elbows - note.at) / note.way))
    # a leader as points so close together that none slips through words
    along = np.linspace(0.0, 1.0, math.ceil(2.5 * max(FAR)) + 1)[:, np.newaxis]
    x, y = (note.at.real + along * (elbows.real - note.at.real), note.at.imag + along * (elbows.imag - note.at.imag))
    for other, leader in zip(others, leaders, strict=True):
        price += 400.0 * boxes.meet(other.box)
        price += 90.0 * (boxes.hold(leader) > 0)
        low, high = other.box.low, other.box.high
        across = (x > low.real) & (x < high.real) & (y > low.imag) & (y < high.imag)
        price += 90.0 * across.any(axis=0)
    return price


def lettered(places: Sequence[Placed], drafter: Drafter) -> Iterator[str]:
    """The placed words with their leaders."""
    for place in places:
        yield drafter.leader(place.of.at, place.elbow, place.of.words, kind=place.of.kind)
