"""Shortest distances between edges, chains, loops and circles; exact."""

import math
from collections.abc import Iterable, Sequence

from plategen.flat.carrier import Carrier, carrier
from plategen.flat.intersect import crossings
from plategen.flat.segment import Arc, Line, Segment


def segment_distance(a: Segment, b: Segment) -> float:
    """Shortest distance between two edges in mm, 0 when they meet.

    It is taken at an end of one of them, or on a common normal, which passes through the centre of every circle.
    """
    if crossings(a, b):
        return 0.0
    ends = min(
        _to(a, b.start), _to(a, b.end), _to(b, a.start), _to(b, a.end)
    )  # fmt: skip
    return min([ends, *(_to(other, p) for p, other in _on_common_normals(a, b))])


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


def _to(edge: Segment, p: complex) -> float:
    """Distance of a point from an edge."""
    return abs(edge.point(edge.nearest(p)) - p)


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
    found = (a.centre + step, a.centre - step)
    return tuple((a.point(a.nearest(p)), b) for p in found)


def _box_gap(a: Carrier, b: Carrier) -> float:
    """Distance between the boxes of two edges, not more than that between the edges."""
    du = max(a.left - b.right, b.left - a.right, 0.0)
    dv = max(a.low - b.high, b.low - a.high, 0.0)
    return math.hypot(du, dv)
