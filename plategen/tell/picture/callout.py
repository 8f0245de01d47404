"""Words about a picture in space, each with a leader: put where they cover neither words nor, if it can be, lines."""

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.tell.picture.drafter import Drafter
from plategen.tell.picture.place import Box, words_box

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
    runs = [np.linspace(p, q, max(2, math.ceil(abs(q - p) / step) + 1)) for p, q in strokes]
    return np.concatenate(runs) if runs else np.empty(0, dtype=np.complex128)


def placed(notes: Sequence[Callout], ink: Inked, field: Box, drafter: Drafter) -> list[Placed]:
    """A place for each note, in their order; ``field`` is what the drawing fills, ``ink`` what words keep off."""
    h = drafter.height_mm
    found: list[Placed] = []
    for note in notes:
        width = drafter.width(note.words)
        tried = [
            Placed(note, elbow, words_box(elbow, elbow.real >= note.at.real, width, h))
            for far in FAR
            for step in range(24)
            for elbow in (note.at + far * h * cmath.rect(1.0, step * math.pi / 12),)
        ]
        found.append(min(tried, key=lambda place: _cost(place, found, ink, field, h)))
    return found


def _cost(place: Placed, others: Sequence[Placed], ink: Inked, field: Box, h: float) -> float:
    """What a place covers, the worst dearest."""
    price = sum(400.0 for other in others if place.box.meets(other.box))
    price += sum(90.0 for other in others if _within(_leader(other, h), place.box).any())
    leader = _leader(place, h)
    price += sum(90.0 for other in others if _within(leader, other.box).any())
    price += 25.0 * min(4, int(_within(ink, place.box).sum()))
    price += 6.0 * _beyond(place.box, field, BESIDE * h) / h + abs(place.elbow - place.of.at) / h
    return price + (2.0 * abs(cmath.phase((place.elbow - place.of.at) / place.of.way)) if place.of.way else 0.0)


def _leader(place: Placed, h: float) -> Inked:
    return inked([(place.of.at, place.elbow)], 0.4 * h)


def _within(points: Inked, box: Box) -> NDArray[np.bool_]:
    across = (points.real > box.low.real) & (points.real < box.high.real)
    inside: NDArray[np.bool_] = across & (points.imag > box.low.imag) & (points.imag < box.high.imag)
    return inside


def _beyond(box: Box, field: Box, free: float) -> float:
    """How far a rectangle reaches beyond the field and what is free beside it."""
    over = (
        field.low.real - box.low.real, box.high.real - field.high.real,
        field.low.imag - box.low.imag, box.high.imag - field.high.imag,
    )  # fmt: skip
    return sum(max(0.0, by - free) for by in over)


def lettered(places: Sequence[Placed], drafter: Drafter) -> Iterator[str]:
    """The placed words with their leaders."""
    for place in places:
        yield drafter.leader(place.of.at, place.elbow, place.of.words, kind=place.of.kind)
