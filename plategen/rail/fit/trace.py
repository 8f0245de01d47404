"""From a traced rail to the chain of lines and arcs that its readings mean.

A rail is flats and bend radii, so a trace is explained by a chain of lines and arcs: the fewest pieces whose residuals
the reading error explains, tangent where the rail is bent, with a corner where readings cannot show a bend. The way:

1. :func:`grouped` boils a scanner's trace down to a few hundred points;
2. :mod:`~plategen.rail.fit.guess` cuts the readings into runs, for each number of runs in the best way;
3. :mod:`~plategen.rail.fit.solve` moves each chain (:mod:`~plategen.rail.fit.model`) to its least squares;
4. :mod:`~plategen.rail.fit.score` says which of two chains the readings speak for, and how large their error is;
5. :mod:`~plategen.rail.fit.search` changes the best one piece or one reading at a time while that helps, among shapes
   whose pieces readings carry;
6. :func:`chain_along` cuts it to the traced length, and :mod:`~plategen.rail.fit.spread` says how well it is known.

How well a trace was read is never only assumed: the user's word is taken, else the score averages over errors from a
micrometre's half to two millimetres, with a rule's half millimetre the likeliest. Repeats need no rule of their own:
as separate readings they pull as hard as they are many, and how far they differ is part of what the error must explain.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.flat.chain import Chain
from plategen.flat.segment import SHORTEST_EDGE_MM, Arc, Line, Segment
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.rail.fit.model import RISERS, Complexes, Floats, Frames, chord, feet
from plategen.rail.fit.score import FINEST_ERROR_MM, Candidate, Noise, Sample, ranges, rounding_error_mm, wild_beyond_mm
from plategen.rail.fit.search import best
from plategen.rail.fit.solve import Solved, solve
from plategen.rail.fit.spread import PRIOR_FREEDOM, WAVE_MM, chain_spread
from plategen.rail.trace import FittedTrace, Reading, Riser, Trace

MOST_SINGLE = 200
"""More readings than this are fitted in groups."""

MOST_GROUPS = 250
FEWEST_IN_GROUP = 5
"""Groups made of a trace, and readings that a group has at the least."""

BIWEIGHT_CUT = 4.7
PASSES = 5
"""Robust standard deviations at which a reading no longer counts (95 % efficiency), and rounds of weighting."""


@dataclass(frozen=True, slots=True)
class Groups:
    """Points that stand for neighbouring readings."""

    points: Complexes  # One a group.
    weights: Floats  # Readings' worth of each.
    # Squares of the readings about their groups' lines, mm^2, and the degrees of freedom of those squares.
    pure: tuple[float, int]


def grouped(points: Complexes) -> Groups:
    """Group readings that are in order along the rail."""
    count = len(points)
    groups = min(MOST_GROUPS, count // FEWEST_IN_GROUP)
    begin = np.linspace(0, count, groups + 1).round().astype(np.intp)
    offset, group = begin[:-1], np.repeat(np.arange(groups), np.diff(begin))

    def sums(values: NDArray[np.number]) -> NDArray[np.number]:
        return np.add.reduceat(values, offset)

    middle = np.array([complex(np.median(run.real), np.median(run.imag)) for run in np.split(points, begin[1:-1])])
    direction = np.gradient(middle)
    direction /= np.maximum(np.abs(direction), 1e-9)
    for _ in range(PASSES):
        away = points - middle[group]
        across = (away * direction.conj()[group]).imag
        scale = max(1.4826 * float(np.median(np.abs(across))), 1e-9)
        weights = np.maximum(1.0 - (across / (BIWEIGHT_CUT * scale)) ** 2, 0.0) ** 2
        total = np.maximum(sums(weights), 1e-9)
        middle = sums(weights * points) / total
        away = points - middle[group]
        direction = np.exp(0.5j * np.angle(sums(weights * away * away)))
    across = (away * direction.conj()[group]).imag
    held = np.abs(across) < BIWEIGHT_CUT * scale
    spare = max(int(held.sum()) - 2 * groups, 1)
    squares = float((across[held] ** 2).sum())
    wave = WAVE_MM**2 / max(squares / spare, FINEST_ERROR_MM**2)
    return Groups(middle, 1.0 / (1.0 / total + wave), (squares, spare))


def edges(walk: Frames, first: tuple[int, float], last: tuple[int, float]) -> list[tuple[int, float, float]]:
    """The pieces between two feet: row, and the distances along it where the edge begins and ends.

    A sliver at either end, too short to cut, is left off.

    Args:
        walk: The solved shape's frames.
        first: Row and distance along it of the first foot.
        last: Row and distance along it of the last foot.
    """
    listed = [
        (row, first[1] if row == first[0] else 0.0, last[1] if row == last[0] else float(walk.high[row]))
        for row in range(first[0], last[0] + 1)
    ]
    ends = (first[0], last[0])
    kept = [edge for edge in listed if edge[0] not in ends or edge[2] - edge[1] >= SHORTEST_EDGE_MM]
    return kept or listed


def chain_along(walk: Frames, listed: list[tuple[int, float, float]]) -> Chain:
    """The edges as exact lines and arcs; each starts at the very point where the one before ends."""
    segments: list[Segment] = []
    for row, low, high in listed:
        start = segments[-1].end if segments else _point(walk, row, low)
        end = _point(walk, row, high)
        turn = float(walk.curvature[row]) * (high - low)
        segments.append(Arc(start, end, math.tan(turn / 4)) if turn else Line(start, end))
    return Chain(tuple(segments))


def _point(walk: Frames, row: int, along: float) -> complex:
    return complex(walk.start[row] + walk.heading[row] * chord(walk.curvature[row], np.asarray(along)))


FEWEST_STATIONS = 3
"""Two readings make a line whatever was misread; the third is the first that can tell."""

MOST_DOUBTFUL_SHARE = 1 / 4
"""When more readings than this lie off any simple chain, none of them can be trusted."""

SAME_STATION_MM = 1e-6
"""Readings nearer than this along the straightedge were taken at one place."""


Search: TypeAlias = Callable[[Sample], Candidate | None]
"""Finds the shape of a sample of readings."""


def sample_of(trace: Trace) -> Sample:
    """What is fitted of a trace: its readings and what fit notes say, or groups of them, towards growing stations."""
    whole, _ = _noted_too(trace)
    return _sample(_points(whole)[0], whole)


def _points(trace: Trace) -> tuple[Complexes, bool]:
    """The readings towards growing stations, and whether they were read the other way."""
    points = np.array([reading.point for reading in trace.readings])
    backwards = trace.round_corner and len(points) > 0 and points[-1].real < points[0].real
    return (points[::-1] if backwards else points), backwards


def fit_trace(trace: Trace, search: Search = best) -> FittedTrace:
    """The chain of lines and arcs that explains a trace, and the readings it cannot explain.

    Args:
        trace: Three or more readings in order along the rail. Repeats at one station stand side by side.
        search: What finds the chain's shape.

    Returns:
        The chain from the first kept reading's foot to the last one's, towards growing stations, so that the rail is
        on its left hand and residuals are positive towards the rail. Residuals are normal distances. A reading of a
        station is left out when that explains the trace better than keeping it; never more than one in four.

    Raises:
        Refusal: With fewer than three distinct stations, or when so many readings disagree that none can be trusted.
    """
    if trace.noted:
        return _with_noted(trace, search)
    points, backwards = _points(trace)
    sample = _sample(points, trace)
    candidate = search(sample)
    if candidate is None:
        raise _distrusted(len(points), len(points), trace)
    if len(points) != len(sample.points):
        candidate = _one_by_one(points, candidate)
    solved, kept = candidate.solved, candidate.kept
    distance, row, along = solved.foot.distance, solved.foot.row, solved.foot.along
    doubtful = np.flatnonzero(~kept)
    if len(doubtful) > MOST_DOUBTFUL_SHARE * len(points) or len(np.unique(points[kept])) < FEWEST_STATIONS:
        raise _distrusted(len(doubtful), len(points), trace)
    first, last = np.flatnonzero(kept)[[0, -1]]
    listed = edges(solved.walk, (int(row[first]), float(along[first])), (int(row[last]), float(along[last])))
    if backwards:
        distance, doubtful = distance[::-1], np.sort(len(points) - 1 - doubtful)
    return FittedTrace(
        trace=trace,
        chain=chain_along(solved.walk, listed),
        doubtful=tuple(doubtful.tolist()),
        residuals_mm=tuple(distance.tolist()),
        read_error_mm=candidate.error_mm,
        spread=chain_spread(
            solved,
            listed,
            candidate.error_mm,
            ranges(solved.shape, sample.span_mm, sample.step_mm),
            _freedom(trace, int(kept.sum()) - len(solved.shape.values)),
        ),
        risers=_risers(solved, listed, kept, points),
    )


def _freedom(trace: Trace, spare: int) -> float:
    """Degrees of freedom with which the reading error is known, from the readings that the shape's values spare."""
    return math.inf if trace.read_error_mm is not None else max(spare, 0) + PRIOR_FREEDOM


