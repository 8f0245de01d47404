"""Cutting an outline along a rail's line: what stays below it, and the pieces of the line that are the new edge."""

from bisect import bisect_left
from dataclasses import dataclass, replace

from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.intersect import chain_crossings
from plategen.flat.loop import Loop
from plategen.flat.segment import SAME_POINT_MM, Segment

_LOOKED_AT = (0.5, 0.25, 0.75, 0.1, 0.9)


@dataclass(frozen=True, slots=True)
class Kept:
    """One piece of the plate below the line, anticlockwise, and its edges that are cut along the line, in order."""

    outline: Loop
    cuts: tuple[Chain, ...]


@dataclass(frozen=True, slots=True)
class _Stop:
    """A place where the outline crosses the line."""

    on_loop: float
    on_line: float
    leaving: bool


def kept_below(outline: Loop, line: Chain) -> tuple[Kept, ...]:
    """The pieces of an anticlockwise outline right of a line that reaches beyond it; its left is cut away."""
    stops = _stops(outline, line)
    if not stops:
        middle = outline.segments[0].point(0.5)
        return (Kept(outline, ()),) if offset_from(line, middle) < 0.0 else ()
    entering = sorted((s for s in stops if not s.leaving), key=lambda s: s.on_line)
    places = [s.on_line for s in entering]
    waiting = list(entering)
    pieces: list[Kept] = []
    while waiting:
        first = at = waiting.pop(0)
        edges: list[Segment] = []
        cuts: list[Chain] = []
        while True:
            leave = _next_leaving(stops, at)
            edges += _walk(outline.segments, at.on_loop, leave.on_loop, closed=True)
            landed = entering[bisect_left(places, leave.on_line) - 1]
            cut = [e.reversed() for e in reversed(_walk(line.segments, landed.on_line, leave.on_line, closed=False))]
            edges += cut
            cuts.append(Chain(tuple(cut)))
            if landed is first:
                break
            waiting.remove(landed)
            at = landed
        pieces.append(Kept(_closed(edges), tuple(cuts)))
    return tuple(pieces)


def _stops(outline: Loop, line: Chain) -> list[_Stop]:
    """The crossings in the outline's order; where it only touches the line nothing is cut."""
    met = sorted({(c.edge_a + c.t_a, c.edge_b + c.t_b) for c in chain_crossings(outline, line)})
    if len(met) < 2:
        return []
    below = [_is_below(outline, line, met[i][0], met[(i + 1) % len(met)][0]) for i in range(len(met))]
    return [_Stop(*place, leaving=below[i - 1]) for i, place in enumerate(met) if below[i - 1] != below[i]]


def _is_below(outline: Loop, line: Chain, begin: float, end: float) -> bool:
    """On which side the outline runs between two crossings: seen where it is farthest from the line."""
    edges = _walk(outline.segments, begin, end, closed=True)
    heights = [offset_from(line, edge.point(t)) for edge in edges for t in _LOOKED_AT]
    return max(heights, key=abs) < 0.0


def _next_leaving(stops: list[_Stop], after: _Stop) -> _Stop:
    leaving = [s for s in stops if s.leaving]
    return min(leaving, key=lambda s: (s.on_loop <= after.on_loop, s.on_loop))


def _walk(segments: tuple[Segment, ...], begin: float, end: float, *, closed: bool) -> list[Segment]:
    """The edges from one place to another; a place is the edge's number and the share of its length."""
    count = len(segments)
    if closed and end <= begin:
        end += count
    edges: list[Segment] = []
    number = int(begin)
    while number < end:
        t0, t1 = max(0.0, begin - number), min(1.0, end - number)
        edge = segments[number % count if closed else min(number, count - 1)]
        if t1 > t0:
            part = edge.part(t0, t1)
            if abs(part.end - part.start) > SAME_POINT_MM:
                edges.append(part)
        number += 1
    return edges


def _closed(edges: list[Segment]) -> Loop:
    """The edges as a loop, their ends moved onto each other."""
    starts = [before.end for before in (edges[-1], *edges[:-1])]
    return Loop(tuple(replace(edge, start=start) for start, edge in zip(starts, edges, strict=True)))
