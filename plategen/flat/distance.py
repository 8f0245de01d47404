"""Distances between edges, chains, loops and points, on which side of a chain a point lies, and how far it is to an
outline in a direction; exact.
"""

import math
from collections.abc import Iterable, Sequence
from itertools import compress
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from plategen.flat.carrier import Carrier, carrier
from plategen.flat.chain import Run
from plategen.flat.intersect import crossings, line_and_circle
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import SAME_POINT_MM, Arc, Line, Segment, angle, cross, dot

_MANY = 12
"""Points from which on it is quicker to look at them in arrays."""


def segment_distance(a: Segment, b: Segment) -> float:
    """Shortest distance between two edges in mm, 0 when they meet.

    It is taken at an end of one of them, or on a common normal, which passes through the centre of every circle.
    """
    if crossings(a, b):
        return 0.0
    ends = ((b.start, a), (b.end, a), (a.start, b), (a.end, b))
    return min(abs(edge.point(edge.nearest(p)) - p) for p, edge in (*ends, *_on_common_normals(a, b)))


def chain_distance(a: Iterable[Segment], b: Iterable[Segment]) -> float:
    """Shortest distance between two chains or loops in mm, 0 when they meet; not inside and outside, only edges."""
    others = [(s, carrier(s)) for s in b]
    best = math.inf
    for one in a:
        box = carrier(one)
        for other, other_box in others:
            if _box_gap(box, other_box) < best:
                best = min(best, segment_distance(one, other))
    return best


def keep_off(a: Iterable[Segment], b: Iterable[Segment], least_mm: float) -> bool:
    """True if two chains or loops are nowhere nearer than so many mm; far quicker than to ask how near they are."""
    others = [(s, carrier(s)) for s in b]
    return all(
        _box_gap(box, other_box) >= least_mm or segment_distance(one, other) >= least_mm
        for one, box in ((s, carrier(s)) for s in a)
        for other, other_box in others
    )


def offset_from(run: Run, p: complex) -> float:
    """Signed distance in mm from a chain or an outline to ``p``: positive left of the walk, negative right of it.

    Where the nearest place is a corner, the side is the one on which both edges see the point; beyond the ends of an
    open run it is the side of the end edge carried on straight.
    """
    return offsets_from(run, (p,))[0]


def offsets_from(run: Run, points: Iterable[complex]) -> list[float]:
    """The same as :func:`offset_from`, for many points."""
    looked, carriers = list(points), run.carriers
    if len(looked) < _MANY:
        return [_offset(carriers, p) for p in looked]
    # nearly all lie square beside an edge, which is seen of all at once
    offsets = _square_offsets(carriers, np.array(looked))
    return [_offset(carriers, p) if math.isnan(off) else off for p, off in zip(looked, offsets, strict=True)]


def _square_offsets(carriers: Sequence[Carrier], p: NDArray[np.complex128]) -> list[float]:
    """What :func:`_offset` says of points that lie nearest to an edge between its ends; NaN for the others."""
    rows = ((c.start, c.tangent, c.curvature, c.sweep_rad, c.length) for c in carriers)
    start, tangent, k, sweep, length = (np.array(each)[:, None] for each in zip(*rows, strict=True))
    away = p - start
    seen = away * tangent.conj()  # along an edge's line, and to the left of it
    bends = k != 0.0
    bend, turn = np.where(bends, k, 1.0), np.where(bends, sweep, 1.0)
    g = seen.imag - k * (away.real**2 + away.imag**2) / 2
    root = 1.0 - 2.0 * k * g
    leftward = np.where(root > 0.0, 2.0 * g / (1.0 + np.sqrt(np.maximum(root, 0.0))), 1.0 / bend)
    share = np.where(bends, np.arctan2(k * seen.real, 1.0 - k * seen.imag) / turn, seen.real / length)
    around = share + 2.0 * math.pi / np.abs(turn)
    share = np.where(bends & (share < 0.0) & (around - 1.0 < -share), around, share)
    beside = np.where((share > 0.0) & (share < 1.0), np.abs(leftward), np.inf)
    nearest = beside.argmin(axis=0)
    at = (nearest, np.arange(len(p)))
    ends = np.minimum(np.abs(away).min(axis=0), np.abs(p - carriers[-1].end))
    offsets: list[float] = np.where(beside[at] < ends, leftward[at], np.nan).tolist()
    return offsets


def _on_common_normals(a: Segment, b: Segment) -> Sequence[tuple[complex, Segment]]:
    """Points of either edge that can be nearest to the other within both, and that other edge."""
    if isinstance(a, Line) and isinstance(b, Line):
        return ()
    if isinstance(a, Line):
        assert isinstance(b, Arc)
        return ((a.point(a.nearest(b.centre)), b),)
    if isinstance(b, Line):
        return ((b.point(b.nearest(a.centre)), a),)
    apart = b.centre - a.centre
    if apart == 0.0:
        return ()  # concentric: an end is as near as any other point
    step = apart / abs(apart) * a.radius
    points = (a.centre + step, a.centre - step)
    return tuple((a.point(a.nearest(p)), b) for p in points)


