"""A number as digits: fractions of an inch, thousandths, tenths, or so many significant figures; units are others'."""

import math
from decimal import ROUND_HALF_EVEN, Decimal
from fractions import Fraction

from plategen.ground import unit

MARKS_PER_INCH = 32
"""The finest mark that most rules and tapes have."""

NO_TENTHS = 1e15
"""A float as large as this has none."""

ROUNDING = 1e-6
"""What is smaller in the unit shown is the arithmetic's own rounding: it reads as 0, not as nine noughts."""


def fraction(inches: float, marks: int = MARKS_PER_INCH) -> str:
    """Inches to the nearest of ``marks`` in an inch, lowest terms: ``'1 3/8'``, ``'-5/32'``, ``'0'``."""
    whole, over = divmod(round(abs(inches) * marks), marks)
    sign = "-" if inches < 0 and (whole or over) else ""
    if not over:
        return f"{sign}{whole}"
    part = Fraction(over, marks)
    return f"{sign}{f'{whole} ' if whole else ''}{part.numerator}/{part.denominator}"


def inches_of(mm: float) -> float:
    """Millimetres in inches, by the exact ratio."""
    return mm * unit.INCH_MM.denominator / unit.INCH_MM.numerator


def thousandths(inches: float) -> str:
    """Three decimals; a half is parted from what rounding leaves about it, as in :func:`tenths`."""
    return f"{round(inches, 6) + 0.0:.3f}"


def tenths(value: float) -> str:
    """One decimal; two figures when that would hide a small value."""
    value += 0.0  # no minus before a nought
    if 1.0 <= abs(value) < NO_TENTHS or value == 0.0:
        # a half is parted from what rounding leaves about it, so that 6.35 is 6.4 whichever way it was computed
        return str(Decimal(repr(round(float(value), 6))).quantize(Decimal("0.1"), ROUND_HALF_EVEN))
    return significant(value, 2)


def significant(value: float, figures: int) -> str:
    """So many significant figures, never an exponent, no whole digit rounded away."""
    if not math.isfinite(value):
        return "not a number" if math.isnan(value) else ("endless" if value > 0 else "endless, below 0")
    if abs(value) < ROUNDING:
        return "0"
    rounded = float(f"{value:.{figures - 1}e}")
    decimals = figures - 1 - math.floor(math.log10(abs(rounded)))
    return f"{value:.{min(max(decimals, 0), 9)}f}"
