"""What a fit leaves open: read off its residuals, and off what it and its rival say between the readings."""

import math
from collections.abc import Iterator
from statistics import NormalDist
from typing import TypedDict

import numpy as np
from numpy.typing import NDArray

from plategen.ground.message import NOTHING, Message, message, mm
from plategen.ground.order import distinct
from plategen.rail.fit.between import FAR_MM, HEARD_CHANCE, MOST_OFF_MM, PLACES, Say, further, heeded
from plategen.rail.fit.model import Floats
from plategen.rail.question import Question, ask_for, place
from plategen.rail.trace import FittedTrace, step_words

LONGEST_RUN = 12
"""Neighbours looked at together: a longer run shows in its parts."""

RUNS = 3
"""Lengths of run that are as good as independent: so many chances a reading has to stand apart."""

BEAD_LENGTHS_MM = (12.0, 18.0, 25.0, 35.0, 45.0)
"""Lengths over which a bead is looked for: none is longer than an inch, and a smooth fit runs out on either side of it
(common practice, no source)."""

SHARE_OF_WORST = 0.15
"""Places where the rail is far off with this share of the worst place's chance belong to the stretch that is named."""

CHANCE = 0.02
"""Chance that readings of a rail that is as fitted look otherwise."""


def questions_of(fitted: FittedTrace, say: Say) -> tuple[Question, ...]:
    """Every question of a fit, heard or not; of an open shape the worst place always.

    Args:
        fitted: The fit.
        say: What it and its rivals say between the readings.
    """
    return (
        *_steps(fitted),
        *_left_out(fitted),
        *_scatter(fitted),
        *_apart(fitted),
        *_stands_out(fitted, say),
        *_open(fitted, say),
    )


class Stretch(TypedDict):
    """Where a question lies."""

    stretch: tuple[complex, complex]
    readings: tuple[int, int]


def _stretch(fitted: FittedTrace, first: complex, last: complex) -> Stretch:
    readings = [reading for reading in fitted.trace.readings if reading.line]
    next_to = (int(np.abs(np.array([r.point for r in readings]) - point).argmin()) + 1 for point in (first, last))
    low, high = sorted(next_to)
    return Stretch(stretch=(first, last), readings=(low, high))


def _steps(fitted: FittedTrace) -> Iterator[Question]:
    """Each step: it stands anywhere between the readings before and after it."""
    for riser in fitted.risers:
        edge = fitted.chain.segments[riser.edge]
        first, last = (complex(u, v) for u, v in zip(riser.between_mm, (edge.start.imag, edge.end.imag), strict=True))
        yield Question(
            cause="step",
            what=message("a step of {}", step_words(riser)),
            **_stretch(fitted, first, last),
            off_mm=min(abs(riser.height_mm), abs(last.real - first.real) / 2),
            most_mm=MOST_OFF_MM,
            read_at=((first + last) / 2,),
            ask=message("read the trace at both its edges"),
        )


def _left_out(fitted: FittedTrace) -> Iterator[Question]:
    """Readings left out, neighbours on one side of the fit together."""
    readings, off = fitted.trace.readings, fitted.residuals_mm
    number = np.cumsum([reading.line > 0 for reading in readings]).tolist()  # each reading's own, from 1
    runs: list[list[int]] = []
    for i in (i for i in fitted.doubtful if readings[i].line):
        if runs and runs[-1][-1] == i - 1 and off[i] * off[i - 1] > 0.0:
            runs[-1].append(i)
        else:
            runs.append([i])
    for run in runs:
        first, last = readings[run[0]], readings[run[-1]]
        worst = max(abs(off[i]) for i in run)
        at = place(first.point, fitted.trace.round_corner)
        if len(run) == 1:
            words = "line {}: {}, offset {} is {} off the rest and was left out"
            what = message(words, first.line, at, mm(first.point.imag), mm(worst))
            again = message("read it again")
        else:
            words = "lines {} to {}, from {}: {} readings in a row are up to {} off the rest and were left out"
            what = message(words, first.line, last.line, at, len(run), mm(worst, "up"))
            again = message("a weld bead, a dent? Read them again; `bead` as their mark if it will be ground off")
        yield Question(
            cause="left out",
            what=what,
            stretch=(first.point, last.point),
            readings=(number[run[0]], number[run[-1]]),
            off_mm=worst,
            most_mm=2.0 * fitted.read_error_mm,
            read_at=tuple(readings[i].point for i in run),
            ask=again,
        )


