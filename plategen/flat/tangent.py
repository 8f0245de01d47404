"""Edges tangent to others, in closed form: straight lines that touch circles, and corners rounded by an arc."""

import math
from collections.abc import Sequence
from typing import Literal, TypeAlias

from plategen.flat.carrier import carrier
from plategen.flat.intersect import common_points
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import SAME_POINT_MM, Arc, Line, Segment, angle
from plategen.flat.walk import between
from plategen.ground.message import message, mm, uv
from plategen.ground.refusal import Refusal

Side: TypeAlias = Literal["left", "right"]
"""On which hand a circle lies when one walks along the line that touches it."""


def tangent_point(point: complex, circle: Circle, side: Side) -> complex:
    """Where the line from a point touches a circle that it keeps on the given hand.

    Raises:
        Refusal: If the point lies inside the circle.
    """
    return tangent_line(Circle(point, 0.0), side, circle, side).end


def tangent_line(first: Circle, first_side: Side, second: Circle, second_side: Side) -> Line:
    """The line from one circle to another that touches both and keeps each on the given hand.

    With the radii signed (positive on the left hand), ``second - first = along * (length + i (r2 - r1))``.

    Raises:
        Refusal: If one circle lies inside the other, or they overlap and the line would have to cross between them.
    """
    r1 = math.copysign(first.radius, 1.0 if first_side == "left" else -1.0)
    r2 = math.copysign(second.radius, 1.0 if second_side == "left" else -1.0)
    apart = second.centre - first.centre
    distance, step = abs(apart), r2 - r1
    squared = (distance - step) * (distance + step)
    if squared < 0.0 or distance == 0.0:
        words = "of two rounds of radius {} and {}, {} from middle to middle, one holds the other; {} or more is right"
        raise Refusal(message(words, mm(first.radius), mm(second.radius), mm(distance), mm(abs(step), "up")))
    along = apart / complex(math.sqrt(squared), step)
    return Line(first.centre - 1j * along * r1, second.centre - 1j * along * r2)


_SMOOTH_RAD = 1e-9
"""A joint that turns by less has no corner: its rounding would be shorter than rounding error can place."""


def round_corner(before: Segment, after: Segment, radius_mm: float) -> tuple[Segment, Arc, Segment]:
    """The corner where ``before`` ends and ``after`` starts, rounded: the edge before, the rounding, the edge after.

    The centre is where the two edges, each shifted by the radius to the inside of the corner, meet. An edge that the
    rounding uses up to the last bit comes back without length, its two ends the same point.

    Raises:
        Refusal: If the rounding does not fit on the edges, or the joint is smooth already or turns straight back.
    """
    rounded = _rounded(before, after, radius_mm)
    if rounded is not None:
        return rounded
    turn = abs(angle(after.start_tangent / before.end_tangent))
    if turn < _SMOOTH_RAD or math.pi - turn < _SMOOTH_RAD:
        raise Refusal(message("there is no corner to round at {}; a corner radius of 0 is right", uv(before.end)))
    words = "a corner radius of {} does not fit at {} between edges of {} and {}; {} or less is right"
    raise Refusal(
        message(
            words,
            mm(radius_mm),
            uv(before.end),
            mm(before.length),
            mm(after.length),
            mm(largest_radius(before, after), "down"),
        )
    )


def rounds(before: Segment, after: Segment, radius_mm: float) -> bool:
    """Whether the corner between two edges can be rounded with a radius."""
    return _rounded(before, after, radius_mm) is not None


def largest_radius(before: Segment, after: Segment) -> float:
    """The largest radius in mm with which the corner between two edges can be rounded; 0 at a smooth joint."""
    low, high = 0.0, 1e-3
    while _rounded(before, after, high) is not None:
        low, high = high, 2.0 * high
        if high > 1e9:
            return math.inf
    while high - low > 1e-9 * high:
        middle = (low + high) / 2
        low, high = (middle, high) if _rounded(before, after, middle) is not None else (low, middle)
    return low


def rounded(loop: Loop, radii_mm: Sequence[float]) -> Loop:
    """The loop with its corners rounded; ``radii_mm[i]`` belongs to the corner where edge ``i`` starts, 0 leaves it.

    Raises:
        ValueError: If there is not one radius for each edge.
        Refusal: If a rounding does not fit beside its neighbours.
    """
    if len(radii_mm) != len(loop):
        raise ValueError(f"{len(loop)} corners but {len(radii_mm)} radii")
    edges = list(loop)
    arcs: dict[int, tuple[Segment]] = {}
    for i, radius in enumerate(radii_mm):
        if radius:
            edges[i - 1], arc, edges[i] = round_corner(edges[i - 1], edges[i], radius)
            arcs[i] = (arc,)
    joined = (edge for i, whole in enumerate(edges) for edge in (*arcs.get(i, ()), whole))
    return Loop(tuple(edge for edge in joined if edge.start != edge.end))


def _rounded(before: Segment, after: Segment, radius_mm: float) -> tuple[Segment, Arc, Segment] | None:
    """The rounded corner, or None if it does not fit."""
    if before.start == before.end or after.start == after.end:
        return None
    turn = angle(after.start_tangent / before.end_tangent)
    if abs(turn) < _SMOOTH_RAD or math.pi - abs(turn) < _SMOOTH_RAD:
        return None
    one, other = carrier(before), carrier(after)
    inward = math.copysign(radius_mm, turn)
    shifted_one, shifted_other = one.shifted(inward), other.shifted(inward)
    if shifted_one is None or shifted_other is None:
        return None
    best: tuple[Segment, Arc, Segment] | None = None
    for centre in common_points(shifted_one, shifted_other):
        leave, land = one.foot(centre), other.foot(centre)
        t_leave, t_land = one.within(leave), other.within(land)
        if t_leave is None or t_land is None:
            continue
        leave, land = (before.start if t_leave == 0.0 else leave), (after.end if t_land == 1.0 else land)
        sweep = angle(other.direction(land) / one.direction(leave))
        if sweep * turn <= 0.0:
            sweep += math.copysign(2.0 * math.pi, turn)
        rounding = Arc(leave, land, math.tan(sweep / 4))
        if abs(rounding.radius - radius_mm) > 1e-6 * radius_mm + SAME_POINT_MM:
            continue
        if best is None or rounding.length < best[1].length:
            best = _kept(before, leave, 0.0, t_leave), rounding, _kept(after, land, t_land, 1.0)
    return best


def _kept(edge: Segment, cut: complex, t0: float, t1: float) -> Segment:
    """The part of an edge that the rounding leaves, with its new end exactly at ``cut``."""
    start, end = (edge.start, cut) if t0 == 0.0 else (cut, edge.end)
    return Line(start, end) if start == end else between(edge, t0, t1, start, end)
