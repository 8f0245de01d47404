"""Fit a trace: the fewest lines and arcs that the reading error explains, wild readings left out and named."""

import numpy as np

from plategen.rail.fit_chain import chain_along, edges, standard_errors
from plategen.rail.fit_score import Noise, ranges, rounding_error_mm
from plategen.rail.fit_search import Sample, best
from plategen.rail.trace import FittedTrace, Trace
from plategen.refusal import Refusal

FEWEST_STATIONS = 3


def fit_trace(trace: Trace) -> FittedTrace:
    """The chain of lines and arcs that explains a trace.

    Args:
        trace: Readings in order along the rail, repeats side by side.

    Raises:
        Refusal: With fewer than three distinct stations.
    """
    points = np.array([reading.point for reading in trace.readings])
    steps = np.abs(np.diff(points)) if trace.round_corner else np.abs(np.diff(points.real))
    places = np.concatenate(([0], np.cumsum(steps > 1e-6)))
    if places[-1] + 1 < FEWEST_STATIONS:
        raise Refusal(
            f"readings at {places[-1] + 1} station(s); a trace needs readings at {FEWEST_STATIONS} or more",
            where=trace.file,
        )
    noise = Noise.known(trace.read_error_mm) if trace.read_error_mm else Noise.open(rounding_error_mm(points.imag))
    sample = Sample(points, np.ones(len(points)), places, noise)
    found = best(sample)
    walk, foot = found.solved.walk, found.solved.foot
    first, *_, last = np.flatnonzero(found.kept)
    listed = edges(walk, foot, int(first), int(last))
    return FittedTrace(
        trace=trace,
        chain=chain_along(walk, listed),
        doubtful=tuple(np.flatnonzero(~found.kept).tolist()),
        residuals_mm=tuple(foot.distance.tolist()),
        read_error_mm=found.error_mm,
        standard_error_mm=standard_errors(
            found.solved.shape,
            walk,
            listed,
            found.solved.information,
            found.error_mm,
            ranges(found.solved.shape, sample.span_mm),
        ),
    )
