"""The modes of a smooth curve's waves at the readings, and what the readings make of them: see :mod:`.free`."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.polynomial.chebyshev import chebpts1, chebvander
from numpy.typing import NDArray

from plategen.rail.fit.model import Floats
from plategen.rail.fit.waves import DENT, JOGGLE, About, Everywhere, OfFew, Periodic, Waves

LONGEST, SHORTEST, LENGTHS = 2.0, 1 / 16, 11
"""Waves between these shares of the trace are looked for, so many lengths of them."""

STIFF = 1 / 4
"""Waves longer than this share of the trace are as much higher as they are longer: of a slow sweep the trace shows but
a part."""

WIDEST, NARROWEST, FINEST_MM, WIDER = 1 / 5, 1 / 3, 10.0, 1.4
"""Widths about one place: from this share of the trace to this share of the usual step or this length, the
greater (a narrower dent is a bead, which is bridged), each so many times narrower than the one before."""

STRIDE = 0.6
"""The places are so many widths apart: what lies between two, the functions make up."""

HALF_COST, JOGGLE_COST = 2.0 * math.log(2.0), 5.0
"""Half of what is no chain waves all along, half about one place, half of that are dents; and a joggle, which mostly is
two bends and so a chain, is drawn so smoothly in one case of a dozen."""

PERIOD_COST, RANDOM_COST = 2.0 * math.log(4.0), 2.0 * math.log(4.0 / 3.0)
"""Of four that wave all along one has one period, and three wave at random; all do where readings tell no period."""

MOST_PERIODS, PERIOD_STEP, FEWEST_IN_PERIOD = 5, 0.1, 5
"""As many periods as a trace may have, how far apart they are tried, and the readings that each must have."""

NODES = 56
"""Points that carry the shortest wave over a whole trace to a thousandth of its height."""

NO_POWER = 1e-10
"""Share of the greatest eigenvalue below which one is rounding."""

REMEMBERED = 16
"""Sets of places whose modes are remembered: an offset that changes leaves them, and jumps are tried in turn."""

NO_WAVE = 1e-12
"""A greatest eigenvalue below this moves nothing at all."""


@dataclass(frozen=True, slots=True)
class Modes:
    """The modes of K kinds of waves, freed of the columns, and what N readings make of them.

    There is room for M of each kind; one that has fewer has some of no power that go along nothing.
    """

    waves: Waves
    cost: Floats  # K: ``-2 ln`` of the chance of each kind.
    power: Floats  # K x M: the eigenvalues ``d``.
    vectors: Floats  # K x N x M: ``U``, a column a mode.
    pull: Floats  # K x M: ``U'W^1/2 y``.

    def picked(self, kinds: NDArray[np.intp]) -> "Modes":
        """Those of some of the kinds."""
        own = (each[kinds] for each in (self.cost, self.power, self.vectors, self.pull))
        return Modes(self.waves.picked(kinds), *own)


@dataclass(frozen=True, slots=True)
class Weighed:
    """Modes of K kinds of waves, with the shares of the evidence of P pairs of a reading error and a height."""

    modes: Modes
    shares: Floats  # K x P.
    high: Floats  # P: variance of each height.
    v: Floats  # K x P x M: variance of the readings along each mode.

    @property
    def taken(self) -> Floats:
        """How much of what readings make of a mode the curve takes, per power of the mode, K x M."""
        return np.asarray(((self.shares * self.high)[:, None] @ (1.0 / self.v))[:, 0])


@dataclass(frozen=True, slots=True, eq=False)
class Readings:
    """What modes are made of.

    Two are equal when they were taken at the same places: of these alone come the modes, which are remembered.
    """

    x: Floats  # Stations.
    root: Floats  # Roots of the weights.
    pull: Floats  # Offsets, freed of the columns and weighted.
    free: Callable[[Floats], Floats]  # Takes the columns' least squares out of values at the readings.
    span_mm: float
    jumps_mm: tuple[float, ...] = ()  # Stations at which the columns jump.

    @property
    def _taken_at(self) -> tuple[bytes, bytes, tuple[float, ...], float]:
        return self.x.tobytes(), self.root.tobytes(), self.jumps_mm, self.span_mm

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Readings) and self._taken_at == other._taken_at

    def __hash__(self) -> int:
        return hash(self._taken_at)


def everywhere(readings: Readings) -> Modes:
    """The waves of every length."""
    waves, power, vectors = _lengths(readings)
    cost = HALF_COST + RANDOM_COST * (len(_periods(readings)) > 0) + 2.0 * math.log(LENGTHS)
    return Modes(waves, np.full(LENGTHS, cost), power, vectors, readings.pull @ vectors)


@lru_cache(maxsize=REMEMBERED)
def _lengths(readings: Readings) -> tuple[Everywhere, Floats, Floats]:
    """The waves of every length, with their eigenvalues and vectors."""
    x = readings.x
    if len(x) > NODES:
        place = chebpts1(NODES)
        nodes = x[0] + (x[-1] - x[0]) * (place + 1.0) / 2.0
        spot = 2.0 * (x - x[0]) / (x[-1] - x[0]) - 1.0
        here, there = chebvander(place, NODES - 1), chebvander(spot, NODES - 1)
        carried = np.asarray(np.linalg.solve(here.T, there.T).T)
    else:
        nodes, carried = x, np.asarray(np.eye(len(x)))
    basis, upper = np.linalg.qr(readings.free(carried) * readings.root[:, None])
    shares = np.geomspace(LONGEST, SHORTEST, LENGTHS)
    waves = Everywhere(readings.span_mm * shares, np.maximum(1.0, shares / STIFF))
    power, turned = np.linalg.eigh(upper @ waves.alike(nodes, nodes) @ upper.T)
    # the others lie along the columns, or are flat within rounding
    return waves, *_real(power, basis @ turned, power > NO_POWER * power[:, -1:])


def _real(power: Floats, vectors: Floats, real: NDArray[np.bool_]) -> tuple[Floats, Floats]:
    """Powers and vectors of the modes that are real, none of the others."""
    return power * real, vectors * real[:, None]


@dataclass(frozen=True, slots=True)
class _Family:
    """Waves of a few functions each, K of them, of N readings and F functions."""

    waves: OfFew
    cost: Floats  # Of each, ``-2 ln`` of its chance.
    shaped: Floats  # K x N x F: the functions at the readings, freed of the columns and weighted.
    power: Floats  # K x F: the eigenvalues.
    turned: Floats  # K x F x F: the eigenvectors.

    def pulled(self, pull: Floats) -> Floats:
        """What weighted offsets of the readings make of the modes, K x F."""
        return np.asarray(((pull @ self.shaped)[:, None] @ self.turned)[:, 0] / np.sqrt(self.power))

    def modes(self, kinds: NDArray[np.intp], pulled: Floats) -> Modes:
        """The modes of some of its kinds."""
        power = self.power[kinds]
        vectors = self.shaped[kinds] @ self.turned[kinds] / np.sqrt(power)[:, None]
        real = power > 2.0 * NO_WAVE
        return Modes(self.waves.picked(kinds), self.cost[kinds], *_real(power, vectors, real), pulled[kinds] * real)


def few(readings: Readings, likely: Callable[[Floats, Floats], Floats], most: int) -> Iterator[Modes]:
    """The most likely of the waves about one place and of those of one period.

    Args:
        readings: The readings.
        likely: Gives the score of powers and pulls, a row a kind of waves, less what kinds are worth beforehand.
        most: How many are wanted.
    """
    families = list(filter(None, (_about(readings, JOGGLE), _about(readings, DENT), _periodic(readings))))
    pulled = [family.pulled(readings.pull) for family in families]
    score = likely(np.concatenate([family.power for family in families]), np.concatenate(pulled))
    score += np.concatenate([family.cost for family in families])
    chosen = np.zeros(len(score), bool)
    chosen[np.argsort(score, kind="stable")[:most]] = True
    for family, pull, own in zip(families, pulled, np.split(chosen, np.cumsum([*map(len, pulled)])[:-1]), strict=True):
        if own.any():
            yield family.modes(np.flatnonzero(own), pull)


@lru_cache(maxsize=REMEMBERED)
def _about(readings: Readings, first: int) -> _Family:
    """The waves about every place whose functions begin with one."""
    x, span = readings.x, readings.span_mm
    narrowest = max(NARROWEST * span / len(x), FINEST_MM)
    steps = max(math.floor(math.log(WIDEST * span / narrowest) / math.log(WIDER)), 0)
    widths = WIDEST * span / WIDER ** np.arange(steps + 1)
    counts = np.maximum((span / (STRIDE * widths)).astype(int), 1)
    centre = np.concatenate([x[0] + span * (np.arange(count) + 0.5) / count for count in counts.tolist()])
    cost = 2.0 * HALF_COST + 2.0 * np.log(len(widths) * np.repeat(counts, counts)) + JOGGLE_COST * (first == JOGGLE)
    return _family(readings, About(centre, np.repeat(widths, counts), first), cost)


@lru_cache(maxsize=REMEMBERED)
def _periodic(readings: Readings) -> _Family | None:
    """The waves of every period; None where there are too few readings."""
    x, span, periods = readings.x, readings.span_mm, _periods(readings)
    if not len(periods):
        return None
    waves = Periodic(x[0] + span / 2.0, span / 2.0, 2.0 * math.pi * periods / span)
    return _family(readings, waves, np.full(len(periods), HALF_COST + PERIOD_COST + 2.0 * math.log(len(periods))))


def _periods(readings: Readings) -> Floats:
    """How many periods a trace may have, one at least and each with readings enough."""
    return np.arange(1.0, min(MOST_PERIODS, (len(readings.x) - 1) / FEWEST_IN_PERIOD) + 1e-9, PERIOD_STEP)


def _family(readings: Readings, waves: OfFew, cost: Floats) -> _Family:
    """A family of waves with their modes."""
    shaped = readings.free(waves.functions(readings.x)) * readings.root[:, None]
    power, turned = np.linalg.eigh(shaped.transpose(0, 2, 1) @ shaped)
    power = np.maximum(power, NO_POWER * power[:, -1:] + NO_WAVE)
    return _Family(waves, cost, shaped, power, turned)
