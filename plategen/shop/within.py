"""Whether a point lies within a closed contour: exact for lines and arcs."""

import cmath
import math

from plategen.flat.loop import Circle
from plategen.flat.segment import Arc, Segment, cross
from plategen.shop.cut_part import Contour


def encloses(contour: Contour, p: complex) -> bool:
    """True when ``p`` lies inside, whichever way the contour runs; undecided on the contour itself.

    The contour turns about a point inside it once and about a point outside not at all: the turns of the edges, seen
    from the point, are added up.
    """
    if isinstance(contour, Circle):
        return abs(p - contour.centre) < contour.radius
    return abs(sum(_turn(segment, p) for segment in contour)) > math.pi


def _turn(segment: Segment, p: complex) -> float:
    """Angle through which the way from ``p`` to a point on the edge turns as the edge is walked."""
    start, end = segment.start - p, segment.end - p
    if start == 0 or end == 0:
        return 0.0
    turn = cmath.phase(end / start)
    if isinstance(segment, Arc) and _in_bow(segment, p):
        # from between an arc and its chord the arc is seen the other way round
        turn += math.copysign(2.0 * math.pi, segment.bulge)
    return turn


def _in_bow(arc: Arc, p: complex) -> bool:
    """True when ``p`` lies between an arc and its chord."""
    if abs(p - arc.centre) >= arc.radius:
        return False
    side = cross(arc.end - arc.start, p - arc.start)
    # an arc that turns left bows out to the right of its chord
    return side < 0.0 if arc.bulge > 0.0 else side > 0.0
