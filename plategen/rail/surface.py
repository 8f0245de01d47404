"""The rail as a surface: fitted chains in planes across the pin, ruled from one to the next.

Between two traces every edge of one chain is paired with an edge of the other, and straight lines (rulings) join
points at the same share of the paired edges. One trace alone is a rail that is straight along the pin. A section at
any place along the pin is again a chain of exact lines and arcs: an arc's section is the arc through the ends and
the middle of the ruled edge, which is the ruled edge itself when the paired arcs are alike.
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, Line, Segment, dot
from plategen.flat.tolerance import SAME_POINT_MM
from plategen.rail.pairing import Edge, pair_edges
from plategen.rail.trace import FittedTrace


@dataclass(frozen=True, slots=True, kw_only=True)
class Rail:
    """The fitted traces by growing plane, and the in-line offset that carries them into the plate frame.

    Args:
        traces: Fitted, in the straightedge's frame, by growing ``plane_mm``; at least one.
        inline_offset_mm: Distance from the straightedge to the cylinder's centre line.
    """

    traces: tuple[FittedTrace, ...]
    inline_offset_mm: float

    @property
    def planes_mm(self) -> tuple[float, float]:
        """The outermost traced planes along the pin."""
        return self.traces[0].trace.plane_mm, self.traces[-1].trace.plane_mm

    def section(self, w_mm: float) -> Chain:
        """The rail's section at ``w_mm``, in the plate frame."""
        return self.traced_section(w_mm).moved(shift=complex(0.0, self.inline_offset_mm))

    def traced_section(self, w_mm: float) -> Chain:
        """The rail's section at ``w_mm``, in the straightedge's frame, where the in-line offset plays no part."""
        if len(self.traces) == 1:
            return self.traces[0].chain
        lower, upper, share = self._between(w_mm)
        edges = [_ruled(a, b, share) for a, b in pair_edges(lower.chain, upper.chain)]
        return Chain(tuple(e for e in edges if abs(e.end - e.start) > SAME_POINT_MM))

    def standard_error_mm(self, w_mm: float) -> float:
        """One standard deviation of the surface at ``w_mm``, the largest along the section."""
        if len(self.traces) == 1:
            return max(self.traces[0].standard_error_mm)
        lower, upper, share = self._between(w_mm)
        return math.hypot((1.0 - share) * max(lower.standard_error_mm), share * max(upper.standard_error_mm))

    def slopes(self, w_mm: float, begin_mm: complex, end_mm: complex) -> Iterator[float]:
        """How fast the surface leaves the section as one goes along the pin, at places between two of its points.

        Yields the tangent of the slant, positive where the rail recedes from the free side as w grows, at the
        ends and the middle of every ruled edge of the section that lies between ``begin_mm`` and ``end_mm``
        (points of the plate frame on the section).
        """
        if len(self.traces) == 1:
            yield 0.0
            return
        lower, upper, share = self._between(w_mm)
        span = upper.trace.plane_mm - lower.trace.plane_mm
        shift = complex(0.0, self.inline_offset_mm)
        chain = self.traced_section(w_mm)
        first, last = chain.nearest(begin_mm - shift), chain.nearest(end_mm - shift)
        pairs = [
            (a, b, edge)
            for a, b in pair_edges(lower.chain, upper.chain)
            if abs((edge := _ruled(a, b, share)).end - edge.start) > SAME_POINT_MM
        ]
        for index in range(first[0], last[0] + 1):
            a, b, edge = pairs[index]
            from_t = first[1] if index == first[0] else 0.0
            to_t = last[1] if index == last[0] else 1.0
            for t in (from_t, (from_t + to_t) / 2, to_t):
                ruling = (_on(b, t) - _on(a, t)) / span
                yield dot(ruling, edge.tangent(t) * 1j)

    def _between(self, w_mm: float) -> tuple[FittedTrace, FittedTrace, float]:
        """The two traces that rule the surface at ``w_mm`` and the share of the way; outside 0..1 when beyond."""
        pairs = list(pairwise(self.traces))
        lower, upper = next(
            (pair for pair in pairs if w_mm <= pair[1].trace.plane_mm),
            pairs[-1],
        )
        low_mm, high_mm = lower.trace.plane_mm, upper.trace.plane_mm
        return lower, upper, (w_mm - low_mm) / (high_mm - low_mm)


def _on(edge: Edge, t: float) -> complex:
    """A point of a paired edge; a corner paired with a bend is one point for every share."""
    return edge if isinstance(edge, complex) else edge.point(t)


def _ruled(a: Edge, b: Edge, share: float) -> Segment:
    """The section, ``share`` of the way from ``a`` to ``b``, of the surface ruled between two paired edges."""
    start, middle, end = (_on(a, t) * (1.0 - share) + _on(b, t) * share for t in (0.0, 0.5, 1.0))
    chord = end - start
    if (isinstance(a, Line) and isinstance(b, Line)) or abs(chord) <= SAME_POINT_MM:
        return Line(start, end)
    # the rulings of edges of unlike turn put the middle a hair off the chord's own bisector; only its height counts
    height = ((middle - start) / chord).imag
    bulge = -2.0 * height
    return Arc(start, end, bulge) if abs(bulge) > 1e-12 else Line(start, end)
