"""Plates of straight edges for a shop that saws and drills: an arc becomes the few lines that a saw can follow.

Outside its seat a plate only gains steel, so that no edge distance suffers; along its notch it only loses some, so that
it goes into the rail nowhere. What is round and hollow, a relief or the end of a slot, is drilled and stays an arc.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

from plategen.bracket.model import Plate
from plategen.flat.chain import Chain
from plategen.flat.loop import Loop
from plategen.flat.segment import SHORTEST_EDGE_MM, Arc, Line, Segment, cross, dot

OVER_MM = 1.5
"""Most that a sawn corner stands out beyond the arc that it stands for: what a grinder rounds in a minute."""

OFF_RAIL_MM = 0.4
"""Most that a sawn notch stands off a bend of the rail, a quarter of the gap that a fillet may bridge."""

_IN_LINE = 1e-9
_MOST_TURN_RAD = 2.0 * math.pi / 3.0


def sawn(plate: Plate) -> Plate:
    """A plate with straight edges, its notch as it is; one that is rolled or has no arc comes back as it came."""
    seat = {(edge.end, edge.start) for edge in plate.notch or ()} | {(e.start, e.end) for e in plate.notch or ()}
    edges = [
        line
        for edge in plate.outline
        for line in ((edge,) if (edge.start, edge.end) in seat else _round_about(edge, OVER_MM))
    ]
    outline = Loop(tuple(run_together(edges)))
    return plate if outline == plate.outline else replace(plate, outline=outline)


def sawn_edge(path: Chain) -> Chain:
    """A notch, the rail on its left, in straight lines that keep to the free side of it."""
    return Chain(tuple(line for edge in path for line in _on_the_right(edge)))


def _on_the_right(edge: Segment) -> Iterable[Segment]:
    """An edge as lines to the right of it: about a bend that turns left, chords of one that turns right."""
    if not isinstance(edge, Arc):
        return (edge,)
    if edge.sweep_rad > 0.0:
        return _round_about(edge, OFF_RAIL_MM)
    half = math.acos(max(-1.0, 1.0 - OFF_RAIL_MM / edge.radius)) if edge.radius > OFF_RAIL_MM else math.pi / 2
    return _chords(edge, _pieces(edge, 2.0 * half))


def _pieces(arc: Arc, most_rad: float) -> int:
    """In how many an arc is parted so that none turns by more, and none is too short to cut."""
    least = math.ceil(abs(arc.sweep_rad) / _MOST_TURN_RAD - 1e-9)
    count = math.ceil(abs(arc.sweep_rad) / most_rad - 1e-9)
    return max(1, least, min(count, int(arc.length / (2.0 * SHORTEST_EDGE_MM))))


def _chords(arc: Arc, count: int) -> Iterator[Line]:
    points = [arc.start, *(arc.point(k / count) for k in range(1, count)), arc.end]
    return (Line(a, b) for a, b in pairwise(points))


def _round_about(edge: Segment, over_mm: float) -> Iterable[Segment]:
    """An arc that turns left as tangents to it, no corner of which stands farther out; any other edge as it is."""
    if not isinstance(edge, Arc) or edge.sweep_rad <= 0.0:
        return (edge,)
    # a corner stands r (1 / cos(turn / 2) - 1) beyond an arc of radius r, half of the turn on each side of it
    turn = 2.0 * math.acos(edge.radius / (edge.radius + over_mm))
    count = _pieces(edge, turn)
    ends = [edge.point(k / count) for k in range(count + 1)]
    ends[0], ends[-1] = edge.start, edge.end
    # from both ends of a piece its tangents run equally far to where they meet
    half = math.cos(edge.sweep_rad / count / 2)
    tangents = [edge.tangent(k / count) * abs(b - a) / 2 / half for k, (a, b) in enumerate(pairwise(ends))]
    points = [ends[0], *(a + along for a, along in zip(ends, tangents, strict=False)), ends[-1]]
    return [Line(a, b) for a, b in pairwise(points)]


def run_together(edges: Sequence[Segment]) -> list[Segment]:
    """An outline's edges, those that run on straight made one: a flank and the first tangent of a nose are one cut."""
    found: list[Segment] = []
    for edge in edges:
        before = found[-1] if found else None
        if before is not None and _runs_on(before, edge):
            found[-1] = Line(before.start, edge.end)
        else:
            found.append(edge)
    if len(found) > 2 and _runs_on(found[-1], found[0]):
        found = [Line(found[-1].start, found[0].end), *found[1:-1]]
    return found


def _runs_on(before: Segment, after: Segment) -> bool:
    along, onward = before.end_tangent, after.start_tangent
    straight = isinstance(before, Line) and isinstance(after, Line)
    return straight and abs(cross(along, onward)) < _IN_LINE and dot(along, onward) > 0.0
