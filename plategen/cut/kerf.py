"""Room for the torch's own width: the path of its centre beside the finished edge, exact.

Most controllers do this themselves; a file that has it done must not have it done again.
"""

import math
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

from plategen.cut.part import Cut, CutPart
from plategen.flat.distance import chain_distance
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.offset import Corner, offset_loop
from plategen.flat.segment import SHORTEST_EDGE_MM, Arc, Line, Segment, cross, dot
from plategen.ground.message import NOTHING, Message, message, mm
from plategen.ground.refusal import Refusal

LEAST_KERF_MM, _WITHIN_MM = 0.1, 0.01
"""No cut is narrower than this, so that no less is told to be right; the widest that goes is found as nearly."""

SHARP_RAD = 1e-3
"""A turn between two edges of less than this is no corner."""


def compensated(part: CutPart, kerf_mm: float, corner: Corner = "round") -> CutPart:
    """The part, at finished size, with every contour moved half the kerf into the scrap: outside out, inside in.

    Lines stay lines and arcs arcs; the torch passes an outer corner on an arc about it, so that the corner stays
    sharp, or (``miter``) runs on to a point beyond it.

    Raises:
        Refusal: A hole, a slot or an inner radius is too small for the torch to follow.
    """
    half = kerf_mm / 2
    if half == 0.0:
        return part
    try:
        return replace(
            part,
            outside=Cut(grown(part.outside.contour, half, corner)),
            inside=tuple(Cut(grown(cut.contour, -half, corner)) for cut in part.inside),
        )
    except Refusal as refusal:
        if refusal.key:  # a hole, which says itself what is right
            told = message("{}, with a kerf of {}: {}", part.spoken, mm(kerf_mm), refusal.message)
            raise Refusal(told, refusal.key) from None
        near = next((value for value in refusal.message.values if isinstance(value, Message)), None)
        words = "{} is too narrow{} for a torch that cuts {} wide; {}compensate = false is right"
        where = message(" near {}", near) if near else NOTHING
        most_mm = _most_kerf_mm(part, kerf_mm, corner)
        less = message("a kerf of {} or less, or ", mm(most_mm, "down")) if most_mm >= LEAST_KERF_MM else NOTHING
        raise Refusal(message(words, part.spoken, where, mm(kerf_mm), less), "cutting.kerf") from None


def _most_kerf_mm(part: CutPart, kerf_mm: float, corner: Corner) -> float:
    """The widest cut, less than one that does not go, with which every edge of a part can be followed."""
    low, high = 0.0, kerf_mm
    while high - low > _WITHIN_MM:
        middle = (low + high) / 2
        try:
            grown(part.outside.contour, middle / 2, corner)
            for cut in part.inside:
                grown(cut.contour, -middle / 2, corner)
        except Refusal:
            high = middle
        else:
            low = middle
    return low


def grown(contour: Contour, by_mm: float, corner: Corner = "round") -> Contour:
    """The contour moved outwards everywhere by ``by_mm``, or inwards when negative, whichever way it runs.

    Raises:
        Refusal: An edge would vanish or the contour close up.
    """
    if isinstance(contour, Circle):
        radius = contour.radius + by_mm
        if radius < SHORTEST_EDGE_MM:
            raise Refusal(
                message(
                    "the hole of {} closes up; a larger hole, or one that is drilled, is right", mm(2 * contour.radius)
                ),
                "cutting.kerf",
            )
        return Circle(contour.centre, radius)
    outwards = -by_mm if contour.area > 0.0 else by_mm
    return offset_loop(contour, outwards, corner, strict=True)


class LeftCorner(NamedTuple):
    """An inner corner that the torch cannot cut sharp, and what is left from it to the rounding, along its bisector."""

    place: complex
    left_mm: float


def left_corners(contour: Contour, kerf_mm: float, *, hole: bool = False) -> tuple[LeftCorner, ...]:
    """The inner corners of an outline, or those of an opening, in which a round cut of that width leaves material.

    The rounding has half the kerf as its radius; in a corner that turns by ``a`` it leaves
    ``r (1 / cos(a / 2) - 1)`` along the bisector. A notch that must seat there wants a file, or a relief hole.
    """
    if isinstance(contour, Circle):
        return ()
    edges = (contour if (contour.area > 0.0) != hole else contour.reversed()).segments  # the steel on their left
    corners = []
    for before, after in pairwise((edges[-1], *edges)):
        if cross(before.end_tangent, after.start_tangent) < -SHARP_RAD:
            half_turn_cosine = max(1e-6, ((1.0 + dot(before.end_tangent, after.start_tangent)) / 2) ** 0.5)
            corners.append(LeftCorner(after.start, kerf_mm / 2 * (1.0 / half_turn_cosine - 1.0)))
    return tuple(corners)


SHARPEST_LEFT_ALONE_RAD = math.radians(30.0)
"""A torch takes a corner that turns by less than this without slowing."""


def with_corner_loops(part: CutPart, length_mm: float, clear_mm: float = 0.0) -> CutPart:
    """The part with a loop at each sharp outer corner of its outer contour that has room for one.

    The torch runs on past the corner, turns round in the scrap and comes back: one that slows down to turn a corner
    burns it round (common practice, no source). The path then passes the corner twice, so a part with loops is for the
    table alone: its contour no longer bounds the part. Where a loop would come too near to the part elsewhere, or to
    another loop, there is none: the torch would cut into the part, or lose its arc over a gap.

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
    outer = 1.0 if loop.area > 0.0 else -1.0
    loops: list[Segment] = []
    edges: list[Segment] = []
    for previous, segment in pairwise((loop.segments[-1], *loop)):
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
                edges += [past, round_, back]
        edges.append(segment)
    return Loop(tuple(edges))


def _loop(corner: complex, leave: complex, land: complex, turn: float, length_mm: float) -> tuple[Line, Arc, Line]:
    """On past the corner, round by the scrap's side, and back to it along the next edge."""
    leg = length_mm * min(1.0, math.tan(abs(turn) / 2))
    past, before = corner + leave * leg, corner - land * leg
    # the way round by the scrap: the rest of a full turn, the other way
    rest = turn - math.copysign(2.0 * math.pi, turn)
    return Line(corner, past), Arc(past, before, math.tan(rest / 4)), Line(before, corner)
