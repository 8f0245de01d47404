"""Where edges and chains meet: crossings, touchings, shared ends and the ends of shared pieces."""

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from plategen.flat.carrier import Carrier, carrier
from plategen.flat.segment import SAME_POINT_MM, Segment, cross, dot

_NEARLY_TANGENT = 1e-4
"""Squared sine of a crossing angle below which two circles are looked at for touching (0.01 rad)."""


class Crossing(NamedTuple):
    """Where two runs of edges meet: on either the index of the edge and the share of its length, and the point."""

    edge_a: int
    t_a: float
    edge_b: int
    t_b: float
    point: complex


def crossings(a: Segment, b: Segment) -> tuple[tuple[float, float], ...]:
    """The shares of length ``(ta, tb)`` at which two edges meet, by growing ``ta``.

    Touching counts, and so do ends, all within ``SAME_POINT_MM``; a share is exactly 0.0 or 1.0 at an end. Of edges
    that lie on one another along some length only the ends of the shared piece are given.
    """
    return carrier_crossings(carrier(a), carrier(b))


def carrier_crossings(a: Carrier, b: Carrier) -> tuple[tuple[float, float], ...]:
    """The same as :func:`crossings`, for edges whose carriers are at hand."""
    if a.parted(b):
        return ()
    ends = _end_touches(a, b)
    if len(ends) > 1 and _coincide(a, b, ends[0][0], ends[-1][0]):
        return (ends[0], ends[-1])
    meetings = ends
    for p in common_points(a, b):
        ta = a.within(p)
        if ta is None:
            continue
        tb = b.within(p)
        if tb is None or any(_same(a, b, (ta, tb), known) for known in meetings):
            continue
        # tangent edges that share an end run within tolerance of each other on a little way: one meeting, not two
        if any(_coincide(a, b, ta, known[0]) for known in ends):
            continue
        meetings = [*meetings, (ta, tb)]
    return tuple(sorted(meetings))


def chain_crossings(a: Iterable[Segment], b: Iterable[Segment]) -> tuple[Crossing, ...]:
    """Where two chains (or loops) meet, in the order along the first.

    A meeting at a joint is given once, as share 0.0 of the edge that begins there (the last end is share 1.0).
    """
    return carriers_crossings([carrier(s) for s in a], [carrier(s) for s in b])


def carriers_crossings(a: Sequence[Carrier], b: Sequence[Carrier]) -> tuple[Crossing, ...]:
    """The same as :func:`chain_crossings`, for chains whose carriers are at hand."""
    last_a, last_b = len(a) - 1, len(b) - 1
    unique: dict[tuple[int, float, int, float], Crossing] = {}
    for i, one in enumerate(a):
        for j, other in enumerate(b):
            if one.parted(other):
                continue
            for ta, tb in carrier_crossings(one, other):
                ia, sa = (i + 1, 0.0) if ta == 1.0 and i < last_a else (i, ta)
                jb, sb = (j + 1, 0.0) if tb == 1.0 and j < last_b else (j, tb)
                unique.setdefault((ia, sa, jb, sb), Crossing(ia, sa, jb, sb, at_share(one, ta)))
    return tuple(unique[key] for key in sorted(unique))


def at_share(c: Carrier, t: float) -> complex:
    """The point of an edge at share ``t``."""
    if t == 0.0:
        return c.start
    if t == 1.0:
        return c.end
    half = c.sweep_rad * t / 2
    if half == 0.0:
        return c.start + c.tangent * (c.length * t)
    sine = math.sin(half)
    return c.start + c.tangent * complex(math.cos(half), sine) * (2.0 * sine / c.curvature)


def _end_touches(a: Carrier, b: Carrier) -> list[tuple[float, float]]:
    """Meetings at an end of either edge, each once, by growing share of ``a``."""
    touches: list[tuple[float, float]] = []
    for tb, p in ((0.0, b.start), (1.0, b.end)):
        ta = a.touched(p)
        if ta is not None:
            touches.append((ta, tb))
    for ta, p in ((0.0, a.start), (1.0, a.end)):
        tb_or_none = b.touched(p)
        if tb_or_none is not None and not any(_same(a, b, (ta, tb_or_none), known) for known in touches):
            touches.append((ta, tb_or_none))
    return sorted(touches)