def _risers(
    solved: Solved, listed: list[tuple[int, float, float]], kept: NDArray[np.bool_], points: Complexes
) -> tuple[Riser, ...]:
    """The risers among the edges, each with the stations of the kept readings before and after it."""
    risers = []
    for edge, (row, low, high) in enumerate(listed):
        letter = solved.shape.word[solved.walk.piece[row]]
        if letter in RISERS:
            before, after = (points[kept & side].real for side in (solved.foot.row < row, solved.foot.row > row))
            between = float(before.max()), float(after.min())
            risers.append(Riser(edge=edge, height_mm=(high - low) * RISERS[letter].imag, between_mm=between))
    return tuple(risers)


def _noted_too(trace: Trace) -> tuple[Trace, dict[int, int]]:
    """The trace with what fit notes say among its readings, and where each of its own readings stands there."""
    if not trace.noted:
        return trace, {}
    both = sorted(
        [(r, i) for i, r in enumerate(trace.readings)] + [(Reading(p, 0), -1) for p in trace.noted],
        key=lambda pair: pair[0].point.real,
    )
    whole = replace(trace, readings=tuple(reading for reading, _ in both), noted=())
    return whole, {of: at for at, (_, of) in enumerate(both) if of >= 0}


def _with_noted(trace: Trace, search: Search) -> FittedTrace:
    """The chain by the readings and by what fit notes say, its residuals those of the readings alone."""
    whole, place = _noted_too(trace)
    fitted = fit_trace(whole, search)
    read = range(len(trace.readings))
    return replace(
        fitted,
        trace=trace,
        doubtful=tuple(i for i in read if place[i] in fitted.doubtful),
        residuals_mm=tuple(fitted.residuals_mm[place[i]] for i in read),
    )


