"""How well a shape explains a trace: the evidence for it, so that a piece is added only when the readings ask for it.

The score is minus twice the log of the evidence: the chance of these readings, averaged over all values of the shape
that were thinkable beforehand and over all reading errors,

    score = -2 ln sum_s exp(-q(s) / 2)
    q(s)  = sum r^2/s^2 + n ln(2 pi s^2)  +  ln det(I + R J'WJ R / s^2)  +  m ln((W/e)^2)  +  prior(s)

s is the standard deviation of a reading, R the diagonal of the ranges that the values could have had, m the number of
readings left out, each of which could have been anywhere in a width W and was thought wild with chance e. The
determinant is what the values cost to state as finely as the readings give them: it grows as the readings get finer,
so that exact readings may show a faint bend and rough ones may not, and with it an error estimated from few readings
cannot run away to zero. Source: the Laplace approximation of the marginal likelihood (MacKay, Neural Computation 4,
1992, 415; from memory), with the Gaussian prior's curvature kept and its quadratic term dropped, but of the curvature
of an arc at an end: few rails are rolled to turn by more than a radian over a trace, and an arc that passes by a
reading would else stand for a corner between two faces.
"""

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from plategen.flat.segment import SHORTEST_EDGE_MM
from plategen.ground.order import distinct
from plategen.rail.fit import bead
from plategen.rail.fit.model import RISERS, Complexes, Feet, Floats, Frames, Shape, bends, feet, names
from plategen.rail.fit.solve import MOST_STEPS, SOLVED, Solved, expected_radii, prior, solve

RULE_ERROR_MM = 0.5
"""A rule marked in 1/32 in, read by hand, unless the readings say otherwise (common practice, no source)."""

RULE_MARKS_MM = (25.4 / 16, 1.0, 25.4 / 32, 0.5, 25.4 / 64)
"""Divisions of common rules, from coarse to fine."""

RULED_SHARE = 0.75
"""Readings that must lie on a rule's marks to be taken for read off it; a decimal or two may be among them."""

FINEST_ERROR_MM = 0.0005
COARSEST_ERROR_MM = 2.0
"""Between these the reading error is looked for."""

COST_PER_HALVING = 6.0
COST_PER_DOUBLING = 8.0
FINE_COST = 10.0
"""Prior against an error other than the rule's: a finer one than a quarter millimetre means another instrument, which
one trace in a hundred and fifty has, however fine; one of a millimetre means a careless hand, one in fifty."""

LEAST_WILD_MM = 1.0
"""A reading nearer than this is no misreading, however fine the others are, and leaving it out would gain nothing."""

WILD_WIDTH_MM = 50.0
WILD_CHANCE = 0.01
"""One reading in a hundred is misread, by up to an inch either way (common practice, no source)."""

WILD_COST = 2.0 * math.log(WILD_WIDTH_MM / WILD_CHANCE)
"""What a reading left out costs: the same chance as a score."""

MOST_DOUBTFUL_SHARE = 1 / 4
"""When more readings than this lie off any simple chain, none of them can be trusted."""

FLAT_COST = 3.0
"""For each flat: of the rails that have so many, one in five has a further one."""

CORNER_COST = 3.0
"""For a corner in place of a bend that holds a reading of its own: one joint in five is welded or folded sharp."""

ROLLED_COST = 8.0
"""For an arc that is not a bend between flats: one rail in fifty is rolled or begins within a bend."""

RISER_COST = 6.0
"""For a riser: one rail in twenty has a doubler or a splice plate that ends under the foot."""

RISER_MM = 20.0
"""Such plates are up to about so thick (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Noise:
    """The standard deviations a reading could have, with the prior cost of each."""

    errors_mm: Floats  # From fine to coarse.
    costs: Floats  # ``-2 ln prior`` of each.

    @classmethod
    def known(cls, error_mm: float) -> "Noise":
        """The user says how well the trace was read."""
        return cls(np.array([error_mm]), np.zeros(1))

    @classmethod
    def open(cls, finest_mm: float) -> "Noise":
        """Ten errors for each doubling, from ``finest_mm`` to the coarsest; a rule's is the likeliest."""
        low, high = math.log2(finest_mm / RULE_ERROR_MM), math.log2(COARSEST_ERROR_MM / RULE_ERROR_MM)
        doublings = np.linspace(low, high, 1 + round(10 * (high - low)))
        fine = np.minimum(-COST_PER_HALVING * doublings, FINE_COST)
        return cls(RULE_ERROR_MM * 2.0**doublings, np.where(doublings < 0.0, fine, COST_PER_DOUBLING * doublings))


