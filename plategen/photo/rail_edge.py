"""The rail's edge of a pattern: which points of its outline it is, and the readings along it."""

import cmath
import math

import numpy as np
from numpy.typing import NDArray

from plategen.photo.camera import Floats
from plategen.photo.measure import Complexes, Ring
from plategen.photo.sides import TRIM_MM, Sides, neighbour

END_RAD = math.radians(20.0)
"""A side beside the straight edge that is out of square by more than this is no end."""

WINDOW_MM = 2.2
"""A reading is the line through the points this near to it."""

STEEP = 0.17
"""Where the stations grow by less than this share of the way along the edge, it folds back: (u, v) points."""


def rail_points(ring: Ring, sides: Sides, datum: int, slant_rad: float) -> NDArray[np.intp]:
    """The points of the rail's edge, towards growing stations, without those beside the ends."""
    count = len(ring.points)
    first, last = (_past_end(ring, sides, datum, *way) for way in ((1, END_RAD), (-1, slant_rad)))
    trim = math.ceil(1.5 * TRIM_MM)
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


def readings(
    local: Complexes, ring: Ring, rail: NDArray[np.intp], every_mm: float
) -> tuple[list[tuple[NDArray[np.intp], Floats]], Complexes, bool]:
    """Weights of the rail's points for each reading, the readings, and whether the edge folds back."""
    z = local[rail]
    if len(z) < 10:
        return [], np.empty(0, complex), False
    smooth = np.convolve(z, np.ones(5) / 5.0, "valid")
    step = np.diff(smooth)
    folds = bool((step.real < STEEP * np.abs(step)).any())
    way = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(z)))]) if folds else z.real
    at = np.arange(math.ceil(way.min() / every_mm) * every_mm, way.max(), every_mm)
    weights, points = [], []
    for x in at:
        near = rail[(np.abs(way - x) <= WINDOW_MM) & ring.good[rail]]
        if len(near) < 3:
            continue
        t = (way[np.isin(rail, near)] - x) if folds else local[near].real - x
        if not t.min() <= 0.0 <= t.max():
            continue
        w = 1.0 / ring.error_mm[near] ** 2
        mean = (w * t).sum() / w.sum()
        spread = (w * (t - mean) ** 2).sum()
        share = w / w.sum() - mean * w * (t - mean) / spread
        weights.append((near, share))
        points.append((share * local[near]).sum())
    z = np.array(points, complex)
    return weights, z if folds else z.real + 1j * z.imag, folds
