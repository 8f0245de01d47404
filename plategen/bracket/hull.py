"""A string drawn round circles, as a plate's outer edge is from toe to toe: round a nose, or the steel about bolts.

Walking anticlockwise round circles, a string leaves each along the tangent that turns left least: exact lines and arcs.
"""

import math
from collections.abc import Sequence
from functools import partial

from plategen.flat.chain import Chain
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import SAME_POINT_MM, SHORTEST_EDGE_MM, Arc, Line, Segment, angle, cross
from plategen.flat.tangent import tangent_line
from plategen.ground.ended import ended
from plategen.rail.corner import LEAST_TURN_RAD, goes_round

_TURN = 2.0 * math.pi
_SAME_RAD = 1e-12
_HELD_MM = 10.0 * SAME_POINT_MM
"""A circle that stands out of another by less is held by it: the edge between them would be shorter than two points
are told apart by."""


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
        if k == on or abs(there.centre - here.centre) <= abs(there.radius - here.radius) + _HELD_MM:
            continue
        line = tangent_line(here, "left", there, "left")
        if line.length <= _HELD_MM:
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
    return tuple(
        Line(before.end, edge.end) if isinstance(edge, Line) else Arc(before.end, edge.end, edge.bulge)
        for before, edge in zip([edges[-1], *edges[:-1]], edges, strict=True)
    )


STEEL_WITHIN_MM = 0.5
"""A string that takes no more than this of the steel beside a corner is left as it is, so that it has no tiny edges."""

_SAME_MM = 1e-6


def corner_steel(notch: Chain, toe_mm: float) -> tuple[Circle, ...]:
    """The circles that keep a toe's height of steel beside a notch where it turns round the rail's corner.

    About a bend of one piece or a relief the steel is as deep as at the toes; about the pieces of another bend it is
    so at their ends and middles. A notch along one face needs none.
    """
    if not goes_round(notch):
        return ()
    found: list[Circle] = []
    for edge in notch:
        if not isinstance(edge, Arc) or edge.sweep_rad <= 0.0:
            continue
        if edge.sweep_rad >= LEAST_TURN_RAD:
            found.append(Circle(edge.centre, edge.radius + toe_mm))
        else:
            found += (Circle(edge.point(t), toe_mm) for t in (0.0, 0.5, 1.0))
    return tuple(found)


def string(circles: list[Circle], beside: Sequence[Circle]) -> Loop:
    """A string round circles, and round those of ``beside`` that it would else cut, the deepest cut first.

    Raises:
        Refusal: One of those holds all the circles.
    """
    found = hull(circles)
    for _ in beside:
        worst = min(beside, key=partial(_room, found))
        if _room(found, worst) > -STEEL_WITHIN_MM:
            break
        circles = [*circles, worst]
        try:
            found = hull(circles)
        except ValueError:
            words = "the steel about the rail's corner, as deep as the toe is high, would hold all of the plate"
            raise ended(words, "bracket.toe", "a shorter toe") from None
    return found


def _room(loop: Loop, circle: Circle) -> float:
    """From a circle to the loop about it, mm; negative by how far it comes out of it."""
    distance = loop.distance(circle.centre)
    return (distance if inside(loop, circle.centre) else -distance) - circle.radius


def between(loop: Loop, first: complex, last: complex) -> list[Segment] | None:
    """The edges of an anticlockwise loop from one of its corners to another; None if they are no corners of it."""
    edges = list(loop)
    starts = [i for i, edge in enumerate(edges) if abs(edge.start - first) <= _SAME_MM]
    ends = [i for i, edge in enumerate(edges) if abs(edge.end - last) <= _SAME_MM]
    if not starts or not ends:
        return None
    count = (ends[0] - starts[0]) % len(edges) + 1
    found = [edges[(starts[0] + k) % len(edges)] for k in range(count)]
    found[0] = Line(first, found[0].end)  # a corner of the hull lies between straight edges
    found[-1] = Line(found[-1].start, last)
    return found
