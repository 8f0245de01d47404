"""Slips that make nonsense of a whole trace: columns the wrong way round, and numbers in another unit.

Each is refused only where the numbers as they stand are no trace of a rail beside a straightedge, and the other way
round they are an ordinary one. What may be an ordinary one either way is asked about.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from plategen.ground.message import joined, message, mm
from plategen.ground.order import median
from plategen.ground.refusal import Refusal
from plategen.ground.unit import INCH_MM, Units
from plategen.rail.trace import Reading

Floats = NDArray[np.float64]
"""Numbers in an array."""

LONGER = 2.0
"""A rail that goes twice as far from the straightedge as along it would be measured from the other side."""

STEEPEST = 10.0
"""No rail goes so many times as far, in even steps: what runs on so is the stations."""

EVEN = 1e-6
"""Share of the largest step by which steps along a straightedge may differ and still be even."""

SPAN_MM = (50.0, 2500.0)
NONE_SPAN_MM = (40.0, 2500.0)
"""From and to: the length of a trace under a bracket, and beyond what it is none (common practice, no source)."""

OFFSET_MM = 500.0
NONE_OFFSET_MM = 750.0
"""A straightedge is clamped so near to the rail, and never so far from it (common practice, no source)."""

FEWEST = 5
"""Readings that a trace must have to be too short: whoever types the first few is not asked what they mean."""

LEAST_TENTHS = 2
"""Readings in tenths off the half marks, of which one may be a slip."""

FEWEST_WHOLES, LEAST_WHOLE = 4, 5.0
"""So many readings in inches that differ are not all whole by chance (1 of 16^3 at sixteenths); nearer ones are not
clamped in millimetres (common practice, no source)."""

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
    along, even = float(np.ptp(points.real)), _even(points.imag)
    steep = even and float(np.ptp(points.imag)) > STEEPEST * along
    if _runs_on(points.real) and along > 0.0 and not steep and (_even(points.real) or not even):
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


def refuse_other_unit(
    readings: Sequence[Reading],
    units: Units,
    near_mm: tuple[float, float] | None = None,
    bare: tuple[bool, bool] = (True, True),
) -> None:
    """Refuse bare numbers that make sense in the other unit alone.

    Args:
        readings: Read in ``units``.
        units: What their bare numbers were taken for.
        near_mm: First and last station that the job's bracket stands at, where they are known.
        bare: Whether stations, and whether offsets, stand without a unit of their own.

    Raises:
        Refusal: They look like the other unit's.
    """
    points = np.array([reading.point for reading in readings])
    long, off, beyond = _lie(points, (1.0, 1.0), near_mm)
    far = off > NONE_OFFSET_MM
    none = far or long > NONE_SPAN_MM[1]
    if len(readings) >= FEWEST:
        none = none or long < NONE_SPAN_MM[0] or beyond > FAR * long
    wholes = units == "in" and all(bare) and _in_wholes(readings)
    if not none and not wholes:
        return

    def fits(factor: float) -> bool:
        along, across = (factor if is_bare else 1.0 for is_bare in bare)
        there, square, past = _lie(points, (along, across), near_mm)
        if not square <= OFFSET_MM:
            return False
        # what is much too far off as it stands is another unit's whether or not the job's other numbers go with it
        return there <= SPAN_MM[1] if far else SPAN_MM[0] <= there <= SPAN_MM[1] and past <= NEAR * there

    # taken for inches, centimetres are 2.5 times too large: they, too, are an ordinary trace
    meant = [u for u, factor in _OTHERS[units] if fits(factor) and (u != "cm" or in_tenths(readings, units))]
    meant = meant or (["mm"] if wholes else [])
    if meant:
        right = joined(", ", [message("{} is right for {}", _RIGHT[unit], _NAMES[unit]) for unit in meant])
        words = (
            "the trace is {} long and lies {} from the straightedge{}: these look like {}; {}, and `# units: {}` where "
            "the numbers do mean what they say"
        )
        beside = message(", and the bracket stands at station {}", mm(near_mm[0])) if near_mm is not None else ""
        looks = " or ".join(_NAMES[unit] for unit in meant)
        raise Refusal(message(words, mm(long), mm(off), beside, looks, right, units))


_NAMES = {"mm": "millimetres", "in": "inches", "cm": "centimetres"}
_RIGHT = {
    "mm": "`# units: mm` as the first line",
    "in": "`# units: in` as the first line",
    "cm": "`3.5 cm` in each cell",
}
_OTHERS: dict[Units, tuple[tuple[str, float], ...]] = {
    "in": (("mm", 1.0 / float(INCH_MM)),),
    "mm": (("in", float(INCH_MM)), ("cm", 10.0)),
}
"""What the numbers of a trace may be instead, and how many times as large each is then."""


def in_tenths(readings: Sequence[Reading], units: Units) -> bool:
    """Whether offsets as typed all stand in tenths, as a rule in centimetres has them and one in fractions does not.

    >>> in_tenths([Reading(25.4 * complex(i, 3.5 + i % 3 / 10), i) for i in range(6)], "in")
    True
    >>> in_tenths([Reading(25.4 * complex(i, 3.5 + i % 3 / 8), i) for i in range(6)], "in")
    False
    """
    typed_mm = float(INCH_MM) if units == "in" else 1.0
    tenths = np.array([reading.point.imag for reading in readings]) / typed_mm * 10.0
    whole = np.abs(tenths - np.round(tenths)) < EVEN
    halves = np.round(tenths) % 5 == 0  # the tenths that lie on a mark of such a rule
    return len(readings) >= FEWEST and bool(whole.all() and np.count_nonzero(~halves) >= LEAST_TENTHS)


def _in_wholes(readings: Sequence[Reading]) -> bool:
    """Whether numbers taken for inches are all whole, far off and not alike: a rule in millimetres is read so."""
    typed = np.array([reading.point for reading in readings]) / float(INCH_MM)
    whole = np.abs(typed - np.round(typed.real) - 1j * np.round(typed.imag)) < EVEN
    unlike = len({round(offset) for offset in typed.imag}) > 1
    far = np.abs(typed.imag).min() >= LEAST_WHOLE
    return len(readings) >= FEWEST_WHOLES and unlike and bool(whole.all() and far)


def _lie(
    points: NDArray[np.complex128], factors: tuple[float, float], near_mm: tuple[float, float] | None
) -> tuple[float, float, float]:
    """How long a trace is, how far from the straightedge, and how far the bracket's place reaches beyond its ends.

    All of them as they are when stations and offsets are so many times as large.
    """
    along, across = factors
    first, last = along * float(points.real.min()), along * float(points.real.max())
    beyond = 0.0 if near_mm is None else max(first - near_mm[0], near_mm[1] - last, 0.0)
    return last - first, across * median(np.abs(points.imag)), beyond
