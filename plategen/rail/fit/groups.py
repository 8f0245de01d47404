"""A scanner's trace boiled down: neighbouring readings become one point that stands for them.

Each group starts at its medians and gets a line by iteratively reweighted least squares (Tukey's biweight, cut at 4.7
standard deviations; from memory), so a stray echo does not move it, and is then its weighted centroid. How the readings
scatter about their own line tells the reading error whatever shape the rail has. A point that stands for m readings is
no better than the rail is straight: its variance is ``s^2/m + WAVE_MM^2``, so its weight is
``1 / (1/m + (WAVE_MM/s)^2)`` readings.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.rail.fit.model import Complexes, Floats
from plategen.rail.fit.score import FINEST_ERROR_MM

MOST_SINGLE = 200
"""More readings than this are fitted in groups."""

MOST_GROUPS = 250
FEWEST_IN_GROUP = 5
"""Groups made of a trace, and readings that a group has at the least."""

WAVE_MM = 0.1
"""No rolled or pressed flat is straighter than this over a few decimetres (common practice, no source)."""

BIWEIGHT_CUT = 4.7
PASSES = 5
"""Robust standard deviations at which a reading no longer counts (95 % efficiency), and rounds of weighting."""


@dataclass(frozen=True, slots=True)
class Groups:
    """Points that stand for neighbouring readings.

    Args:
        points: One a group.
        weights: Readings' worth of each.
        pure: Squares of the readings about their groups' lines, mm^2, and the degrees of freedom of those squares.
    """

    points: Complexes
    weights: Floats
    pure: tuple[float, int]


def grouped(points: Complexes) -> Groups:
    """Group readings that are in order along the rail."""
    count = len(points)
    groups = min(MOST_GROUPS, count // FEWEST_IN_GROUP)
    begin = np.linspace(0, count, groups + 1).round().astype(np.intp)
    offset, group = begin[:-1], np.repeat(np.arange(groups), np.diff(begin))

    def sums(values: NDArray[np.number]) -> NDArray[np.number]:
        return np.add.reduceat(values, offset)

    middle = np.array([complex(np.median(run.real), np.median(run.imag)) for run in np.split(points, begin[1:-1])])
    direction = np.gradient(middle)
    direction /= np.maximum(np.abs(direction), 1e-9)
    for _ in range(PASSES):
        away = points - middle[group]
        across = (away * direction.conj()[group]).imag
        scale = max(1.4826 * float(np.median(np.abs(across))), 1e-9)
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
