"""A tyre as a ring of rectangular section: how far it is from lines, and where it is the nearest to a point.

From a point at s along the wheel's axle and r from it to the section is a plane distance; along a line s is linear and
r^2 quadratic, so the gap costs a handful of products a point.
"""

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.steering.vector import Floats, Point, array, dot, length, square_to, unit

Integers: TypeAlias = NDArray[np.int64]
"""Indices of positions."""

SHARES, FIRST_SHARES, CLOSER = np.linspace(0.0, 1.0, 9), np.linspace(0.0, 1.0, 65), 9
"""Points along a bar, those looked at first along one that may reach into a rim, and times that the spans about the
best are divided anew: what is left is less than a millionth of the bar."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TyreSize:
    """A tyre as a plain ring, drawn straight ahead."""

    lever: str  # The spindle that carries it.
    centre_mm: Point  # Middle of the tyre.
    radius_mm: float  # Outside radius.
    width_mm: float  # Section width.
    rim_mm: float = 0.0  # Radius inside of which there is room for arms and rods; 0 for a full disc.
    axle: Point = (0.0, 1.0, 0.0)  # Direction of the wheel's spindle; level and to the left when left out.


@dataclass(frozen=True, slots=True)
class Gaps:
    """Gaps of lines to a ring, (m,) each, and how fast each gap grows from an end of its line that is the nearest."""

    mm: Floats
    share: Floats  # Where on its line the nearest point lies: 0 at the start, 1 at the end.
    # What it grows by at least from start to end where the start is the nearest, and from end to start where that is.
    from_start_mm: Floats
    from_end_mm: Floats


def line_gaps(tyres: tuple[TyreSize, ...], which: Integers, start_mm: Floats, end_mm: Floats) -> Gaps:
    """From tyres, (m,) by their number, with their middle at the origin to the lines between both ends, (m, 3) each.

    To a full disc the gap falls and rises once along a line, so closing in finds the least of it; to a ring with
    room inside its rim it may dip twice, and is off by no more than half the spacing of the first points.
    """
    way, axle = end_mm - start_mm, unit(np.array([tyre.axle for tyre in tyres]))[which]
    sizes = np.array([(tyre.width_mm / 2.0, tyre.radius_mm, tyre.rim_mm) for tyre in tyres])
    half, radius, rim = sizes[which].T
    s0, s1 = (dot(each, axle) for each in (start_mm, way))
    start_out, way_out = start_mm - s0[:, None] * axle, way - s1[:, None] * axle
    square, twice, rate = dot(start_out, start_out), 2.0 * dot(start_out, way_out), dot(way_out, way_out)
    hollow = rim > 0.0
    any_hollow = bool(hollow.any())
    rim = np.where(hollow, rim, -np.inf)

    def gaps(t: Floats) -> Floats:
        outward = np.sqrt(np.maximum(square + t * (twice + t * rate), 0.0))
        beside, beyond = np.abs(s0 + t * s1) - half, outward - radius
        if any_hollow:
            beyond = np.maximum(beyond, rim - outward)
        corner = np.minimum(beside, beyond) > 0.0
        apart: Floats = np.where(corner, np.sqrt(beside * beside + beyond * beyond), np.maximum(beside, beyond))
        return apart

    rows = np.arange(len(start_mm))
    low, wide = np.zeros(len(rows)), np.ones(len(rows))
    for shares in (FIRST_SHARES if any_hollow else SHARES, *(SHARES,) * (CLOSER - 1)):
        t = low + wide * shares[:, None]  # the points of one line below each other: most lie in a row of memory
        found = gaps(t)
        best = found.argmin(axis=0)
        at, step = t[best, rows], wide / (len(shares) - 1)
        low, high = np.maximum(at - step, 0.0), np.minimum(at + step, 1.0)
        wide = high - low
    # a gap that rises and falls but once grows along the line by no less than next to its nearest end
    grows = np.where(hollow, 0.0, (found[-1] - found[0]) / (t[-1] - t[0]))
    at_start, at_end = at == 0.0, at == 1.0
    return Gaps(found[best, rows], at, np.where(at_start, grows, 0.0), np.where(at_end, -grows, 0.0))


def nearest_on_ring(tyre: TyreSize, point_mm: Floats) -> tuple[Floats, Floats]:
    """The point of a tyre's skin that is nearest to each point, (n, 3), both from the tyre's middle; and the way from
    the point into the tyre, a unit vector, (n, 3), which is zero where the point lies on the skin.

    A point on the wheel's axle has the tread at the same distance all about: one way stands for all.
    """
    axle, half = unit(array(tyre.axle)), tyre.width_mm / 2.0
    along = dot(point_mm, axle)
    out = point_mm - along[:, None] * axle
    far = length(out)
    outward = np.where((far > 0.0)[:, None], out / np.where(far > 0.0, far, 1.0)[:, None], square_to(axle)[0])
    rim = tyre.rim_mm if tyre.rim_mm > 0.0 else -np.inf
    beside, beyond = np.abs(along) - half, np.maximum(far - tyre.radius_mm, rim - far)
    within = np.maximum(beside, beyond) < 0.0
    to_side = within & (beside >= beyond)
    s = np.where(to_side, np.copysign(half, along), np.clip(along, -half, half))
    r = np.clip(far, max(rim, 0.0), tyre.radius_mm)
    r = np.where(within & ~to_side, np.where(far - tyre.radius_mm >= rim - far, tyre.radius_mm, rim), r)
    skin = s[:, None] * axle + r[:, None] * outward
    way = skin - point_mm
    size = length(way)
    into = np.where(within, -1.0, 1.0) / np.where(size > 0.0, size, 1.0)
    return skin, way * into[:, None]