def rounding_error_mm(offsets: Floats) -> float:
    """One standard deviation of what rounding alone does to readings that are nearly all on one rule's marks.

    A number rounded to steps of q is off by q / sqrt(12), one standard deviation, however steadily it was read.
    Without this, nine readings on one mark and a tenth on the next would make the tenth look wild. Finest when the
    readings are on no rule's marks.
    """
    for mark in RULE_MARKS_MM:
        steps = offsets / mark
        on = np.abs(steps - np.round(steps)) * mark < 1e-6
        if on.mean() >= RULED_SHARE:
            return mark / math.sqrt(12.0)
    return FINEST_ERROR_MM


def wild_gain(error_mm: float) -> float:
    """What ``r^2/s^2`` of a single reading must come to before leaving it out pays: ``ln((W/e)^2 / (2 pi s^2))``."""
    return max(WILD_COST - math.log(2.0 * math.pi * error_mm**2), 1.0)


def wild_beyond_mm(error_mm: float) -> float:
    """Distance beyond which a single reading is better left out."""
    return max(error_mm * math.sqrt(wild_gain(error_mm)), LEAST_WILD_MM)


def ranges(shape: Shape, span_mm: float, step_mm: float | None = None) -> Floats:
    """What each value could have been beforehand: anywhere along the trace, turned by a radian, bent as rails are.

    With ``step_mm``, the usual distance between readings, what it can be now that a riser is known to stand between two
    of them: one standard deviation of a place anywhere between.
    """
    spread = {"length": span_mm, "turn": 1.0, "curvature": 1.0 / span_mm}
    word = shape.word
    listed = [span_mm, 1.0, *(RISER_MM if word[piece] in RISERS else spread[name] for piece, name in names(word))]
    if step_mm is not None:
        for at, (piece, name) in enumerate(names(word), 2):
            if name == "length" and word[piece + 1] in RISERS:
                listed[at] = step_mm / math.sqrt(12.0)
    for (_, length), (_, by) in zip(bends(word), expected_radii(shape), strict=True):
        listed[length] = by * float(shape.values[length])
    return np.array(listed)


def score(solved: Solved, kept: NDArray[np.bool_], sample: "Sample") -> tuple[float, float]:
    """The score of a solved shape (less is better), and the reading error that goes with it, mm.

    Args:
        solved: The shape at its least squares over the kept readings.
        kept: Which readings those are.
        sample: All of them.
    """
    noise, pure = sample.noise, sample.pure
    reach = ranges(solved.shape, sample.span_mm)
    power = np.maximum(np.linalg.eigvalsh(reach[:, None] * solved.information * reach), 0.0)
    variance = noise.errors_mm**2
    squares, count = solved.squares_mm2 + pure[0], int(kept.sum()) + pure[1]
    stated = np.log1p(power[:, None] / variance).sum(axis=0)
    cost = squares / variance + count * np.log(2.0 * np.pi * variance) + stated + noise.costs
    least = cost.min()
    share = np.exp(-0.5 * (cost - least))
    total = share.sum()
    error = math.exp(float(share @ np.log(noise.errors_mm)) / total)
    wild = bead.cost(sample.points, kept, -solved.foot.distance, WILD_COST)
    shape = solved.shape
    expected = zip(bends(shape.word), expected_radii(shape), strict=True)
    radii = sum(prior(shape, *bend, radius)[0] ** 2 for bend, radius in expected)
    rolled = sum(
        (float(shape.values[at]) * sample.span_mm) ** 2
        for at, (_, name) in enumerate(names(shape.word), 2)
        if name == "curvature"
    )
    return float(least) - 2.0 * math.log(total) + wild + word_cost(shape.word, len(kept)) + radii + rolled, error


def word_cost(word: str, count: int) -> float:
    """What the pieces of a word cost beforehand, of a rail that is read at so many places."""
    pieces = FLAT_COST * word.count("L") + CORNER_COST * word.count("C")
    pieces += ROLLED_COST * (word.count("A") - len(bends(word)))
    return pieces + riser_cost(count) * sum(letter in RISERS for letter in word)


def riser_cost(count: int) -> float:
    """Between two readings a riser may stand anywhere, which costs nothing to state; between which two does."""
    return RISER_COST + 2.0 * math.log(count)


MOST_ERRORS = 8
"""Times that a shape is solved again because its residuals showed another reading error."""

SCREENED_ERRORS, SCREENED_STEPS = 1, 5
"""The same, and steps of each, of a shape that is only looked at: see :data:`.search.SCREENED`."""

LEAST_RISER_MM = 1.0
"""A lower step is a rail's own unevenness."""

