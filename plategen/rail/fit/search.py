"""Which shape: start from the cheapest cuttings, then change one thing at a time while the score improves."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from plategen.flat.segment import unit
from plategen.rail.fit.bead import without_likely
from plategen.rail.fit.guess import MOST_RUNS, Cutting, Table, cuttings, first_shapes, table
from plategen.rail.fit.model import RISERS, Shape, bends, feet, frames, names
from plategen.rail.fit.score import (
    LEAST_RISER_MM,
    LEAST_WILD_MM,
    RULE_ERROR_MM,
    WILD_COST,
    Candidate,
    Sample,
    settled,
    weigh,
    wild_gain,
)

BEND_SHARES = (0.1, 0.3, 0.7)
"""Shares of the shorter flat beside a corner that a bend in its place may take at the start."""

MERGED_SHARE = 0.25
"""What lies between two corners is tried as one bend up to this share of the trace; longer runs have flats."""


def other_words(shape: Shape, sample: Sample) -> Iterator[Shape]:
    """Corners rounded, bends sharpened, ends straightened, neighbouring corners and bends merged to one."""
    word = shape.word
    for low, high in sample.steps_mm:
        yield from _stepped(shape, (low + high) / 2.0)
        yield from _moved(shape, (low + high) / 2.0)
    for index in (0, len(word) - 1):
        if word[index] == "A" and len(word) > 1:
            yield _straightened(shape, index)
    for index, letter in enumerate(word):
        if letter == "C" and word[index - 1] == word[index + 1] == "L":
            yield rounded(shape, index, sample)
        if letter == "A" and 0 < index < len(word) - 1 and word[index - 1] == word[index + 1] == "L":
            yield sharpened(shape, index)
        if letter in "AC" and index > 0:
            yield from _merged(shape, index, sample.span_mm * MERGED_SHARE)


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


def rounded(shape: Shape, index: int, sample: Sample) -> Shape:
    """A bend in place of a corner, with the most promising of a few radii."""
    pieces = _split(shape)
    room = min(pieces[i].get("length", sample.span_mm / 2) for i in (index - 1, index + 1))
    tried = []
    for share in BEND_SHARES:
        start = curved(shape, index, share * room)
        squares = float(sample.weights @ feet(frames(start), sample.points).distance ** 2)
        tried.append((squares, share, start))
    return min(tried, key=lambda t: t[:2])[2]


def curved(shape: Shape, index: int, off_mm: float) -> Shape:
    """A bend in place of a corner, that takes so much off the flats beside it.

    A bend of turn t and length l takes ``(l/t) tan(t/2)`` off them.
    """
    pieces = _split(shape)
    turn = pieces[index]["turn"]
    pieces[index]["length"] = off_mm * abs(turn / math.tan(turn / 2)) if turn else 2.0 * off_mm
    for side in (index - 1, index + 1):
        if "length" in pieces[side]:
            pieces[side]["length"] -= off_mm
    return _joined(shape, shape.word[:index] + "A" + shape.word[index + 1 :], pieces)


def sharpened(shape: Shape, index: int) -> Shape:
    """A corner in place of a bend."""
    pieces = _split(shape)
    turn, length = pieces[index]["turn"], pieces[index].pop("length")
    off = length * abs(math.tan(turn / 2) / turn) if turn else length / 2
    for side in (index - 1, index + 1):
        if "length" in pieces[side]:
            pieces[side]["length"] += off
    return _joined(shape, shape.word[:index] + "C" + shape.word[index + 1 :], pieces)


def _stepped(shape: Shape, station_mm: float) -> Iterator[Shape]:
    """A riser up and one down across the flat at a station, where the user says that there is one."""
    walk = frames(shape)
    for row, index in enumerate(walk.piece):
        if shape.word[index] != "L":
            continue
        along = (station_mm - float(walk.start[row].real)) / float(walk.heading[row].real)
        if 0.0 < along < walk.high[row]:
            pieces = _split(shape)
            rest = {name: length - along for name, length in pieces[index].items()}
            pieces[index : index + 1] = [{"length": along}, {"length": 2.0 * LEAST_RISER_MM}, rest]
            for riser in RISERS:
                yield _joined(shape, f"{shape.word[:index]}L{riser}L{shape.word[index + 1 :]}", pieces)


def _moved(shape: Shape, station_mm: float) -> Iterator[Shape]:
    """The shape with one of its risers at a station, where that is on one of the two flats beside it."""
    walk = frames(shape)
    for row, index in enumerate(walk.piece):
        if shape.word[index] not in RISERS or shape.word[index - 1] != "L" or shape.word[index + 1] != "L":
            continue
        along = (station_mm - float(walk.start[row].real)) / float(walk.heading[row - 1].real)
        if -walk.high[row - 1] < along < walk.high[row + 1]:
            pieces = _split(shape)
            pieces[index - 1]["length"] += along
            if "length" in pieces[index + 1]:
                pieces[index + 1]["length"] -= along
            yield _joined(shape, shape.word, pieces)


def _straightened(shape: Shape, index: int) -> Shape:
    """A flat in place of an arc at an end."""
    return _joined(shape, shape.word[:index] + "L" + shape.word[index + 1 :], _split(shape))


def _merged(shape: Shape, first: int, longest_mm: float) -> Iterator[Shape]:
    """One bend in place of all between the corner or bend at ``first`` and a later one, where all turn the same way.

    Exact readings of a bend can be cut into a few short flats or into two arcs; taken one at a time neither helps.
    """
    word, pieces = shape.word, _split(shape)
    turn, length = pieces[first].get("turn", 0.0), pieces[first].get("length", 0.0)
    for last in range(first + 1, len(word) - 1):
        length += pieces[last].get("length", 0.0)
        if word[last] == "L":
            continue
        if word[last] in RISERS:
            return
        if length > longest_mm or turn * pieces[last].get("turn", 0.0) <= 0.0:
            return
        turn += pieces[last]["turn"]
        bend = {"turn": turn, "length": length}
        merged = [*pieces[:first], bend, *pieces[last + 1 :]]
        yield _joined(shape, word[:first] + "A" + word[last + 1 :], merged)


ERROR_LADDER_MM = (0.5, 0.05, 0.005)
"""The cuttings are made for a rule, for a calliper and for exact readings."""

MARGIN = 30.0
"""A cutting this much dearer than the best one is not worth solving."""

PATIENCE = 1
"""Sizes of cuttings that may bring nothing before the next one ends the search."""

SCREENED = 1e-2
"""So well a cutting is solved: one that is no shape of these readings creeps on for dozens of steps."""

NEAR = 8.0
MOST_STARTS = 4
"""The best few, when they are as near as this in score, are all improved, lest the right one is one step behind."""

UNSETTLED = 0.1
"""What a score may fall by once its shape is settled."""

MUCH_FINER = 50.0
"""Usual bends and a rule's error can hold a shape to each other where exact readings would take it elsewhere."""

