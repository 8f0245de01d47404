"""Edges split where they cross, and the pieces walked end to end, at a branch always on the outermost hand."""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from plategen.flat.carrier import Carrier, carrier
from plategen.flat.intersect import at_share, carrier_crossings
from plategen.flat.segment import SAME_POINT_MM, Arc, Line, Segment, angle, dot

ONE_NODE_MM = 20.0 * SAME_POINT_MM
"""Ends of pieces this near are one node: three edges through one point meet in pairs, each rounded by itself."""

_CLEAR_TURN_RAD = 1e-3
"""Branches whose directions differ by less are told apart a little way on, where they have parted."""

_ONE_EDGE_MM = SAME_POINT_MM / 10.0
"""Two edges are parts of one when the second keeps this near to the line or circle of the first."""

_ALIKE_MM = SAME_POINT_MM / 100.0
"""Branches that have parted by less half-way on are alike. They still touch at the end of that way, and part there."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of an edge between two of its meetings: of the caller's edge ``source``, from share t0 to t1 of it."""

    edge: Segment
    source: int
    t0: float
    t1: float


def between(edge: Segment, t0: float, t1: float, start: complex, end: complex) -> Segment:
    """The piece of an edge between two shares of its length, its ends put exactly where the caller says."""
    if isinstance(edge, Arc):
        return Arc(start, end, math.tan(edge.sweep_rad * (t1 - t0) / 4))
    return Line(start, end)


def as_one(before: Segment, after: Segment) -> Segment | None:
    """Two edges that follow one another as one, None unless the second carries on the first's line or circle."""
    one, other = carrier(before), carrier(after)
    if (
        abs(one.sweep_rad + other.sweep_rad) < math.pi
        and abs(one.leftward(after.point(0.5))) <= _ONE_EDGE_MM
        and abs(one.leftward(after.end)) <= _ONE_EDGE_MM
        and dot(one.direction(before.end), other.tangent) > 0.0
    ):
        return between(before, 0.0, 1.0 + other.length / one.length, before.start, after.end)
    return None


def split(edges: Sequence[tuple[Segment, int]]) -> list[Piece]:
    """All edges, each with its source, cut at all their meetings; pieces without length are left out."""
    carriers = [carrier(e) for e, _ in edges]
    cuts: list[list[tuple[float, complex]]] = [[(0.0, e.start), (1.0, e.end)] for e, _ in edges]
    for i, a in enumerate(carriers):
        for j in range(i):
            b = carriers[j]
            if a.parted(b):
                continue
            for ta, tb in carrier_crossings(a, b):
                point = b.end if tb == 1.0 else edges[j][0].point(tb)
                cuts[i].append((ta, point))
                cuts[j].append((tb, point))
    pieces: list[Piece] = []
    for (edge, source), places in zip(edges, cuts, strict=True):
        places.sort(key=lambda place: place[0])
        t0, p0 = places[0]
        for t1, p1 in places[1:]:
            if abs(p1 - p0) <= SAME_POINT_MM and (t1 - t0) * edge.length <= 2.0 * SAME_POINT_MM:
                continue
            pieces.append(Piece(between(edge, t0, t1, p0, p1), source, t0, t1))
            t0, p0 = t1, p1
    return pieces


def closed_walks(pieces: Sequence[Piece], *, leftmost: bool) -> list[list[Piece]]:
    """The closed walks that the pieces make, pieces of one edge that follow one another joined again."""
    starts, ends = _nodes(pieces)
    alive = _without_dead_ends(starts, ends)
    walks: list[list[Piece]] = []
    for first in sorted(alive):
        if first not in alive:
            continue
        path = [first]
        places = {starts[first]: 0}
        while True:
            here = ends[path[-1]]
            if here in places:
                begin = places[here]
                walks.append(_joined([pieces[i] for i in path[begin:]], closed=True))
                alive -= set(path[begin:])
                break
            places[here] = len(path)
            onward = [i for i in alive if starts[i] == here]
            path.append(_outermost(pieces, path[-1], onward, leftmost=leftmost))
        alive = _without_dead_ends(starts, ends, alive)
    return walks


