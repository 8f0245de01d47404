"""Parallel outlines, exact: lines stay lines, arcs change radius, corners open into arcs or run on to a point.

A curve at distance ``d`` is made in three steps. Every edge is shifted (an arc whose radius is used up drops out) and
every corner that opens is bridged. Where the shifted edges cross one another they are split. Of the pieces those stay
that are nowhere nearer than ``d`` to the edges they came from, and they are walked end to end, at a branch always on
the outermost. So edges that vanish, corners that close and necks that pinch off come out right, or are refused when
the caller needs every edge to survive.
"""

import math
from collections.abc import Sequence
from typing import Literal, TypeAlias

from plategen.flat.carrier import Carrier, carrier
from plategen.flat.chain import Chain
from plategen.flat.intersect import common_points
from plategen.flat.loop import Loop
from plategen.flat.segment import RUN_ON_MM, SAME_POINT_MM, SHORTEST_PATH_MM, Arc, Line, Segment, angle
from plategen.flat.walk import Piece, closed_walks, open_walks, split
from plategen.ground.message import message, mm, uv
from plategen.ground.refusal import Refusal

Corner: TypeAlias = Literal["round", "miter"]
"""How a corner that opens is bridged: by an arc about it, or by running the edges on until they meet.

Where that arc would be shorter than any cut edge may be, as where an arc is not quite tangent to its neighbour, the
edges run on in either case if their point then lies no more than :data:`~plategen.flat.segment.RUN_ON_MM` beyond it.
"""

MITER_LIMIT = 4.0
"""A corner is rounded when its point would reach more than this many distances out (sharper than 29 degrees)."""

_NEAR_MM = 10.0 * SAME_POINT_MM
"""A piece may be this much nearer than the distance: what splitting at rounded crossing points can leave."""


def offset_loop(loop: Loop, leftward_mm: float, corner: Corner = "round", *, strict: bool = False) -> Loop:
    """The outline at a distance to the left of a loop: inside an anticlockwise one when the distance is positive.

    Args:
        loop: A loop that does not cross itself.
        leftward_mm: Distance to the left; negative to the right.
        corner: How corners that open are bridged.
        strict: Refuse when any edge would vanish, as a cutter's path must follow every edge.

    Raises:
        Refusal: If nothing is left, the outline falls into several, or (``strict``) an edge vanishes.
    """
    loops = offset_loops(loop, leftward_mm, corner, strict=strict)
    if len(loops) != 1:
        words = (
            "{} off its edge the shape falls into {} pieces; a smaller distance, or a wider neck or opening, is right"
        )
        raise Refusal(message(words, mm(abs(leftward_mm)), len(loops)))
    return loops[0]


def offset_loops(loop: Loop, leftward_mm: float, corner: Corner = "round", *, strict: bool = False) -> tuple[Loop, ...]:
    """The same as :func:`offset_loop`, but all the loops that the outline falls into, the largest first.

    A loop of the other sense than the original bounds a pocket that has closed at its mouth.

    Raises:
        Refusal: If nothing is left, or (``strict``) an edge vanishes or the outline falls apart.
    """
    if leftward_mm == 0.0:
        return (loop,)
    walks = closed_walks(_pieces(loop.segments, leftward_mm, corner, closed=True), leftmost=leftward_mm > 0.0)
    thin = _NEAR_MM * loop.length
    outlines = [(walk, Loop(tuple(piece.edge for piece in walk))) for walk in walks]
    outlines = [(walk, outline) for walk, outline in outlines if abs(outline.area) > thin]
    if not outlines:
        raise Refusal(
            message(
                "nothing is left of the shape {} off its edge; less than half its narrowest width is right",
                mm(abs(leftward_mm)),
            )
        )
    if strict:
        _refuse_lost_edges(loop.segments, [walk for walk, _ in outlines], leftward_mm, closed=True)
    outlines.sort(key=lambda one: -abs(one[1].area))
    return tuple(outline for _, outline in outlines)


def offset_chain(chain: Chain, leftward_mm: float, corner: Corner = "round", *, strict: bool = False) -> Chain:
    """The chain at a distance to the left of a chain, from square beside its start to square beside its end.

    The arguments are those of :func:`offset_loop`.

    Raises:
        Refusal: If nothing is left, or (``strict``) an edge vanishes.
    """
    if leftward_mm == 0.0:
        return chain
    walks = open_walks(_pieces(chain.segments, leftward_mm, corner, closed=False), leftmost=leftward_mm > 0.0)
    if not walks:
        raise Refusal(
            message("nothing is left of the edge {} off it; a smaller distance is right", mm(abs(leftward_mm)))
        )
    if strict:
        _refuse_lost_edges(chain.segments, walks, leftward_mm, closed=False)
    longest = max(walks, key=lambda walk: sum(piece.edge.length for piece in walk))
    return Chain(tuple(piece.edge for piece in longest))


def _pieces(edges: Sequence[Segment], d: float, corner: Corner, *, closed: bool) -> list[Piece]:
    """The pieces of the shifted edges that are nowhere nearer than the distance to the edges they came from."""
    carriers = [carrier(e) for e in edges]
    near = abs(d) - _NEAR_MM
    return [
        piece
        for piece in split(_shifted(edges, carriers, d, corner, closed=closed))
        if not any(c.nearer(piece.edge.point(0.5), near) for c in carriers)
    ]


