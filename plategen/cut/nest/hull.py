"""Convex polygons round parts, certainly outside them, and where two of them may not lie (Minkowski sums).

A convex polygon is a complex array of corners, anticlockwise. Parts are enclosed by the hull of their corners and,
on arcs, of the corners of tangents; so what keeps clear of the hull keeps clear of the part.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.cut.part import CutPart
from plategen.flat.segment import Arc, Segment, cross

Polygon: TypeAlias = NDArray[np.complex128]
"""Corners in order, anticlockwise."""

TANGENT_RAD = math.radians(10.0)
"""Turn between two tangents round an arc: the hull stands off it by at most 0.4 % of its radius, 1 / cos(5 degrees)."""

ROUND_SIDES = 16
"""Sides of the polygon that stands for a circle of room about a part: 2 % more than the circle at its corners."""


@dataclass(frozen=True, slots=True)
class Way:
    """A part turned one way: its hull, and the corners of its box, which is exact where no lead sticks out."""

    turn: complex
    hull: Polygon
    low: complex
    high: complex

    @property
    def size(self) -> complex:
        """Length and width of the box."""
        return self.high - self.low

    def fits(self, room: complex) -> bool:
        """True when the box is no longer and no wider than the room."""
        return self.size.real <= room.real and self.size.imag <= room.imag


@dataclass(frozen=True, slots=True)
class Laid:
    """Where one part lies: turned by the unit complex ``turn`` about its origin, then shifted, on sheet ``sheet``."""

    part: int
    turn: complex
    shift: complex
    sheet: int


@dataclass(frozen=True, slots=True)
class Spot:
    """A laid part and how far to the right it reaches."""

    laid: Laid
    right_mm: float


def way_of(part: CutPart, turn: complex) -> Way:
    """The part turned by a unit complex about its origin."""
    turned = part.moved(turn)
    u0, v0, u1, v1 = turned.bounds
    leads = np.array([p for segment in _lead_edges(turned) for p in _enclosing(segment)] or [complex(u0, v0)])
    low = complex(min(u0, float(leads.real.min())), min(v0, float(leads.imag.min())))
    high = complex(max(u1, float(leads.real.max())), max(v1, float(leads.imag.max())))
    return Way(turn, hull_of(turned), low, high)


def hull_of(part: CutPart) -> Polygon:
    """The convex hull of a part with its leads."""
    segments = [*part.outside.contour.segments, *_lead_edges(part)]
    return convex_hull(p for segment in segments for p in _enclosing(segment))


def convex_hull(points: Iterable[complex]) -> Polygon:
    """The hull of points, anticlockwise, begun at the leftmost (A. M. Andrew's monotone chain, 1979)."""
    ordered = sorted(set(points), key=lambda p: (p.real, p.imag))
    lower, upper = _half(ordered), _half(ordered[::-1])
    return np.array(lower[:-1] + upper[:-1])


def minkowski(a: Polygon, b: Polygon) -> Polygon:
    """The sum of two convex polygons: their edges in order of direction."""
    starts = [_from_lowest(a), _from_lowest(b)]
    edge_runs = np.concatenate([np.roll(p, -1) - p for p in starts])
    directions = np.angle(edge_runs) % (2 * math.pi)
    ordered = edge_runs[np.argsort(directions, kind="stable")]
    corner = starts[0][0] + starts[1][0]
    corners: Polygon = corner + np.concatenate([[0.0], np.cumsum(ordered)[:-1]])
    return corners


def no_fit(fixed: Polygon, moving: Polygon, room_mm: float) -> Polygon:
    """The places of the moving polygon's origin at which it comes nearer than ``room_mm`` to the fixed one."""
    apart = minkowski(fixed, -moving)
    return minkowski(apart, _round(room_mm)) if room_mm > 0.0 else apart


@cache
def _round(radius_mm: float) -> Polygon:
    """A polygon round a circle, standing outside it."""
    reach = radius_mm / math.cos(math.pi / ROUND_SIDES)
    corners: Polygon = reach * np.exp(2j * math.pi * (np.arange(ROUND_SIDES) + 0.5) / ROUND_SIDES)
    return corners


def _lead_edges(part: CutPart) -> list[Segment]:
    return [s for lead in (part.outside.lead_in, part.outside.lead_out) if lead for s in lead]


def _enclosing(segment: Segment) -> Iterator[complex]:
    """Points whose hull holds the edge."""
    yield segment.start
    yield segment.end
    if isinstance(segment, Arc):
        count = math.ceil(abs(segment.sweep_rad) / TANGENT_RAD)
        reach = 1.0 / math.cos(abs(segment.sweep_rad) / count / 2)
        centre = segment.centre
        for k in range(count):
            yield centre + (segment.point((k + 0.5) / count) - centre) * reach


def _half(ordered: list[complex]) -> list[complex]:
    chain: list[complex] = []
    for p in ordered:
        while len(chain) > 1 and cross(chain[-1] - chain[-2], p - chain[-1]) <= 0.0:
            chain.pop()
        chain.append(p)
    return chain


def _from_lowest(polygon: Polygon) -> Polygon:
    """The same polygon begun at its lowest corner, the leftmost of those: its edges then turn from 0 to a full turn."""
    first = min(range(len(polygon)), key=lambda i: (polygon[i].imag, polygon[i].real))
    begun: Polygon = np.roll(polygon, -first)
    return begun
