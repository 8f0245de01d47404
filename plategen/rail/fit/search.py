"""Which shape: start from the cheapest cuttings, then change one thing at a time while the score improves."""

import math
from collections.abc import Iterator
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from plategen.flat.segment import unit
from plategen.rail.fit.candidate import Candidate, Sample, weigh
from plategen.rail.fit.guess import MOST_RUNS, Cutting, Table, cuttings, first_shape, table
from plategen.rail.fit.model import Shape, bends
from plategen.rail.fit.moves import other_words
from plategen.rail.fit.score import LEAST_WILD_MM, RULE_ERROR_MM, WILD_COST, wild_gain
from plategen.rail.fit.solve import solve

ERROR_LADDER_MM = (0.5, 0.05, 0.005)
"""The cuttings are made for a rule, for a calliper and for exact readings."""

MARGIN = 30.0
"""A cutting this much dearer than the best one is not worth solving."""

PATIENCE = 1
"""Sizes of cuttings that may bring nothing before the next one ends the search."""

NEAR = 8.0
MOST_STARTS = 4
"""The best few, when they are as near as this in score, are all improved, lest the right one is one step behind."""

MUCH_FINER = 50.0
"""Usual bends and a rule's error can hold a shape to each other where exact readings would take it elsewhere."""

BADLY = 6.0
"""Squared residual over variance from which leaving the worst reading out is tried."""


def best(sample: Sample) -> Candidate | None:
    """The shape with the least score; None when no shape walks along the readings."""
    starts = sorted(_from_cuttings(sample), key=lambda c: c.score) or _straight(sample)
    if not starts:
        return None
    near = [c for c in starts[:MOST_STARTS] if c.score < starts[0].score + NEAR]
    candidate = min((_climbed(start, sample) for start in near), key=lambda c: c.score)
    shape, weights = candidate.solved.shape, sample.weights * candidate.kept
    return replace(candidate, solved=solve(shape, sample.points, weights, candidate.error_mm, tolerance=1e-12))


def _climbed(candidate: Candidate, sample: Sample) -> Candidate:
    """Change one thing at a time, always the one that helps most, until nothing helps."""
    while True:
        better = min(_moves(candidate, sample), key=lambda c: c.score, default=candidate)
        if better.score >= candidate.score - 1e-6:
            return candidate
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
            candidate = weigh(first_shape(line, sample.points), kept, sample, min(error, RULE_ERROR_MM))
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
