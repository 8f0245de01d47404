"""The exact factors between what shops write and what is computed in (mm, N, MPa, rad, s, kg).

All are definitions, not measurements: NIST Special Publication 811 (2008), appendix B.8 (inch, foot, pound,
pound-force, US gallon, bar). They are checked in the tests against a general library's constants; that library takes
ten times as long to import as everything a job file needs.
"""

import math
from collections.abc import Mapping
from fractions import Fraction
from typing import Literal, TypeAlias

Units: TypeAlias = Literal["in", "mm"]
"""What a bare length of a job means, and how its lengths are shown."""

INCH_MM = Fraction("25.4")
FOOT_MM = 12 * INCH_MM
POUND_KG = Fraction("0.45359237")
POUND_FORCE_N = Fraction("4.4482216152605")
PSI_MPA = POUND_FORCE_N / INCH_MM**2
HORSEPOWER_KW = 550 * FOOT_MM * POUND_FORCE_N / 10**6
GALLON_MM3 = 231 * INCH_MM**3
LITRE_MM3 = Fraction(10**6)
DEGREE_RAD = math.pi / 180.0
"""Exact by definition (the inch of 1959, the pound, standard gravity, the US gallon)."""

CHECK_BAR: Mapping[Units, str] = {"in": "4 in", "mm": "100 mm"}
"""The bar on every page of paper that a person measures and writes down, by the units a job measures in."""

Factors: TypeAlias = Mapping[str, Fraction | float]
"""What one of each unit is, by its names."""


def named(*units: tuple[str, Fraction | float | int]) -> Factors:
    """A table of factors from rows ``("in inch inches", factor)``: every name of a row means the same unit."""
    return {name: Fraction(f) if isinstance(f, int) else f for names, f in units for name in names.split()}


def _for_each(of: Factors) -> Factors:
    """Units of a price for each of some other unit: ``"/lb"`` or ``"per lb"``."""
    return {f"{way}{name}": 1 / factor for name, factor in of.items() for way in ("/", "per")}


LENGTH = named(
    ('in inch inches "', INCH_MM),
    ("ft foot feet '", FOOT_MM),
    ("mm millimetre millimetres millimeter millimeters", 1),
    ("cm centimetre centimetres centimeter centimeters", 10),
    ("m metre metres meter meters", 1000),
)
PRESSURE = named(
    ("psi lbf/in2 lb/in2", PSI_MPA),
    ("ksi", 1000 * PSI_MPA),
    ("bar", Fraction(1, 10)),
    ("mpa n/mm2", 1),
    ("kpa", Fraction(1, 1000)),
    ("pa", Fraction(1, 10**6)),
)
ANGLE = named(("deg degree degrees °", DEGREE_RAD), ("rad radian radians", 1))
FORCE = named(
    ("n newton newtons", 1),
    ("kn", 1000),
    ("lbf lb lbs pounds", POUND_FORCE_N),
    ("kip kips", 1000 * POUND_FORCE_N),
)
MOMENT = named(
    ("nmm", 1),
    ("nm", 1000),
    ("knm", 10**6),
    ("lbfin lbin inlbf inlb", POUND_FORCE_N * INCH_MM),
    ("lbfft lbft ftlbf ftlb", POUND_FORCE_N * FOOT_MM),
)
FLOW = named(
    ("l/min lpm litre/min litres/min", 1),
    ("gpm gal/min", GALLON_MM3 / LITRE_MM3),
)
DURATION = named(("s sec second seconds", 1), ("min minute minutes", 60))
VOLUME = named(
    ("mm3", 1),
    ("cm3 cc ml", 1000),
    ("l litre litres liter liters", LITRE_MM3),
    ("in3", INCH_MM**3),
    ("gal gallon gallons", GALLON_MM3),
)
MASS = named(("kg", 1), ("t tonne tonnes", 1000), ("lb lbs pound pounds", POUND_KG))
PER_MASS, PER_LENGTH = _for_each(MASS), _for_each(LENGTH)
PLAIN = named()
"""Units of every kind of quantity."""
