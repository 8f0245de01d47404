"""What the rail sweeps between two places along the pin: the sections whose common free side is free all the way.

A flat that slants is nearest to the plate at one end of the way or the other. A bend that wanders is not: a bend away
from the free side, carried along, sweeps out the strip between its two places, and the strip's edge is the straight
line that touches both. That line, between the two sections, is added to them as a section of its own: a bridge.
"""

from collections.abc import Iterator
from itertools import pairwise

from plategen.flat.chain import Chain
from plategen.flat.loop import Circle
from plategen.flat.segment import SAME_POINT_MM, Arc, Line, Segment, cross, dot
from plategen.flat.tangent import tangent_line
from plategen.ground.refusal import Refusal
from plategen.rail.surface import Edge, Rail


def swept_chains(rail: Rail, low_mm: float, high_mm: float) -> list[Chain]:
    """Chains, in the plate frame, whose common free side is the free side of every section from low to high.

    Exact for a rail whose bends keep their shape along the pin; where they change, the sections between can lie
    lower by second order, and the caller is to check.
    """
    shift = complex(0.0, rail.inline_offset_mm)
    places = rail.planes_between(low_mm, high_mm) if rail.varies else (low_mm,)
    runs = [rail.ruled_edges(w) for w in places]
    chains = [_chain(run) for run in runs]
    for first, second in pairwise(runs):
        chains += _bridges(first, second)
    return [chain.moved(shift=shift) for chain in chains]


def _chain(edges: tuple[Edge, ...]) -> Chain:
    return Chain(tuple(e for e in edges if not isinstance(e, complex)))


def _bridges(a: tuple[Edge, ...], b: tuple[Edge, ...]) -> Iterator[Chain]:
    """A chain for every bend away from the free side, running on one section before it and on the other after it."""
    for index, (edge_a, edge_b) in enumerate(zip(a, b, strict=True)):
        if _bends_away(edge_a) and _bends_away(edge_b):
            bridge = _bridge(a, b, index, index)
        elif index and isinstance(edge_a, Line) and isinstance(edge_b, Line) and isinstance(a[index - 1], Line):
            bridge = _bridge(a, b, index, index - 1)
        else:
            continue
        if bridge is not None:
            yield bridge


def _bends_away(edge: Edge) -> bool:
    return isinstance(edge, complex) or edge.sweep_rad > 0.0


def _bridge(a: tuple[Edge, ...], b: tuple[Edge, ...], index: int, before: int) -> Chain | None:
    """The bridge over the bend at ``index``, or over the corner where that edge begins when ``before`` is the last."""
    corner = before != index
    bend_a, bend_b = (_corner(run[index]) if corner else run[index] for run in (a, b))
    centre_a, centre_b = _circle(bend_a).centre, _circle(bend_b).centre
    into, out = _tangents(a, index, corner)
    if dot(centre_b - centre_a, into + out) < 0.0:
        a, b, bend_a, bend_b = b, a, bend_b, bend_a
    if abs(_circle(bend_b).centre - _circle(bend_a).centre) <= SAME_POINT_MM:
        return None
    try:
        line = tangent_line(_circle(bend_a), "left", _circle(bend_b), "left")
    except Refusal:
        return None
    if line.length <= SAME_POINT_MM or not all(_turns_past(run, index, corner, line) for run in (a, b)):
        return None
    head = [e for e in a[: before + 1 if corner else index] if not isinstance(e, complex)]
    tail = [e for e in b[index if corner else index + 1 :] if not isinstance(e, complex)]
    lead = _part(bend_a, line.start, leading=True)
    follow = _part(bend_b, line.end, leading=False)
    return Chain((*head, *lead, line, *follow, *tail))


def _corner(edge: Edge) -> complex:
    return edge if isinstance(edge, complex) else edge.start


def _circle(bend: Edge) -> Circle:
    """The circle of a bend; a corner is a circle of no size."""
    if isinstance(bend, Arc):
        return Circle(bend.centre, bend.radius)
    return Circle(_corner(bend), 0.0)


def _tangents(run: tuple[Edge, ...], index: int, corner: bool) -> tuple[complex, complex]:
    """Direction in which the section comes into a bend and that in which it leaves it."""
    edge = run[index]
    if isinstance(edge, Arc):
        return edge.start_tangent, edge.end_tangent
    before = next((e for e in reversed(run[:index]) if not isinstance(e, complex)), None)
    after = next((e for e in run[index if corner else index + 1 :] if not isinstance(e, complex)), None)
    into = before.end_tangent if before else None
    out = after.start_tangent if after else None
    return into or out or 1 + 0j, out or into or 1 + 0j


def _turns_past(run: tuple[Edge, ...], index: int, corner: bool, line: Line) -> bool:
    """True when the line's direction is one that the section takes within the bend, so that the line touches it."""
    into, out = _tangents(run, index, corner)
    along = line.start_tangent
    return cross(into, along) >= -1e-9 and cross(along, out) >= -1e-9


def _part(bend: Edge, touch: complex, leading: bool) -> tuple[Segment, ...]:
    """The part of a bend before or after the point where the bridge touches it; nothing of a corner."""
    if not isinstance(bend, Arc):
        return ()
    t = bend.nearest(touch)
    part = bend.part(0.0, t) if leading else bend.part(t, 1.0)
    ends = Arc(part.start, touch, part.bulge) if leading else Arc(touch, part.end, part.bulge)
    return (ends,) if abs(ends.end - ends.start) > SAME_POINT_MM else ()
