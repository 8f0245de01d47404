"""What a fit and its rivals say between the readings, and where further readings would tell most.

Between readings the rail is where the chosen model puts it, give or take its spread, or else, with the odds that the
scores give, where another model does. Whether a plate goes on depends on the whole of its edge, so rails are drawn from
that mixture, each as a whole: the share of them that lie far off somewhere is the chance that the fit does. A further
reading is asked for at the place where it lowers the sum of the mean squares most,

    sum_y cov(y, x)^2 / (cov(x, x) + s^2),

and so on, the covariance being taken down by each, until little is left open. Source: the information gained by an
observation of a linear model (MacKay, Neural Computation 4, 1992, 590; from memory).
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.rail.draws import Block, drawn
from plategen.rail.fit.curve_spread import modes_at
from plategen.rail.fit.free import Free
from plategen.rail.fit.model import Complexes, Floats, placed_along
from plategen.rail.fit.spread import Offset
from plategen.rail.spread import signed
from plategen.rail.trace import FittedTrace

FAR_MM = 1.5
"""A rail that lies farther off its fit somewhere than this, 1/16 in, is no rail that a plate cut so goes on without a
thought: the fillet's leg must grow by the gap (AWS D1.1; from memory)."""

MOST_OFF_MM = 1.2
"""What is left open of a stretch and is nothing to speak of."""

HEARD_CHANCE = 0.15
"""A chance above this of a rail that lies far off is heard.

Fewer readings than about thirteen leave no threshold that names nearly every fit that is off and no fit that is well:
at five readings even one who knew from which rails ours are drawn would name 73 of 100 at 2 of 100 false, and 95 at 37,
and over fits of few readings and of many 93 at 2 (``python -m tests.bench oracle``). So it leans to the safe side:
there a fit that is well may be asked about.
"""

PLACES = 161
"""Places along the chain at which it is looked at."""

DRAWN = 512
"""Rails drawn of each model."""

LEAST_SHARE = 0.01
"""A model less likely than this is not asked."""

BESIDE_MM = 20.0
"""So far beside a step, and no farther than to the next reading, a joggle in its place would lie off."""

MOST_ASKED = 4
"""Further readings asked for at once: then the fit is looked at again."""

LEAST_GAP_MM = 4.0
"""Readings are not asked for closer to each other, and not closer than a quarter of their usual step."""

Modes: TypeAlias = Callable[[Complexes, Complexes], Floats]
"""Gives the modes of a model at points of the chain with their left normals, K x M, mm."""


@dataclass(frozen=True, slots=True)
class Rival:
    """Another model than the one that is used."""

    dearer: float  # By how much its score is the larger.
    off: Offset  # How far it lies beside the chain.
    modes: Modes | None = None  # How it may lie off itself; None: as the one that is used does.


def curve_modes(free: Free) -> Modes:
    """The modes of a smooth curve, each the same way round wherever station 0 lies."""
    return lambda points, normals: signed(modes_at(free, points.real) * normals.imag[:, None])


def chain_modes(chained: Callable[[], FittedTrace]) -> Modes:
    """The modes of a chain whose stations grow."""

    def modes(points: Complexes, _: Complexes) -> Floats:
        other = chained()
        along = np.linspace(0.0, other.chain.length, 4 * PLACES)
        stations = placed_along(other.chain.segments, along)[0].real
        return other.spread.at(np.interp(points.real, stations, along))

    return modes


def heeded(fitted: FittedTrace) -> NDArray[np.intp]:
    """Indexes of the readings that the fit heeds."""
    kept = np.ones(len(fitted.trace.readings), bool)
    kept[[*fitted.doubtful, *fitted.unheeded]] = False
    return np.flatnonzero(kept)


