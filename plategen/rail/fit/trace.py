"""From a traced rail to the chain of lines and arcs that its readings mean.

A rail is flats and bend radii, so a trace is explained by a chain of lines and arcs: the fewest pieces whose residuals
the reading error explains, tangent where the rail is bent, with a corner where readings cannot show a bend. The way:

1. :mod:`~plategen.rail.fit.groups` boils a scanner's trace down to a few hundred points;
2. :mod:`~plategen.rail.fit.guess` cuts the readings into runs, for each number of runs in the best way;
3. :mod:`~plategen.rail.fit.solve` moves each chain (:mod:`~plategen.rail.fit.model`) to its least squares;
4. :mod:`~plategen.rail.fit.score` says which of two chains the readings speak for, and how large their error is;
5. :mod:`~plategen.rail.fit.search` changes the best one piece or one reading at a time while that helps, among shapes
   whose pieces readings carry, with and without what stands out as a bead (:mod:`~plategen.rail.fit.bead`);
6. :mod:`~plategen.rail.fit.free_search` finds the smooth curve (:mod:`~plategen.rail.fit.free`) that explains them
   best, waving all along or bent about one place (:mod:`~plategen.rail.fit.waves`, :mod:`~plategen.rail.fit.modes`), by
   the same score, and where that is less :mod:`~plategen.rail.fit.smooth` makes arcs of it;
7. else :func:`chain_along` cuts the chain to the traced length, and :mod:`~plategen.rail.fit.spread` says how well
   it is known.

How well a trace was read is never only assumed: the user's word is taken, else the score averages over errors from a
micrometre's half to two millimetres, with a rule's half millimetre the likeliest. Repeats need no rule of their own:
as separate readings they pull as hard as they are many, and how far they differ is part of what the error must explain.
"""

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import partial
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.flat.chain import Chain
from plategen.flat.segment import SHORTEST_EDGE_MM, Arc, Line, Segment, cross
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.rail.fit.between import Rival, chain_modes, curve_modes, said
from plategen.rail.fit.detour import over_beads, over_gaps
from plategen.rail.fit.free import Free
from plategen.rail.fit.free_search import best_free, usual
from plategen.rail.fit.groups import FEWEST_STATIONS, sampled
from plategen.rail.fit.model import RISERS, Complexes, Floats, Frames, chord, feet
from plategen.rail.fit.questions import questions_of
from plategen.rail.fit.score import MOST_DOUBTFUL_SHARE, Candidate, Sample, ranges, wild_beyond_mm
from plategen.rail.fit.search import best, settled_among
from plategen.rail.fit.smooth import smooth_trace
from plategen.rail.fit.solve import Solved, solve
from plategen.rail.fit.spread import PRIOR_FREEDOM, among, chain_spread
from plategen.rail.fit.unread_bend import with_told_bend
from plategen.rail.trace import FittedTrace, Reading, Riser, Trace


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


LEFT_OUT = ("bead", "hole")
"""Marks of readings that do not lie on the rail."""

LEVEL = math.cos(math.radians(45.0))
"""Steeper pieces than this are no matter of offsets."""

UNFORETOLD_MM = 5.0
MOST_UNFORETOLD_SHARE = 1 / 2
"""When the others put more readings than this so far from where they were read, no curve goes through them."""

UNHEARD = 20.0
"""Chains that a free edge leads by so much are as good as impossible, and not looked at more closely."""


Search: TypeAlias = Callable[[Sample], Candidate | None]
"""Finds the shape of a sample of readings."""


def sample_of(trace: Trace) -> Sample:
    """What is fitted of a trace: its readings and what fit notes say, or groups of them, towards growing stations."""
    heeded = _heeded(trace)
    return sampled(_points(heeded)[0], heeded)


def _points(trace: Trace) -> tuple[Complexes, bool]:
    """The readings towards growing stations, and whether they were read the other way."""
    points = np.array([reading.point for reading in trace.readings])
    backwards = trace.round_corner and len(points) > 0 and points[-1].real < points[0].real
    return (points[::-1] if backwards else points), backwards


