"""What lies inside an outline, and whether an outline crosses itself; exact on arcs."""

import math
from collections.abc import Iterable, Sequence
from itertools import compress

import numpy as np

from plategen.flat.carrier import Carrier, carrier
from plategen.flat.intersect import at_share, carrier_crossings
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.segment import Arc, Segment, angle, cross

_HALF_TURN = math.pi - 1e-6


def winding(edges: Iterable[Segment], p: complex) -> int:
    """How often closed edges go round ``p`` anticlockwise; either neighbouring value for a point on an edge.

    The winding of the polygon of chords, by the crossings of a ray towards +u, and one for every arc with ``p``
    between it and its chord. A point on a chord counts as lying a hair towards +u (along a level chord, +v) in both.
    """
    turns = 0
    for edge in edges:
        rises = edge.start.imag <= p.imag
        if rises == (edge.end.imag <= p.imag) and not isinstance(edge, Arc):
            continue
        a, b = edge.start - p, edge.end - p
        left = cross(a, b)
        if rises:
            if b.imag > 0.0 and left > 0.0:
                turns += 1
        elif b.imag <= 0.0 and left < 0.0:
            turns -= 1
        if isinstance(edge, Arc):
            chord = b - a
            side = left or -chord.imag or chord.real
            if side * edge.bulge < 0.0 and _in_circle(edge, p):
                turns += 1 if edge.bulge > 0.0 else -1
    return turns


def inside(contour: Contour, p: complex) -> bool:
    """True when ``p`` lies inside a circle, or a loop of either sense; on an edge either answer."""
    if isinstance(contour, Circle):
        return abs(p - contour.centre) < contour.radius
    return winding(contour.segments, p) != 0


def insides(loop: Sequence[Segment], points: Sequence[complex]) -> list[bool]:
    """The same of many points and the edges of one loop."""
    start, end, bends = zip(*((edge.start, edge.end, isinstance(edge, Arc)) for edge in loop), strict=True)
    level = np.array(points).imag[:, None]
    # a straight edge that does not cross the level of a point turns about it by nothing
    counts = ((np.array(start).imag <= level) != (np.array(end).imag <= level)) | np.array(bends)
    return [winding(compress(loop, row), p) != 0 for row, p in zip(counts, points, strict=True)]


def simple(loop: Loop) -> complex | None:
    """None when an outline neither crosses nor touches itself, otherwise a place where it does.

    Neighbouring edges may meet at their joint and nowhere else.
    """
    carriers = [carrier(s) for s in loop]
    count = len(carriers)
    for j, b in enumerate(carriers):
        for i in range(j):
            a = carriers[i]
            if a.parted(b) or (count > 2 and j == i + 1 and _turn_spread(a, b) < _HALF_TURN):
                continue
            for ta, tb in carrier_crossings(a, b):
                joint = (j == i + 1 and ta == 1.0 and tb == 0.0) or (
                    i == 0 and j == count - 1 and ta == 0.0 and tb == 1.0
                )
                if not joint:
                    return at_share(a, ta)
    return None


def _turn_spread(a: Carrier, b: Carrier) -> float:
    """Angle between the furthest apart of the directions walked along two edges that join.

    Below half a turn there is a direction in which both always advance, so that they meet at their joint alone.
    """
    corner = angle(b.tangent / a.direction(a.end))
    headings = (0.0, -a.sweep_rad, corner, corner + b.sweep_rad)
    return max(headings) - min(headings)


def _in_circle(arc: Arc, p: complex) -> bool:
    """True when ``p`` lies inside the circle of an arc: to the left of one that turns left.

    With ``p`` seen from the start along and left of the start tangent, left is ``left > k |p|^2 / 2``.
    """
    d = p - arc.start
    width, b = abs(arc.end - arc.start), arc.bulge
    left = cross(arc.start_tangent, d)
    g = left * width * (1.0 + b * b) - 2.0 * b * (d.real * d.real + d.imag * d.imag)
    return g * b > 0.0