def _scatter(fitted: FittedTrace) -> Iterator[Question]:
    """Residuals larger than the reading error that was said."""
    said, kept = fitted.trace.read_error_mm, heeded(fitted)
    if said is None or len(kept) < 2:
        return
    rms = math.sqrt(float(np.mean(np.square(fitted.residuals_mm)[kept])))
    # the fourth root of a chi-square is all but normal (Wilson and Hilferty, 1931, in its simplest form; from memory)
    most = said * (1.0 + 2.33 / math.sqrt(2.0 * len(kept)))
    readings = fitted.trace.readings
    yield Question(
        cause="scatter",
        what=message("the readings scatter by {}, but read_error says {}", mm(rms), mm(said)),
        **_stretch(fitted, readings[kept[0]].point, readings[kept[-1]].point),
        off_mm=rms,
        most_mm=most,
        ask=message("read the trace again, or give {} as read_error", mm(rms, "up")),
    )


def _apart(fitted: FittedTrace) -> Iterator[Question]:
    """The run of kept neighbours that stands most to one side of the fit; of one alone, that it stands so far off."""
    kept, error = heeded(fitted), fitted.read_error_mm
    off = np.asarray(fitted.residuals_mm)[kept] / error
    summed = np.concatenate(([0.0], np.cumsum(off)))
    worst, at, long = -math.inf, 0, 1
    for count in range(1, min(LONGEST_RUN, len(off)) + 1):
        pulls = np.abs(summed[count:] - summed[:-count]) / math.sqrt(count)
        if pulls.max() > worst:
            worst, at, long = float(pulls.max()), int(pulls.argmax()), count
    most = NormalDist().inv_cdf(1.0 - CHANCE / (2.0 * RUNS * len(off)))
    if worst <= most:
        return
    readings = [fitted.trace.readings[i] for i in kept[at : at + long]]
    mean = worst / math.sqrt(long) * error
    corner = fitted.trace.round_corner
    words = "from {} to {} the readings lie {} to one side of the fit, too far to be reading error (a bead, a dent?)"
    beside = _gaps(fitted, (kept[at], kept[at + long - 1]))
    yield Question(
        cause="apart",
        what=message(words, *(place(reading.point, corner) for reading in (readings[0], readings[-1])), mm(mean)),
        **_stretch(fitted, readings[0].point, readings[-1].point),
        off_mm=mean,
        most_mm=most / math.sqrt(long) * error,
        read_at=beside,
        ask=ask_for(beside, corner),
    )


def _stands_out(fitted: FittedTrace, say: Say) -> Iterator[Question]:
    """The place where the fit stands out most over a length as a weld bead's, towards the user."""
    apart = fitted.chain.length / (PLACES - 1)
    counts = sorted({max(round(length / apart), 2) for length in BEAD_LENGTHS_MM})
    best, first, last = 0.0, 0, 0
    for count in (count for count in counts if count < PLACES):
        out = _standing_out(say, count)
        at = int(out.argmax())
        if out[at] > best:
            best, first, last = float(out[at]), at, at + count
    if best <= FAR_MM:
        return
    points, corner = (complex(say.points[first]), complex(say.points[last])), fitted.trace.round_corner
    words = (
        "from {} to {} the rail stands out by {} as a weld bead does, and its sides may be steeper than readings show"
    )
    yield Question(
        cause="stands out",
        what=message(words, *(place(point, corner) for point in points), mm(best)),
        **_stretch(fitted, *points),
        off_mm=best,
        most_mm=FAR_MM,
        read_at=points,
        ask=message("read it at both its edges; `bead` as the mark of its readings if it will be ground off"),
    )


