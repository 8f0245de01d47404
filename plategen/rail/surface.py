"""The rail as a surface: fitted chains in planes across the pin, ruled from one to the next.

Between two traces every edge of one chain is paired with an edge of the other, and straight lines (rulings) join
points at the same share of the paired edges. One trace alone is a rail that is straight along the pin, or that drifts
evenly where the plates stand tilted or turned against it. A section at
any place along the pin is again a chain of exact lines and arcs: an arc's section is the arc through the ends and
the middle of the ruled edge, which is the ruled edge itself when the paired arcs are alike.

Beyond the outermost traces the strips are carried on straight, as far as they have any breadth. Where a bend has
shrunk to a corner no edge runs backwards: the flats on both sides of it are carried on, and meet in the corner.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from functools import lru_cache
from itertools import accumulate, pairwise
from typing import TypeAlias

from plategen.flat.chain import Chain
from plategen.flat.segment import SAME_POINT_MM, Arc, Line, Segment, cross, dot
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.rail.trace import FittedTrace, Trace

REMEMBERED = 256
"""Sections remembered: the places of plates and of the cylinder's sides, at which one rail is cut again and again."""

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
    shares = sorted({0.0, 1.0, *(run / ends[-1] for ends in map(_ends_of_runs, (a, b)) for run in ends[:-1])})
    kept = [shares[0]]
    for share in shares[1:]:
        if share - kept[-1] > 1e-9:
            kept.append(share)
    kept[-1] = 1.0
    return list(zip(_cut(a, kept), _cut(b, kept), strict=True))


def _ends_of_runs(edges: tuple[Segment, ...]) -> list[float]:
    """How far along the run of edges each of them ends."""
    return list(accumulate(edge.length for edge in edges))


