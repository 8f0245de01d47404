"""What is fitted: the readings themselves, or a few hundred points that stand for a scanner's."""

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.ground.order import median
from plategen.ground.refusal import Refusal
from plategen.rail.fit.model import Complexes, Floats
from plategen.rail.fit.score import FINEST_ERROR_MM, RULE_ERROR_MM, Noise, Sample, rounding_error_mm
from plategen.rail.spread import WAVE_MM
from plategen.rail.trace import Trace

MOST_SINGLE = 200
"""More readings than this are fitted in groups."""

LEAST_READ_STEP_MM = 4.0 * RULE_ERROR_MM
"""Two readings of one place do not lie so far apart by chance."""

MOST_GROUPS = 250
FEWEST_IN_GROUP = 5
"""Groups made of a trace, and readings that a group has at the least."""

BIWEIGHT_CUT = 4.7
PASSES = 5
"""Robust standard deviations at which a reading no longer counts (95 % efficiency), and rounds of weighting."""

FEWEST_STATIONS = 3
"""Two readings make a line whatever was misread; the third is the first that can tell."""

SAME_STATION_MM = 1e-6
"""Readings nearer than this along the straightedge were taken at one place."""

BOTH_EDGES_MM = 1.0
"""Readings within this along the straightedge, one above the other, are of both edges of a step (common practice, no
source); the step is at them, so well as a place along a straightedge is read."""


def sampled(points: Complexes, trace: Trace) -> Sample:
    """What is fitted: the readings, or groups of them."""
    steps = np.abs(np.diff(points)) if trace.round_corner else np.abs(np.diff(points.real))
    places = np.concatenate(([0], np.cumsum(steps > SAME_STATION_MM)))[: len(points)]
    stations = int(places[-1]) + 1 if len(places) else 0
    if stations < FEWEST_STATIONS:
        raise Refusal(
            f"readings at only {stations} station{'s' * (stations != 1)}; read the rail at {FEWEST_STATIONS} or more",
            place=trace.file,
        )
    if trace.read_error_mm is not None:
        noise = Noise.known(trace.read_error_mm)
    else:
        noise = Noise.open(rounding_error_mm(points.imag))
    if len(points) <= MOST_SINGLE:
        steps_mm = (*_told_steps(trace), *_read_steps(points))
        return Sample(points, np.ones(len(points)), places, noise, steps_mm=steps_mm)
    groups = grouped(points)
    count = np.arange(len(groups.points))
    return Sample(groups.points, groups.weights, count, noise, groups.pure, tuple(_told_steps(trace)))


def _told_steps(trace: Trace) -> Iterator[tuple[float, float]]:
    """For each reading marked as a step the stations on either side of it."""
    marked = [reading for reading in trace.readings if reading.mark == "step"]
    if marked:
        stations = sorted({reading.point.real for reading in trace.readings})
        for reading in marked:
            at = stations.index(reading.point.real)
            yield stations[max(at - 1, 0)], stations[min(at + 1, len(stations) - 1)]


def _read_steps(points: Complexes) -> Iterator[tuple[float, float]]:
    """Where both edges of a step were read, one after the other: stations on either side of it.

    What is as steep before or after it is a face that runs that way, as beyond a corner.
    """
    along, up = np.abs(np.diff(points.real)), np.abs(np.diff(points.imag))
    high = up >= LEAST_READ_STEP_MM
    steep = np.concatenate(([False], high & (up > along), [False]))
    for index in np.flatnonzero(high & (along <= BOTH_EDGES_MM) & ~steep[:-2] & ~steep[2:]):
        middle = float(points[index : index + 2].real.mean())
        yield middle - BOTH_EDGES_MM, middle + BOTH_EDGES_MM


@dataclass(frozen=True, slots=True)
class Groups:
    """Points that stand for neighbouring readings."""

    points: Complexes  # One a group.
    weights: Floats  # Readings' worth of each.
    # Squares of the readings about their groups' lines, mm^2, and the degrees of freedom of those squares.
    pure: tuple[float, int]


def grouped(points: Complexes) -> Groups:
    """Group readings that are in order along the rail."""
    count = len(points)
    groups = min(MOST_GROUPS, count // FEWEST_IN_GROUP)
    begin = np.linspace(0, count, groups + 1).round().astype(np.intp)
    offset, group = begin[:-1], np.repeat(np.arange(groups), np.diff(begin))

    def sums(values: NDArray[np.number]) -> NDArray[np.number]:
        return np.add.reduceat(values, offset)

    middle = np.array([complex(median(run.real), median(run.imag)) for run in np.split(points, begin[1:-1])])
    direction = np.gradient(middle)
    direction /= np.maximum(np.abs(direction), 1e-9)
    for _ in range(PASSES):
        away = points - middle[group]
        across = (away * direction.conj()[group]).imag
        scale = max(1.4826 * median(np.abs(across)), 1e-9)
        weights = np.maximum(1.0 - (across / (BIWEIGHT_CUT * scale)) ** 2, 0.0) ** 2
        total = np.maximum(sums(weights), 1e-9)
        middle = sums(weights * points) / total
        away = points - middle[group]
        direction = np.exp(0.5j * np.angle(sums(weights * away * away)))
    across = (away * direction.conj()[group]).imag
    held = np.abs(across) < BIWEIGHT_CUT * scale
    spare = max(int(held.sum()) - 2 * groups, 1)
    squares = float((across[held] ** 2).sum())
    wave = WAVE_MM**2 / max(squares / spare, FINEST_ERROR_MM**2)
    return Groups(middle, 1.0 / (1.0 / total + wave), (squares, spare))
