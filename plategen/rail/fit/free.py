"""A smooth curve through the readings, as stiff as they ask for: what a dent, a sweep or a wave is to a trace.

Over the stations x the rail is a line and beside it a Gaussian process, with a jump where a plate on the rail ends:

    y(x) = b0 + b1 x + sum_j h_j [x > c_j] + f(x),    cov(f(x), f(x')) = a^2 exp(-(x - x')^2 / (2 l^2))

Or f is curved about one place alone, or has one period (:mod:`plategen.rail.fit.waves`), and all sorts are weighed
against each other. How long ``l`` and how high ``a`` the waves are nobody says: the evidence for a few dozen of each is
added up, over the reading errors that were thought possible too, so that its score is the same kind of number as a
chain's (:mod:`plategen.rail.fit.score`), and curve and doubt are means over all of them. With W the weights, X the
columns of the line and the jumps and P the projector away from ``W^1/2 X``, the eigenvalues d and vectors U of
``P W^1/2 k W^1/2 P`` settle one length for every height and error at once:

    -2 ln evidence = n ln(2 pi) + sum[ln v + (U'W^1/2 y)^2 / v] + ln det(X'WX) + 2 ln(ranges),   v = s^2 + a^2 d

Source: Rasmussen and Williams, Gaussian Processes for Machine Learning, 2006, 2.7 and 5.4 (from memory).
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from plategen.ground.order import distinct
from plategen.rail.fit import bead
from plategen.rail.fit.model import Complexes, Floats
from plategen.rail.fit.modes import Modes, Readings, everywhere, few
from plategen.rail.fit.score import LEAST_RISER_MM, RISER_MM, WILD_COST, Noise, Sample, riser_cost
from plategen.rail.fit.waves import Waves, raised

FREE_COST = 6.0
"""For a smooth curve in place of flats and bends: one rail in twenty is dented or swept."""

HEIGHTS_MM = np.geomspace(0.2, 40.0, 24)
"""One standard deviation of the waves: from a rail's own unevenness to a wreck."""

THINNED = 2
"""Every second of the reading errors thought possible is tried: between two the evidence changes little."""

FEWEST_IN_STRETCH = 2
"""Stations between two jumps, or a jump and an end: one alone would be a misreading."""

MOST_FEW = 20
"""So many of the waves of a few functions are heeded, the likeliest."""

NEGLIGIBLE = 1e-2
"""A kind of waves with a smaller share than this of the most likely one's evidence does not count."""


