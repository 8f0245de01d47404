"""Where the pieces of a trace begin and end, by dynamic programming over every way to cut it into runs of readings.

Each run gets the best line and the best arc, each with up to two readings dropped, all runs at once. In the frame of
a run (origin at its centroid, real axis along its direction) a circle of curvature k obeys

    y = a + b x + k/2 (x^2 + y^2)

so line and arc are one linear least squares: with ``g = x^2 + y^2`` made orthogonal to 1 and x,

    k/2 = sum(w y g) / sum(w g^2),    squares(arc) = squares(line) - sum(w y g)^2 / sum(w g^2).

Good to a half turn, and only a start: :mod:`plategen.rail.fit.solve` finishes. The cheapest cut into m runs follows
from the cheapest into m - 1 (Bellman 1961, from memory).
"""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.flat.segment import dot, unit
from plategen.ground.order import distinct
from plategen.rail.fit.model import RISERS, Complexes, Floats, Shape, names

MOST_RUNS = 7
"""Four flats and the bends between them."""

MOST_CUTS = 48
"""Places where a run may begin; more readings than this share them out evenly."""

FEWEST_DROPS = 2
DROPS_PER_READING = 1 / 20
"""Readings one run may drop: two, and one more for every twenty readings of the trace."""

ALIKE_RAD = 0.15
"""Lines that turn by less may be one face of the rail and the face of a plate on it."""


@dataclass(frozen=True, slots=True)
class Run:
    """A line or an arc through some neighbouring readings."""

    letter: str  # ``L`` or ``A``.
    first: int  # Index of its first reading.
    stop: int  # Index after its last one.
    dropped: tuple[int, ...]  # Indexes of readings it leaves out.
    middle: complex  # Its centroid.
    direction: complex  # Unit vector along it there.
    curvature: float  # Of the arc, positive to the left; zero for a line.
    centre: complex  # Of the arc's circle.

    def foot(self, point: complex) -> tuple[complex, complex]:
        """The nearest point of the whole line or circle, and the heading there."""
        if self.letter == "L":
            return self.middle + self.direction * dot(self.direction, point - self.middle), self.direction
        ray = unit(point - self.centre)
        return self.centre + ray / abs(self.curvature), 1j * ray * math.copysign(1.0, self.curvature)


Cutting: TypeAlias = tuple[tuple[int, str, int], ...]
"""For each run its index in the table, its letter and how many readings it drops."""


@dataclass(frozen=True, slots=True)
class Fits:
    """Every run's line, or every run's arc: one row for each number of dropped readings, one column a run."""

    squares: Floats
    dropped: NDArray[np.intp]
    middle: Complexes
    direction: Complexes
    curvature: Floats
    centre: Complexes


@dataclass(frozen=True, slots=True)
class Table:
    """All runs between all cuts."""

    cuts: NDArray[np.intp]  # Indexes of readings before which a run may begin, and the number of readings.
    begin: NDArray[np.intp]  # For each run which cut it begins at.
    end: NDArray[np.intp]  # For each run which cut it ends at.
    by_letter: dict[str, Fits]  # The fits of the runs for each letter.

    def run(self, index: int, letter: str, drops: int) -> Run:
        """One run as a line or an arc, with some readings dropped."""
        fits = self.by_letter[letter]
        return Run(
            letter,
            int(self.cuts[self.begin[index]]),
            int(self.cuts[self.end[index]]),
            tuple(sorted(fits.dropped[:drops, index].tolist())),
            complex(fits.middle[drops, index]),
            complex(fits.direction[drops, index]),
            float(fits.curvature[drops, index]),
            complex(fits.centre[drops, index]),
        )


@dataclass(frozen=True, slots=True)
class _Flat:
    """The readings of all runs one after another, so that a sum over each run is one call."""

    index: NDArray[np.intp]
    run: NDArray[np.intp]
    offset: NDArray[np.intp]

    def sums(self, values: NDArray[Any]) -> NDArray[Any]:
        """The sum over each run."""
        return np.asarray(np.add.reduceat(values, self.offset))

    def largest(self, values: Floats) -> NDArray[np.intp]:
        """Where each run has its largest value."""
        top = np.maximum.reduceat(values, self.offset)
        hits = np.flatnonzero(values == top[self.run])
        return np.asarray(hits[np.searchsorted(hits, self.offset)])


