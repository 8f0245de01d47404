"""What notes of one plate say of the rail along it, and which of them do not belong.

The correction is a smooth curve: any offset, any tilt, and a bending whose size the notes themselves tell, as each of
a few sizes is weighed by how likely it makes the notes. A round for which the plate was pushed home tells gaps but for
a shift and a turn of the plate as a whole, which are estimated beside the curve. A note that the others make unlikely
is left out.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

GAP_ERROR_MM = 0.5
"""One standard deviation of a gap read with a rule or feelers (common practice, no source)."""

SHIFT_MM, TURN_RAD = 1.0, 0.01
"""How far a plate pushed home settles otherwise than the one before it, one standard deviation: what it did the first
time the notes cannot tell from an offset and tilt of the rail, unless the pin was measured."""

_ANY_MM = 1000.0
_SLOPES_RAD = (0.01, 0.03, 0.1)
"""How much the correction may bend over the noted length, one standard deviation; weighed by the notes."""

_WILD = 10.0
"""Logarithm of how much likelier the notes must be without one that is left out: chance does that to one in some
thousands."""

_LEAST_KEPT, _LEAST_SHARE = 3, 0.7

Floats = NDArray[np.float64]
"""Numbers in an array."""


@dataclass(frozen=True, slots=True)
class Notes:
    """The notes of one plate, of all rounds."""

    stations: Floats  # Where, mm.
    says_mm: Floats  # How far each says that the rail lies beyond the first edge, mm, square to it.
    moves: Floats  # What a unit of each unknown move of the plate takes off each note: a row a note, a column a move.
    spread: Floats  # One standard deviation of each move.


@dataclass(frozen=True, slots=True)
class Explained:
    """The curve through them."""

    kept: NDArray[np.bool_]  # True for notes that were heeded.
    settled: Floats  # The notes as the rail would have given them with every unknown move taken off.
    notes: Notes  # What was explained.
    weights: Floats  # One for each size of bending, 1 in all.
    pulls: tuple[Floats, ...]  # For each size, how hard each kept note pulls.

    def at(self, stations: Floats) -> Floats:
        """The curve at stations; straight beyond the first and, nearly so, beyond the last note."""
        known = self.notes.stations[self.kept]
        parts = zip(self.weights, _SLOPES_RAD, self.pulls, strict=True)
        first, length = _span(self.notes.stations)
        curve: Floats = sum(
            (share * (_alike(stations, known, first, length, slope) @ pull) for share, slope, pull in parts),
            np.zeros(len(stations)),
        )
        return curve


def explained(notes: Notes) -> Explained:
    """The curve that explains the notes; those that it cannot are left out, at most three in ten."""
    count = len(notes.says_mm)
    first, length = _span(notes.stations)
    shared = (notes.moves * notes.spread**2) @ notes.moves.T + GAP_ERROR_MM**2 * np.eye(count)
    spreads = [_alike(notes.stations, notes.stations, first, length, slope) + shared for slope in _SLOPES_RAD]
    kept = np.ones(count, dtype=bool)
    while True:
        likely, without, pulls = zip(
            *(_weighed(s[np.ix_(kept, kept)], notes.says_mm[kept]) for s in spreads), strict=True
        )
        whole = _log_sum(np.array(likely))
        fewer = _log_sum(np.array(without)) - _WILD
        if kept.sum() <= max(_LEAST_KEPT, _LEAST_SHARE * count) or fewer.max() <= whole:
            break
        kept[np.flatnonzero(kept)[int(fewer.argmax())]] = False
    weights = np.exp(np.array(likely) - whole)
    pull = sum((share * p for share, p in zip(weights, pulls, strict=True)), np.zeros(int(kept.sum())))
    moved = notes.spread**2 * (notes.moves[kept].T @ pull)
    return Explained(kept, notes.says_mm - notes.moves @ moved, notes, weights, pulls)


def _span(stations: Floats) -> tuple[float, float]:
    return float(stations.min()), float(np.ptp(stations))


def _alike(a: Floats, b: Floats, first: float, length: float, slope: float) -> Floats:
    """How much the curve at stations ``a`` goes with the curve at ``b``, mm2: offset, tilt, and a walk of the slope."""
    x, y = (a - first) / length, (b - first) / length
    low = np.maximum(0.0, np.minimum(x[:, None], y[None, :]))
    high = np.maximum(x[:, None], y[None, :])
    walk = low * low * (3.0 * high - low) / 6.0
    return np.asarray(_ANY_MM**2 * (1.0 + np.outer(2 * x - 1, 2 * y - 1)) + (slope * length) ** 2 * walk)


def _weighed(spread: Floats, says_mm: Floats) -> tuple[float, Floats, Floats]:
    """Log likelihood of what the notes say, the same without each note in turn, and the pull of each."""
    inverse = np.linalg.inv(spread)
    pull = inverse @ says_mm
    likely = -0.5 * float(says_mm @ pull) - 0.5 * float(np.linalg.slogdet(spread)[1]) - 0.5 * len(says_mm) * _LOG_TAU
    alone = 1.0 / np.diag(inverse)  # variance of a note as the others foretell it; its error then is pull * alone
    return likely, likely + 0.5 * (pull * pull * alone + np.log(alone) + _LOG_TAU), pull


def _log_sum(logs: Floats) -> Floats:
    """Logarithm of the sum of exponentials down the columns."""
    most = logs.max(axis=0)
    return np.asarray(most + np.log(np.exp(logs - most).sum(axis=0)))


_LOG_TAU = float(np.log(2.0 * np.pi))