def _cut(edges: tuple[Segment, ...], shares: list[float]) -> list[Segment]:
    """The pieces between shares of the whole length; every joint is among the shares."""
    starts = [0.0, *_ends_of_runs(edges)]
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


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Rail:
    """The fitted traces by growing plane, and the in-line offset that carries them into the plate frame.

    A rail equals itself alone, so that what was worked out on it can be remembered without a look at every reading.
    """

    traces: tuple[FittedTrace, ...]  # Fitted, in the straightedge's frame, by growing ``plane_mm``; at least one.
    inline_offset_mm: float  # Distance from the straightedge to the cylinder's centre line.
    strips: tuple[tuple[tuple[Edge, Edge], ...], ...] = field(init=False, repr=False, compare=False)
    """Between every trace and the next, the paired edges that the surface is ruled between."""

    def __post_init__(self) -> None:
        paired = (tuple(pair_edges(a.chain, b.chain)) for a, b in pairwise(self.traces))
        object.__setattr__(self, "strips", tuple(paired))

    @property
    def drift(self) -> complex:
        """How far the section of a rail of one trace moves for each mm along the pin; 0 where traces tell it."""
        return self.traces[0].trace.drift if len(self.traces) == 1 else 0j

    @property
    def varies(self) -> bool:
        """Whether its section is another at another place along the pin."""
        return len(self.traces) > 1 or self.drift != 0j

    @property
    def planes_mm(self) -> tuple[float, float]:
        """The outermost traced planes along the pin."""
        return self.traces[0].trace.plane_mm, self.traces[-1].trace.plane_mm

    def section(self, w_mm: float) -> Chain:
        """The rail's section at ``w_mm``, in the plate frame."""
        return _section(self, w_mm)

    def traced_section(self, w_mm: float) -> Chain:
        """The rail's section at ``w_mm``, in the straightedge's frame, where the in-line offset plays no part."""
        return Chain(tuple(edge for edge in self.ruled_edges(w_mm) if not isinstance(edge, complex)))

    def ruled_edges(self, w_mm: float) -> tuple[Edge, ...]:
        """The edges of the section at ``w_mm``, in the straightedge's frame, one for each ruled strip of the surface.

        Between the same two traces the edges of any two sections belong together one by one; a bend that has shrunk
        to a corner at ``w_mm`` stands there as that point.
        """
        if len(self.traces) == 1:
            fitted = self.traces[0]
            by = self.drift * (w_mm - fitted.trace.plane_mm)
            return fitted.chain.moved(shift=by).segments if by else fitted.chain.segments
        gap, share = self._between(w_mm)
        edges = [_ruled(a, b, share) for a, b in self.strips[gap]]
        gone = {i for i, pair in enumerate(self.strips[gap]) if not 0.0 <= share <= 1.0 and _run_out(*pair, share)}
        return tuple(_carried_on(edges, gone, self.traces[gap + (share > 0.5)].trace) if gone else edges)

    def planes_between(self, low_mm: float, high_mm: float) -> tuple[float, ...]:
        """The two places along the pin and, in order, every one between them where the strips change.

        They change in every inner traced plane, and beyond the outermost where one of them runs out.
        """
        inner = [f.trace.plane_mm for f in self.traces[1:-1]]
        for gap in {0, len(self.strips) - 1} if self.strips else ():
            first, last = (self.traces[i].trace.plane_mm for i in (gap, gap + 1))
            planes = (first + (last - first) * share for share in map(_runs_out_at, self.strips[gap]))
            inner += [w for w in planes if w < self.planes_mm[0] or w > self.planes_mm[1]]
        return (low_mm, *sorted({w for w in inner if low_mm < w < high_mm}), high_mm)

    def ruled_from(self, w_mm: float) -> tuple[tuple[int, float, tuple[Edge, ...]], ...]:
        """The traces that rule the surface at ``w_mm``: index, share in it, and an edge for each of the section's."""
        if len(self.traces) == 1:
            return ((0, 1.0, self.traces[0].chain.segments),)
        gap, share = self._between(w_mm)
        below, above = zip(*self.strips[gap], strict=True)
        return (gap, 1.0 - share, below), (gap + 1, share, above)

    def slopes(self, w_mm: float, begin_mm: complex, end_mm: complex) -> Iterator[float]:
        """How fast the surface leaves the section as one goes along the pin, at places between two of its points.

        Yields the tangent of the slant, positive where the rail recedes from the free side as w grows, at the
        ends and the middle of every ruled edge of the section that lies between ``begin_mm`` and ``end_mm``
        (points of the plate frame on the section).
        """
        if not self.varies:
            yield 0.0
            return
        shift = complex(0.0, self.inline_offset_mm)
        ruled = zip(self._rulings(w_mm), self.ruled_edges(w_mm), strict=True)
        pairs = [(ruling, edge) for ruling, edge in ruled if not isinstance(edge, complex)]
        chain = Chain(tuple(edge for _, edge in pairs))
        first, last = chain.nearest(begin_mm - shift), chain.nearest(end_mm - shift)
        for index in range(first[0], last[0] + 1):
            ruling, edge = pairs[index]
            from_t = first[1] if index == first[0] else 0.0
            to_t = last[1] if index == last[0] else 1.0
            for t in (from_t, (from_t + to_t) / 2, to_t):
                yield dot(ruling(t), edge.tangent(t) * 1j)

    def _rulings(self, w_mm: float) -> list[Callable[[float], complex]]:
        """For every ruled edge at ``w_mm`` how far a share of it moves for each mm along the pin."""
        if len(self.traces) == 1:
            return [lambda t: self.drift] * len(self.traces[0].chain)
        gap, _ = self._between(w_mm)
        span = self.traces[gap + 1].trace.plane_mm - self.traces[gap].trace.plane_mm
        return [lambda t, a=a, b=b: (_on(b, t) - _on(a, t)) / span for a, b in self.strips[gap]]  # type: ignore[misc]

    def _between(self, w_mm: float) -> tuple[int, float]:
        """Which gap between traces rules the surface at ``w_mm``, and the share of the way over it.

        Beyond the outermost traces the share lies outside 0..1: the strips are carried on straight.
        """
        planes = [fitted.trace.plane_mm for fitted in self.traces]
        gap = next((i for i in range(len(planes) - 2) if w_mm <= planes[i + 1]), len(planes) - 2)
        return gap, (w_mm - planes[gap]) / (planes[gap + 1] - planes[gap])