@dataclass(frozen=True)
class Free:
    """The smooth curve of one set of readings and jumps."""

    x: Floats  # Stations of the readings that were kept, mm.
    y: Floats  # Their offsets, mm.
    weights: Floats  # Readings' worth of each.
    jumps_mm: tuple[float, ...]  # Stations at which it jumps.
    kept: NDArray[np.bool_]  # Which readings of the sample they are.
    points: Complexes  # All readings of the sample.
    noise: Noise
    pure: tuple[float, int]  # Squares and degrees of freedom within groups.
    span_mm: float  # Length of the trace.
    local: bool = False  # Whether waves about one place and of one period are looked for.

    def columns(self, x: Floats) -> Floats:
        """The line's and the jumps' columns at stations."""
        jumps = [(x > at).astype(float) for at in self.jumps_mm]
        return np.stack([np.ones(len(x)), x - self.x[0], *jumps], axis=1)

    @cached_property
    def root(self) -> Floats:
        """The roots of the weights."""
        return np.sqrt(self.weights)

    @cached_property
    def solver(self) -> Floats:
        """What makes the columns' least-squares values of offsets."""
        return np.asarray(np.linalg.pinv(self.columns(self.x) * self.root[:, None]) * self.root)

    def _freed(self, values: Floats) -> Floats:
        """Offsets at the readings without their least-squares line and jumps."""
        return np.asarray(values - self.columns(self.x) @ (self.solver @ values))

    @cached_property
    def modes(self) -> tuple[Modes, ...]:
        """The waves of every kind that is looked for."""
        readings = Readings(
            self.x, self.root, self._freed(self.y) * self.root, self._freed, self.span_mm, self.jumps_mm
        )
        listed = list(everywhere(readings))
        if self.local:
            listed += few(readings, self._likely, MOST_FEW)
        return tuple(listed)

    def _likely(self, power: Floats, pull: Floats) -> Floats:
        """The least score of each row of powers and pulls."""
        return np.asarray(self._scored(power, pull, slice(None, None, 8), slice(None, None, 2)).min(axis=(-1, -2)))

    @property
    def _errors_mm(self) -> Floats:
        return self.noise.errors_mm[::THINNED]

    @cached_property
    def _total(self) -> float:
        return float(((self._freed(self.y) * self.root) ** 2).sum())

    def _scored(self, power: Floats, pull: Floats, errors: slice, heights: slice = slice(None)) -> Floats:
        """For each error and height minus twice the log of what powers and pulls have to do with."""
        variance = self.noise.errors_mm[errors] ** 2
        power, pull = power[..., None, None, :], pull[..., None, None, :]
        v = variance[:, None, None] + (HEIGHTS_MM[heights] ** 2)[:, None] * power
        squares, count = self.pure
        spare = len(self.x) - 2 - len(self.jumps_mm) - power.shape[-1]
        left = (self._total - (pull**2).sum(axis=-1) + squares) / variance[:, None]
        own = spare * np.log(variance) + count * np.log(2.0 * np.pi * variance) + self.noise.costs[errors]
        return np.asarray((np.log(v) + pull**2 / v).sum(axis=-1) + left + own[:, None])

    @cached_property
    def _costs(self) -> Floats:
        """Minus twice the log of the evidence of every kind of waves, reading error and height."""
        columns = self.columns(self.x) * self.root[:, None]
        fixed = len(self.x) * math.log(2.0 * math.pi) + float(np.linalg.slogdet(columns.T @ columns)[1])
        fixed += 2.0 * math.log(self.span_mm) + 2.0 * len(self.jumps_mm) * math.log(RISER_MM)
        fixed += 2.0 * math.log(len(HEIGHTS_MM) * len(self._errors_mm) / len(self.noise.errors_mm))
        every = [self._scored(m.power, m.pull, slice(None, None, THINNED)) + m.cost for m in self.modes]
        return np.asarray(np.stack(every) + fixed)

    @cached_property
    def score(self) -> float:
        """The score, as of a chain: less is better."""
        least = float(self._costs.min())
        odd = len(self.jumps_mm) * riser_cost(len(self.kept)) + self._left_out
        return least - 2.0 * math.log(float(np.exp(-0.5 * (self._costs - least)).sum())) + FREE_COST + odd

    @property
    def _left_out(self) -> float:
        """What the readings left out cost."""
        if self.kept.all():
            return 0.0
        return bead.cost(self.points, self.kept, self.at(self.points.real)[0] - self.points.imag, WILD_COST)

    @cached_property
    def _shares(self) -> Floats:
        """The share of the evidence of every length, reading error and height."""
        shares = np.exp(-0.5 * (self._costs - self._costs.min()))
        return np.asarray(shares / shares.sum())

    @property
    def error_variance_mm2(self) -> float:
        """The mean square of the reading error over the evidence."""
        return float(self._shares.sum(axis=(0, 2)) @ self._errors_mm**2)

    @cached_property
    def error_mm(self) -> float:
        """The reading error: the mean of its logarithm over the evidence."""
        return math.exp(float(self._shares.sum(axis=(0, 2)) @ np.log(self._errors_mm)))

    def weighed(self) -> Iterator[tuple[Modes, Floats, Floats, Floats]]:
        """For each kind of waves that counts the shares of error and height, the heights' variances and ``v``."""
        variance, most = self._errors_mm**2, self._shares.sum(axis=(1, 2))
        counts = most > NEGLIGIBLE * most.max()
        for modes, shares, heard in zip(self.modes, self._shares / most[counts].sum(), counts, strict=True):
            if heard:
                error, height = np.nonzero(shares > NEGLIGIBLE**2 * shares.max())
                high = HEIGHTS_MM[height] ** 2
                yield modes, shares[error, height], high, variance[error][:, None] + high[:, None] * modes.power

    @cached_property
    def _pulls(self) -> tuple[tuple[Waves, Floats], ...]:
        """For each kind of waves what every reading pulls at the curve."""
        return tuple(
            (waves.waves, self.root * (waves.vectors @ ((shares * high) @ (waves.pull / v))))
            for waves, shares, high, v in self.weighed()
        )

    @cached_property
    def spare(self) -> float:
        """Readings beyond those that the line, the jumps and the waves take up."""
        taken = sum(
            float(shares @ (high[:, None] * waves.power / v).sum(axis=1)) for waves, shares, high, v in self.weighed()
        )
        return max(len(self.x) + self.pure[1] - 2 - len(self.jumps_mm) - taken, 0.0)

    @property
    def told(self) -> bool:
        """Whether the user says how well the trace was read."""
        return len(self.noise.errors_mm) == 1

    @property
    def heights_mm(self) -> Floats:
        """How far each jump goes up."""
        return self._line[2:]

    @property
    def steps_up(self) -> bool:
        """Whether each jump is high enough to be one."""
        return not self.jumps_mm or bool((np.abs(self.heights_mm) > LEAST_RISER_MM).all())

    def around(self, at_mm: float) -> tuple[float, float]:
        """The stations of the readings on either side of a jump."""
        after = int(np.searchsorted(self.x, at_mm))
        return float(self.x[after - 1]), float(self.x[after])

    @cached_property
    def _line(self) -> Floats:
        """The values of the line and the jumps."""
        return np.asarray(self.solver @ (self.y - raised(self._pulls, self.x, self.x)[0]))

    def at(self, x: Floats) -> tuple[Floats, Floats]:
        """The curve and its slope at stations."""
        offset, slope = raised(self._pulls, self.x, x)
        return np.asarray(self.columns(x) @ self._line + offset), np.asarray(self._line[1] + slope)

    def _gaps(self) -> NDArray[np.intp]:
        """The readings after which a further jump leaves every stretch enough of them."""
        gaps = np.flatnonzero(np.diff(self.x) > 0.0)
        middles = (self.x[gaps] + self.x[gaps + 1]) / 2.0
        return gaps[[_carried(self.x, tuple(sorted((*self.jumps_mm, at)))) for at in middles.tolist()]]

    def _explained(self, length: int) -> tuple[Floats, float]:
        """``B`` and ``s^2`` of the likeliest error and height.

        The inverse covariance of the readings, freed of the columns, is ``W^1/2 (1 - B B') W^1/2 / s^2``.
        """
        costs, waves = self._costs[length], self.modes[length]
        error, height = np.unravel_index(costs.argmin(), costs.shape)
        variance, high = float(self._errors_mm[error] ** 2), HEIGHTS_MM[height] ** 2 * waves.power
        line, _ = np.linalg.qr(self.columns(self.x) * self.root[:, None])
        return np.hstack((line, waves.vectors * np.sqrt(high / (variance + high)))), variance

    def _pulled(self, explained: Floats, variance: float) -> tuple[Floats, Floats]:
        """The inverse covariance times the readings, and its diagonal."""
        scaled = self.root * self.y
        pull = self.root * (scaled - explained @ (explained.T @ scaled)) / variance
        own = self.weights * (1.0 - (explained**2).sum(axis=1)) / variance
        return pull, np.maximum(own, 1e-12 / variance)

    @cached_property
    def foretold_mm(self) -> Floats:
        """How far each reading lies from where all the others put it."""
        pull, own = self._pulled(*self._explained(int(self._costs.min(axis=(1, 2)).argmin())))
        return pull / own

    def others(self, sample: Sample) -> Iterator["Free"]:
        """With one more jump, and with one reading fewer: the most promising of each by the waves of any length."""
        jump, wild = (-math.inf, 0), (-math.inf, 0)
        gaps = self._gaps()
        for length in range(len(self.modes)):
            explained, variance = self._explained(length)
            pull, own = self._pulled(explained, variance)
            cost = float(self._costs[length].min())
            wild = max(wild, _top(cost, pull**2 * (1.0 / own) - np.log(own) + math.log(2.0 * math.pi) - WILD_COST))
            if len(gaps):
                after, worth = (_beyond(values)[gaps] for values in (pull, self.weights))
                square = (worth - (_beyond(self.root[:, None] * explained)[gaps] ** 2).sum(axis=1)) / variance
                square = np.maximum(square, 1e-9)
                price = np.log(square * RISER_MM**2) + riser_cost(len(self.kept))
                jump = max(jump, _top(cost, after**2 / square - price))
        index = np.flatnonzero(self.kept)
        kept = self.kept.copy()
        kept[index[wild[1]]] = False
        if _carried(sample.points.real[kept], self.jumps_mm):
            yield free_of(sample, kept, self.jumps_mm)
        if len(gaps):
            at = float(self.x[gaps[jump[1]]] + self.x[gaps[jump[1]] + 1]) / 2.0
            yield free_of(sample, self.kept, tuple(sorted((*self.jumps_mm, at))))


def _carried(x: Floats, jumps_mm: tuple[float, ...]) -> bool:
    """Whether each stretch between jumps has two stations at the least, and there are more than the columns."""
    stretch = np.searchsorted(jumps_mm, distinct(x))
    counts = np.bincount(stretch, minlength=len(jumps_mm) + 1)
    return len(stretch) > 3 + len(jumps_mm) and int(counts.min()) >= FEWEST_IN_STRETCH


def _beyond(values: Floats) -> Floats:
    """For each row the sum of those after it."""
    return np.asarray(np.cumsum(values[::-1], axis=0)[::-1] - values)


def _top(cost: float, gains: Floats) -> tuple[float, int]:
    return float(gains.max() - cost), int(gains.argmax())


def free_of(sample: Sample, kept: NDArray[np.bool_], jumps_mm: tuple[float, ...]) -> Free:
    """The curve of the kept readings with given jumps."""
    own = sample.points[kept]
    return Free(
        own.real,
        own.imag,
        sample.weights[kept],
        jumps_mm,
        kept,
        sample.points,
        sample.noise,
        sample.pure,
        sample.span_mm,
    )
