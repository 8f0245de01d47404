"""The rail's edge of a pattern: which points of its outline it is, and the readings along it."""

import cmath
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.photo.camera import Floats
from plategen.photo.measure import Complexes, Ring
from plategen.photo.region import smoothed
from plategen.photo.sides import TRIM_MM, Sides, neighbour

END_RAD = math.radians(20.0)
"""A side beside the straight edge that is out of square by more than this is no end."""

REACHES_MM = (2.2, 4.5, 7.0, 10.0)
"""A reading is a line through the points this near to it, or a parabola through those that are within a farther one."""

AGREE = 2.0
"""Standard deviations of what readings stray within which one of a farther reach agrees with those of nearer ones."""

RUN, BESIDE = 4.0, 20
"""Points under which an edge is smoothed to have its run, and how many either side are asked how readings stray."""

GAP, ALONE = 5, 15
"""Points farther apart along the edge are parted by a gap, and so few by themselves are not read: what hides the edge
there was followed."""

LEAST_MM = 0.02
"""Readings stray by no less."""

STEEP = 0.17
"""Where the stations grow by less than this share of the way along the edge, it folds back: (u, v) points."""


def rail_points(ring: Ring, sides: Sides, datum: int, slant_rad: float) -> NDArray[np.intp]:
    """The points of the rail's edge, towards growing stations, without those beside the ends."""
    count = len(ring.points)
    first, last = (_past_end(ring, sides, datum, *way) for way in ((1, END_RAD), (-1, slant_rad)))
    trim = round(2.0 * TRIM_MM)
    members = (first + np.arange(trim, max(trim, (last - first) % count - trim + 1))) % count
    return members[::-1]


def _past_end(ring: Ring, sides: Sides, datum: int, step: int, slant_rad: float) -> int:
    """Where the end beside the straight edge leaves off: the first point that is none of its sides'."""
    z = ring.points
    along = z[sides[datum][1]] - z[sides[datum][0]]
    k = datum
    while True:
        following = neighbour(ring, sides, k, step)
        a, b = sides[following]
        if following == datum or abs(cmath.phase((z[b] - z[a]) / along * (-1j) * step)) > slant_rad:
            return sides[k][1] if step > 0 else sides[k][0]
        k = following


@dataclass(frozen=True, slots=True, eq=False)
class Read:
    """Of which points one reading is made."""

    near: NDArray[np.intp]  # (k,)
    share: Floats  # (k,): what each counts.
    reach_mm: float  # How far to either side they lie.
    spread_mm: float  # One standard deviation of what such readings stray about the edge's own run.


def readings(
    local: Complexes, ring: Ring, rail: NDArray[np.intp], every_mm: float
) -> tuple[list[Read], Complexes, bool]:
    """How each reading is made of the rail's points, the readings, and whether the edge folds back."""
    z = local[rail]
    if len(z) < 10:
        return [], np.empty(0, complex), False
    smooth = np.convolve(z, np.ones(5) / 5.0, "valid")
    step = np.diff(smooth)
    folds = bool((step.real < STEEP * np.abs(step)).any())
    way = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(z)))]) if folds else z.real
    at = np.arange(math.ceil(way.min() / every_mm) * every_mm, way.max(), every_mm)
    spreads = [_spread(ring, reach) for reach in REACHES_MM]
    good = _not_alone(ring.good[rail])
    made = [read for x in at if (read := _read(local, ring, rail[good], (way - x)[good], spreads)) is not None]
    points = np.array([(read.share * local[read.near]).sum() for read in made], complex)
    return made, points, folds


def _not_alone(good: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """The good points (n,) of the rail's edge but for short runs of them that a gap parts from the rest."""
    where = np.flatnonzero(good)
    runs = np.split(where, np.flatnonzero(np.diff(where) > GAP) + 1)
    kept = np.zeros(len(good), bool)
    for run in runs:
        kept[run] = len(runs) == 1 or len(run) > ALONE
    return kept


def _read(local: Complexes, ring: Ring, rail: NDArray[np.intp], away: Floats, spreads: list[Floats]) -> Read | None:
    """One reading; None if too few points are near.

    More points average more of what is wrong with each, and round a bend more. The farthest reach is taken whose
    reading agrees with those of all nearer ones, by what they stray (the intersection of confidence intervals:
    Goldenshluger and Nemirovski, On spatially adaptive estimation of nonparametric regression, Mathematical Methods of
    Statistics 6, 1997).
    """
    chosen: Read | None = None
    low, high = -math.inf, math.inf
    for reach, spread in zip(REACHES_MM, spreads, strict=True):
        inside = np.abs(away) <= reach
        near, t = rail[inside], away[inside]
        if len(near) < 3 or not t.min() <= 0.0 <= t.max():
            break  # what lies nearest was not seen
        bends = 2 if reach > REACHES_MM[0] else 1
        if min(-t.min(), t.max()) < 0.7 * reach and chosen is not None:
            break  # beside an end, or what was not seen
        share = _shares(ring.error_mm[near], t / reach, bends)
        read = Read(near, share, reach, float(spread[near[np.argmin(np.abs(t))]]))
        if chosen is None:
            first = (share * local[near]).sum()
            across = 1j * (local[near[-1]] - local[near[0]])
            across /= abs(across)
        off = float((((share * local[near]).sum() - first) * np.conj(across)).real)
        low, high = max(low, off - AGREE * read.spread_mm), min(high, off + AGREE * read.spread_mm)
        if low > high:
            break
        chosen = read
    return chosen


def _shares(error: Floats, t: Floats, power: int) -> Floats:
    """What points at t count in the value at 0 of the curve through them: least squares."""
    basis = t[:, None] ** np.arange(power + 1)
    weighted = basis / error[:, None] ** 2
    return np.asarray(np.linalg.solve(weighted.T @ basis, weighted.T)[0])


def _spread(ring: Ring, reach: float) -> Floats:
    """One standard deviation, (n,), of how readings of such a reach stray about the edge's own run near each point."""
    xy = np.column_stack([ring.points.real, ring.points.imag])
    run = smoothed(xy, RUN)
    run += smoothed(xy - run, RUN)  # what smoothing took off a bend
    off = (ring.points - run[:, 0] - 1j * run[:, 1]) * ring.outward.conj()
    told = ring.good.astype(float)
    count = 2 * round(reach) + 1
    mean = _around(told * off.real, count) / np.maximum(_around(told, count), 1.0)
    # a corner has no such run, so it is the usual that is asked
    wrapped = np.abs(np.concatenate([mean[-BESIDE:], mean, mean[:BESIDE]]))
    usual = 1.4826 * np.median(np.lib.stride_tricks.sliding_window_view(wrapped, 2 * BESIDE + 1), axis=-1)
    # the value of a parabola strays by half as much again as a mean
    return np.asarray(np.maximum((1.5 if reach > REACHES_MM[0] else 1.0) * usual, LEAST_MM))


def _around(values: Floats, count: int) -> Floats:
    """Sums over so many neighbours along a closed edge."""
    half = count // 2
    return np.convolve(np.concatenate([values[-half:], values, values[:half]]), np.ones(2 * half + 1), "valid")
