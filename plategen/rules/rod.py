"""The cylinder's rod and the rod it drives: buckling, side load at the rod's end, and a push beside its line.

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


def bracket_moment_nmm(length_mm: float, force_n: float, side_n: float, arm_mm: float, at_mm: float) -> float:
    """Largest bending moment in a bar on two balls that a cylinder takes hold of, N mm.

    Its force F enters at a = ``at_mm`` from one ball, b = L - a from the other, e = ``arm_mm`` beside the bar's line:
    the moment F e splits into F e a/L and F e b/L, the larger bends the bar. A force S square to the bar adds S a b/L.
    They need not meet in one plane, and are added: on the safe side. Where the cylinder takes hold beyond a ball
    (a or b negative) the bar is a cantilever there: S times the overhang, and all of F e.

    >>> bracket_moment_nmm(1000.0, 500.0, 100.0, 40.0, 300.0)
    35000.0
    """
    beyond = at_mm - length_mm
    if at_mm < 0.0 or beyond > 0.0:
        return side_n * max(-at_mm, beyond) + abs(force_n) * abs(arm_mm)
    longer = max(at_mm, -beyond)
    return side_n * at_mm * -beyond / length_mm + abs(force_n) * abs(arm_mm) * longer / length_mm


def pushed_bar_stress_mpa(bar: Bar, force_n: float, moment_nmm: float) -> float:
    """Largest stress in a bar that is pushed and bent: F/A + (M/W)/(1 - F/Pe), Pe the Euler load.

    A pushed bar bows further, so its bending is amplified; infinite from the Euler load on (AISC 360 H2 and C2).

    >>> round(pushed_bar_stress_mpa(Bar(30.0, 1000.0, 350.0), 1000.0, 0.0), 3)
    1.415
    """
    area, inertia = bar.section
    push = abs(force_n)
    euler = math.pi**2 * YOUNG_MPA * inertia / bar.length_mm**2
    if push >= euler:
        return math.inf
    return push / area + moment_nmm / bar.modulus_mm3 / (1.0 - push / euler)
