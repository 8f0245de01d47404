"""What a fit and its rival say between the readings, and where further readings would tell most.

Between readings the rail is where the chosen model puts it, give or take its spread, or else, with the odds that the
two scores give, where the other model does. The error that such a mixture passes once in twenty times is what the rail
may be off there. A further reading is asked for at the place where it lowers the sum of the variances most,

    sum_y cov(y, x)^2 / (cov(x, x) + s^2),

and so on, the covariance being taken down by each, until little is left open. Source: the information gained by an
observation of a linear model (MacKay, Neural Computation 4, 1992, 590; from memory).
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.rail.fit.free import Free
from plategen.rail.fit.model import Complexes, Floats
from plategen.rail.fit.waves import erf
from plategen.rail.trace import FittedTrace

MOST_OFF_MM = 1.2
"""What a fillet bridges without a thought: under 1/16 in, from which its leg must grow (AWS D1.1; from memory)."""

OFTEN = 0.05
"""The rail lies farther off than is said once in twenty times."""

PLACES = 161
"""Places along the chain at which it is looked at."""

LEAST_ODDS = 0.01
"""A model less likely than this is not asked."""

MOST_ASKED = 4
"""Further readings asked for at once: then the fit is looked at again."""

LEAST_GAP_MM = 4.0
"""Readings are not asked for closer to each other, and not closer than a quarter of their usual step."""


@dataclass(frozen=True, slots=True)
class Rival:
    """What the next best model says at places along the chosen chain."""

    beside_mm: Floats  # How far to the chain's left it puts the rail.
    covariance: Floats  # Of that, mm^2.


Ask: TypeAlias = Callable[[Complexes, Complexes], Rival]
"""Gives the rival's say at points of the chain with their left normals."""


def curve_says(free: Free) -> Ask:
    """What a smooth curve says."""

    def ask(points: Complexes, normals: Complexes) -> Rival:
        offsets, _ = free.at(points.real)
        across = normals.imag
        return Rival((offsets - points.imag) * across, free.spread(points.real) * np.outer(across, across))

    return ask


def chain_says(other: FittedTrace) -> Ask:
    """What a chain says whose stations grow."""

    def ask(points: Complexes, normals: Complexes) -> Rival:
        along = np.linspace(0.0, other.chain.length, 4 * PLACES)
        placed = np.array([other.chain.point(float(s)) for s in along])
        distance = np.interp(points.real, placed.real, along)
        offsets = np.interp(points.real, placed.real, placed.imag)
        modes = other.spread.at(distance)
        return Rival((offsets - points.imag) * normals.imag, modes @ modes.T)

    return ask


def heeded(fitted: FittedTrace) -> NDArray[np.intp]:
    """Indexes of the readings that the fit heeds."""
    out = {*fitted.doubtful, *fitted.unheeded}
    return np.array([i for i in range(len(fitted.trace.readings)) if i not in out], np.intp)


@dataclass(frozen=True, slots=True)
class Say:
    """What the models say at places along the chain."""

    along_mm: Floats  # Distances along the chain.
    points: Complexes
    odds: float  # Of the chosen model.
    error_mm: Floats  # Its standard deviation.
    rival: Rival
    covariance: Floats  # Of both together.
    seen: NDArray[np.bool_]  # Places that are looked at: not on a step or a bead, which are questions of their own.

    def off_mm(self) -> Floats:
        """What the rail is off at each place once in twenty times."""
        sides = [(self.odds, np.zeros(PLACES), self.error_mm)]
        error = np.sqrt(np.maximum(self.rival.covariance.diagonal(), 0.0))
        sides.append((1.0 - self.odds, self.rival.beside_mm, error))
        low, high = np.zeros(PLACES), 6.0 * np.max([abs(mean) + error for _, mean, error in sides], axis=0) + 1e-9
        for _ in range(30):
            middle = (low + high) / 2
            over = _beyond(middle, sides) > OFTEN
            low, high = np.where(over, middle, low), np.where(over, high, middle)
        return np.asarray(high)


def _beyond(off_mm: Floats, sides: Sequence[tuple[float, Floats, Floats]]) -> Floats:
    """Chance that a mixture of normal errors is larger, at each place."""
    chance = np.zeros(PLACES)
    for share, mean, error in sides:
        root = np.maximum(math.sqrt(2.0) * error, 1e-9)
        chance += share * (1.0 - 0.5 * (erf((off_mm - mean) / root) + erf((off_mm + mean) / root)))
    return chance


def said(fitted: FittedTrace, ask: Ask | None) -> Say:
    """What a fit says along its chain, and its rival, if there is one to ask."""
    chain = fitted.chain
    along = np.linspace(0.0, chain.length, PLACES)
    placed = [chain.at(float(s)) for s in along]
    points = np.array([chain.segments[edge].point(t) for edge, t in placed])
    normals = np.array([1j * chain.segments[edge].tangent(t) for edge, t in placed])
    seen = np.ones(PLACES, bool)
    odd = [*(riser.between_mm for riser in fitted.risers), *(bead.between_mm for bead in fitted.beads)]
    for first, last in map(sorted, odd):
        seen &= (points.real < first - 1e-6) | (points.real > last + 1e-6)
    modes = fitted.spread.at(along)
    own = modes @ modes.T
    odds = 1.0 / (1.0 + math.exp(max(min(-0.5 * fitted.lead, 50.0), -50.0)))
    if ask is None or 1.0 - odds < LEAST_ODDS:
        odds, rival = 1.0, Rival(np.zeros(PLACES), np.zeros((PLACES, PLACES)))
    else:
        rival = ask(points, normals)
    between = odds * (1.0 - odds) * np.outer(rival.beside_mm, rival.beside_mm)
    both = odds * own + (1.0 - odds) * rival.covariance + between
    return Say(along, points, odds, np.sqrt(own.diagonal()), rival, both, seen)


def further(fitted: FittedTrace, say: Say, first: int, last: int, most: int = MOST_ASKED) -> tuple[complex, ...]:
    """Where further readings tell most of a stretch, in their order along the chain."""
    read = np.array([fitted.trace.readings[i].point for i in heeded(fitted)])
    free = say.seen & (np.abs(say.points[:, None] - read).min(axis=1) >= LEAST_GAP_MM / 2)
    apart = max(LEAST_GAP_MM, fitted.chain.length / (4 * len(read)))
    covariance, chosen = say.covariance.copy(), list[int]()
    enough = (MOST_OFF_MM / 2.0) ** 2
    while len(chosen) < most:
        variance = covariance.diagonal()
        if variance[first : last + 1].max() <= enough and chosen:
            break
        gain = (covariance[first : last + 1] ** 2).sum(axis=0) / (variance + fitted.read_error_mm**2)
        gain = np.where(free, gain, -1.0)
        best = int(gain.argmax())
        if gain[best] <= 0.0:
            break
        chosen.append(best)
        free &= np.abs(say.points - say.points[best]) >= apart
        column = covariance[:, best]
        covariance = covariance - np.outer(column, column) / (variance[best] + fitted.read_error_mm**2)
    return tuple(complex(say.points[i]) for i in sorted(chosen))