def fit_trace(trace: Trace, search: Search | None = None) -> FittedTrace:
    """The chain of lines and arcs that explains a trace, and the readings it cannot explain.

    Args:
        trace: Three or more readings in order along the rail. Repeats at one station stand side by side.
        search: What finds the chain's shape; none for the best one, against which a free edge stands.

    Returns:
        The chain from the first kept reading's foot to the last one's, towards growing stations, so that the rail is
        on its left hand and residuals are positive towards the rail. Residuals are normal distances. A reading of a
        station is left out when that explains the trace better than keeping it; never more than one in four.

    Raises:
        Refusal: With fewer than three distinct stations, or when so many readings disagree that none can be trusted.
    """
    heeded = _heeded(trace)
    if heeded is not trace:
        return _of_all(trace, fit_trace(heeded, search))
    points, backwards = _points(trace)
    if backwards:
        turned = fit_trace(replace(trace, readings=trace.readings[::-1]), search)
        last = len(points) - 1
        doubtful = tuple(sorted(last - index for index in turned.doubtful))
        return replace(turned, trace=trace, doubtful=doubtful, residuals_mm=turned.residuals_mm[::-1])
    sample = sampled(points, trace)
    candidate = (search or best)(sample)
    free = best_free(sample, candidate.kept) if candidate and not search and _level(candidate) else None
    if candidate is None:
        raise _distrusted(len(points), len(points), trace)

    def lead_over(candidate: Candidate) -> float:
        return candidate.score - usual(candidate.word, len(points)) - free.score if free else -math.inf

    if lead_over(candidate) > UNHEARD:
        candidate = replace(candidate, rivals=())
    elif not search:
        candidate = settled_among(candidate, sample)
    candidate = with_told_bend(trace, sample, candidate)
    lead = lead_over(candidate)
    fitted = (
        smooth_trace(free, points, trace, lead)
        if free and lead > 0.0
        else _chained(candidate, points, trace, sample, -lead)
    )
    rivals = list(_rivals(candidate, free, lead, lambda: _chained(candidate, points, trace, sample, 0.0)))
    fitted = among(fitted, [(rival.dearer, rival.off) for rival in rivals])
    doubted = len(fitted.doubtful)
    if free and fitted.model == "free":
        doubted = max(
            doubted, int((np.abs(free.foretold_mm) > UNFORETOLD_MM).sum() * MOST_DOUBTFUL_SHARE / MOST_UNFORETOLD_SHARE)
        )
    if doubted > MOST_DOUBTFUL_SHARE * len(points):
        raise _distrusted(doubted, len(points), trace)
    fitted = fitted if search else over_gaps(over_beads(fitted))
    return replace(fitted, questions=questions_of(fitted, said(fitted, rivals)))


def _rivals(
    candidate: Candidate, free: Free | None, lead: float, chained: Callable[[], FittedTrace]
) -> Iterator[Rival]:
    """What else the readings may mean than what is used, the free edge where it leads: how much dearer each is.

    A chain that leaves out so many readings that it would be refused as a fit is none.
    """
    chains, modes = candidate.rivals, None
    if free and lead > 0.0:
        chains, modes = (candidate, *chains), chain_modes(chained)
    elif free:
        yield Rival(-lead, partial(_curve_off, free), curve_modes(free))
    for chain in (chain for chain in chains if chain.kept.mean() >= 1.0 - MOST_DOUBTFUL_SHARE):
        yield Rival(max(lead, 0.0) + chain.score - candidate.score, chain.off, modes)


def _curve_off(free: Free, points: Complexes, away: Complexes) -> Floats:
    return np.asarray((free.at(points.real)[0] - points.imag) * away.imag)


def _level(candidate: Candidate) -> bool:
    """Whether no piece but a riser is steep, so that offsets are nearly distances."""
    walk, word = candidate.solved.walk, candidate.word
    flat = np.array([word[piece] not in RISERS for piece in walk.piece])
    return bool((walk.heading[flat].real > LEVEL).all())


