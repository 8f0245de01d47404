"""Feet of the parts that stand on a plate, in its drawing: lines, names, and how far off the edges they lie."""

import math
from collections.abc import Iterator, Mapping

from plategen.bracket.model import Mark, Plate
from plategen.flat.segment import Line
from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter
from plategen.tell.picture.place import Box, box_about
from plategen.tell.picture.plate_features import tape

UPRIGHT_RAD = math.pi / 2.0
"""The turn of words that read from the right."""

ROOM = 7.2
"""Room that the distances take above a plate, in heights of lettering."""

APART = 1.2
"""From distance to distance at least."""

SETTLED = 50
"""How often neighbours push each other apart."""


def feet(plate: Plate) -> tuple[Mark, ...]:
    """The feet on either face of a plate."""
    return tuple(mark for mark in plate.marks if mark.foot)


def foot_lines(plate: Plate) -> tuple[Line, ...]:
    """Their edges, which the plate's own name keeps clear of."""
    return tuple(edge for mark in feet(plate) for edge in mark.path if isinstance(edge, Line))


def named_feet(plate: Plate, drafter: Drafter) -> Iterator[tuple[str, complex, bool, Box]]:
    """Each foot's words, their middle, whether they stand upright, and the room they take."""
    h = drafter.height_mm
    for mark in feet(plate):
        low, high = _bounds(mark)
        size, words = high - low, in_words(mark.name)
        upright = size.imag > size.real
        wide = drafter.width(words)
        # beside the middle, where the datum's lines are likely to run
        free = max(0.0, (size.imag if upright else size.real) - wide) / 2.0 - 0.4 * h
        at = (low + high) / 2 + max(0.0, min(free, 0.25 * abs(size))) * (1j if upright else -1.0)
        room = complex(h, wide) if upright else complex(wide, h)
        yield words, at, upright, box_about(at, room.real + 0.6 * h, room.imag + 0.6 * h)


def drawn_feet(plate: Plate, drafter: Drafter, show: Show) -> Iterator[str]:
    """Lines, names and distances; those on the face that is not shown are dashed."""
    marks = feet(plate)
    if not marks:
        return
    h, (u0, v0, u1, v1) = drafter.height_mm, plate.outline.bounds
    for mark in marks:
        yield drafter.path(mark.path, "mark" if mark.behind else "foot")
    for words, at, upright, _ in named_feet(plate, drafter):
        yield drafter.words(words, at, kind="on-steel soft", turn_rad=UPRIGHT_RAD if upright else 0.0)
    ends = [end for mark in marks for end in _bounds(mark)]
    across = {tape(show, end.real - u0).partition(" (")[0]: end.real for end in ends}
    for (words, value), at in _spread(across, APART * h):
        foot = complex(value, v1 + 0.4 * h)
        bent = (foot, foot + 0.5j * h, complex(at, v1 + 1.5 * h), complex(at, v1 + 1.8 * h))
        yield drafter.polyline(bent, "dimension")
        yield drafter.words(words, complex(at, v1 + 2.1 * h), anchor="start", turn_rad=UPRIGHT_RAD)
    up = {tape(show, end.imag - v0).partition(" (")[0]: end.imag for end in ends}
    for (words, value), at in _spread(up, APART * h):
        foot = complex(u1 + 0.4 * h, value)
        bent = (foot, foot + 0.5 * h, complex(u1 + 1.5 * h, at), complex(u1 + 1.8 * h, at))
        yield drafter.polyline(bent, "dimension")
        yield drafter.words(words, complex(u1 + 2.1 * h, at), anchor="start")
    beside = u1 + 1.2 * h
    told = [(complex(u0 - 0.6 * h, v1 + 3.4 * h), "end", ("from the", "left edge:"))]
    told += [(complex(beside, v1 + 2.6 * h), "start", ("from the", "lower edge:"))]
    if any(mark.behind for mark in marks):
        told += [(complex(beside, v0 - 1.4 * h), "start", ("dashed: on", "the back"))]
    for corner, anchor, rows in told:
        for i, words in enumerate(rows):
            yield drafter.words(words, corner - 1.3j * h * i, anchor=anchor, kind="soft", size=0.95)


def foot_boxes(plate: Plate, drafter: Drafter) -> Iterator[Box]:
    """The room about the feet's edges that words of others keep clear of."""
    for edge in foot_lines(plate):
        size = edge.end - edge.start
        about = 0.6 * drafter.height_mm
        yield box_about((edge.start + edge.end) / 2, abs(size.real) + about, abs(size.imag) + about)


def _bounds(mark: Mark) -> tuple[complex, complex]:
    points = [edge.start for edge in mark.path]
    return (
        complex(min(p.real for p in points), min(p.imag for p in points)),
        complex(max(p.real for p in points), max(p.imag for p in points)),
    )


def _spread(values: Mapping[str, float], apart: float) -> Iterator[tuple[tuple[str, float], float]]:
    """Each value with a place for its words, ``apart`` from its neighbours' and as near to it as that lets them be."""
    told = sorted(values.items(), key=lambda one: one[1])
    places = [value for _, value in told]
    for _ in range(SETTLED):
        for i in range(len(places) - 1):
            short = max(0.0, apart - (places[i + 1] - places[i]))
            places[i] -= short / 2.0
            places[i + 1] += short / 2.0
    yield from zip(told, places, strict=True)
