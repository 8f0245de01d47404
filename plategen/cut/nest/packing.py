"""Convex polygons round parts, certainly outside them, and two ways to pack: hulls to the left, and boxes in columns.

A convex polygon is a complex array of corners, anticlockwise. Parts are enclosed by the hull of their corners and,
on arcs, of the corners of tangents; so what keeps clear of the hull keeps clear of the part.

Bottom-left: the places where a part may touch what is laid are the corners of the no-fit polygons (Minkowski sums),
their crossings with one another and with the edges of the room; the furthest left of those that are free is the best
for this part. Shelves: bounding boxes in columns from the left, the longest first.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
from numpy.typing import NDArray

from plategen.cut.part import CutPart
from plategen.flat.convex import Polygon, convex_hull
from plategen.flat.segment import Arc, Segment

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
    """Where one part lies: turned by the unit complex ``turn`` about its origin, then shifted, on sheet ``sheet``.

    ``right_mm`` is how far to the right it reaches there.
    """

    part: int
    turn: complex
    shift: complex
    sheet: int
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


def _from_lowest(polygon: Polygon) -> Polygon:
    """The same polygon begun at its lowest corner, the leftmost of those: its edges then turn from 0 to a full turn."""
    first = min(range(len(polygon)), key=lambda i: (polygon[i].imag, polygon[i].real))
    begun: Polygon = np.roll(polygon, -first)
    return begun


TOUCH_MM = 1e-6
"""A place this deep inside a no-fit polygon still counts as touching it."""


def lay_left(
    ways: Sequence[Sequence[Way]], order: Sequence[int], low: complex, high: complex, spacing_mm: float
) -> list[Laid]:
    """Every part, laid in ``order``."""
    sheets: list[list[Polygon]] = []
    laid = []
    for index in order:
        number, way, place = _best(ways[index], sheets, low, high, spacing_mm)
        if number == len(sheets):
            sheets.append([])
        sheets[number].append(way.hull + place)
        laid.append(Laid(index, way.turn, place, number, (place + way.high).real))
    return laid


def _best(
    ways: Sequence[Way], sheets: Sequence[Sequence[Polygon]], low: complex, high: complex, spacing_mm: float
) -> tuple[int, Way, complex]:
    """The sheet, way and place that keep the part's right side furthest left, on the first sheet with room."""
    for number, laid in enumerate((*sheets, ())):
        candidates: list[tuple[float, float, int, Way, complex]] = []
        for way in ways:
            place = _leftmost(way, laid, low - way.low, high - way.high, spacing_mm)
            if place is not None:
                far = place + way.high
                candidates.append((round(far.real, 6), round(far.imag, 6), len(candidates), way, place))
        if candidates:
            *_, chosen, at = min(candidates, key=lambda one: one[:3])
            return number, chosen, at
    raise AssertionError("a part that fits on an empty sheet has a place there")


def _leftmost(moving: Way, laid: Sequence[Polygon], first: complex, last: complex, spacing_mm: float) -> complex | None:
    """The furthest left, then lowest, free place of a part's origin between two corners; None if it has none."""
    if first.real > last.real + TOUCH_MM or first.imag > last.imag + TOUCH_MM:
        return None
    blocked = [no_fit(fixed, moving.hull, spacing_mm) for fixed in laid]
    corners = np.array([first, complex(first.real, last.imag), last, complex(last.real, first.imag)])
    places = np.concatenate([corners, *blocked, _edge_crossings([corners, *blocked])])
    within = (
        (places.real >= first.real - TOUCH_MM)
        & (places.real <= last.real + TOUCH_MM)
        & (places.imag >= first.imag - TOUCH_MM)
        & (places.imag <= last.imag + TOUCH_MM)
    )
    places = places[within]
    for polygon in blocked:
        places = places[~_strictly_inside(places, polygon)]
    if not places.size:
        return None
    best = min(places, key=lambda p: (round(p.real, 6), round(p.imag, 6)))
    return complex(min(max(best.real, first.real), last.real), min(max(best.imag, first.imag), last.imag))


def _strictly_inside(places: Polygon, polygon: Polygon) -> NDArray[np.bool_]:
    along = np.roll(polygon, -1) - polygon
    lengths = np.abs(along)
    along, starts = along[lengths > 1e-12] / lengths[lengths > 1e-12], polygon[lengths > 1e-12]
    depth = (along.conjugate()[:, None] * (places[None, :] - starts[:, None])).imag.min(axis=0)
    inside: NDArray[np.bool_] = depth > TOUCH_MM
    return inside


def _edge_crossings(polygons: Sequence[Polygon]) -> Polygon:
    """Where the edges of different polygons cross."""
    if len(polygons) < 2:
        return np.empty(0, dtype=complex)
    starts = np.concatenate(polygons)
    along = np.concatenate([np.roll(p, -1) - p for p in polygons])
    owner = np.repeat(np.arange(len(polygons)), [len(p) for p in polygons])
    i, j = np.nonzero(owner[:, None] < owner[None, :])
    between = starts[j] - starts[i]
    turn = (along[i].conjugate() * along[j]).imag
    with np.errstate(divide="ignore", invalid="ignore"):
        s = (between.conjugate() * along[j]).imag / turn
        t = (between.conjugate() * along[i]).imag / turn
    met = (s >= 0.0) & (s <= 1.0) & (t >= 0.0) & (t <= 1.0)
    crossings: Polygon = (starts[i] + along[i] * np.where(met, s, 0.0))[met]
    return crossings


HAIR_MM = 1e-9
"""What adding up lengths may lose."""


def lay_shelves(ways: Sequence[Sequence[Way]], low: complex, high: complex, spacing_mm: float) -> list[Laid]:
    """Every part in the first column that has room for it, turned so that its box is least long along the sheet."""
    room = high - low
    chosen = [min((w for w in choices if w.fits(room)), key=lambda w: (w.size.real, w.size.imag)) for choices in ways]
    order = sorted(range(len(chosen)), key=lambda i: (-chosen[i].size.real, -chosen[i].size.imag, i))
    columns: list[_Column] = []
    laid = []
    for i in order:
        way = chosen[i]
        column = next((c for c in columns if c.top + way.size.imag <= high.imag + HAIR_MM), None)
        if column is None:
            column = _following(columns, way.size.real, low, high, spacing_mm)
            columns.append(column)
        at = complex(column.left, column.top)
        laid.append(Laid(i, way.turn, at - way.low, column.sheet, column.left + way.size.real))
        column.top += way.size.imag + spacing_mm
    return laid


class _Column:
    """A column that is being filled from below."""

    def __init__(self, sheet: int, left: float, length: float, top: float) -> None:
        self.sheet, self.left, self.length, self.top = sheet, left, length, top


def _following(columns: list[_Column], length: float, low: complex, high: complex, spacing_mm: float) -> _Column:
    """An empty column beside the last one, or at the left of a new sheet."""
    if not columns:
        return _Column(0, low.real, length, low.imag)
    last = columns[-1]
    left = last.left + last.length + spacing_mm
    if left + length <= high.real + HAIR_MM:
        return _Column(last.sheet, left, length, low.imag)
    return _Column(last.sheet + 1, low.real, length, low.imag)