def open_walks(pieces: Sequence[Piece], *, leftmost: bool) -> list[list[Piece]]:
    """The open walks that the pieces make, each from a piece that none leads to until none leads on."""
    starts, ends = _nodes(pieces)
    landed = set(ends)
    used: set[int] = set()
    walks: list[list[Piece]] = []
    for first in range(len(pieces)):
        if starts[first] in landed or first in used:
            continue
        path = [first]
        while True:
            used.add(path[-1])
            onward = [i for i in range(len(pieces)) if starts[i] == ends[path[-1]] and i not in used]
            if not onward:
                break
            path.append(_outermost(pieces, path[-1], onward, leftmost=leftmost))
        walks.append(_joined([pieces[i] for i in path], closed=False))
    return walks


def rightmost(arriving: complex, branches: Sequence[Carrier], lengths: Sequence[float]) -> int:
    """Which of several edges that leave one point turns most to the right of ``arriving``, a unit vector.

    Each is looked at for its ``length`` (mm) to tell it from the others; of edges on one another it is the first.
    """
    best = 0
    for i in range(1, len(branches)):
        if _right_of(arriving, branches[i], lengths[i], branches[best], lengths[best]):
            best = i
    return best


def _right_of(arriving: complex, a: Carrier, a_length: float, b: Carrier, b_length: float) -> bool:
    turn_a, turn_b = angle(a.tangent / arriving), angle(b.tangent / arriving)
    if abs(turn_a - turn_b) > _CLEAR_TURN_RAD:
        return turn_a < turn_b
    if a_length <= b_length:
        return b.leftward(at_share(a, a_length / a.length)) < -_ALIKE_MM
    return a.leftward(at_share(b, b_length / b.length)) > _ALIKE_MM


def _outermost(pieces: Sequence[Piece], arrived: int, onward: Sequence[int], *, leftmost: bool) -> int:
    if len(onward) == 1:
        return onward[0]
    arriving = pieces[arrived].edge.end_tangent
    edges = [pieces[i].edge for i in onward]
    if leftmost:  # the mirror image of the rightmost
        arriving, edges = arriving.conjugate(), [e.mirrored() for e in edges]
    branches = [carrier(e) for e in edges]
    return onward[rightmost(arriving, branches, [b.length / 2 for b in branches])]


def _nodes(pieces: Sequence[Piece]) -> tuple[list[int], list[int]]:
    """Numbers of the nodes at which the pieces start and end."""
    places: list[complex] = []

    def number(p: complex) -> int:
        for i, q in enumerate(places):
            if abs(p - q) <= ONE_NODE_MM:
                return i
        places.append(p)
        return len(places) - 1

    return [number(p.edge.start) for p in pieces], [number(p.edge.end) for p in pieces]


def _without_dead_ends(starts: Sequence[int], ends: Sequence[int], among: Iterable[int] | None = None) -> set[int]:
    """The pieces that lie on some closed way, or between two."""
    alive = set(range(len(starts)) if among is None else among)
    while True:
        begun, landed = {starts[i] for i in alive}, {ends[i] for i in alive}
        kept = {i for i in alive if ends[i] in begun and starts[i] in landed}
        if kept == alive:
            return alive
        alive = kept


def _joined(walk: Sequence[Piece], *, closed: bool) -> list[Piece]:
    """The walk with pieces of one edge that follow one another made one again, and its ends put on one another."""
    joined: list[Piece] = []
    for piece in walk:
        if joined and _follows(joined[-1], piece):
            joined[-1] = _merged(joined[-1], piece)
        else:
            joined.append(piece)
    if closed and len(joined) > 1 and _follows(joined[-1], joined[0]):
        joined[0] = _merged(joined.pop(), joined[0])
    ends = [p.edge.end for p in joined]
    for i, piece in enumerate(joined):
        if (i or closed) and piece.edge.start != ends[i - 1]:
            joined[i] = replace(piece, edge=between(piece.edge, 0.0, 1.0, ends[i - 1], piece.edge.end))
    return joined


def _follows(before: Piece, after: Piece) -> bool:
    return before.source == after.source and before.t1 == after.t0


def _merged(before: Piece, after: Piece) -> Piece:
    start, end = before.edge.start, after.edge.end
    if isinstance(before.edge, Arc):
        edge: Segment = Arc(start, end, math.tan((before.edge.sweep_rad + after.edge.sweep_rad) / 4))
    else:
        edge = Line(start, end)
    return Piece(edge, before.source, before.t0, after.t1)