MOST_TURN_RAD = 3.0
"""No bend of a traced rail turns right back."""


@dataclass(frozen=True)
class Sample:
    """What is fitted: single readings, or groups of a dense trace that stand for many."""

    points: Complexes  # In order along the rail.
    weights: Floats  # Readings each stands for.
    places: NDArray[np.intp]  # For each point a number that repeats at one place share.
    noise: Noise  # The reading errors thought possible.
    pure: tuple[float, int] = (0.0, 0)  # Squares and degrees of freedom within groups.
    steps_mm: tuple[tuple[float, float], ...] = ()  # Stations between which the user says that there is a step.

    def told_steps(self, stations_mm: Iterable[float]) -> int:
        """How many steps at these stations the user told of."""
        return sum(any(low <= at <= high for low, high in self.steps_mm) for at in stations_mm)

    @cached_property
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
    rivals: tuple["Candidate", ...] = ()  # Others that the readings speak for nearly as well, of the last ones tried.

    @property
    def word(self) -> str:
        """The shape's word."""
        return self.solved.shape.word

    def off(self, points: Complexes, away: Complexes) -> Floats:
        """How far it lies beside points, along unit normals at them."""
        return -feet(self.solved.walk, points).distance


def weigh(
    shape: Shape, kept: NDArray[np.bool_], sample: Sample, error_mm: float, tolerance: float = SOLVED
) -> Candidate | None:
    """Solve and score a shape; None when the readings cannot carry its pieces.

    Args:
        shape: The start.
        kept: Readings that are not left out.
        sample: The readings.
        error_mm: A first guess of the reading error; solved again while the score says it is another.
        tolerance: How well it is solved.
    """
    if max(len(shape.values), 3) > _places(kept, sample):
        return None
    again, steps = (MOST_ERRORS, MOST_STEPS) if tolerance <= SOLVED else (SCREENED_ERRORS, SCREENED_STEPS)
    for _ in range(again):
        solved = solve(shape, sample.points, sample.weights * kept, error_mm, tolerance, steps)
        value, error = score(solved, kept, sample)
        tame = ~kept & (np.abs(solved.foot.distance) < LEAST_WILD_MM)
        if not tame.any() and (0.6 < error / error_mm < 1.7 or not bends(shape.word)):
            break
        shape, error_mm, kept = solved.shape, error, kept | tame
    value -= _told(solved, kept, sample)
    return Candidate(solved, kept, value, error) if _carried(solved, kept, sample) else None


def settled(candidate: Candidate, sample: Sample) -> Candidate:
    """The candidate at its least squares to the last digits, scored there."""
    shape, kept = candidate.solved.shape, candidate.kept
    solved = solve(shape, sample.points, sample.weights * kept, candidate.error_mm, tolerance=1e-12)
    value, _ = score(solved, kept, sample)
    return replace(candidate, solved=solved, score=value - _told(solved, kept, sample))


def _told(solved: Solved, kept: NDArray[np.bool_], sample: Sample) -> float:
    """What the steps of a shape cost less because the user told of them."""
    walk, word = solved.walk, solved.shape.word
    stands = (walk.start[row].real for row, piece in enumerate(walk.piece) if word[piece] in RISERS)
    return (FLAT_COST + riser_cost(len(kept))) * sample.told_steps(stands)


def _carried(solved: Solved, kept: NDArray[np.bool_], sample: Sample) -> bool:
    """Whether every piece has readings of its own, and every edge can be cut.

    A bend between flats needs one, well inside it: without, nothing but habit says that it is no corner, unless its
    radius is known. A flat needs
    two and an arc at an end three; a riser needs none, but a height. At the ends of the trace two must lie clear of the
    joint by a quarter of the usual step: a corner at the last reading but one would make a piece of a single wild one.
    """
    walk, foot = solved.walk, solved.foot
    if not _walked_forwards(walk, foot, kept):
        return False
    clear = sample.step_mm / 4.0
    last = len(walk.piece) - 1
    for row, piece in enumerate(walk.piece):
        letter, length = solved.shape.word[piece], float(walk.high[row])
        rolled, own = letter == "A", kept & (foot.row == row)
        if length < (LEAST_RISER_MM if letter in RISERS else SHORTEST_EDGE_MM):
            return False
        if letter in RISERS:
            continue
        if rolled and 0 < row < last:
            inside = np.abs(foot.along / length - 0.5) < 0.25
            shown = bool(solved.shape.radii) or (own & inside).any()
            if abs(walk.curvature[row]) * length > MOST_TURN_RAD or not shown:
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
    return len(distinct(sample.places[chosen]))
