"""A weld bead or spatter that nobody marked: neighbours that all stand out towards the user, over no great length.

Left out one by one as misreadings they would cost more than a kinked rail that goes over them. As one bead they cost
its chance, where it begins, how long it is, and how high the rail stands at each of its readings, whatever its shape:

    -2 ln chance = B + 2 ln n + 2 ln(L / step) + 2 k ln H

of k among n readings, L the longest and H the highest bead.
"""

import math
from collections.abc import Iterator, Sequence

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray

from plategen.ground.order import median
from plategen.rail.fit.model import Complexes, Floats

MOST_HEIGHT_MM, MOST_LENGTH_MM = 8.0, 25.0
"""No bead or spatter is higher or longer (common practice, no source)."""

FEWEST = 3
"""Fewer readings on a bead than this are told from misreadings by nothing."""

BEAD_COST = 6.0
"""One rail in twenty has a bead or spatter under the foot that nobody marked."""

BESIDE_MM = 40.0
"""So far on either side the rail is looked at when a bead is looked for."""

STANDS_OUT, BEGINS = 3.0, 1.5
"""Standard deviations by which the readings on a bead stand out, and those at its edges."""

LEAST_HEIGHT_MM = 1.0
"""What stands out by less needs no way round it."""


def runs(points: Complexes, left_out: Sequence[int], off_mm: Floats) -> Iterator[list[int]]:
    """The readings left out that may lie on one bead each, in order.

    Args:
        points: All readings.
        left_out: Indexes of those left out, in order.
        off_mm: How far each reading stands out towards the user.
    """
    run: list[int] = []
    for index in left_out:
        if not 0.0 < off_mm[index] <= MOST_HEIGHT_MM:
            continue
        on = bool(run) and (index == run[-1] + 1 or (index == run[-1] + 2 and off_mm[index - 1] > LEAST_HEIGHT_MM / 2))
        if not on or abs(points[index] - points[run[0]]) > MOST_LENGTH_MM:
            if run:
                yield run
            run = []
        run.append(index)
    if run:
        yield run


def cost(points: Complexes, kept: NDArray[np.bool_], off_mm: Floats, wild_cost: float) -> float:
    """What the readings left out cost as a score: each a misreading, or as many as may be on a bead.

    Args:
        points: All readings.
        kept: Which of them are kept.
        off_mm: How far each stands out towards the user.
        wild_cost: What a misreading costs.
    """
    left_out = np.flatnonzero(~kept)
    whole = wild_cost * len(left_out)
    if len(left_out) < FEWEST:
        return whole
    count = len(points)
    step = abs(points[-1] - points[0]) / (count - 1)
    begin = BEAD_COST + 2.0 * math.log(count) + 2.0 * math.log(max(MOST_LENGTH_MM / max(step, 1e-9), 1.0))
    for run in runs(points, left_out.tolist(), off_mm):
        if len(run) >= FEWEST:
            whole += min(begin + len(run) * (2.0 * math.log(MOST_HEIGHT_MM) - wild_cost), 0.0)
    return whole


def without_likely(points: Complexes) -> NDArray[np.bool_]:
    """Which readings do not stand out as those on a bead would, from the middle of the readings around them."""
    kept = np.ones(len(points), bool)
    step = np.abs(np.diff(points.real))
    beside = int(BESIDE_MM / max(median(step), 1e-6))
    if len(points) < 4 * FEWEST or len(points) <= 2 * beside or beside < 2 * FEWEST:
        return kept
    around = sliding_window_view(points.imag, 2 * beside + 1)
    out = np.zeros(len(points))
    out[beside:-beside] = np.median(around, axis=1) - points.imag[beside:-beside]
    usual = np.sort(out[beside:-beside] ** 2)[: int(0.9 * len(around))]
    error = 1.27 * math.sqrt(float(usual.mean()))  # of normal errors the nine in ten nearest have so much less
    high = np.flatnonzero(out > max(STANDS_OUT * error, LEAST_HEIGHT_MM))
    for run in runs(points, high.tolist(), out):
        if len(run) >= FEWEST:
            first, last = run[0], run[-1]
            while first > 0 and out[first - 1] > BEGINS * error and _short(points, first - 1, last):
                first -= 1
            while last < len(points) - 1 and out[last + 1] > BEGINS * error and _short(points, first, last + 1):
                last += 1
            kept[first : last + 1] = False
    return kept


def _short(points: Complexes, first: int, last: int) -> bool:
    return bool(abs(points[last] - points[first]) <= MOST_LENGTH_MM)