def _box_gap(a: Carrier, b: Carrier) -> float:
    """Distance between the boxes of two edges, not more than that between the edges."""
    du = max(a.left - b.right, b.left - a.right, 0.0)
    dv = max(a.low - b.high, b.low - a.high, 0.0)
    return math.hypot(du, dv)


def _offset(carriers: Sequence[Carrier], p: complex) -> float:
    """The least of the distances to the edges between their ends, or to a joint or an end where that is nearer."""
    least, joint = abs(p - carriers[-1].end), len(carriers)
    for index, c in enumerate(carriers):
        to_start = abs(p - c.start)
        if to_start < least:
            least, joint = to_start, index
    beside = None
    for c in carriers:
        leftward = c.leftward(p)
        if abs(leftward) < least and 0.0 < c.share(p) < 1.0:
            least, beside = abs(leftward), leftward
    if beside is not None:
        return beside
    # at a corner the bisector of the two directions decides: either edge alone can be wrong
    first, last = carriers[0], carriers[-1]
    if joint in (0, len(carriers)) and abs(first.start - last.end) <= SAME_POINT_MM:
        meeting, corner = [last, first], first.start
    else:
        meeting = list(carriers[max(0, joint - 1) : joint + 1])
        corner = meeting[0].start if joint == 0 else meeting[0].end
    return math.copysign(least, cross(sum(c.direction(corner) for c in meeting), p - corner))


class Approach(NamedTuple):
    """Where an edge of an outline, named by its index, comes nearest to a circle: the point, seen from the centre.

    ``from_circle_mm`` is the material left between hole and edge.
    """

    edge: int
    point: complex
    direction_rad: float
    from_centre_mm: float
    from_circle_mm: float


def reach(loop: Iterable[Segment], p: complex, direction: complex) -> float:
    """Distance in mm from ``p`` to the first edge met in a direction (any length but zero); infinite if none is.

    Touching an edge counts as meeting it; a point on an edge is at distance 0.
    """
    along = direction / abs(direction)
    return min((x for edge in loop for x in line_places(edge, p, along) if x >= 0.0), default=math.inf)


def reaches(loop: Sequence[Segment], rays: Sequence[tuple[complex, complex]]) -> list[float]:
    """The same as :func:`reach`, from many points, each in its own direction: at once what surely meets no edge."""
    start, end = (np.array(ends)[None, :] for ends in zip(*((edge.start, edge.end) for edge in loop), strict=True))
    p, along = (np.array(each)[:, None] for each in zip(*rays, strict=True))
    along /= np.abs(along)
    slack = np.array([_sagitta(edge) for edge in loop]) + 2.0 * SAME_POINT_MM
    before, after = ((end - p) * along.conj() for end in (start, end))
    ahead = np.maximum(before.real, after.real) >= -slack
    beside = (before.imag * after.imag <= 0.0) | (np.minimum(np.abs(before.imag), np.abs(after.imag)) <= slack)
    may = ahead & beside
    return [reach(compress(loop, row), *ray) for row, ray in zip(may, rays, strict=True)]


def approaches(loop: Loop, circle: Circle) -> tuple[Approach, ...]:
    """Where every edge of an outline comes nearest to a circle inside it, the nearest first.

    Together with :func:`reach` from its centre this is the circle's distance to the outline in every direction: each
    least value of that distance is the approach of some edge.
    """
    nearest = []
    for i, edge in enumerate(loop):
        point = edge.point(edge.nearest(circle.centre))
        away = point - circle.centre
        nearest.append(Approach(i, point, angle(away), abs(away), abs(away) - circle.radius))
    return tuple(sorted(nearest, key=lambda one: one.from_centre_mm))


def line_places(edge: Segment, p: complex, along: complex) -> list[float]:
    """Places in mm, from ``p`` along a unit vector and back, at which an infinite line meets an edge.

    Of an edge that lies on the line its two ends.
    """
    before, after = cross(along, edge.start - p), cross(along, edge.end - p)
    if before * after > 0.0 and min(abs(before), abs(after)) > _sagitta(edge) + SAME_POINT_MM:
        return []
    places = [dot(q - p, along) for q, off in ((edge.start, before), (edge.end, after)) if abs(off) <= SAME_POINT_MM]
    if isinstance(edge, Arc):
        c = carrier(edge)
        crossings = line_and_circle(p, along, c)
        return places + [dot(q - p, along) for q in crossings if c.within(q) not in (None, 0.0, 1.0)]
    if not places:
        q = edge.start + (edge.end - edge.start) * (before / (before - after))
        places.append(dot(q - p, along))
    return places


def _sagitta(edge: Segment) -> float:
    """What no point of an edge is further from its chord than."""
    return abs(edge.bulge) * abs(edge.end - edge.start) / 2 if isinstance(edge, Arc) else 0.0
