"""The free edge: a smooth curve as a chain of arcs, with its risers, its residuals and its spread."""

import math
from itertools import pairwise

import numpy as np

from plategen.flat.chain import Chain
from plategen.flat.segment import Line, Segment
from plategen.rail.fit.fair import Curve, fair
from plategen.rail.fit.free import Free
from plategen.rail.fit.model import Complexes, Floats
from plategen.rail.fit.score import wild_beyond_mm
from plategen.rail.fit.spread import PRIOR_FREEDOM
from plategen.rail.spread import Spread, signed
from plategen.rail.trace import FittedTrace, Riser, Trace

TOLERANCE_SHARE = 0.1
LEAST_TOLERANCE_MM, MOST_TOLERANCE_MM = 0.01, 0.05
"""How far the arcs may lie from the curve: a share of its standard error, between what can be cut and what is seen."""

MOST_UNTABLED, TABLED = 250, 4000
"""For more readings the curve is a table, a tenth of a millimetre apart: read off it to less than a micrometre."""

FOOT_STEPS = 8
"""A reading lies so near the curve that each step to its foot brings it ten times nearer."""

FOUND_MM = 1e-7
"""A foot that moves by less is found."""

PLACES = 25
"""Where the standard error is looked at for that."""

NO_MODE = 1e-6
"""A mode with a smaller share of the greatest one's variance moves nothing."""


def smooth_trace(free: Free, points: Complexes, trace: Trace, lead: float) -> FittedTrace:
    """The fit of a trace by a smooth curve.

    Args:
        free: The curve.
        points: The readings, towards growing stations.
        trace: What they are of, in the same order.
        lead: By how much its score is less than the best chain's.
    """
    foot, distance = _feet(free, points)
    kept = free.kept if len(points) == len(free.kept) else np.abs(distance) < wild_beyond_mm(free.error_mm)
    ends = foot[np.flatnonzero(kept)[[0, -1]]]
    edges, jumped = _edges(free, float(ends[0]), float(ends[1]))
    return FittedTrace(
        trace=trace,
        chain=Chain(tuple(edges)),
        doubtful=tuple(np.flatnonzero(~kept).tolist()),
        residuals_mm=tuple(distance.tolist()),
        read_error_mm=free.error_mm,
        spread=_spread(free, edges, jumped),
        risers=tuple(
            Riser(edge=edge, height_mm=(edges[edge].end - edges[edge].start).imag, between_mm=free.around(at))
            for edge, at in jumped.items()
        ),
        model="free",
        lead=lead,
    )


def _feet(free: Free, points: Complexes) -> tuple[Floats, Floats]:
    """Stations of the feet of readings on the curve, and their distances from it, positive towards the rail."""
    curve: Curve = free.at
    if len(points) > MOST_UNTABLED:
        x = np.linspace(free.x[0], free.x[-1], TABLED)
        y, steep = free.at(x)
        curve = lambda to: (np.interp(to, x, y), np.interp(to, x, steep))  # noqa: E731
    foot = points.real
    offset, slope = curve(foot)
    for _ in range(FOOT_STEPS):
        before, foot = foot, points.real - (offset - points.imag) * slope
        offset, slope = curve(foot)
        if np.abs(foot - before).max() < FOUND_MM:
            break
    ahead = (1.0 + 1j * slope) / np.hypot(1.0, slope)
    return foot, ((points - foot - 1j * offset) * ahead.conj()).imag


def _edges(free: Free, first_mm: float, last_mm: float) -> tuple[list[Segment], dict[int, float]]:
    """Lines and arcs along the curve, and which of them are risers at which station."""
    ends = [first_mm, *free.jumps_mm, last_mm]
    places = np.linspace(ends[0], ends[-1], PLACES)
    error = float(np.median(np.sqrt(np.maximum(free.spread(places).diagonal(), 0.0))))
    tolerance = min(max(TOLERANCE_SHARE * error, LEAST_TOLERANCE_MM), MOST_TOLERANCE_MM)
    edges: list[Segment] = []
    jumped: dict[int, float] = {}
    for first, last in pairwise(ends):
        # the curve has jumped just beyond the station of the jump
        stretch = fair(free.at, math.nextafter(first, math.inf) if edges else first, last, tolerance)
        if edges:
            jumped[len(edges)] = first
            edges.append(Line(edges[-1].end, stretch[0].start))
        edges += stretch
    return edges, jumped


def _spread(free: Free, edges: list[Segment], jumped: dict[int, float]) -> Spread:
    """Where the rail may lie beside the arcs: the curve's own modes, and the place of each riser."""
    share = np.array([0.0, 0.5, 1.0])
    begin = np.cumsum([0.0, *(edge.length for edge in edges[:-1])])
    places = np.concatenate([low + edge.length * share for low, edge in zip(begin, edges, strict=True)])
    smooth = np.repeat([k not in jumped for k in range(len(edges))], len(share))
    point = np.array([edge.point(t) for edge in edges for t in share.tolist()])
    across = np.array([edge.tangent(t).real for edge in edges for t in share.tolist()])
    variance, turned = np.linalg.eigh(free.spread(point.real))
    real = variance > NO_MODE * variance[-1]
    modes = turned[:, real] * np.sqrt(variance[real]) * (across * smooth)[:, None]
    beside: list[Floats] = [signed(modes)]
    for edge, at in jumped.items():
        before, after = free.around(at)
        moved = np.repeat(np.arange(len(edges)) == edge, len(share)) * (after - before) / math.sqrt(12.0)
        beside.append(moved[:, None])
    freedom = math.inf if free.told else free.spare + PRIOR_FREEDOM
    return Spread(places, np.hstack(beside), freedom)
