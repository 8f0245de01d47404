"""Which shape: start from the cheapest cuttings, then change one thing at a time while the score improves."""

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from plategen.flat.segment import unit
from plategen.flat.tolerance import SHORTEST_EDGE_MM
from plategen.rail.fit_guess import MOST_RUNS, cuttings, first_shape, table
from plategen.rail.fit_model import Complexes, Floats, Shape, bends, feet, frames, names
from plategen.rail.fit_score import LEAST_WILD_MM, WILD_COST, Noise, score
from plategen.rail.fit_solve import Solved, solve

ERROR_LADDER_MM = (0.5, 0.05, 0.005)
"""The cuttings are made for a rule, for a calliper and for exact readings."""

MARGIN = 30.0
"""A cutting this much dearer than the best one is not worth solving."""

MOST_ERRORS = 8

MUCH_FINER = 50.0
"""Usual bends and a rule's error can hold a shape to each other where exact readings would take it elsewhere."""

NEAR = 8.0
MOST_STARTS = 4
"""The best few, when they are as near as this in score, are all improved, lest the right one is one step behind."""

PATIENCE = 1
"""Pieces more than the best so far that are still tried."""


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


def best(sample: Sample) -> Candidate:
    """The shape with the least score."""
    starts = sorted(_from_cuttings(sample), key=lambda c: c.score) or [_straight(sample)]
    near = [c for c in starts[:MOST_STARTS] if c.score < starts[0].score + NEAR]
    found = min((_climbed(start, sample) for start in near), key=lambda c: c.score)
    shape, weights = found.solved.shape, sample.weights * found.kept
    return replace(found, solved=solve(shape, sample.points, weights, found.error_mm, tolerance=1e-12))


def _climbed(found: Candidate, sample: Sample) -> Candidate:
    """Change one thing at a time, always the one that helps most, until nothing helps."""
    while True:
        better = min(_moves(found, sample), key=lambda c: c.score, default=found)
        if better.score >= found.score - 1e-6:
            return found
        found = better


def weigh(shape: Shape, kept: NDArray[np.bool_], sample: Sample, error_mm: float) -> Candidate | None:
    """Solve and score a shape; None when the readings cannot carry its pieces.

    Args:
        shape: The start.
        kept: Readings that are not left out.
        sample: The readings.
        error_mm: A first guess of the reading error; solved again while the score says it is another.
    """
    if max(len(shape.values), 3) > len(np.unique(sample.places[kept])):
        return None
    for _ in range(MOST_ERRORS):
        solved = solve(shape, sample.points, sample.weights * kept, error_mm)
        value, error = score(solved, kept, sample.span_mm, sample.noise, sample.pure)
        tame = ~kept & (np.abs(solved.foot.distance) < LEAST_WILD_MM)
        if not tame.any() and (0.6 < error / error_mm < 1.7 or not bends(shape.word)):
            break
        shape, error_mm, kept = solved.shape, error, kept | tame
    return Candidate(solved, kept, value, error) if _carried(solved, kept, sample) else None


def _from_cuttings(sample: Sample) -> list[Candidate]:
    """The promising cuttings, solved; more pieces are tried until two more have brought nothing."""
    runs = table(sample.points, sample.weights, LEAST_WILD_MM)
    errors = sample.noise.errors_mm
    ladder = [e for e in ERROR_LADDER_MM if errors[0] <= e <= errors[-1]] or [float(errors[0])]
    by_size: list[list[tuple[tuple[int, str, int], ...]]] = [[] for _ in range(MOST_RUNS)]
    for error in ladder:
        value_cost = math.log(len(sample.points)) + 2.0 * math.log(3.0 / error)
        wild_cost = WILD_COST - math.log(2.0 * math.pi * error**2)
        for letters in ("LA", "L")[: 2 if error == ladder[0] else 1]:
            costed = list(cuttings(runs, error, wild_cost, value_cost, letters))
            least = min(cost for cost, _ in costed)
            for size, (cost, cutting) in enumerate(costed):
                if cost < least + MARGIN and cutting not in by_size[size]:
                    by_size[size].append(cutting)
    found: list[Candidate] = []
    least, error, vain = math.inf, ladder[0], 0
    for listed in filter(None, by_size):
        vain += 1
        for cutting in listed:
            line = tuple(runs.run(*piece) for piece in cutting)
            kept = np.ones(len(sample.points), bool)
            kept[[index for run in line for index in run.dropped]] = False
            candidate = weigh(first_shape(line, sample.points), kept, sample, error)
            if candidate:
                found.append(candidate)
                if candidate.score < least:
                    least, error, vain = candidate.score, candidate.error_mm, 0
        if found and vain > PATIENCE:
            break
    return found


def _straight(sample: Sample) -> Candidate:
    """A line through all readings, which can always be weighed."""
    everything = np.ones(len(sample.points), bool)
    along = sample.points[-1] - sample.points[0]
    straight = weigh(Shape("L", complex(sample.points[0]), unit(complex(along)), np.zeros(2)), everything, sample, 0.5)
    assert straight
    return straight