def _sample(points: Complexes, trace: Trace) -> Sample:
    """What is fitted: the readings, or groups of them."""
    steps = np.abs(np.diff(points)) if trace.round_corner else np.abs(np.diff(points.real))
    places = np.concatenate(([0], np.cumsum(steps > SAME_STATION_MM)))[: len(points)]
    stations = len(np.unique(places))
    if stations < FEWEST_STATIONS:
        raise Refusal(
            f"readings at only {stations} station{'s' * (stations != 1)}; read the rail at {FEWEST_STATIONS} or more",
            place=trace.file,
        )
    if trace.read_error_mm is not None:
        noise = Noise.known(trace.read_error_mm)
    else:
        noise = Noise.open(rounding_error_mm(points.imag))
    if len(points) <= MOST_SINGLE:
        return Sample(points, np.ones(len(points)), places, noise)
    groups = grouped(points)
    return Sample(groups.points, groups.weights, np.arange(len(groups.points)), noise, groups.pure)


def _one_by_one(points: Complexes, candidate: Candidate) -> Candidate:
    """A shape found on groups, moved to the least squares of the readings themselves, those near it.

    A group's middle lies inside a bend by the sagitta of its own length, the readings do not. How well the shape is
    known stays what the groups said: they allow for the rail's waves, which many readings do not average away.
    """
    foot = feet(candidate.solved.walk, points)
    kept = np.abs(foot.distance) < wild_beyond_mm(candidate.error_mm)
    if kept.sum() > len(candidate.solved.shape.values):
        solved = solve(candidate.solved.shape, points, kept.astype(float), candidate.error_mm, tolerance=1e-12)
        kept = np.abs(solved.foot.distance) < wild_beyond_mm(candidate.error_mm)
        return replace(candidate, solved=replace(solved, information=candidate.solved.information), kept=kept)
    return replace(candidate, solved=replace(candidate.solved, foot=foot), kept=kept)


def _distrusted(doubtful: int, count: int, trace: Trace) -> Refusal:
    again = message(
        "{} of {} readings lie on no simple chain of flats and bends, so none can be trusted; read the trace again",
        doubtful,
        count,
    )
    if trace.read_error_mm is not None:
        again = message("{}, or give a read_error larger than {}", again, mm(trace.read_error_mm))
    return Refusal(again, place=trace.file)