@lru_cache(maxsize=REMEMBERED)
def _section(rail: Rail, w_mm: float) -> Chain:
    return rail.traced_section(w_mm).moved(shift=complex(0.0, rail.inline_offset_mm))


def _on(edge: Edge, t: float) -> complex:
    """A point of a paired edge; a corner paired with a bend is one point for every share."""
    return edge if isinstance(edge, complex) else edge.point(t)


def _ruled(a: Edge, b: Edge, share: float) -> Edge:
    """The section, ``share`` of the way from ``a`` to ``b``, of the surface ruled between two paired edges."""
    from_a, from_b = _ends(a), _ends(b)
    start, end = (p * (1.0 - share) + q * share for p, q in zip(from_a, from_b, strict=True))
    chord = end - start
    if abs(chord) <= SAME_POINT_MM:
        return (start + end) / 2
    if isinstance(a, Line) and isinstance(b, Line):
        return Line(start, end)
    # the rulings of edges of unlike turn put the middle a hair off the chord's own bisector; only its height counts
    middle = _on(a, 0.5) * (1.0 - share) + _on(b, 0.5) * share
    bulge = -2.0 * ((middle - start) / chord).imag
    return Arc(start, end, bulge) if abs(bulge) > 1e-12 else Line(start, end)


def _ends(edge: Edge) -> tuple[complex, complex]:
    """Both ends of a paired edge; a corner is its own."""
    return (edge, edge) if isinstance(edge, complex) else (edge.start, edge.end)


def _chords(pair: tuple[Edge, Edge]) -> tuple[complex, complex]:
    """From where each of two paired edges starts to where it ends."""
    (start_a, end_a), (start_b, end_b) = map(_ends, pair)
    return end_a - start_a, end_b - start_b


def _runs_out_at(pair: tuple[Edge, Edge]) -> float:
    """The share at which the strip between two paired edges has no breadth; infinite where it keeps it."""
    a, b = _chords(pair)
    along = max(a, b, key=abs)
    from_a, from_b = dot(a, along), dot(b, along)
    return from_a / (from_a - from_b) if from_a != from_b else math.inf


def _run_out(a: Edge, b: Edge, share: float) -> bool:
    """Whether the strip between two paired edges has run out before that share, and its edge would run backwards."""
    chord_a, chord_b = _chords((a, b))
    return dot(chord_a * (1.0 - share) + chord_b * share, max(chord_a, chord_b, key=abs)) < 0.0


def _carried_on(edges: list[Edge], gone: set[int], trace: Trace) -> list[Edge]:
    """The edges of a section with the corners that the flats make where a bend between them is gone.

    Raises:
        Refusal: A flat between two bends is gone; what the rail is like there only another trace can tell.
    """
    flats = [i for i, edge in enumerate(edges) if isinstance(edge, Line) and i not in gone]
    for lost in sorted(gone):
        before = max((i for i in flats if i < lost), default=None)
        after = min((i for i in flats if i > lost), default=None)
        if before is None or after is None:  # at an end of the trace there is nothing to meet
            edges[lost] = _ends(edges[lost - 1])[1] if lost else _ends(edges[1])[0]
            continue
        if isinstance(edges[lost], Line):
            words = "beyond {} the flat near station {} runs out between its bends; read a trace where the plates end"
            raise Refusal(message(words, trace.file, mm(_ends(edges[lost])[0].real)), "rail.trace")
        (start, _), (_, end) = _ends(edges[before]), _ends(edges[after])
        corner = _meeting(edges[before], edges[after])
        edges[before : after + 1] = [Line(start, corner), *[corner] * (after - before - 1), Line(corner, end)]
    return edges


def _meeting(first: Edge, second: Edge) -> complex:
    """Where two flats meet, carried on straight; midway between their ends if they run alike."""
    (start, end), (begin, stop) = _ends(first), _ends(second)
    into, out = end - start, stop - begin
    if abs(cross(into, out)) < 1e-9 * abs(into) * abs(out):
        return (end + begin) / 2
    return start + into * (cross(begin - start, out) / cross(into, out))
