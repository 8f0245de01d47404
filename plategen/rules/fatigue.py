"""How often a stress range may come and go: the curves of EN 1993-1-9 and of AISC 360 Appendix 3, and their details.

A range is the whole stress from one end of a stroke to the other. As-welded steel holds stresses of its own, so all of
the range counts, its compression too (EN 1993-1-9:2005 7.2.1). Ranges are of loads as they are, without load factors.

What stands here of EN 1993-1-9:2005 with its corrigenda, Tables 3.1 and 8.5 and 7.1, 7.2.1 and 8, was read in a public
copy of its pages; Table 8.1 was not.
"""

import math
from dataclasses import dataclass, replace
from functools import cache

from plategen.rules import table

GAMMA_MF = 1.35
"""Safe life, high consequence of failure (EN 1993-1-9:2005 Table 3.1, a recommendation): what a steering bracket is."""

_EN_AT = 2e6
"""Cycles at which a category of EN 1993-1-9 is named by its range."""

_EN_KNEE, _EN_CUT_OFF = 5e6, 1e8


@dataclass(frozen=True, slots=True)
class Curve:
    """Ranges and the cycles that they last: N = n0 (S0/S)^m, kinked at the knee where there is one."""

    detail: str  # What it is for, with its category: ``"category E, net section at a pin"``.
    at_mpa: float  # A range, and
    at_n: float  # the cycles that it lasts.
    slope: float  # m.
    # Under it a range that never changes does no damage; 0 where the rule gives none.
    limit_mpa: float = 0.0
    knee_mpa: float = 0.0  # Under it the slope is 5, for ranges among which some are larger; 0 without a knee.
    cut_off_mpa: float = 0.0  # Under it a range does no damage whatever the others are; 0 where the rule gives none.

    def times(self, factor: float) -> "Curve":
        """The curve with all its ranges multiplied: divided by gamma_Mf, or reduced for a weld's root."""
        return replace(
            self,
            at_mpa=self.at_mpa * factor,
            limit_mpa=self.limit_mpa * factor,
            knee_mpa=self.knee_mpa * factor,
            cut_off_mpa=self.cut_off_mpa * factor,
        )

    def cycles(self, range_mpa: float, largest_mpa: float = math.inf) -> float:
        """Cycles that a range lasts; infinite where it does no damage.

        Args:
            range_mpa: The range that comes every time.
            largest_mpa: The largest that comes now and then: a limit for ranges that never change holds up to it.

        >>> round(en_direct("T joint", 80.0).cycles(100.0)), round(en_shear("throat", 80.0).cycles(100.0))
        (1024000, 655360)
        """
        if range_mpa <= self.cut_off_mpa or largest_mpa <= self.limit_mpa or range_mpa <= 0.0:
            return math.inf
        if range_mpa >= self.knee_mpa or self.knee_mpa == 0.0:
            return self.at_n * math.pow(self.at_mpa / range_mpa, self.slope)
        return _EN_KNEE * (self.knee_mpa / range_mpa) ** 5

    def range_mpa(self, cycles: float, shock: float = math.inf) -> float:
        """The range that lasts so many cycles, where ``shock`` times it comes now and then: :meth:`cycles` solved.

        >>> round(aisc("C").range_mpa(2e6) / 6.894757, 1)
        13.1
        """
        on_curve = self.at_mpa * math.pow(self.at_n / cycles, 1.0 / self.slope)
        if on_curve < self.knee_mpa:
            on_curve = self.knee_mpa * (_EN_KNEE / cycles) ** 0.2
        return max(on_curve, self.cut_off_mpa, self.limit_mpa / shock)


@cache
def en_direct(detail: str, category_mpa: float) -> Curve:
    """Direct stress: slope 3 to the knee at 5e6, 5 to the cut-off at 1e8 (EN 1993-1-9:2005 7.1).

    >>> curve = en_direct("root", 36.0)
    >>> round(curve.knee_mpa, 1), round(curve.cut_off_mpa, 1)
    (26.5, 14.6)
    """
    knee = category_mpa * (_EN_AT / _EN_KNEE) ** (1.0 / 3.0)
    cut_off = knee * (_EN_KNEE / _EN_CUT_OFF) ** 0.2
    return Curve(f"category {category_mpa:g}, {detail}", category_mpa, _EN_AT, 3.0, knee, knee, cut_off)


