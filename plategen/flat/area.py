"""Where a straight cut passes through a plate's steel; exact."""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import TypeAlias

from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Loop
from plategen.flat.reach import line_places
from plategen.flat.segment import cross, dot
from plategen.flat.tolerance import SAME_POINT_MM

Hole: TypeAlias = Circle | Loop
"""What is cut out of a plate."""


def section(
    loop: Loop, through: complex, along: complex, holes: Sequence[Hole] = ()
) -> tuple[tuple[float, float], ...]:
    """Where an infinite straight cut passes through steel; along an edge that lies on the cut, either way.

    Args:
        loop: The plate's outline.
        through: A point of the cut, from which places on it are measured.
        along: Direction of the cut, any length but zero.
        holes: What is cut out of the plate.

    Returns:
        Intervals (from, to) in mm along the cut, in order and apart from one another; those without length left out.
    """
    along = along / abs(along)
    places = [x for edge in loop for x in line_places(edge, through, along)]
    for hole in holes:
        if isinstance(hole, Circle):
            off = hole.centre - through
            square = (hole.radius - abs(cross(along, off))) * (hole.radius + abs(cross(along, off)))
            if square > 0.0:
                places += [dot(along, off) - math.sqrt(square), dot(along, off) + math.sqrt(square)]
        else:
            places += [x for edge in hole for x in line_places(edge, through, along)]
    places.sort()
    found: list[tuple[float, float]] = []
    for x0, x1 in pairwise(places):
        if x1 - x0 <= SAME_POINT_MM or not _steel(loop, holes, through + along * ((x0 + x1) / 2)):
            continue
        if found and x0 - found[-1][1] <= SAME_POINT_MM:
            found[-1] = (found[-1][0], x1)
        else:
            found.append((x0, x1))
    return tuple(found)


def _steel(loop: Loop, holes: Sequence[Hole], p: complex) -> bool:
    """True when a point lies in the plate and in none of its holes."""
    return inside(loop, p) and not any(
        abs(p - h.centre) < h.radius if isinstance(h, Circle) else inside(h, p) for h in holes
    )
