"""The free edge: a smooth curve as a chain of arcs, with its risers, its residuals and its spread."""

import math
from itertools import pairwise

import numpy as np

from plategen.flat.chain import Chain
from plategen.flat.segment import Line, Segment
from plategen.ground.order import median
from plategen.rail.fit.curve_spread import covariance, curve_spread
from plategen.rail.fit.fair import Curve, fair
from plategen.rail.fit.free import Free
from plategen.rail.fit.model import Complexes, Floats
from plategen.rail.fit.score import wild_beyond_mm
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
        spread=curve_spread(free, edges, jumped),
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
    error = median(np.sqrt(np.maximum(covariance(free, places).diagonal(), 0.0)))
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