BADLY = 6.0
"""Squared residual over variance from which leaving the worst reading out is tried."""


def best(sample: Sample) -> Candidate | None:
    """The shape with the least score, and those tried near it; None when no shape walks along the readings."""
    kept = without_likely(sample.points)
    found = [*_from_cuttings(sample), *([] if kept.all() else _without(kept, sample))]
    starts = sorted(found, key=lambda c: c.score) or _straight(sample)
    if not starts:
        return None
    near = [c for c in starts[:MOST_STARTS] if c.score < starts[0].score + NEAR]
    near = [weigh(c.solved.shape, c.kept, sample, c.error_mm) or c for c in near]
    climbed = sorted((_climbed(start, sample) for start in near), key=lambda c: c.score)
    return replace(climbed[0], rivals=(*climbed[1:], *climbed[0].rivals))


def _without(kept: NDArray[np.bool_], sample: Sample) -> list[Candidate]:
    """The promising cuttings of some readings, weighed with the others left out."""
    places = np.unique(sample.places[kept], return_inverse=True)[1]
    fewer = replace(sample, points=sample.points[kept], weights=sample.weights[kept], places=places)
    found = []
    for candidate in _from_cuttings(fewer):
        every = kept.copy()
        every[kept] = candidate.kept
        found.append(weigh(candidate.solved.shape, every, sample, candidate.error_mm, SCREENED))
    return [candidate for candidate in found if candidate]


def settled_among(candidate: Candidate, sample: Sample) -> Candidate:
    """The best shape with its rivals near it in score, each once: of another word, or of other readings; all settled.

    What is likely of the rivals, and how far off they lie, goes into what may be wrong with the fit, and must not hang
    on where a search that began elsewhere was broken off.
    """
    others, candidate = candidate.rivals, settled(candidate, sample)
    nearest: dict[object, Candidate] = {(candidate.word, candidate.kept.tobytes()): candidate}
    near = [settled(other, sample) for other in others if other.score < candidate.score + NEAR + UNSETTLED]
    for other in sorted(near, key=lambda c: c.score):
        if other.score < candidate.score + NEAR:
            nearest.setdefault((other.word, other.kept.tobytes()), other)
    return replace(candidate, rivals=tuple(nearest.values())[1:])