def _shifted(
    edges: Sequence[Segment], carriers: Sequence[Carrier], d: float, corner: Corner, *, closed: bool
) -> list[tuple[Segment, int]]:
    """Every edge shifted by ``d`` to the left, and a bridge over each corner that opens, in order.

    Each comes with the index of the edge it came from; below 0 for a bridge.
    """
    parallels = [_parallel(e, c, d) for e, c in zip(edges, carriers, strict=True)]
    bridges: list[Arc | None] = []
    for i in range(len(edges)):
        if i == 0 and not closed:
            bridges.append(None)
            continue
        bridge = _bridge(edges[i - 1], edges[i], d)
        before, after = parallels[i - 1], parallels[i]
        runs_on = bridge is not None and (corner == "miter" or _too_short(bridge))
        if bridge is not None and runs_on and before is not None and after is not None:
            # where nobody could find their true crossing, the edge before may as well run straight to the one after
            smooth = bridge.length * abs(bridge.sweep_rad) / 2 <= _NEAR_MM / 2
            point = after.start if smooth else _miter_point(before, after, edges[i].start, d)
            if point is not None:
                parallels[i - 1], parallels[i] = _run_on(before, None, point), _run_on(after, point, None)
                bridge = None
        bridges.append(bridge)
    both = enumerate(zip(bridges, parallels, strict=True))
    placed = (way for i, (bridge, parallel) in both for way in ((bridge, -1 - i), (parallel, i)))
    return [(edge, source) for edge, source in placed if edge is not None]


def _parallel(edge: Segment, c: Carrier, d: float) -> Segment | None:
    """The edge shifted to the left; None for an arc whose radius is used up."""
    start = edge.start + 1j * c.tangent * d
    end = edge.end + 1j * c.direction(edge.end) * d
    if not isinstance(edge, Arc):
        return Line(start, end)
    if (1.0 - c.curvature * d) / abs(c.curvature) <= SAME_POINT_MM or abs(end - start) <= SAME_POINT_MM:
        return None
    return Arc(start, end, edge.bulge)


def _bridge(before: Segment, after: Segment, d: float) -> Arc | None:
    """The arc about a corner that opens, None at a smooth joint or a corner that closes."""
    leave, land = before.end_tangent, after.start_tangent
    turn = angle(land / leave)
    if turn * d >= 0.0 or abs(turn * d) <= SAME_POINT_MM:
        return None
    return Arc(before.end + 1j * leave * d, after.start + 1j * land * d, math.tan(turn / 4))


def _too_short(bridge: Arc) -> bool:
    """True when no control could follow the arc, and the point of the edges run on lies all but on it."""
    beyond_mm = bridge.radius * (1.0 / math.cos(bridge.sweep_rad / 2) - 1.0)
    return bridge.length < SHORTEST_PATH_MM and abs(bridge.sweep_rad) < math.pi / 2 and beyond_mm <= RUN_ON_MM


def _miter_point(before: Segment, after: Segment, corner: complex, d: float) -> complex | None:
    """Where two shifted edges meet when they run on, None if they never do or only too far out."""
    one, other = carrier(before), carrier(after)
    ahead = [
        p
        for p in common_points(one, other)
        if one.share(p) >= 1.0 and other.share(p) <= 0.0 and abs(p - corner) <= MITER_LIMIT * abs(d)
    ]
    return min(ahead, key=lambda p: abs(p - corner), default=None)


def _run_on(edge: Segment, start: complex | None, end: complex | None) -> Segment:
    """The edge run on along its own line or circle to a new start or end."""
    c = carrier(edge)
    t0 = 0.0 if start is None else c.share(start)
    t1 = 1.0 if end is None else c.share(end)
    start, end = edge.start if start is None else start, edge.end if end is None else end
    return Arc(start, end, math.tan(c.sweep_rad * (t1 - t0) / 4)) if isinstance(edge, Arc) else Line(start, end)


def _refuse_lost_edges(edges: Sequence[Segment], walks: Sequence[Sequence[Piece]], d: float, *, closed: bool) -> None:
    """Refuse unless one walk follows every edge, each once and in order."""
    orders = [[piece.source for piece in walk if piece.source >= 0] for walk in walks]
    kept = {source for order in orders for source in order}
    for i, edge in enumerate(edges):
        radius_used_up = isinstance(edge, Arc) and abs(1.0 / edge.radius * abs(d) - 1.0) * edge.radius <= SAME_POINT_MM
        if i not in kept and not radius_used_up:
            words = (
                "{} off the edge there is no room for its side from {} to {}, {} long; a smaller distance, or a larger "
                "radius or opening there, is right"
            )
            raise Refusal(message(words, mm(abs(d)), uv(edge.start), uv(edge.end), mm(edge.length)))
    (order, *others) = orders
    first = order.index(min(order))
    turned = order[first:] + order[:first] if closed else order
    if others or turned != sorted(set(turned)):
        raise Refusal(
            message(
                "{} off its edge the shape closes on itself; a smaller distance or a wider opening is right", mm(abs(d))
            )
        )
