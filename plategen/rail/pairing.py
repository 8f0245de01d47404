"""Which edge of one fitted chain belongs to which edge of its neighbour.

Where both chains show the same flats, flat is paired with flat and bend with bend; a bend that one trace's readings
could not tell from a corner is paired with that corner, and a bend found in two pieces with the whole bend by share of
length. Where the flats differ, the whole chains are paired by share of length.
"""

from itertools import pairwise
from typing import TypeAlias

from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, Line, Segment

Edge: TypeAlias = Segment | complex
"""An edge of a chain, or the corner that stands for an edge of no length."""


def pair_edges(a: Chain, b: Chain) -> list[tuple[Edge, Edge]]:
    """The edges of two chains, paired in order."""
    bends_a, bends_b = _bends(a), _bends(b)
    alike = len(bends_a) == len(bends_b) and all(map(_alike, bends_a, bends_b))
    if not alike or bool(bends_a[0]) != bool(bends_b[0]) or bool(bends_a[-1]) != bool(bends_b[-1]):
        return _by_length(a.segments, b.segments)
    flats_a, flats_b = ([e for e in chain if isinstance(e, Line)] for chain in (a, b))
    pairs: list[tuple[Edge, Edge]] = []
    for index, (bend_a, bend_b) in enumerate(zip(bends_a, bends_b, strict=True)):
        if bend_a and bend_b:
            pairs += _by_length(bend_a, bend_b)
        elif bend_a:
            pairs += [(arc, flats_b[index - 1].end) for arc in bend_a]
        else:
            pairs += [(flats_a[index - 1].end, arc) for arc in bend_b]
        if index < len(flats_a):
            pairs.append((flats_a[index], flats_b[index]))
    return pairs


def _bends(chain: Chain) -> list[tuple[Arc, ...]]:
    """What stands before, between and after the flats: the arcs of a bend, or nothing at a corner or an end."""
    bends: list[tuple[Arc, ...]] = [()]
    for edge in chain:
        if isinstance(edge, Line):
            bends.append(())
        else:
            bends[-1] += (edge,)
    return bends


def _alike(a: tuple[Arc, ...], b: tuple[Arc, ...]) -> bool:
    """True unless one bend turns left and the other right."""
    return not (a and b) or (a[0].bulge > 0) == (b[0].bulge > 0)


def _by_length(a: tuple[Segment, ...], b: tuple[Segment, ...]) -> list[tuple[Edge, Edge]]:
    """Both runs of edges cut at the joints of either, as shares of the whole length, and paired piece by piece."""
    shares = sorted({0.0, 1.0, *_joint_shares(a), *_joint_shares(b)})
    kept = [shares[0]]
    for share in shares[1:]:
        if share - kept[-1] > 1e-9:
            kept.append(share)
    kept[-1] = 1.0
    return list(zip(_cut(a, kept), _cut(b, kept), strict=True))


def _joint_shares(edges: tuple[Segment, ...]) -> list[float]:
    whole, run, shares = sum(e.length for e in edges), 0.0, []
    for edge in edges[:-1]:
        run += edge.length
        shares.append(run / whole)
    return shares


def _cut(edges: tuple[Segment, ...], shares: list[float]) -> list[Segment]:
    """The pieces between shares of the whole length; every joint is among the shares."""
    starts = [0.0]
    for edge in edges:
        starts.append(starts[-1] + edge.length)
    whole = starts[-1]
    pieces: list[Segment] = []
    for low, high in pairwise(shares):
        middle = (low + high) / 2 * whole
        index = next(i for i in range(len(edges)) if middle <= starts[i + 1] or i == len(edges) - 1)
        edge, begin = edges[index], starts[index]
        from_t = min(1.0, max(0.0, (low * whole - begin) / edge.length))
        to_t = min(1.0, max(0.0, (high * whole - begin) / edge.length))
        pieces.append(edge.part(0.0 if from_t < 1e-9 else from_t, 1.0 if to_t > 1.0 - 1e-9 else to_t))
    return pieces
