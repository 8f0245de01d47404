"""Edges too short to cut taken out of a chain, erring only towards its right: the side that is free of metal."""

from collections.abc import Iterator, Sequence
from itertools import product
from typing import NamedTuple

from plategen.flat.carrier import carrier
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.intersect import common_points
from plategen.flat.segment import SAME_POINT_MM, SHORTEST_EDGE_MM, Arc, Line, Segment
from plategen.flat.walk import as_one, between

_TRIMS = (0.0, 0.25, 0.5, 0.75, 1.0)
"""How much of a neighbour a chord may take, in shortest edges."""

_BEYOND = (1.5, 2.0, 4.0)
"""How far beyond a bump two chords may meet over it, in heights of the bump."""

_LEFT_MM = (SAME_POINT_MM, 1e-4)
"""How far to the left what takes a sliver's place may lie: nowhere, or where every way does, as where an arc of a fair
chain runs on by a sliver, less than any tool or rule tells."""


def without_slivers(
    chain: Chain, shortest_mm: float = SHORTEST_EDGE_MM, toward_free_mm: float = SHORTEST_EDGE_MM
) -> Chain:
    """The chain without edges shorter than ``shortest_mm``, nowhere further left than before (to 0.0001 mm).

    In place of a sliver the neighbours run on until they meet, or one or two chords of full length are laid over it;
    of the ways that keep to the right the nearest to the chain is taken. Where the chain turns by a few degrees, as a
    fitted rail does, that is within 0.005 mm; over a sharp re-entrant corner it can need some tenths of
    ``shortest_mm``. All other edges keep their lines and circles. At an end of the chain the end point may move, by
    no more than ``toward_free_mm``.

    Args:
        chain: The chain, with the metal on its left.
        shortest_mm: Edges shorter than this are taken out.
        toward_free_mm: How far to the right the result may lie of the chain. A sliver that would need more stays.
    """
    edges, changed = list(chain.segments), False
    while True:
        for first, last in _runs(edges, shortest_mm):
            before = edges[first - 1] if first > 0 else None
            after = edges[last + 1] if last + 1 < len(edges) else None
            way = _replaced(before, edges[first : last + 1], after, shortest_mm, toward_free_mm)
            if way is not None:
                edges[max(0, first - 1) : last + 2] = way
                changed = True
                break
        else:
            return Chain(tuple(edges)) if changed else chain


def _runs(edges: Sequence[Segment], shortest_mm: float) -> Iterator[tuple[int, int]]:
    """First and last index of what may be taken out at once: every sliver, then slivers with their short neighbours."""
    short = [i for i, edge in enumerate(edges) if edge.length < shortest_mm]
    for i in short:
        yield i, i
    first = None
    for i in short:
        first = i if first is None else first
        if i + 1 not in short:
            if i > first:
                yield first, i
            first = None
    for i in short:
        before = i > 0 and edges[i - 1].length < 4.0 * shortest_mm
        after = i + 1 < len(edges) and edges[i + 1].length < 4.0 * shortest_mm
        for first, last in ((i - before, i), (i, i + after), (i - before, i + after)):
            if last > first:
                yield first, last


class _Way(NamedTuple):
    """A way round a run of slivers: off the edge before, over lines (none where both meet), onto the edge after."""

    leave: complex
    over: tuple[Line, ...]
    land: complex


def _replaced(
    before: Segment | None, run: Sequence[Segment], after: Segment | None, shortest_mm: float, limit_mm: float
) -> list[Segment] | None:
    """What the run and its neighbours become, None if no way keeps to the right and within the limit."""
    if before is None and after is None:
        return None
    if any(isinstance(edge, Arc) and edge.length < shortest_mm for edge in (before, after)):
        return None  # run on to a full length it could go half round its own small circle
    # everything happens near the run: only there the old way and the new are compared
    near_mm = 4.0 * shortest_mm + sum(edge.length for edge in run)
    head = None if before is None else before.part(max(0.0, 1.0 - near_mm / before.length), 1.0)
    tail = None if after is None else after.part(0.0, min(1.0, near_mm / after.length))
    old = Chain(tuple(edge for edge in (head, *run, tail) if edge is not None))
    for ways, left_mm in product((_short_ways, _tents), _LEFT_MM):
        best, best_off = None, limit_mm
        for way in ways(head, run, tail, shortest_mm):
            near, whole = _along(way, head, tail), _along(way, before, after)
            if near is None or whole is None or any(edge.length < shortest_mm for edge in whole):
                continue
            off = _rightward(old, Chain(tuple(near)), left_mm)
            if off is not None and (off < best_off or (best is None and off <= limit_mm)):
                best, best_off = whole, off
        if best is not None:
            return best
    return None


