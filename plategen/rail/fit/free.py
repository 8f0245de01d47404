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
from plategen.rail.fit.modes import Modes, Readings, Weighed, everywhere, few
from plategen.rail.fit.score import LEAST_RISER_MM, RISER_MM, WILD_COST, Noise, Sample, riser_cost
from plategen.rail.fit.waves import Waves

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
    # The same by waves all along alone, where those about one place and of one period are looked for beside them.
    plain: "Free | None" = None

    def columns(self, x: Floats) -> Floats:
        """The line's and the jumps' columns at stations."""
        jumps = [(x > at).astype(float) for at in self.jumps_mm]
        return np.stack([np.ones(len(x)), x - self.x[0], *jumps], axis=1)

    @cached_property
    def root(self) -> Floats:
        """The roots of the weights."""
        return np.sqrt(self.weights)

    @cached_property
    def _factors(self) -> tuple[Floats, Floats]:
        """The weighted columns as an orthonormal basis and an upper triangle."""
        return np.linalg.qr(self.columns(self.x) * self.root[:, None])

    @cached_property
    def solver(self) -> Floats:
        """What makes the columns' least-squares values of offsets."""
        basis, upper = self._factors
        return np.asarray(np.linalg.solve(upper, basis.T) * self.root)

    def _freed(self, values: Floats) -> Floats:
        """Offsets at the readings without their least-squares line and jumps."""
        return np.asarray(values - self.columns(self.x) @ (self.solver @ values))

    @cached_property
    def modes(self) -> tuple[Modes, ...]:
        """The waves of every kind that is looked for, those all along first."""
        readings = Readings(
            self.x, self.root, self._freed(self.y) * self.root, self._freed, self.span_mm, self.jumps_mm
        )
        if self.plain is None:
            return (everywhere(readings),)
        return (*self.plain.modes, *few(readings, self._likely, MOST_FEW))

    def _likely(self, power: Floats, pull: Floats) -> Floats:
        """The least score of each row of powers and pulls."""
        return np.asarray(self._scored(power, pull, slice(None, None, 8), slice(None, None, 2)).min(axis=(1, 2)))

    @property
    def _errors_mm(self) -> Floats:
        return self.noise.errors_mm[::THINNED]

    @cached_property
    def _total(self) -> float:
        return float(((self._freed(self.y) * self.root) ** 2).sum())

    def _scored(self, power: Floats, pull: Floats, errors: slice, heights: slice = slice(None)) -> Floats:
        """For each kind, error and height minus twice the log of what powers and pulls, K x M, have to do with."""
        variance, high = self.noise.errors_mm[errors, None] ** 2, HEIGHTS_MM[heights] ** 2
        (fine, count), squares = self.pure, pull**2
        spare = len(self.x) - 2 - len(self.jumps_mm) - squares.shape[1]
        left = (self._total - squares.sum(axis=1) + fine)[:, None, None] / variance
        scored = left + spare * np.log(variance) + count * np.log(2.0 * np.pi * variance)
        scored = scored + self.noise.costs[errors, None]
        for own, square in zip(power.T[:, :, None, None], squares.T[:, :, None, None], strict=True):
            v = variance + high * own  # of one mode after the other: of all at once it would not fit the cache
            scored = scored + np.log(v) + square / v
        return np.asarray(scored)

    @cached_property
    def _costs(self) -> Floats:
        """Minus twice the log of the evidence of every kind of waves, reading error and height."""
        upper = self._factors[1]
        fixed = len(self.x) * math.log(2.0 * math.pi) + 2.0 * float(np.log(np.abs(upper.diagonal())).sum())
        fixed += 2.0 * math.log(self.span_mm) + 2.0 * len(self.jumps_mm) * math.log(RISER_MM)
        fixed += 2.0 * math.log(len(HEIGHTS_MM) * len(self._errors_mm) / len(self.noise.errors_mm))
        known = [] if self.plain is None else [self.plain._costs]
        new = [
            self._scored(m.power, m.pull, slice(None, None, THINNED)) + (m.cost + fixed)[:, None, None]
            for m in self.modes[len(known) :]
        ]
        return np.concatenate(known + new)

    def _by_family(self, values: Floats) -> list[tuple[Modes, Floats]]:
        """Values of every kind of waves, with the modes of those that go together."""
        ends = np.cumsum([len(modes.cost) for modes in self.modes])
        return list(zip(self.modes, np.split(values, ends[:-1]), strict=True))

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

    @cached_property
    def weighed(self) -> tuple[Weighed, ...]:
        """The waves that count, with their shares of the evidence."""
        most = self._shares.max(axis=(1, 2), keepdims=True)
        shares = np.where(self._shares > NEGLIGIBLE**2 * most, self._shares, 0.0)
        whole = self._shares.sum(axis=(1, 2))
        heard = whole > NEGLIGIBLE * whole.max()
        found = []
        for modes, own in self._by_family(shares * heard[:, None, None] / whole[heard].sum()):
            kinds, (error, height) = np.flatnonzero(own.any(axis=(1, 2))), np.nonzero(own.any(axis=0))
            if len(kinds):
                high, picked = HEIGHTS_MM[height] ** 2, modes.picked(kinds)
                v = (self._errors_mm[error] ** 2)[:, None] + high[:, None] * picked.power[:, None]
                found.append(Weighed(picked, own[kinds][:, error, height], high, v))
        return tuple(found)

    @cached_property
    def _pulls(self) -> tuple[tuple[Waves, Floats], ...]:
        """What every reading pulls at the curve by each kind of waves."""
        return tuple(
            (each.modes.waves, self.root * (each.modes.vectors @ (each.taken * each.modes.pull)[:, :, None])[:, :, 0])
            for each in self.weighed
        )

    @cached_property
    def spare(self) -> float:
        """Readings beyond those that the line, the jumps and the waves take up."""
        taken = sum(float((each.taken * each.modes.power).sum()) for each in self.weighed)
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
        return np.asarray(self.solver @ (self.y - self._raised(self.x)[0]))

    def _raised(self, x: Floats) -> tuple[Floats, Floats]:
        """How far the waves are off line and jumps at stations, and their slopes."""
        offsets, slopes = zip(*(waves.raised(pulls, self.x, x) for waves, pulls in self._pulls), strict=True)
        return np.asarray(sum(offsets)), np.asarray(sum(slopes))

    def at(self, x: Floats) -> tuple[Floats, Floats]:
        """The curve and its slope at stations."""
        offset, slope = self._raised(x)
        return self.columns(x) @ self._line + offset, self._line[1] + slope

    def _gaps(self) -> NDArray[np.intp]:
        """The readings after which a further jump leaves every stretch enough of them."""
        gaps = np.flatnonzero(np.diff(self.x) > 0.0)
        middles, stations = (self.x[gaps] + self.x[gaps + 1]) / 2.0, distinct(self.x)
        return gaps[[_carried(stations, tuple(sorted((*self.jumps_mm, at)))) for at in middles.tolist()]]

    def _explained(self, modes: Modes, costs: Floats) -> tuple[Floats, Floats]:
        """``B`` and ``s^2`` of each kind of waves, with its likeliest error and height.

        The inverse covariance of the readings, freed of the columns, is ``W^1/2 (1 - B B') W^1/2 / s^2``.
        """
        error, height = np.unravel_index(costs.reshape(len(costs), -1).argmin(axis=1), costs.shape[1:])
        variance, high = self._errors_mm[error] ** 2, (HEIGHTS_MM[height] ** 2)[:, None] * modes.power
        line = np.broadcast_to(self._factors[0], (len(costs), *self._factors[0].shape))
        waves = modes.vectors * np.sqrt(high / (variance[:, None] + high))[:, None]
        return np.concatenate((line, waves), axis=2), variance[:, None]

    def _pulled(self, explained: Floats, variance: Floats) -> tuple[Floats, Floats]:
        """The inverse covariance times the readings, and its diagonal."""
        scaled = self.root * self.y
        pull = self.root * (scaled - (explained @ (scaled @ explained)[:, :, None])[:, :, 0]) / variance
        own = self.weights * (1.0 - (explained**2).sum(axis=2)) / variance
        return pull, np.maximum(own, 1e-12 / variance)

    @cached_property
    def foretold_mm(self) -> Floats:
        """How far each reading lies from where all the others put it."""
        modes, costs = min(self._by_family(self._costs), key=lambda family: float(family[1].min()))
        pull, own = self._pulled(*self._explained(modes, costs))
        return np.asarray((pull / own)[costs.min(axis=(1, 2)).argmin()])

    def others(self, sample: Sample) -> Iterator["Free"]:
        """With one more jump, and with one reading fewer: the most promising of each by the waves of any length."""
        gaps, (modes, costs) = self._gaps(), self._by_family(self._costs)[0]
        cost = costs.min(axis=(1, 2))[:, None]
        explained, variance = self._explained(modes, costs)
        pull, own = self._pulled(explained, variance)
        wild = _top(pull**2 * (1.0 / own) - np.log(own) - cost)
        kept = self.kept.copy()
        kept[np.flatnonzero(self.kept)[wild]] = False
        if _carried(distinct(sample.points.real[kept]), self.jumps_mm):
            yield free_of(sample, kept, self.jumps_mm)
        if len(gaps):
            after, worth = _beyond(pull)[:, gaps], _beyond(self.weights[None])[:, gaps]
            beyond = _beyond(self.root[:, None] * explained)[:, gaps]
            square = np.maximum((worth - (beyond**2).sum(axis=2)) / variance, 1e-9)
            jump = gaps[_top(after**2 / square - np.log(square) - cost)]
            at = float(self.x[jump] + self.x[jump + 1]) / 2.0
            yield free_of(sample, self.kept, tuple(sorted((*self.jumps_mm, at))))


def _carried(stations: Floats, jumps_mm: tuple[float, ...]) -> bool:
    """Whether each stretch between jumps has two stations at the least, and there are more than the columns."""
    stretch = np.searchsorted(jumps_mm, stations)
    counts = np.bincount(stretch, minlength=len(jumps_mm) + 1)
    return len(stretch) > 3 + len(jumps_mm) and int(counts.min()) >= FEWEST_IN_STRETCH


def _beyond(values: Floats) -> Floats:
    """Of each kind for each reading the sum over those after it."""
    return np.asarray(np.cumsum(values[:, ::-1], axis=1)[:, ::-1] - values)


def _top(gains: Floats) -> int:
    """The column of the greatest gain."""
    return int(gains.max(axis=0).argmax())


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