def _climbed(candidate: Candidate, sample: Sample) -> Candidate:
    """Change one thing at a time, always the one that helps most, until nothing helps."""
    while True:
        tried = list(_moves(candidate, sample))
        better = min(tried, key=lambda c: c.score, default=candidate)
        if better.score >= candidate.score - 1e-6:
            return replace(candidate, rivals=tuple(tried))
        candidate = better


def _from_cuttings(sample: Sample) -> list[Candidate]:
    """The promising cuttings, solved; more pieces are tried until two more have brought nothing."""
    runs = table(sample.points, sample.weights, LEAST_WILD_MM)
    candidates: list[Candidate] = []
    least, error, vain = math.inf, float(sample.noise.errors_mm[-1]), 0
    for listed in filter(None, _promising(runs, sample)):
        vain += 1
        for cutting in listed:
            line = tuple(runs.run(*piece) for piece in cutting)
            kept = np.ones(len(sample.points), bool)
            kept[[index for run in line for index in run.dropped]] = False
            for shape in first_shapes(line, sample.points):
                candidate = weigh(shape, kept, sample, min(error, RULE_ERROR_MM), SCREENED)
                if candidate:
                    candidates.append(candidate)
                    if candidate.score < least:
                        least, error, vain = candidate.score, candidate.error_mm, 0
        if candidates and vain > PATIENCE:
            break
    return candidates


def _promising(runs: Table, sample: Sample) -> list[list[Cutting]]:
    """For each number of runs the cuttings that are not hopelessly dear, for each reading error on the ladder."""
    errors = sample.noise.errors_mm
    ladder = [e for e in ERROR_LADDER_MM if errors[0] <= e <= errors[-1]] or [float(errors[0])]
    by_size: list[list[Cutting]] = [[] for _ in range(MOST_RUNS)]
    for error in ladder:
        value_cost = math.log(len(sample.points)) + 2.0 * math.log(3.0 / error)
        for letters in ("LA", "L")[: 2 if error == ladder[0] else 1]:
            costed = list(cuttings(runs, error, wild_gain(error), value_cost, letters))
            least = min(cost for cost, _ in costed)
            for size, (cost, cutting) in enumerate(costed):
                if cost < least + MARGIN and cutting not in by_size[size]:
                    by_size[size].append(cutting)
    return by_size


def _straight(sample: Sample) -> list[Candidate]:
    """A line through all readings, when nothing else will do."""
    along = complex(sample.points[-1] - sample.points[0])
    line = Shape("L", complex(sample.points[0]), unit(along) if along else 1 + 0j, np.zeros(2))
    straight = weigh(line, np.ones(len(sample.points), bool), sample, RULE_ERROR_MM)
    return [straight] if straight else []


def _moves(candidate: Candidate, sample: Sample) -> Iterator[Candidate]:
    """Every candidate that differs by one thing."""
    shape, kept, error = candidate.solved.shape, candidate.kept, candidate.error_mm
    starts = [(shape, other, error) for other in _other_readings(candidate, sample)]
    for other in other_words(shape, sample):
        starts.append((other, kept, error))
        if not kept.all():
            starts.append((other, np.ones_like(kept), error))
    if bends(shape.word) and sample.noise.errors_mm[0] < error / MUCH_FINER:
        starts.append((shape, kept, error / MUCH_FINER))
    return filter(None, (weigh(*start[:2], sample, start[2]) for start in starts))


def _other_readings(candidate: Candidate, sample: Sample) -> Iterator[NDArray[np.bool_]]:
    """Without the reading that fits worst, if it does fit badly; with each that was left out but fits."""
    pull = sample.weights * (candidate.solved.foot.distance / candidate.error_mm) ** 2
    worst = int(np.argmax(pull * candidate.kept))
    if pull[worst] > BADLY:
        yield candidate.kept & (np.arange(len(pull)) != worst)
    for index in np.flatnonzero(~candidate.kept & (pull < 2.0 * WILD_COST)):
        yield candidate.kept | (np.arange(len(pull)) == index)