def _standing_out(say: Say, count: int) -> Floats:
    """How far the fit stands out between each place and the one that many farther on; nothing where it is known to.

    That is how far it lies to the right of their chord, less what a single corner could that turns by twice the angle
    t between the chord and the tangent at an end: ``w tan(t) / 2`` over a chord of length w.
    """
    chord = say.points[count:] - say.points[:-count]
    inside = np.stack([say.points[k : k - count] for k in range(1, count)]) - say.points[:-count]
    out = (-(inside * chord.conj()).imag).max(axis=0) / np.abs(chord)
    ends = (say.normals[:-count], say.normals[count:])
    turned = np.max([np.abs(np.angle(1j * chord / normal)) for normal in ends], axis=0)
    hidden = np.cumsum(~say.seen)
    known = hidden[count:] - hidden[:-count] + ~say.seen[:-count] > 0
    return np.asarray(np.where(known, 0.0, out - np.abs(chord) * np.tan(np.minimum(turned, 1.5)) / 2.0))


def _gaps(fitted: FittedTrace, run: tuple[int, int]) -> tuple[complex, ...]:
    """Half way from the ends of a run of readings to the next ones on either side."""
    points = [reading.point for reading in fitted.trace.readings]
    pairs = ((run[0] - 1, run[0]), (run[1], run[1] + 1))
    return tuple((points[a] + points[b]) / 2 for a, b in pairs if a >= 0 and b < len(points))


def _open(fitted: FittedTrace, say: Say) -> Iterator[Question]:
    """The stretches where the readings leave the shape open; the worst place alone where none do."""
    most = say.passed(say.farthest_mm(), HEARD_CHANCE)
    if most <= FAR_MM:
        at = int((say.variance * say.seen).argmax())
        yield Question(
            cause="open",
            what=message("farthest at {}: the rail may lie {} off the fit", _place(fitted, say, at), mm(most)),
            **_stretch(fitted, complex(say.points[at]), complex(say.points[at])),
            off_mm=most,
            most_mm=FAR_MM,
            ask=NOTHING,
        )
        return
    far = say.far_at()
    over = far > SHARE_OF_WORST * far.max()
    read = [fitted.trace.readings[i].point for i in heeded(fitted)]
    near = distinct(np.array([np.abs(say.points - point).argmin() for point in read]))
    for first, last in _runs(over, round(PLACES / len(read))):
        # of the rails that lie far off there the middle one
        there = say.farthest_mm(first, last)
        worst = say.passed(np.where(there > FAR_MM, there, 0.0), float((there > FAR_MM) @ say.shares) / 2.0)
        more = further(fitted, say, first, last)
        low, high = int(max(near[near <= first], default=first)), int(min(near[near >= last], default=last))
        words = "from {} to {} the readings leave the shape open: the rail may lie {} off the fit"
        yield Question(
            cause="open",
            what=message(words, _place(fitted, say, low), _place(fitted, say, high), mm(worst)),
            **_stretch(fitted, complex(say.points[low]), complex(say.points[high])),
            off_mm=worst,
            most_mm=FAR_MM,
            read_at=more,
            ask=ask_for(more, fitted.trace.round_corner) if more else message("read it there more closely"),
        )


def _place(fitted: FittedTrace, say: Say, at: int) -> Message:
    return place(complex(say.points[at]), fitted.trace.round_corner)


def _runs(over: NDArray[np.bool_], apart: int) -> list[tuple[int, int]]:
    """First and last index of each run of true values; those no farther apart are one."""
    at = np.flatnonzero(over)
    cuts = np.flatnonzero(np.diff(at) > max(apart, 1))
    firsts, lasts = at[np.concatenate(([0], cuts + 1))], at[np.concatenate((cuts, [len(at) - 1]))]
    return list(zip(firsts.tolist(), lasts.tolist(), strict=True))
