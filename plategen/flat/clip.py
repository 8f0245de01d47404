"""Chains cut to a span of u, and run on beyond their ends."""

from plategen.flat.carrier import carrier
from plategen.flat.chain import Chain
from plategen.flat.intersect import line_and_circle
from plategen.flat.segment import SAME_POINT_MM, Line, Segment
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal


def where_u(chain: Chain, u_mm: float) -> tuple[tuple[int, float], ...]:
    """Every place (edge, share of its length) at which the chain is at ``u_mm``, in order along it.

    Touching counts; at a joint the place is the start of the edge that begins there. Along an edge of constant u, its
    two ends.
    """
    places: set[tuple[int, float]] = set()
    last = len(chain) - 1
    for index, edge in enumerate(chain):
        c = carrier(edge)
        if u_mm < c.left - SAME_POINT_MM or u_mm > c.right + SAME_POINT_MM:
            continue
        shares = [t for t, p in ((0.0, edge.start), (1.0, edge.end)) if abs(p.real - u_mm) <= SAME_POINT_MM]
        if c.curvature:
            inner = (c.within(p) for p in line_and_circle(complex(u_mm, edge.start.imag), 1j, c))
            shares += [t for t in inner if t is not None]
        elif not shares and (edge.start.real - u_mm) * (edge.end.real - u_mm) < 0.0:
            shares.append((u_mm - edge.start.real) / (edge.end.real - edge.start.real))
        places |= {(index + 1, 0.0) if t == 1.0 and index < last else (index, t) for t in shares}
    return tuple(sorted(places))


def between(chain: Chain, u0_mm: float, u1_mm: float) -> Chain:
    """The chain from the first place at ``u0_mm`` to the last place at ``u1_mm``.

    Raises:
        Refusal: If the chain does not reach one of them, or reaches the second before the first.
    """
    starts, ends = where_u(chain, u0_mm), where_u(chain, u1_mm)
    for u, places in ((u0_mm, starts), (u1_mm, ends)):
        if not places:
            words = "the trace was read from {} to {} and does not reach {}; a foot within that is right"
            raise Refusal(message(words, mm(chain.start.real), mm(chain.end.real), mm(u)))
    if starts[0] >= ends[-1]:
        words = "the rail reaches station {} no later than {}; a foot that begins before it ends is right"
        raise Refusal(message(words, mm(u1_mm), mm(u0_mm)))
    return chain.part(starts[0], ends[-1])


def extended(chain: Chain, start_mm: float, end_mm: float) -> Chain:
    """The chain run on straight at its ends, by lengths along the tangents there; 0 leaves an end.

    A line at an end grows; an arc is followed by a line.
    """
    edges = list(chain.segments)
    if start_mm > 0.0:
        first = edges[0]
        edges[:1] = _with_lead(first.start - first.start_tangent * start_mm, first)
    if end_mm > 0.0:
        last = edges[-1]
        tail = _with_lead(last.end + last.end_tangent * end_mm, last.reversed())
        edges[-1:] = [s.reversed() for s in reversed(tail)]
    return Chain(tuple(edges))


def _with_lead(start: complex, edge: Segment) -> list[Segment]:
    """An edge led in from a point straight behind its start."""
    return [Line(start, edge.end)] if isinstance(edge, Line) else [Line(start, edge.start), edge]