def _same(a: Carrier, b: Carrier, one: tuple[float, float], other: tuple[float, float]) -> bool:
    """True when two meetings are one within tolerance on both edges."""
    return (
        abs(one[0] - other[0]) * a.length <= 2.0 * SAME_POINT_MM
        and abs(one[1] - other[1]) * b.length <= 2.0 * SAME_POINT_MM
    )


def _coincide(a: Carrier, b: Carrier, t0: float, t1: float) -> bool:
    """True when ``a`` half-way between two meetings still lies on ``b``: two curves of degree two then coincide."""
    return b.touched(at_share(a, (t0 + t1) / 2)) is not None


def common_points(a: Carrier, b: Carrier) -> tuple[complex, ...]:
    """Points common to two whole lines or circles; none when they coincide or keep apart."""
    if a.curvature == 0.0 and b.curvature == 0.0:
        turn = cross(a.tangent, b.tangent)
        return () if turn == 0.0 else (a.start + a.tangent * (cross(b.start - a.start, b.tangent) / turn),)
    if a.curvature == 0.0:
        return line_and_circle(a.start, a.tangent, b)
    if b.curvature == 0.0:
        return line_and_circle(b.start, b.tangent, a)
    return _two_circles(a, b) if abs(a.curvature) >= abs(b.curvature) else _two_circles(b, a)


def _quadratic(start: complex, along: complex, c: Carrier) -> tuple[float, float, float]:
    """Coefficients x2, x1, x0 of ``-g`` along the line ``start + x along``, and so of its meeting with a circle."""
    d, k, n = start - c.start, c.curvature, 1j * c.tangent
    return k / 2, k * dot(d, along) - dot(n, along), k * dot(d, d) / 2 - dot(n, d)


def _roots(x2: float, x1: float, squared_sine: float, x0: float) -> tuple[float, float]:
    """Both roots of the quadratic without cancellation."""
    q = -(x1 + math.copysign(math.sqrt(squared_sine), x1)) / 2
    return q / x2, x0 / q


def line_and_circle(start: complex, along: complex, c: Carrier) -> tuple[complex, ...]:
    """Common points of a line and a circle; one where the line touches within tolerance.

    The discriminant is the squared sine of the angle of crossing, and the circle's rise over the line is
    ``discriminant / k / (1 + sqrt(1 - discriminant))``.
    """
    x2, x1, x0 = _quadratic(start, along, c)
    squared_sine = x1 * x1 - 4.0 * x2 * x0
    rise = squared_sine / (1.0 + math.sqrt(max(0.0, 1.0 - squared_sine))) / abs(c.curvature)
    if abs(rise) <= SAME_POINT_MM:
        return (start - along * (x1 / (2.0 * x2)),)
    if squared_sine < 0.0:
        return ()
    one, other = _roots(x2, x1, squared_sine, x0)
    return start + along * one, start + along * other


def _two_circles(small: Carrier, large: Carrier) -> tuple[complex, ...]:
    """Common points of two circles, by their radical axis; one where they touch within tolerance."""
    e, k, other_k = large.start - small.start, small.curvature, large.curvature
    n, other_n = 1j * small.tangent, 1j * large.tangent
    # other_k g - k other_g = 0 is linear in d: normal . d = offset
    normal = other_k * n - k * other_n - k * other_k * e
    offset = -k * (dot(other_n, e) + other_k * dot(e, e) / 2)
    size = abs(normal)
    if size == 0.0:
        return ()
    start, along = small.start + normal * (offset / size) / size, 1j * normal / size
    x2, x1, x0 = _quadratic(start, along, small)
    squared_sine = x1 * x1 - 4.0 * x2 * x0
    if squared_sine < _NEARLY_TANGENT:
        middle = start - along * (x1 / (2.0 * x2))
        normal_there = n - k * (middle - small.start)
        if abs(normal_there) > 0.0:
            touch = middle - small.leftward(middle) * normal_there / abs(normal_there)
            if abs(large.leftward(touch)) <= SAME_POINT_MM:
                return (touch,)
        if squared_sine <= 0.0:
            return ()
    points = (start + along * x for x in _roots(x2, x1, squared_sine, x0))
    # of nearly concentric circles the axis is noise: what it cuts out must lie on both
    return tuple(p for p in points if abs(large.leftward(p)) <= 10.0 * SAME_POINT_MM)