@cache
def en_shear(detail: str, category_mpa: float) -> Curve:
    """Shear: slope 5 to the cut-off at 1e8 (EN 1993-1-9:2005 7.1).

    >>> round(en_shear("throat", 80.0).cut_off_mpa, 1)
    36.6
    """
    cut_off = category_mpa * (_EN_AT / _EN_CUT_OFF) ** 0.2
    return Curve(f"category {category_mpa:g}, {detail}", category_mpa, _EN_AT, 5.0, cut_off, 0.0, cut_off)


EN_ROOT, EN_THROAT_SHEAR, EN_PIN = 36.0, 80.0, 50.0
"""Categories of a fillet's root, 36*, and of its throat along the weld (EN 1993-1-9:2005 Table 8.5, details 3 and 8),
and of a net section at a bolt with play (Table 8.1, from memory), which stands for the pin's: no table has a pin."""


def en_tee_category(toe_to_toe_mm: float, thickness_mm: float) -> float:
    """Category of a plate at the toes of a T joint, by their distance l and its thickness (Table 8.5, detail 1).

    >>> [en_tee_category(*at) for at in ((28.0, 12.0), (60.0, 40.0), (110.0, 60.0), (130.0, 16.0), (150.0, 60.0))]
    [80.0, 71.0, 56.0, 56.0, 50.0]
    """
    by_length = ((50.0, 80.0), (80.0, 71.0), (100.0, 63.0), (120.0, 56.0))
    short = next((category for upto, category in by_length if toe_to_toe_mm <= upto), None)
    if short is not None:
        return short
    # how long and how thick make it worse together: the milder of the two
    by_long = next(
        category for upto, category in ((200.0, 50.0), (300.0, 45.0), (math.inf, 40.0)) if toe_to_toe_mm <= upto
    )
    by_thick = next(
        category
        for upto, category in ((20.0, 56.0), (30.0, 50.0), (50.0, 45.0), (math.inf, 40.0))
        if thickness_mm <= upto
    )
    return max(by_long, by_thick)


@cache
def aisc(category: str, detail: str = "") -> Curve:
    """The curve of a stress category: 1000 (Cf/n)^0.333 ksi, of category F 100 (1.5/n)^0.167 (AISC 360-22 App. 3.3).

    >>> round(aisc("E").range_mpa(1e5) / 6.894757)
    22
    """
    row = next(row for row in table.read("fatigue") if row["name"] == category)
    slope = 1.0 / table.number(row["exponent"])
    at_mpa = table.number(row["at_one"]) * table.MPA_PER["ksi"]
    named = f"category {category}, {detail}"
    return Curve(named, at_mpa, table.number(row["cf"]), slope, table.stress_mpa(row, "threshold"))


def root_reduction(thickness_mm: float, leg_mm: float) -> float:
    """What a pair of fillets, open at the root between them, leaves of category C: R_FIL of AISC 360 App. 3.3, up to 1.

    (0.06 + 0.72 w/tp)/tp^0.167, inches; w the leg, tp the plate under pull across the weld (AISC 360-22 A-3-6).

    >>> round(root_reduction(9.525, 6.35), 3), round(root_reduction(9.525, 7.9375), 3)
    (0.636, 0.777)
    """
    return min(1.0, (0.06 + 0.72 * leg_mm / thickness_mm) / math.pow(thickness_mm / 25.4, 0.167))


def aisc_root(left: float) -> Curve:
    """The curve of such a root: category C reduced, without a limit, which AISC 360-22 Table A-3.1 denies it.

    >>> aisc_root(0.5).limit_mpa, round(aisc_root(0.5).range_mpa(2e6) / 6.894757, 2)
    (0.0, 6.53)
    """
    whole = aisc("C", "root of a pair of fillets, R_FIL")
    return Curve(whole.detail, whole.at_mpa * left, whole.at_n, whole.slope)
