"""Rails that go round a corner, known exactly, and rails fitted without a reading error."""

import cmath
import math
from collections.abc import Sequence

import numpy as np

from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, Line, Segment
from plategen.rail.spread import Spread
from plategen.rail.surface import Rail
from plategen.rail.trace import FittedTrace, Reading, Trace


def corner_profile(
    under_mm: float, side_mm: float, turn_rad: float, radius_mm: float, slope_rad: float = 0.0, at: complex = 0j
) -> Chain:
    """An underside that comes to ``at``, where it would meet the side, a bend of the radius, and the side."""
    into = cmath.rect(1.0, slope_rad)
    out = into * cmath.rect(1.0, turn_rad)
    setback = radius_mm * math.tan(turn_rad / 2)
    leave, land = at - into * setback, at + out * setback
    bend: list[Segment] = [Arc(leave, land, math.tan(turn_rad / 4))] if radius_mm else []
    return Chain((Line(at - into * under_mm, leave), *bend, Line(land, at + out * side_mm)))


def turned_over(chain: Chain) -> Chain:
    """The same seen from the other side of the machine: the side comes first."""
    return Chain(tuple(_over(edge) for edge in reversed(chain.segments)))


def _over(edge: Segment) -> Segment:
    start, end = (complex(-p.real, p.imag) for p in (edge.end, edge.start))
    return Arc(start, end, edge.bulge) if isinstance(edge, Arc) else Line(start, end)


def shifted(length_mm: float, error_mm: float) -> Spread:
    """The spread of a chain that may lie off as a whole, all along by the same."""
    return Spread(np.array([0.0, length_mm]), np.full((2, 1), error_mm), math.inf)


def exact(chain: Chain, plane_mm: float, error_mm: float = 0.0) -> FittedTrace:
    """A chain as if it had been fitted to perfect readings."""
    steps = 40
    points = [chain.point(chain.length * k / steps) for k in range(steps + 1)]
    trace = Trace(
        file=f"w{plane_mm:g}.csv",
        plane_mm=plane_mm,
        readings=tuple(Reading(p, line) for line, p in enumerate(points, 2)),
        round_corner=True,
    )
    return FittedTrace(
        trace=trace,
        chain=chain,
        doubtful=(),
        residuals_mm=(0.0,) * len(points),
        read_error_mm=error_mm,
        spread=shifted(chain.length, error_mm),
    )


def exact_rail(sections: Sequence[tuple[float, Chain]], inline_offset_mm: float) -> Rail:
    """A rail through known sections, each with its plane."""
    return Rail(traces=tuple(exact(chain, w) for w, chain in sections), inline_offset_mm=inline_offset_mm)
