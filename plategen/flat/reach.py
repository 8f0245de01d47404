"""How far it is from a point to an outline in a direction, or within a span of directions; exact."""

import math
from collections.abc import Iterable
from typing import NamedTuple

from plategen.flat.carrier import carrier
from plategen.flat.intersect import line_and_circle
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Segment, angle, cross, dot
from plategen.flat.tolerance import SAME_POINT_MM


class Approach(NamedTuple):
    """Where an edge comes nearest to a circle.

    Args:
        edge: Index of the edge on the outline.
        point: The nearest point of that edge.
        direction_rad: Direction from the circle's centre to it.
        from_centre_mm: Distance from the centre.
        from_circle_mm: Distance from the circle: the material left between hole and edge.
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
    # no point of an arc is further from its chord than its sagitta
    sagitta = abs(edge.bulge) * abs(edge.end - edge.start) / 2 if isinstance(edge, Arc) else 0.0
    if before * after > 0.0 and min(abs(before), abs(after)) > sagitta + SAME_POINT_MM:
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