def table(points: Complexes, weights: Floats, least_wild_mm: float) -> Table:
    """Fit a line and an arc to every run of readings between two cuts.

    Args:
        points: In order along the rail.
        weights: Of each.
        least_wild_mm: A reading nearer than this to a run's fit without it is not dropped.
    """
    count = len(points)
    cuts = distinct(np.linspace(0, count, min(count, MOST_CUTS) + 1).round().astype(np.intp))
    begin, end = np.triu_indices(len(cuts), 1)
    sizes = cuts[end] - cuts[begin]
    offset = np.concatenate(([0], np.cumsum(sizes)[:-1]))
    run = np.repeat(np.arange(len(sizes)), sizes)
    index = np.arange(len(run)) - (offset - cuts[begin])[run]
    flat = _Flat(index, run, offset)
    forward = points[cuts[end] - 1] - points[cuts[begin]]
    fits = {letter: _fits(flat, points, weights, forward, letter, least_wild_mm) for letter in "LA"}
    return Table(cuts, begin, end, fits)


def _fits(
    flat: _Flat, points: Complexes, weights: Floats, forward: Complexes, letter: str, least_wild_mm: float
) -> Fits:
    """The best line or arc of every run, dropping its worst reading again and again."""
    fewest = 2 if letter == "L" else 3
    spread = weights[flat.index]
    dropped, fits = [], []
    sensible = np.ones(len(flat.offset), bool)
    for drops in range(1 + FEWEST_DROPS + int(DROPS_PER_READING * len(points))):
        squares, gain, *fit = _least_squares(flat, points[flat.index], spread, forward, letter)
        enough = sensible & (flat.sums((spread > 0.0) * 1) >= fewest + (drops > 0))
        fits.append((np.where(enough, squares, np.inf), *fit))
        worst = flat.largest(gain)
        sensible &= gain[worst] >= weights[flat.index[worst]] * least_wild_mm**2
        dropped.append(flat.index[worst])
        spread[worst] = 0.0
    squares, middle, direction, curvature, centre = (np.array(column) for column in zip(*fits, strict=True))
    return Fits(squares, np.array(dropped), middle, direction, curvature, centre)


def _least_squares(
    flat: _Flat, points: Complexes, weights: Floats, forward: Complexes, letter: str
) -> tuple[NDArray[Any], ...]:
    """For every run squares, centroid, direction, curvature and centre; second, what each reading's absence saves."""
    sums, run = flat.sums, flat.run
    total = np.maximum(sums(weights), 1e-300)
    middle = sums(weights * points) / total
    away = points - middle[run]
    second = sums(weights * away * away)
    direction = np.exp(0.5j * np.angle(second))
    direction = np.where((direction.conj() * forward).real < 0.0, -direction, direction)
    local = away * direction.conj()[run]
    x, y = local.real, local.imag
    along = weights * x
    spread = np.maximum(sums(along * x), 1e-300)
    lever = weights / total[run] + along * x / spread[run]
    curvature, centre = np.zeros(len(total)), middle
    if letter == "A":
        square = x * x + y * y
        mean, tilt = sums(weights * square) / total, sums(along * square) / spread
        bow = square - mean[run] - tilt[run] * x
        bowed = weights * bow
        power = np.maximum(sums(bowed * bow), 1e-300)
        half = sums(bowed * y) / power
        k = np.where(np.abs(half) < 1e-9, 2e-9, 2.0 * half)
        shift, lean = -half * mean, -half * tilt
        curvature = k / np.sqrt(np.maximum(1.0 + lean**2 - 2.0 * shift * k, 1e-3))
        centre = middle + direction * (1j - lean) / k
        lever += bowed * bow / power[run]
        # the algebraic residual is the distance once it is divided by the length of its gradient
        y = (y - half[run] * bow) / np.sqrt(1.0 + (k * k)[run] * square)
    squares = weights * y * y
    gain = np.where(lever < 1.0 - 1e-6, squares / np.maximum(1.0 - lever, 1e-6), 0.0)
    return sums(squares), gain, middle, direction, curvature, centre


