"""A closed run of edges, and the circle, alike to their users: the outlines and holes of a plate."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from typing import TypeAlias

from plategen.flat.chain import Run
from plategen.flat.segment import SAME_POINT_MM, Arc, Line, Segment, angle, cross


@dataclass(frozen=True, slots=True)
class Circle:
    """A full circle."""

    centre: complex
    radius: float

    @property
    def area(self) -> float:
        """Area in mm^2."""
        return math.pi * self.radius * self.radius

    @property
    def length(self) -> float:
        """Circumference in mm."""
        return 2.0 * math.pi * self.radius

    @property
    def segments(self) -> tuple[Arc, Arc]:
        """The circle as edges: its two halves, anticlockwise from its rightmost point."""
        right, left = self.centre + self.radius, self.centre - self.radius
        return Arc(right, left, 1.0), Arc(left, right, 1.0)

    @property
    def bounds(self) -> tuple[float, float, float, float]:
        """Smallest u, smallest v, largest u, largest v."""
        c, r = self.centre, self.radius
        return c.real - r, c.imag - r, c.real + r, c.imag + r

    def moved(self, turn: complex = 1 + 0j, shift: complex = 0j) -> "Circle":
        """Rotated by the unit complex ``turn`` about the origin, then shifted."""
        return Circle(self.centre * turn + shift, self.radius)

    def distance(self, p: complex) -> float:
        """Distance from ``p`` to the circle in mm, inside or outside."""
        return abs(abs(p - self.centre) - self.radius)


@dataclass(frozen=True, slots=True)
class Loop(Run):
    """A closed run of edges. Anticlockwise (positive area) when it is an outline.

    Raises:
        ValueError: If the edges do not join, or the last does not end where the first begins.
    """

    __hash__ = Run.__hash__

    def __post_init__(self) -> None:
        Run.__post_init__(self)
        if abs(self.end - self.start) > SAME_POINT_MM:
            raise ValueError(f"outline is open: begins at {self.start:.6g}, ends at {self.end:.6g} mm")

    @property
    def area(self) -> float:
        """Enclosed area in mm^2; negative when the loop runs clockwise. Exact for lines and arcs (Green)."""
        return sum(cross(s.start, s.end) / 2.0 + _bow_area(s) for s in self.segments)

    @cached_property
    def bounds(self) -> tuple[float, float, float, float]:
        """Smallest u, smallest v, largest u, largest v; exact, worked out once."""
        return bounds_of(self.segments)

    def mirrored(self) -> "Loop":
        """Mirrored in the u axis, and walked so that the sense of the loop is kept."""
        return Loop(tuple(s.mirrored().reversed() for s in reversed(self.segments)))


Contour: TypeAlias = Loop | Circle
"""A closed outline."""


def polygon(corners: Sequence[complex]) -> Loop:
    """The loop of straight edges from corner to corner, in their order.

    >>> polygon((0j, 2 + 0j, 2 + 1j, 1j)).area
    2.0
    """
    return Loop(tuple(Line(a, b) for a, b in pairwise((*corners, corners[0]))))


def _bow_area(segment: Segment) -> float:
    """Signed area between an arc and its chord: r^2 (theta - sin theta) / 2."""
    if not isinstance(segment, Arc):
        return 0.0
    sweep = segment.sweep_rad
    chord_squared = abs(segment.end - segment.start) ** 2
    if abs(sweep) < 1e-3:
        # the difference of two nearly equal numbers: its series is exact here to the last digits
        return chord_squared * sweep * (1.0 + sweep * sweep / 30.0) / 12.0
    return chord_squared * (sweep - math.sin(sweep)) / (8.0 * math.sin(sweep / 2) ** 2)


def bounds_of(edges: Iterable[Segment]) -> tuple[float, float, float, float]:
    """Smallest u, smallest v, largest u, largest v of edges; exact.

    Raises:
        ValueError: There are none.
    """
    points = [p for edge in edges for p in _extremes(edge)]
    us, vs = [p.real for p in points], [p.imag for p in points]
    return min(us), min(vs), max(us), max(vs)


def _extremes(segment: Segment) -> list[complex]:
    """End points of an edge and, on an arc, the points where it turns back along u or v."""
    points = [segment.start, segment.end]
    if isinstance(segment, Arc):
        centre, radius = segment.centre, segment.radius
        from_rad, sweep = angle(segment.start - centre), segment.sweep_rad
        for quarter in range(4):
            turn = (quarter * math.pi / 2 - from_rad) % (2.0 * math.pi)
            if sweep < 0.0:
                turn -= 2.0 * math.pi
            if abs(turn) <= abs(sweep):
                points.append(centre + radius * 1j**quarter)
    return points
