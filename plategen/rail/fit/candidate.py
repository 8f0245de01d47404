"""A shape weighed against the readings: solved, scored, and refused when the readings cannot carry its pieces."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.flat.tolerance import SHORTEST_EDGE_MM
from plategen.rail.fit.model import Complexes, Feet, Floats, Frames, Shape, bends
from plategen.rail.fit.score import LEAST_WILD_MM, Noise, score
from plategen.rail.fit.solve import Solved, solve

MOST_ERRORS = 8
"""Times that a shape is solved again because its residuals showed another reading error."""

MOST_TURN_RAD = 3.0
"""No bend of a traced rail turns right back."""


@dataclass(frozen=True, slots=True)
class Sample:
    """What is fitted: single readings, or groups of a dense trace that stand for many.

    Args:
        points: In order along the rail.
        weights: Readings each stands for.
        places: For each point a number that repeats at one place share.
        noise: The reading errors thought possible.
        pure: Squares and degrees of freedom within groups.
    """

    points: Complexes
    weights: Floats
    places: NDArray[np.intp]
    noise: Noise
    pure: tuple[float, int] = (0.0, 0)

    @property
    def span_mm(self) -> float:
        """Length of the trace, roughly: the longest chord from its first point."""
        return float(np.max(np.abs(self.points - self.points[0])))

    @property
    def step_mm(self) -> float:
        """Usual distance between neighbours."""
        return self.span_mm / max(int(self.places[-1]), 1)


@dataclass(frozen=True, slots=True)
class Candidate:
    """A solved shape, the readings it keeps, its score and the reading error that goes with it."""

    solved: Solved
    kept: NDArray[np.bool_]
    score: float
    error_mm: float

    @property
    def word(self) -> str:
        """The shape's word."""
        return self.solved.shape.word


def weigh(shape: Shape, kept: NDArray[np.bool_], sample: Sample, error_mm: float) -> Candidate | None:
    """Solve and score a shape; None when the readings cannot carry its pieces.

    Args:
        shape: The start.
        kept: Readings that are not left out.
        sample: The readings.
        error_mm: A first guess of the reading error; solved again while the score says it is another.
    """
    if max(len(shape.values), 3) > _places(kept, sample):
        return None
    for _ in range(MOST_ERRORS):
        solved = solve(shape, sample.points, sample.weights * kept, error_mm)
        value, error = score(solved, kept, sample.span_mm, sample.noise, sample.pure)
        tame = ~kept & (np.abs(solved.foot.distance) < LEAST_WILD_MM)
        if not tame.any() and (0.6 < error / error_mm < 1.7 or not bends(shape.word)):
            break
        shape, error_mm, kept = solved.shape, error, kept | tame
    return Candidate(solved, kept, value, error) if _carried(solved, kept, sample) else None


def _carried(solved: Solved, kept: NDArray[np.bool_], sample: Sample) -> bool:
    """Whether every piece has readings of its own, and every edge can be cut.

    A bend between flats needs one, well inside it: without, nothing but habit says that it is no corner. A flat needs
    two and an arc at an end three. At the ends of the trace two must lie clear of the joint by a quarter of the usual
    step: a corner put at the last reading but one would make a piece of a single wild one.
    """
    walk, foot = solved.walk, solved.foot
    if not _walked_forwards(walk, foot, kept):
        return False
    clear = sample.step_mm / 4.0
    last = len(walk.piece) - 1
    for row, piece in enumerate(walk.piece):
        length, rolled = float(walk.high[row]), solved.shape.word[piece] == "A"
        own = kept & (foot.row == row)
        if length < SHORTEST_EDGE_MM:
            return False
        if rolled and 0 < row < last:
            inside = np.abs(foot.along / length - 0.5) < 0.25
            if abs(walk.curvature[row]) * length > MOST_TURN_RAD or not (own & inside).any():
                return False
            continue
        if rolled and _places(own, sample) < 3:
            return False
        if last > 0 and row in (0, last):
            own &= (foot.along <= length - clear) & (foot.along >= (clear if row else -np.inf))
        if _places(own, sample) < 2:
            return False
    return True


def _walked_forwards(walk: Frames, foot: Feet, kept: NDArray[np.bool_]) -> bool:
    """Whether the last kept reading lies ahead of the first one along the shape, by more than a sliver at each end."""
    ends = np.flatnonzero(kept)[[0, -1]]
    joints = np.concatenate(([0.0], np.cumsum(walk.high[:-1])))
    first, last = joints[foot.row[ends]] + foot.along[ends]
    return bool(last - first > 3.0 * SHORTEST_EDGE_MM)


def _places(chosen: NDArray[np.bool_], sample: Sample) -> int:
    return len(np.unique(sample.places[chosen]))
