"""Slips that make nonsense of a whole trace: columns the wrong way round, and numbers in the other unit.

Each is refused only where the numbers as they stand are no trace of a rail beside a straightedge, and the other way
round they are an ordinary one.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.unit import INCH_MM, Units
from plategen.rail.trace import Reading

Floats = NDArray[np.float64]
"""Numbers in an array."""

LONGER = 2.0
"""A rail that goes twice as far from the straightedge as along it would be measured from the other side."""

EVEN = 1e-6
"""Share of the largest step by which steps along a straightedge may differ and still be even."""

SPAN_MM = (50.0, 2500.0)
NONE_SPAN_MM = (40.0, 2500.0)
"""From and to: the length of a trace under a bracket, and beyond what it is none (common practice, no source)."""

OFFSET_MM = 500.0
NONE_OFFSET_MM = 750.0
"""A straightedge is clamped so near to the rail, and never so far from it (common practice, no source)."""

FEWEST = 5
"""Readings that a trace must have: whoever types the first few is not asked what they mean."""

FAR = 2.0
NEAR = 0.25
"""Lengths of the trace by which the bracket's place lies beyond its ends: out of all reach, and as good as on it."""


def refuse_swapped(readings: Sequence[Reading]) -> None:
    """Refuse stations and offsets that look like each other.

    Along a straightedge one moves on and mostly in even steps, while a rail's offsets go to and fro; so the columns are
    swapped where the offsets run on, over far more than the stations do, and these turn back, or step unevenly beside
    them.

    Args:
        readings: As they stand in the file.

    Raises:
        Refusal: They look swapped.
    """
    points = np.array([reading.point for reading in readings])
    if len(points) < 3 or np.ptp(points.imag) <= LONGER * np.ptp(points.real) or not _runs_on(points.imag):
        return
    if _runs_on(points.real) and np.ptp(points.real) > 0.0 and (_even(points.real) or not _even(points.imag)):
        return
    words = (
        "stations lie between {} and {} while offsets run on from {} to {}: the columns look swapped; {} in the first "
        "line is right"
    )
    off = (points.imag[0], points.imag[-1])
    values = map(mm, map(float, (points.real.min(), points.real.max(), *off)))
    raise Refusal(message(words, *values, "`offset,station`"))


def _runs_on(values: Floats) -> bool:
    steps = np.diff(values)
    return bool((steps >= 0.0).all() or (steps <= 0.0).all())


def _even(values: Floats) -> bool:
    steps = np.abs(np.diff(values))
    return bool(np.ptp(steps) <= EVEN * steps.max(initial=0.0))


def refuse_other_unit(readings: Sequence[Reading], units: Units, near_mm: tuple[float, float] | None = None) -> None:
    """Refuse bare numbers that make sense in the other unit alone.

    Args:
        readings: Read in ``units``.
        units: What their numbers were taken for.
        near_mm: First and last station that the job's bracket stands at, where they are known.

    Raises:
        Refusal: They look like the other unit's.
    """
    if len(readings) < FEWEST:
        return
    points = np.array([reading.point for reading in readings])
    factor = float(INCH_MM) if units == "mm" else 1.0 / float(INCH_MM)
    long, off, beyond = _lie(points, 1.0, near_mm)
    none = not NONE_SPAN_MM[0] <= long <= NONE_SPAN_MM[1] or off > NONE_OFFSET_MM or beyond > FAR * long
    there, square, past = _lie(points, factor, near_mm)
    if none and SPAN_MM[0] <= there <= SPAN_MM[1] and square <= OFFSET_MM and past <= NEAR * there:
        other, name = ("mm", "millimetres") if units == "in" else ("in", "inches")
        words = (
            "the trace is {} long and lies {} from the straightedge{}: these look like {}; `# units: {}` as the first "
            "line is right, or `# units: {}` where the numbers do mean what they say"
        )
        beside = message(", and the bracket stands at station {}", mm(near_mm[0])) if near_mm is not None else ""
        raise Refusal(message(words, mm(long), mm(off), beside, name, other, units))


def _lie(
    points: NDArray[np.complex128], factor: float, near_mm: tuple[float, float] | None
) -> tuple[float, float, float]:
    """How long a trace is, how far from the straightedge, and how far the bracket's place reaches beyond its ends.

    All of them as they are when the readings are so many times as large.
    """
    first, last = factor * float(points.real.min()), factor * float(points.real.max())
    beyond = 0.0 if near_mm is None else max(first - near_mm[0], near_mm[1] - last, 0.0)
    return last - first, factor * float(np.median(np.abs(points.imag))), beyond
