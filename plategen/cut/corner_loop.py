"""Corner loops: the torch runs on past a sharp outer corner, turns round in the scrap and comes back to it.

A torch that slows down to turn a corner burns it round; running through it at full speed keeps it sharp (common
practice, no source). The path then passes the corner twice, so a part with loops is for the table alone: its contour
no longer bounds the part. A corner whose loop would come too near to the part elsewhere, or to another loop, is left
without: the torch would cut into the part, or lose its arc over a gap.
"""

import math
from collections.abc import Iterator
from dataclasses import replace

from plategen.cut.part import CutPart
from plategen.flat.distance import chain_distance
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line, Segment, cross, dot

SHARPEST_LEFT_ALONE_RAD = math.radians(30.0)
"""A torch takes a corner that turns by less than this without slowing."""


def with_corner_loops(part: CutPart, length_mm: float, clear_mm: float = 0.0) -> CutPart:
    """The part with a loop at each sharp outer corner of its outer contour that has room for one.

    Args:
        part: Compensated for kerf with pointed corners, without leads.
        length_mm: How far the torch runs on past a corner; less where it hardly turns, so that no loop has a larger
            radius.
        clear_mm: Nearest that a loop may come to the contour elsewhere and to another loop.
    """
    contour = part.outside.contour
    if isinstance(contour, Circle):
        return part
    return replace(part, outside=replace(part.outside, contour=looped(contour, length_mm, clear_mm)))


def looped(loop: Loop, length_mm: float, clear_mm: float = 0.0) -> Loop:
    """An outer contour with a loop at each sharp outer corner that has room for one, run the way it runs."""
    turns_left = loop.area > 0.0
    return Loop(tuple(_looped(loop, length_mm, clear_mm, outer=1.0 if turns_left else -1.0)))


def _looped(loop: Loop, length_mm: float, clear_mm: float, outer: float) -> Iterator[Segment]:
    previous = loop.segments[-1]
    loops: list[Segment] = []
    for segment in loop:
        leave, land = previous.end_tangent, segment.start_tangent
        turn = math.atan2(cross(leave, land), dot(leave, land))
        if turn * outer > SHARPEST_LEFT_ALONE_RAD:
            past, round_, back = _loop(segment.start, leave, land, turn, length_mm)
            # on the scrap's side of the two edges it joins a loop may run as close as it likes
            others = [s for s in loop if s not in (previous, segment)]
            if (
                chain_distance((past, round_, back), (*others, *loops)) >= clear_mm
                and chain_distance((round_,), (previous, segment)) > 0.0
            ):
                loops += [past, round_, back]
                yield from (past, round_, back)
        yield segment
        previous = segment


def _loop(corner: complex, leave: complex, land: complex, turn: float, length_mm: float) -> tuple[Line, Arc, Line]:
    """On past the corner, round by the scrap's side, and back to it along the next edge."""
    leg = length_mm * min(1.0, math.tan(abs(turn) / 2))
    past, before = corner + leave * leg, corner - land * leg
    # the way round by the scrap: the rest of a full turn, the other way
    rest = turn - math.copysign(2.0 * math.pi, turn)
    return Line(corner, past), Arc(past, before, math.tan(rest / 4)), Line(before, corner)
