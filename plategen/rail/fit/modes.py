"""The modes of a smooth curve's waves at the readings, and what the readings make of them: see :mod:`.free`."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
from numpy.polynomial.chebyshev import chebpts1, chebvander

from plategen.rail.fit.model import Floats
from plategen.rail.fit.waves import DENT, JOGGLE, About, Everywhere, Periodic, Waves, functions

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
    """The modes of one kind of waves, freed of the columns, and what the readings make of them."""

    waves: Waves
    cost: float  # ``-2 ln`` of the chance of this kind.
    power: Floats  # The eigenvalues ``d``.
    vectors: Floats  # ``U``, a column a mode.
    pull: Floats  # ``U'W^1/2 y``.


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


def everywhere(readings: Readings) -> Iterator[Modes]:
    """The waves of every length."""
    basis, listed, power, turned = _lengths(readings)
    pulled = basis.T @ readings.pull
    for waves, every, turn in zip(listed, power, turned, strict=True):
        real = every > NO_POWER * every[-1]  # the others lie along the columns, or are flat within rounding
        cost = HALF_COST + RANDOM_COST * (len(_periods(readings)) > 0) + 2.0 * math.log(LENGTHS)
        yield Modes(waves, cost, every[real], basis @ turn[:, real], turn[:, real].T @ pulled)


@lru_cache(maxsize=REMEMBERED)
def _lengths(readings: Readings) -> tuple[Floats, list[Everywhere], Floats, Floats]:
    """A basis of all waves, the waves of every length, and in that basis their eigenvalues and vectors."""
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
    listed = [Everywhere(float(readings.span_mm * share), max(1.0, float(share / STIFF))) for share in shares]
    between = np.stack([waves.alike(nodes, nodes) for waves in listed])
    power, turned = np.linalg.eigh(upper @ between @ upper.T)
    return basis, listed, power, turned


@dataclass(frozen=True, slots=True)
class _Family:
    """Waves of a few functions each, K of them, of N readings and F functions."""

    waves: tuple[Waves, ...]
    cost: Floats  # Of each, ``-2 ln`` of its chance.
    shaped: Floats  # K x N x F: the functions at the readings, freed of the columns and weighted.
    power: Floats  # K x F: the eigenvalues.
    turned: Floats  # K x F x F: the eigenvectors.


def few(readings: Readings, likely: Callable[[Floats, Floats], Floats], most: int) -> Iterator[Modes]:
    """The most likely of the waves about one place and of those of one period.

    Args:
        readings: The readings.
        likely: Gives the score of powers and pulls, a row a kind of waves, less what kinds are worth beforehand.
        most: How many are wanted.
    """
    found = []
    for family in filter(None, (_about(readings, JOGGLE), _about(readings, DENT), _periodic(readings))):
        pulled = ((readings.pull @ family.shaped)[:, None, :] @ family.turned)[:, 0] / np.sqrt(family.power)
        score = likely(family.power, pulled) + family.cost
        for k in np.argsort(score, kind="stable")[:most].tolist():
            power = family.power[k]
            real = power > 2.0 * NO_WAVE
            vectors = (family.shaped[k] @ family.turned[k] / np.sqrt(power))[:, real]
            waves = Modes(family.waves[k], float(family.cost[k]), power[real], vectors, pulled[k, real])
            found.append((score[k], waves))
    yield from (modes for _, modes in sorted(found, key=lambda scored: scored[0])[:most])


@lru_cache(maxsize=REMEMBERED)
def _about(readings: Readings, first: int) -> _Family:
    """The waves about every place whose functions begin with one."""
    x, span = readings.x, readings.span_mm
    narrowest = max(NARROWEST * span / len(x), FINEST_MM)
    steps = max(math.floor(math.log(WIDEST * span / narrowest) / math.log(WIDER)), 0)
    widths = WIDEST * span / WIDER ** np.arange(steps + 1)
    counts = np.maximum((span / (STRIDE * widths)).astype(int), 1)
    width = np.repeat(widths, counts)
    centre = np.concatenate([x[0] + span * (np.arange(count) + 0.5) / count for count in counts.tolist()])
    cost = 2.0 * HALF_COST + 2.0 * np.log(len(widths) * np.repeat(counts, counts)) + JOGGLE_COST * (first == JOGGLE)
    waves = tuple(About(float(c), float(w), first) for c, w in zip(centre, width, strict=True))
    return _family(readings, waves, cost, functions((x[:, None] - centre) / width, first))


@lru_cache(maxsize=REMEMBERED)
def _periodic(readings: Readings) -> _Family | None:
    """The waves of every period; None where there are too few readings."""
    x, span, periods = readings.x, readings.span_mm, _periods(readings)
    if not len(periods):
        return None
    middle, half = x[0] + span / 2.0, span / 2.0
    waves = tuple(Periodic(middle, half, float(turns)) for turns in 2.0 * math.pi * periods / span)
    cost = np.full(len(waves), HALF_COST + PERIOD_COST + 2.0 * math.log(len(waves)))
    return _family(readings, waves, cost, np.stack([each.functions(x)[0] for each in waves], axis=1))


def _periods(readings: Readings) -> Floats:
    """How many periods a trace may have, one at least and each with readings enough."""
    return np.arange(1.0, min(MOST_PERIODS, (len(readings.x) - 1) / FEWEST_IN_PERIOD) + 1e-9, PERIOD_STEP)


def _family(readings: Readings, waves: tuple[Waves, ...], cost: Floats, shaped: Floats) -> _Family:
    """A family from its functions at the readings, N x K x F."""
    count, kinds, each = shaped.shape
    flat = readings.free(shaped.reshape(count, -1)) * readings.root[:, None]
    shaped = flat.reshape(count, kinds, each).transpose(1, 0, 2)
    power, turned = np.linalg.eigh(shaped.transpose(0, 2, 1) @ shaped)
    power = np.maximum(power, NO_POWER * power[:, -1:] + NO_WAVE)
    return _Family(waves, cost, shaped, power, turned)