def _chained(candidate: Candidate, points: Complexes, trace: Trace, sample: Sample, lead: float) -> FittedTrace:
    """The fit of a trace by a chain."""
    if len(points) != len(sample.points):
        candidate = _one_by_one(points, candidate)
    solved, kept = candidate.solved, candidate.kept
    row, along = solved.foot.row, solved.foot.along
    if 1 + np.count_nonzero(np.diff(points[kept])) < FEWEST_STATIONS:  # repeats stand side by side
        raise _distrusted(int((~kept).sum()), len(points), trace)
    first, last = np.flatnonzero(kept)[[0, -1]]
    listed = edges(solved.walk, (int(row[first]), float(along[first])), (int(row[last]), float(along[last])))
    return FittedTrace(
        trace=trace,
        chain=chain_along(solved.walk, listed),
        doubtful=tuple(np.flatnonzero(~kept).tolist()),
        residuals_mm=tuple(solved.foot.distance.tolist()),
        read_error_mm=candidate.error_mm,
        spread=chain_spread(
            solved,
            listed,
            candidate.error_mm,
            ranges(solved.shape, sample.span_mm, sample.step_mm),
            _freedom(trace, int(kept.sum()) - len(solved.shape.values)),
        ),
        risers=_risers(solved, listed, kept, points),
        lead=lead,
    )


def _freedom(trace: Trace, spare: int) -> float:
    """Degrees of freedom with which the reading error is known, from the readings that the shape's values spare."""
    return math.inf if trace.read_error_mm is not None else max(spare, 0) + PRIOR_FREEDOM


def _risers(
    solved: Solved, listed: list[tuple[int, float, float]], kept: NDArray[np.bool_], points: Complexes
) -> tuple[Riser, ...]:
    """The risers among the edges, each with the stations of the kept readings before and after it.

    A reading on a riser was taken at its foot or at its top, whichever is nearer.
    """
    risers = []
    for edge, (row, low, high) in enumerate(listed):
        letter = solved.shape.word[solved.walk.piece[row]]
        if letter in RISERS:
            on, above = solved.foot.row == row, solved.foot.along > (low + high) / 2.0
            sides = (solved.foot.row < row) | (on & ~above), (solved.foot.row > row) | (on & above)
            before, after = (points[kept & side].real for side in sides)
            between = float(before.max()), float(after.min())
            risers.append(Riser(edge=edge, height_mm=(high - low) * RISERS[letter].imag, between_mm=between))
    return tuple(risers)


def _heeded(trace: Trace) -> Trace:
    """The trace of what the fit heeds: without what will be ground off or is no rail, with what fit notes say."""
    kept = [reading for reading in trace.readings if reading.mark not in LEFT_OUT]
    middle = len(kept) / 2
    cut = [index for index, reading in enumerate(kept) if reading.mark == "edge"]
    first = max((index for index in cut if index < middle), default=0)
    last = min((index for index in cut if index >= middle), default=len(kept) - 1)
    kept = kept[first : last + 1]
    if len(kept) == len(trace.readings) and not trace.noted:
        return trace
    noted = [Reading(point, 0) for point in trace.noted]
    both = sorted([*kept, *noted], key=lambda reading: reading.point.real) if noted else kept
    return replace(trace, readings=tuple(both), noted=())


def _of_all(trace: Trace, fitted: FittedTrace) -> FittedTrace:
    """The fit of what was heeded of a trace, with the residuals of all its readings and of them alone."""
    own = {id(reading): index for index, reading in enumerate(trace.readings)}
    heeded = {own[id(r)]: at for at, r in enumerate(fitted.trace.readings) if id(r) in own}
    return replace(
        fitted,
        trace=trace,
        doubtful=tuple(index for index, at in heeded.items() if at in fitted.doubtful),
        unheeded=tuple(index for index in range(len(trace.readings)) if index not in heeded),
        residuals_mm=tuple(
            fitted.residuals_mm[heeded[index]] if index in heeded else _off(fitted.chain, reading.point)
            for index, reading in enumerate(trace.readings)
        ),
    )


def _off(chain: Chain, point: complex) -> float:
    """Distance of a point from a chain, positive to its left."""
    edge, share = chain.nearest(point)
    away = point - chain.segments[edge].point(share)
    return math.copysign(abs(away), cross(chain.segments[edge].tangent(share), away))


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
        "no run of flats and bends fits {} of {} readings, so none can be trusted; read the trace again",
        doubtful,
        count,
    )
    if trace.read_error_mm is not None:
        again = message("{}, or give a read_error larger than {}", again, mm(trace.read_error_mm))
    return Refusal(again, place=trace.file)