def _carried(solved: Solved, kept: NDArray[np.bool_], sample: Sample) -> bool:
    """Whether every flat and every end has two readings of its own, and every edge can be cut.

    At the ends they must lie clear of the joint by a quarter of the usual step: a corner put at the last reading but
    one would make a piece of a single wild one.
    """
    shape, walk, foot = solved.shape, solved.walk, solved.foot
    clear = sample.step_mm / 4.0
    last = len(walk.piece) - 1
    for row, piece in enumerate(walk.piece):
        own = kept & (foot.row == row)
        if shape.word[piece] == "A" and row in (0, last) and len(np.unique(sample.places[own])) < 3:
            return False
        if 0 < row < last and shape.word[piece] == "A":
            if walk.high[row] < SHORTEST_EDGE_MM or abs(walk.curvature[row]) * walk.high[row] > 3.0:
                return False
            if not (own & (np.abs(foot.along / walk.high[row] - 0.5) < 0.25)).any():
                return False
            continue
        if row == 0 and last > 0:
            own &= foot.along <= walk.high[row] - clear
        elif row == last and last > 0:
            own &= foot.along >= clear
        if len(np.unique(sample.places[own])) < 2 or walk.high[row] < SHORTEST_EDGE_MM:
            return False
    return True


def _moves(found: Candidate, sample: Sample) -> Iterator[Candidate]:
    """Every candidate that differs by one thing."""
    shape, kept, error = found.solved.shape, found.kept, found.error_mm
    starts = [(shape, other, error) for other in _other_readings(found, sample)]
    for other in _other_words(found.solved, sample):
        starts.append((other, kept, error))
        if not kept.all():
            starts.append((other, np.ones_like(kept), error))
    if bends(shape.word) and sample.noise.errors_mm[0] < error / MUCH_FINER:
        starts.append((shape, kept, error / MUCH_FINER))
    return filter(None, (weigh(*start[:2], sample, start[2]) for start in starts))


def _other_readings(found: Candidate, sample: Sample) -> Iterator[NDArray[np.bool_]]:
    """Without the reading that fits worst, if it does fit badly; with each that was left out but fits."""
    pull = sample.weights * (found.solved.foot.distance / found.error_mm) ** 2
    worst = int(np.argmax(pull * found.kept))
    if pull[worst] > 6.0:
        yield found.kept & (np.arange(len(pull)) != worst)
    for index in np.flatnonzero(~found.kept & (pull < 2.0 * WILD_COST)):
        yield found.kept | (np.arange(len(pull)) == index)


def _other_words(solved: Solved, sample: Sample) -> Iterator[Shape]:
    """Corners rounded, bends sharpened, ends straightened, two corners merged to a bend."""
    word = solved.shape.word
    for index in {0, len(word) - 1} if len(word) > 1 else ():
        if word[index] == "A":
            yield _straightened(solved.shape, index)
    for index, letter in enumerate(word):
        if letter == "C" and word[index - 1] == word[index + 1] == "L":
            yield from _rounded(solved.shape, index, sample)
        if letter == "A" and 0 < index < len(word) - 1 and word[index - 1] == word[index + 1] == "L":
            yield _sharpened(solved.shape, index)
        if word[index : index + 3] == "CLC":
            yield _merged(solved.shape, index)


def _split(shape: Shape) -> list[dict[str, float]]:
    """The values piece by piece."""
    pieces: list[dict[str, float]] = [{} for _ in shape.word]
    for (index, name), value in zip(names(shape.word), shape.values[2:], strict=True):
        pieces[index][name] = float(value)
    return pieces


def _joined(shape: Shape, word: str, pieces: list[dict[str, float]]) -> Shape:
    """A shape with the same start from values piece by piece."""
    values = [*shape.values[:2], *(pieces[index][name] for index, name in names(word))]
    return replace(shape, word=word, values=np.array(values))


def _rounded(shape: Shape, index: int, sample: Sample) -> Iterator[Shape]:
    """A bend in place of a corner, with the most promising of a few lengths.

    A bend of turn t and length l takes ``(l/t) tan(t/2)`` off the flats beside it.
    """
    word = shape.word[:index] + "A" + shape.word[index + 1 :]
    pieces = _split(shape)
    turn = pieces[index]["turn"]
    room = min(pieces[i].get("length", sample.span_mm / 2) for i in (index - 1, index + 1))
    tried = []
    for share in (0.1, 0.3, 0.7):
        off = share * room
        length = off * abs(turn / math.tan(turn / 2)) if turn else 2.0 * off
        changed = [dict(p) for p in pieces]
        changed[index]["length"] = length
        for side in (index - 1, index + 1):
            if "length" in changed[side]:
                changed[side]["length"] -= off
        start = _joined(shape, word, changed)
        squares = float(sample.weights @ feet(frames(start), sample.points).distance ** 2)
        tried.append((squares, share, start))
    yield min(tried, key=lambda t: t[:2])[2]


def _sharpened(shape: Shape, index: int) -> Shape:
    """A corner in place of a bend."""
    pieces = _split(shape)
    turn, length = pieces[index]["turn"], pieces[index].pop("length")
    off = length * abs(math.tan(turn / 2) / turn) if turn else length / 2
    for side in (index - 1, index + 1):
        if "length" in pieces[side]:
            pieces[side]["length"] += off
    return _joined(shape, shape.word[:index] + "C" + shape.word[index + 1 :], pieces)


def _straightened(shape: Shape, index: int) -> Shape:
    """A flat in place of an arc at an end."""
    return _joined(shape, shape.word[:index] + "L" + shape.word[index + 1 :], _split(shape))


def _merged(shape: Shape, index: int) -> Shape:
    """A bend in place of a short flat between two corners."""
    pieces = _split(shape)
    turn = pieces[index]["turn"] + pieces[index + 2]["turn"]
    bend = {"turn": turn or 1e-6, "length": pieces[index + 1]["length"]}
    pieces[index : index + 3] = [bend]
    return _joined(shape, shape.word[:index] + "A" + shape.word[index + 3 :], pieces)
