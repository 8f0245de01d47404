"""The cylinder's rod and the rod it drives: buckling, side load at the rod's end, and pushing off centre.

Lengths run from pin to pin at full extension, the whole of it taken as rod: safe, because the body is stiffer.
"""

import math
from dataclasses import dataclass

from plategen.rules.column import critical_n, round_bar
from plategen.rules.material import YOUNG_MPA


@dataclass(frozen=True, slots=True)
class Bar:
    """A round bar or tube in mm and MPa: outside diameter, bore (0 when solid), free length and yield strength."""

    diameter_mm: float
    length_mm: float
    yield_mpa: float
    bore_mm: float = 0.0

    @property
    def section(self) -> tuple[float, float]:
        """Area, mm^2, and second moment of area, mm^4."""
        return round_bar(self.diameter_mm, self.bore_mm)

    @property
    def modulus_mm3(self) -> float:
        """Elastic section modulus, mm^3."""
        return 2.0 * self.section[1] / self.diameter_mm

    def buckling_n(self, end_factor: float = 1.0, e_mpa: float = YOUNG_MPA) -> float:
        """Load at which it buckles, K = ``end_factor``.

        >>> round(Bar(20.0, 1000.0, 300.0).buckling_n(e_mpa=200000.0))
        15503
        """
        return critical_n(*self.section, self.length_mm * end_factor, self.yield_mpa, e_mpa)


def side_load_stress_mpa(bar: Bar, force_n: float, side_n: float, free_length_mm: float) -> float:
    """Largest stress in a rod with a side load at its end, held in the gland ``free_length_mm`` away.

    Axial F/A with bending S L/W: the rod is a cantilever from the gland.

    >>> round(side_load_stress_mpa(Bar(20.0, 500.0, 300.0), math.pi * 1e4, 0.0, 200.0), 6)
    100.0
    """
    return abs(force_n) / bar.section[0] + side_n * free_length_mm / bar.modulus_mm3


def bracket_on_bar_stress_mpa(bar: Bar, force_n: float, arm_mm: float, at_mm: float, *, pushed: bool) -> float:
    """Largest stress where a bracket on the bar takes the cylinder's force beside the bar's centre line.

    The force F enters at ``at_mm`` from one end with a moment F e, e = ``arm_mm``; with both ends on balls the moment
    splits into M a/L and M (L - a)/L, the larger bends the bar, F/A adds. A pushed bar bows further: the bending part
    is amplified by 1/(1 - F/Pe), infinite from the Euler load on.

    >>> round(bracket_on_bar_stress_mpa(Bar(20.0, 500.0, 300.0), 1000.0, 0.0, 250.0, pushed=False), 3)
    3.183
    """
    area, inertia = bar.section
    share = max(at_mm, bar.length_mm - at_mm) / bar.length_mm
    bending = abs(force_n) * abs(arm_mm) * share / bar.modulus_mm3
    euler = math.pi**2 * YOUNG_MPA * inertia / bar.length_mm**2
    if pushed and abs(force_n) >= euler:
        return math.inf
    return abs(force_n) / area + bending / (1.0 - abs(force_n) / euler if pushed else 1.0)
