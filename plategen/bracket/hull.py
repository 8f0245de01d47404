"""The outline that a string drawn round several circles takes: exact lines and arcs.

Walking anticlockwise round the circles, the string leaves each along the tangent that turns left least.
"""

import math
from collections.abc import Sequence

from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line, Segment, angle, cross
from plategen.flat.tangent import tangent_line
from plategen.flat.tolerance import SAME_POINT_MM, SHORTEST_EDGE_MM

_TURN = 2.0 * math.pi
_SAME_RAD = 1e-12


def hull(circles: Sequence[Circle]) -> Loop:
    """The convex hull of circles, anticlockwise, begun at the lowest circle; a circle of radius 0 is a corner.

    Raises:
        ValueError: If no two circles stand clear of each other, so that the hull is one circle.
    """
    start = min(range(len(circles)), key=lambda i: (circles[i].centre.imag - circles[i].radius, circles[i].centre.real))
    edges: list[Segment] = []
    on, along = start, 1.0 + 0j
    turned = 0.0
    point = circles[on].centre - 1j * circles[on].radius
    for _ in range(4 * len(circles) + 4):
        turn, line, onto = _next(circles, on, along)
        if turned + turn >= _TURN - 1e-9:
            break
        edges += _arc(circles[on], point, turn)
        edges.append(line)
        turned += turn
        on, point, along = onto, line.end, line.start_tangent
    else:  # pragma: no cover - every step turns on or moves to another circle
        raise ValueError("the circles have no hull")
    return Loop(_closed(_without_hairs([*edges, *_arc(circles[on], point, _TURN - turned)])))


def _next(circles: Sequence[Circle], on: int, along: complex) -> tuple[float, Line, int]:
    """The tangent onward that turns left least, the farthest of those in line."""
    best: tuple[float, Line, int] | None = None
    here = circles[on]
    for k, there in enumerate(circles):
        if k == on or abs(there.centre - here.centre) <= abs(there.radius - here.radius) + SAME_POINT_MM:
            continue
        line = tangent_line(here, "left", there, "left")
        if line.length <= SAME_POINT_MM:
            continue
        turn = angle(line.start_tangent / along) % _TURN
        if turn > _TURN - 1e-9:
            turn = 0.0
        if best is None or turn < best[0] - _SAME_RAD or (turn <= best[0] + _SAME_RAD and line.length > best[1].length):
            best = turn, line, k
    if best is None:
        raise ValueError("one circle holds all the others")
    return best


def _arc(circle: Circle, start: complex, turn: float) -> list[Segment]:
    """The part of a circle that the string lies on."""
    if circle.radius * turn <= SAME_POINT_MM:
        return []
    ahead = complex(math.cos(turn), math.sin(turn))
    return [Arc(start, circle.centre + (start - circle.centre) * ahead, math.tan(turn / 4))]


def _without_hairs(edges: list[Segment]) -> list[Segment]:
    """The edges without arcs too short to cut: the lines beside one run on until they meet, a hair outside it."""
    for k, edge in enumerate(edges):
        after, *others, before = [*edges[k + 1 :], *edges[:k]]
        if edge.length >= SHORTEST_EDGE_MM or not (isinstance(before, Line) and isinstance(after, Line)):
            continue
        turn = cross(before.start_tangent, after.start_tangent)
        if isinstance(edge, Arc) and turn > 0.0:
            meet = before.end + before.start_tangent * cross(after.start - before.end, after.start_tangent) / turn
            return _without_hairs([Line(meet, after.end), *others, Line(before.start, meet)])
    return edges


def _closed(edges: list[Segment]) -> tuple[Segment, ...]:
    """The edges with each beginning exactly where the last one ends, so that rounding opens no gap."""
    tied: list[Segment] = []
    for before, edge in zip([edges[-1], *edges[:-1]], edges, strict=True):
        tied.append(Line(before.end, edge.end) if isinstance(edge, Line) else Arc(before.end, edge.end, edge.bulge))
    return tuple(tied)
