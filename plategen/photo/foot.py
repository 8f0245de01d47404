"""Which strip of shadow lies along the foot of an edge, and how far it leaves open where the edge is.

A single look across an edge does not tell a card's edge from that of its shadow; some millimetres of edge together do,
as far as light and colour differ. All strips and places are tried against the mean of such a stretch. What is not
certain then is the spread of the places, each weighed by how well it explains the stretch (Bayes, all strips as likely
beforehand, and none as likely as all the others together).
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.photo.camera import Floats
from plategen.photo.shade import Shades
from plategen.photo.step import Steps

STRETCH, EVERY = 16, 8
"""Points, a millimetre apart, that are looked at together, and how many lie between the first ones of two stretches."""

SAME_WAY_RAD = math.radians(10.0)
"""Lamps are far off, so that edges which face the same way have the same strip: one standard deviation."""

ROUND_CORNER, FEWEST = 0.985, 8
"""A stretch whose mean normal is shorter lies round a corner and is not asked, if there are so many others."""

TOLD_BY, MOST_SAID = 4.0, 12.0
"""So many stretches tell together what their strip is: they share what is wrong with the picture, and more tell no
more; and what one says against a strip counts no more than this, as a stain may lie beside it."""

FINER = 4
"""Places between two that are tried."""

INDEPENDENT = 0.25
"""Share of the readings, half a pixel apart, that have noise of their own."""


@dataclass(frozen=True, slots=True, eq=False)
class Feet:
    """What lies at the foot of an edge, point by point."""

    which: NDArray[np.intp]  # (n,): the strip that explains most.
    at: Floats  # (n,): where the edge lies then, along the normals.
    open_mm: Floats  # (n,): one standard deviation of what else it may be.


def feet(steps: Steps, shades: Shades, outward: Floats, reach: float) -> Feet:
    """The strips of shadow along a closed edge.

    Args:
        steps: Looks across the edge, a millimetre apart, the path at their zero.
        shades: The strips that are tried.
        outward: Unit normals (n, 2) of the edge.
        reach: How far to either side of the path the edge may lie.
    """
    count = len(steps.light)
    first = np.arange(0, count, EVERY)
    members = (first[:, None] + np.arange(min(STRETCH, count))) % count
    facing: NDArray[np.complex128] = (outward[members] @ np.array([1.0, 1j])).mean(1)
    plain = np.abs(facing) > ROUND_CORNER
    if plain.sum() >= FEWEST:
        first, members, facing = first[plain], members[plain], facing[plain]
    tried, cost = _cost(steps.mean(members), shades, reach)
    cost *= 0.5 * INDEPENDENT
    cost[1:] += np.log(max(len(shades) - 1.0, 1.0))
    cost += _shared(cost, _alike(facing))[:, None]
    weight = np.exp(-(cost - cost.min((0, 1))))
    weight /= weight.sum((0, 1))
    by_place = weight.sum(0)
    mean = (by_place * tried[:, None]).sum(0)
    spread = np.sqrt((by_place * (tried[:, None] - mean) ** 2).sum(0))
    flat = cost.reshape(-1, len(first)).argmin(0)
    which, place = np.unravel_index(flat, cost.shape[:2])
    middle = first + (min(STRETCH, count) - 1) / 2.0
    nearest = np.abs((np.arange(count)[:, None] - middle + count / 2.0) % count - count / 2.0).argmin(1)
    every = np.arange(count, dtype=float)
    return Feet(
        which=which[nearest].astype(np.intp),
        at=np.interp(every, middle, tried[place], period=count),
        open_mm=np.interp(every, middle, spread, period=count),
    )


def _alike(outward: NDArray[np.complex128]) -> Floats:
    """What each stretch hears of each, (k, k): of those that face its way, as much as :data:`TOLD_BY` at most."""
    same = np.exp(-0.5 * (np.angle(outward[:, None] * outward.conj()) / SAME_WAY_RAD) ** 2)
    count = same.sum(1)
    return np.asarray(same * (np.minimum(count, TOLD_BY) / count)[:, None])


def _shared(cost: Floats, heard: Floats) -> Floats:
    """What the strips (k,) cost more on stretches (n,) by what others say of them, (k, n)."""
    least = cost.min(1, keepdims=True)
    own = least[:, 0] - np.log(np.exp(-(cost - least)).sum(1))
    more = np.minimum(own - own.min(0), MOST_SAID)
    return np.asarray(more @ heard.T - more)


def _cost(some: Steps, shades: Shades, reach: float) -> tuple[Floats, Floats]:
    """Places (p,), and what strips there leave unexplained of stretches, (strips, p, stretches).

    That is a logarithm times readings; what it is a logarithm of goes as a square between places.
    """
    from scipy.interpolate import CubicSpline

    coarse = np.linspace(-reach, reach, 2 * math.ceil(reach / some.stride) + 1)
    fine = np.linspace(-reach, reach, FINER * (len(coarse) - 1) + 1)
    weight = some.weights(np.zeros(len(some.light)), reach / 2.0)  # the same readings for all
    places = [np.full(len(some.light), place) for place in coarse]
    left = np.stack([some.left_by_strip(at, weight, shades) + some.faint(at, weight) for at in places])
    between = np.maximum(CubicSpline(coarse, left)(fine), left.min(0) / 2.0)
    return fine, np.log(between).sum(3).transpose(1, 0, 2) * weight.sum(1)