@dataclass(frozen=True, eq=False)
class Say:
    """What the models say at K places along the chain."""

    points: Complexes
    normals: Complexes  # To the chain's left.
    drawn_mm: Floats  # K x N: how far N rails lie to the chain's left there.
    shares: Floats  # Of each of these rails among all.
    seen: NDArray[np.bool_]  # Places that are looked at: not about a step or a bead, which are questions of their own.

    @cached_property
    def covariance(self) -> Floats:
        """The mean product of what they are off at two places, K x K, mm^2."""
        return np.asarray((self.drawn_mm * self.shares) @ self.drawn_mm.T)

    @property
    def variance(self) -> Floats:
        """Its diagonal."""
        return np.asarray(np.einsum("kn,kn,n->k", self.drawn_mm, self.drawn_mm, self.shares))

    def farthest_mm(self, first: int = 0, last: int = PLACES - 1) -> Floats:
        """How far each rail lies off at most between two places."""
        looked_at, seen = self.drawn_mm[first : last + 1], self.seen[first : last + 1]
        if not seen.all():
            looked_at = looked_at[seen]
        return np.asarray(np.maximum(looked_at.max(axis=0, initial=0.0), -looked_at.min(axis=0, initial=0.0)))

    def far_at(self) -> Floats:
        """The chance that the rail lies far off, at each place that is looked at."""
        return np.asarray((np.abs(self.drawn_mm) > FAR_MM) @ self.shares * self.seen)

    def passed(self, off_mm: Floats, chance: float) -> float:
        """What of one number a rail is passed with a chance."""
        order = np.argsort(-off_mm, kind="stable")
        at = int(np.searchsorted(np.cumsum(self.shares[order]), chance * self.shares.sum()))
        return float(off_mm[order][min(at, len(order) - 1)])


def said(fitted: FittedTrace, rivals: Sequence[Rival]) -> Say:
    """What the models say along a fit: the one that is used, and what else the readings may mean."""
    chain = fitted.chain
    along = np.linspace(0.0, chain.length, PLACES)
    points, normals = placed_along(chain.segments, along)
    modes, freedom = fitted.spread.at(along), fitted.spread.freedom
    own = modes[:, : modes.shape[1] - len(fitted.spread.chances)]  # without the rivals', drawn whole below
    weights = np.exp([0.0, *(-0.5 * max(rival.dearer, 0.0) for rival in rivals)])
    weights /= weights.sum()
    heard = [(rival, share) for rival, share in zip(rivals, weights[1:].tolist(), strict=True) if share >= LEAST_SHARE]
    every = np.empty((PLACES, DRAWN * (1 + len(heard))))
    _draw(own, freedom, every[:, :DRAWN])
    for (rival, _), rails in zip(heard, np.split(every, 1 + len(heard), axis=1)[1:], strict=True):
        _draw(own if rival.modes is None else rival.modes(points, normals), freedom, rails)
        rails += rival.off(points, normals)[:, None]
    shares = np.repeat([weights[0], *(share for _, share in heard)], DRAWN)
    return Say(points, normals, every, shares / shares.sum(), _seen(fitted, points))


def _draw(modes: Floats, freedom: float, rails: Floats) -> None:
    """Fill rails, K x N, with what so many drawn of modes, K x M, are off."""
    np.matmul(modes, drawn((Block(modes.shape[1], freedom),))[:, :DRAWN], out=rails)


def _seen(fitted: FittedTrace, points: Complexes) -> NDArray[np.bool_]:
    """Which places lie on no bead, and not about a step: a joggle in its place is that question's matter."""
    seen = np.ones(len(points), bool)
    read = np.sort([fitted.trace.readings[i].point.real for i in heeded(fitted)]) if fitted.risers else np.empty(0)
    for first, last in (sorted(riser.between_mm) for riser in fitted.risers):
        before, after = np.searchsorted(read, (first - 1e-6, last + 1e-6)).tolist()
        low, high = read[max(before - 1, 0)], read[min(after, len(read) - 1)]
        seen &= (points.real < max(low, first - BESIDE_MM)) | (points.real > min(high, last + BESIDE_MM))
    for first, last in (sorted(bead.between_mm) for bead in fitted.beads):
        seen &= (points.real < first - 1e-6) | (points.real > last + 1e-6)
    return seen


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