def _along(way: _Way, before: Segment | None, after: Segment | None) -> list[Segment] | None:
    """The edges of a way with its neighbours; None if it would use one of them up."""
    edges: list[Segment] = list(way.over)
    if before is not None:
        share = carrier(before).share(way.leave)
        if share <= 0.0 or abs(way.leave - before.start) <= SAME_POINT_MM:
            return None
        edges.insert(0, between(before, 0.0, share, before.start, way.leave))
    if after is not None:
        share = carrier(after).share(way.land)
        if share >= 1.0 or abs(way.land - after.end) <= SAME_POINT_MM:
            return None
        edges.append(between(after, share, 1.0, way.land, after.end))
    if before is not None and after is not None and not way.over:
        whole = as_one(edges[0], edges[1])
        return edges if whole is None else [whole]
    return edges


def _short_ways(
    before: Segment | None, run: Sequence[Segment], after: Segment | None, shortest_mm: float
) -> Iterator[_Way]:
    """The neighbours run on until they meet (at an end of the chain, to beside it), or a chord between them."""
    start, end = run[0].start, run[-1].end
    if before is not None and after is not None:
        meetings = (end, *common_points(carrier(before), carrier(after)))
    else:
        meetings = (carrier(after).foot(start),) if after is not None else ()
        meetings += (carrier(before).foot(end),) if before is not None else ()
    for p in meetings:
        on_both = all(edge is None or abs(carrier(edge).leftward(p)) <= SAME_POINT_MM for edge in (before, after))
        if on_both and min(abs(p - start), abs(p - end)) <= 2.0 * shortest_mm:
            yield _Way(p, (), p)
    for p, q in _chords(before, run, after, shortest_mm):
        yield _Way(p, (Line(p, q),), q)
        # at an end a tangent of the neighbour as well, which a chain that turns left has on its right
        if before is None and after is not None:
            begin = carrier(Line(q - carrier(after).direction(q), q)).foot(p)
            yield _Way(begin, (Line(begin, q),), q)
        if after is None and before is not None:
            end = carrier(Line(p, p + carrier(before).direction(p))).foot(q)
            yield _Way(p, (Line(p, end),), end)


def _tents(before: Segment | None, run: Sequence[Segment], after: Segment | None, shortest_mm: float) -> Iterator[_Way]:
    """Two chords over a bump that sticks out to the right of its neighbours, by way of a point beyond it."""
    for p, q in _chords(before, run, after, shortest_mm):
        line = carrier(Line(p, q))
        out = max(-line.leftward(edge.point(t)) for edge in run for t in (0.0, 0.25, 0.5, 0.75, 1.0))
        if out <= 0.0:
            continue
        for share in _BEYOND:
            for base in (run[0].start, (run[0].start + run[-1].end) / 2, run[-1].end):
                top = line.foot(base) - 1j * line.tangent * out * share
                yield _Way(p, (Line(p, top), Line(top, q)), q)


def _chords(
    before: Segment | None, run: Sequence[Segment], after: Segment | None, shortest_mm: float
) -> Iterator[tuple[complex, complex]]:
    """Places from which to which a chord may be laid: from the ends of the run back and onward on the neighbours."""
    heads = _TRIMS if before is not None else (0.0,)
    tails = _TRIMS if after is not None else (0.0,)
    for back, onward in product(heads, tails):
        p = run[0].start if before is None else before.point(max(0.0, 1.0 - back * shortest_mm / before.length))
        q = run[-1].end if after is None else after.point(min(1.0, onward * shortest_mm / after.length))
        if p != q:
            yield p, q


def _rightward(old: Chain, new: Chain, left_mm: float) -> float | None:
    """How far a new way lies to the right of the old one, None if it lies farther to the left anywhere than it may.

    Both are a few edges no longer than some tenths of a millimetre: their corners and quarter points tell.
    """
    far = 0.0
    for p in _places(old):
        leftward = offset_from(new, p)
        if leftward < -left_mm:
            return None
        far = max(far, leftward)
    for p in _places(new):
        leftward = offset_from(old, p)
        if leftward > left_mm:
            return None
        far = max(far, -leftward)
    return far


def _places(chain: Chain) -> list[complex]:
    """Corners, ends and quarter points of the edges of a chain."""
    return [chain.start, *(edge.point(t) for edge in chain for t in (0.25, 0.5, 0.75, 1.0))]
