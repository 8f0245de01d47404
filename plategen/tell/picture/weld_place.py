"""Where the weld map's ringed numbers and the plates' names stand, so that none covers another or a plate's edge."""

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass

from plategen.flat.segment import Line, Segment
from plategen.tell.picture.place import Box, box_about

RING, APART, CLEAR = 1.15, 2.5, 1.35
"""Radius of a ring, least distance of two rings' middles, and of a ring's from an edge or a bead: in letterings."""

FAR = (2.2, 2.9, 3.7, 4.6, 5.6, 6.8, 8.2, 9.8, 11.6, 13.6)
"""Distances tried from a bead to its ring, in letterings."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What rings and names keep clear of: lines, words, beads and rings."""

    lines: tuple[Segment, ...]
    words: tuple[Box, ...]
    beads: tuple[complex, ...]


def ring_place(at: complex, way: complex, rings: Sequence[tuple[complex, complex]], taken: Taken, h: float) -> complex:
    """The middle of a bead's ring: near, on the side ``way``, and clear of everything where that can be.

    Args:
        at: The bead.
        way: Unit vector of the side preferred.
        rings: Bead and middle of every ring that is placed already.
        taken: What is there besides.
        h: Height of lettering.
    """

    def cost(p: complex) -> float:
        off = abs(cmath.phase((p - at) / way))
        return _covered(p, at, rings, taken, h) + abs(p - at) / h + 1.2 * off

    tried = [at + far * h * cmath.rect(1.0, math.radians(15 * k)) for far in FAR for k in range(24)]
    return min(tried, key=cost)


def _covered(p: complex, at: complex, rings: Sequence[tuple[complex, complex]], taken: Taken, h: float) -> float:
    """What a ring at ``p`` and the line to its bead would cover, the worst dearest."""
    leader = Line(at, p)
    price = sum(400.0 for _, other in rings if abs(other - p) < APART * h)
    price += sum(400.0 for box in taken.words if box.meets(box_about(p, 2 * CLEAR * h, 2 * CLEAR * h)))
    price += sum(60.0 for bead in taken.beads if abs(bead - at) > 0.3 * h and abs(bead - p) < (CLEAR + 0.4) * h)
    price += sum(40.0 for line in taken.lines if _apart(line, p) < CLEAR * h)
    price += sum(25.0 for _, other in rings if _apart(leader, other) < CLEAR * h)
    return price + sum(4.0 for start, end in rings if _cross(leader, Line(start, end)))


def _apart(line: Segment, p: complex) -> float:
    return abs(line.point(line.nearest(p)) - p)


def _cross(a: Line, b: Line) -> bool:
    """Whether two straight edges cross between their ends."""

    def side(line: Line, p: complex) -> float:
        return ((line.end - line.start).conjugate() * (p - line.start)).imag

    return side(a, b.start) * side(a, b.end) < 0.0 and side(b, a.start) * side(b, a.end) < 0.0
