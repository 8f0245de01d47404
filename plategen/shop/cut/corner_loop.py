"""Corner loops: the torch runs on past a sharp outer corner, turns round in the scrap and comes back to it.

A torch that slows down to turn a corner burns it round; running through it at full speed keeps it sharp (common
practice, no source). The path then passes the corner twice, so a part with loops is for the table alone: its contour
no longer bounds the part.
"""

import math
from collections.abc import Iterator
from dataclasses import replace

from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line, Segment, cross, dot
from plategen.shop.cut.part import CutPart

SHARPEST_LEFT_ALONE_RAD = math.radians(30.0)
"""A torch takes a corner that turns by less than this without slowing."""


def with_corner_loops(part: CutPart, length_mm: float) -> CutPart:
    """The part with a loop at each sharp outer corner of its outer contour.

    Args:
        part: Compensated for kerf with pointed corners, without leads.
        length_mm: How far the torch runs on past a corner.
    """
    contour = part.outside.contour
    if isinstance(contour, Circle):
        return part
    return replace(part, outside=replace(part.outside, contour=looped(contour, length_mm)))


def looped(loop: Loop, length_mm: float) -> Loop:
    """An outer contour with a loop at each sharp outer corner, run the way it runs."""
    turns_left = loop.area > 0.0
    return Loop(tuple(_looped(loop, length_mm, outer=1.0 if turns_left else -1.0)))


def _looped(loop: Loop, length_mm: float, outer: float) -> Iterator[Segment]:
    previous = loop.segments[-1]
    for segment in loop:
        leave, land = previous.end_tangent, segment.start_tangent
        turn = math.atan2(cross(leave, land), dot(leave, land))
        if turn * outer > SHARPEST_LEFT_ALONE_RAD:
            corner = segment.start
            past, before = corner + leave * length_mm, corner - land * length_mm
            # the way round by the scrap: the rest of a full turn, the other way
            rest = turn - math.copysign(2.0 * math.pi, turn)
            yield Line(corner, past)
            yield Arc(past, before, math.tan(rest / 4))
            yield Line(before, corner)
        yield segment
        previous = segment