def cuttings(
    runs: Table, error_mm: float, wild_cost: float, value_cost: float, letters: str
) -> Iterator[tuple[float, Cutting]]:
    """The cheapest cutting into one run, into two, and so on, and its cost.

    Args:
        runs: All runs.
        error_mm: One standard deviation of a reading.
        wild_cost: Cost of dropping a reading.
        value_cost: Cost of a value of the shape.
        letters: Kinds of pieces allowed.
    """
    size = len(runs.cuts)
    costs, drops = [], []
    for letter in letters:
        squares = runs.by_letter[letter].squares / error_mm**2
        squares = squares + wild_cost * np.arange(len(squares))[:, None]
        drops.append(squares.argmin(axis=0))
        costs.append(squares.min(axis=0) + (2.0 if letter == "L" else 2.5) * value_cost)
    kind = np.argmin(costs, axis=0)
    grid = np.full((size, size), np.inf)
    grid[runs.begin, runs.end] = np.min(costs, axis=0)
    which = np.zeros((size, size), dtype=np.intp)
    which[runs.begin, runs.end] = np.arange(len(runs.begin))
    best = grid[0]
    backs: list[list[int]] = []
    for _ in range(MOST_RUNS):
        edges = [size - 1]
        for back in reversed(backs):
            edges.append(back[edges[-1]])
        edges.append(0)
        picked = [int(which[a, b]) for b, a in pairwise(edges)][::-1]
        yield float(best[-1]), tuple((i, letters[kind[i]], int(drops[kind[i]][i])) for i in picked)
        onward = best[:, None] + grid
        backs.append(onward.argmin(axis=0).tolist())
        best = onward.min(axis=0)


def first_shapes(runs: tuple[Run, ...], points: Complexes) -> Iterator[Shape]:
    """Join runs into walks: tangent but where two lines meet, there by corners; and by risers where they run alike."""
    corners = tuple("C" for _ in runs[1:])
    yield _joined(runs, corners, points)
    risers = tuple(_riser(a, b, points) or "C" for a, b in pairwise(runs))
    if risers != corners:
        yield _joined(runs, risers, points)


def _joined(runs: tuple[Run, ...], by: tuple[str, ...], points: Complexes) -> Shape:
    """One walk along the runs, each pair of lines joined by its letter."""
    place, heading = begin = runs[0].foot(complex(points[runs[0].first]))
    word, values = "", [0.0, 0.0]
    last = len(runs) - 1
    for index, run in enumerate(runs):
        if index and runs[index - 1].letter == run.letter == "L":
            letter, (onto, ahead) = by[index - 1], run.foot(place)
            word += letter
            values.append(_turn(heading, ahead) if letter == "C" else abs(onto - place))
            place, heading = (place if letter == "C" else onto), ahead
        word += run.letter
        end = complex(points[-1]) if index == last else _joint(run, runs[index + 1], by[index], points)
        length = max(abs(end - place), 1e-3)
        if run.letter == "A" and index in (0, last):
            values.append(run.curvature)
        elif run.letter == "A":
            values.append(_turn(heading, runs[index + 1].foot(end)[1]) or 1e-6)
        if index < last:
            values.append(length)
        heading = run.foot(end)[1]
        place = end
    assert len(values) == 2 + len(names(word))
    return Shape(word, *begin, np.array(values))


def _riser(before: Run, after: Run, points: Complexes) -> str | None:
    """The letter of a riser between two lines that run alike and apart; None where there is none."""
    if before.letter != "L" or after.letter != "L" or abs(_turn(before.direction, after.direction)) > ALIKE_RAD:
        return None
    middle = (complex(points[before.stop - 1]) + complex(points[after.first])) / 2
    rise = ((after.foot(middle)[0] - before.foot(middle)[0]) * before.direction.conjugate()).imag
    return "U" if rise > 0.0 else "D"


def _turn(before: complex, after: complex) -> float:
    return math.atan2((after * before.conjugate()).imag, (after * before.conjugate()).real)


def _joint(before: Run, after: Run, by: str, points: Complexes) -> complex:
    """Where two runs meet: their crossing when they are lines and it lies near the gap, else the middle of the gap."""
    left, right = complex(points[before.stop - 1]), complex(points[after.first])
    middle = (left + right) / 2
    if by in RISERS:
        return before.foot(middle)[0]
    if before.letter == after.letter == "L":
        turn = (after.direction * before.direction.conjugate()).imag
        if abs(turn) > 1e-9:
            gap = (before.middle - after.middle) * after.direction.conjugate()
            crossing = before.middle - before.direction * (gap.imag / turn)
            if abs(crossing - middle) <= 1.5 * max(abs(right - left), 1e-9):
                return crossing
    return (before.foot(middle)[0] + after.foot(middle)[0]) / 2
