"""Members that give way sideways: columns and rods, pushed in line or beside it, and plates bent in their own plane.

Euler, Johnson, AISC E3 and F11, EN 1993-1-1 6.3. Length factors K: pin-pin 1, fixed-pin 0.7, fixed-fixed 0.5,
fixed-free 2.
"""

import math
from dataclasses import dataclass

from plategen.rules.material import YOUNG_MPA


def round_bar(diameter_mm: float, bore_mm: float = 0.0) -> tuple[float, float]:
    """Area, mm^2, and second moment of area, mm^4, of a bar or tube.

    >>> area, inertia = round_bar(20.0)
    >>> round(area, 2), round(inertia, 1)
    (314.16, 7854.0)
    """
    return math.pi / 4.0 * (diameter_mm**2 - bore_mm**2), math.pi / 64.0 * (diameter_mm**4 - bore_mm**4)


def euler_n(inertia_mm4: float, length_mm: float, e_mpa: float = YOUNG_MPA) -> float:
    """Euler load pi^2 E I/(K L)^2; ``length_mm`` is K L.

    >>> round(euler_n(7854.0, 1000.0, e_mpa=200000.0))
    15503
    """
    return math.pi**2 * e_mpa * inertia_mm4 / length_mm**2


def critical_n(
    area_mm2: float, inertia_mm4: float, length_mm: float, yield_mpa: float, e_mpa: float = YOUNG_MPA
) -> float:
    """Buckling load of a centrally loaded column: Johnson for a stocky one, Euler for a slender one.

    Johnson's parabola A Sy [1 - Sy (K L/r)^2/(4 pi^2 E)] hands over to Euler at half the yield stress, where the
    slenderness K L/r is pi sqrt(2 E/Sy).

    >>> round(critical_n(*round_bar(20.0), 1000.0, 300.0, e_mpa=200000.0))
    15503
    >>> round(critical_n(100.0, 100.0, math.pi * math.sqrt(2000.0), 200.0, e_mpa=200000.0), 6)
    10000.0
    """
    slenderness = length_mm / math.sqrt(inertia_mm4 / area_mm2)
    if slenderness < math.pi * math.sqrt(2.0 * e_mpa / yield_mpa):
        return area_mm2 * yield_mpa * (1.0 - yield_mpa * slenderness**2 / (4.0 * math.pi**2 * e_mpa))
    return euler_n(inertia_mm4, length_mm, e_mpa)


def aisc_stress_mpa(slenderness: float, yield_mpa: float, e_mpa: float = YOUNG_MPA) -> float:
    """Nominal stress Fcr: 0.658^(Fy/Fe) Fy to slenderness 4.71 sqrt(E/Fy), then 0.877 Fe (AISC 360 E3).

    >>> round(aisc_stress_mpa(math.pi * math.sqrt(800.0), 250.0, e_mpa=200000.0), 3)
    164.5
    """
    if slenderness <= 0.0:
        return yield_mpa
    fe = math.pi**2 * e_mpa / slenderness**2
    return yield_mpa * 0.658 ** (yield_mpa / fe) if yield_mpa / fe <= 2.25 else 0.877 * fe


def en_factor(relative_slenderness: float, imperfection: float = 0.49) -> float:
    """Reduction chi of a buckling curve (EN 1993-1-1:2005 6.3.1.2); 0.49 is curve c, for solid plates.

    >>> round(en_factor(1.0), 3)
    0.54
    """
    if relative_slenderness <= 0.2:
        return 1.0
    phi = 0.5 * (1.0 + imperfection * (relative_slenderness - 0.2) + relative_slenderness**2)
    return min(1.0, 1.0 / (phi + math.sqrt(phi**2 - relative_slenderness**2)))


def en_stress_mpa(slenderness: float, yield_mpa: float, e_mpa: float = YOUNG_MPA) -> float:
    """Buckling stress chi fy at slenderness L/i, curve c (EN 1993-1-1:2005 6.3.1).

    >>> round(en_stress_mpa(math.pi * math.sqrt(200000.0 / 250.0), 250.0, e_mpa=200000.0), 1)
    135.0
    """
    return yield_mpa * en_factor(slenderness / (math.pi * math.sqrt(e_mpa / yield_mpa)))


SHEAR_RATIO = 0.385
"""G over E of steel, Poisson's ratio 0.3."""


def aisc_bending_stress_mpa(
    length_mm: float, depth_mm: float, thickness_mm: float, fy_mpa: float, e_mpa: float = YOUNG_MPA
) -> float:
    """Nominal bending stress Mn/Sx, Cb = 1 (AISC 360 F11); first yield at most, the plastic reserve left out.

    With x = Lb d/t^2: Fy up to 0.08 E/Fy; (1.52 - 0.274 x Fy/E) Fy <= Fy up to 1.9 E/Fy; 1.9 E/x beyond.

    >>> aisc_bending_stress_mpa(100.0, 50.0, 10.0, 250.0)
    250.0
    >>> round(aisc_bending_stress_mpa(4000.0, 200.0, 10.0, 250.0, e_mpa=200000.0), 1)
    47.5
    """
    x = length_mm * depth_mm / thickness_mm**2
    if x <= 0.08 * e_mpa / fy_mpa:
        return fy_mpa
    if x <= 1.9 * e_mpa / fy_mpa:
        return min(fy_mpa, (1.52 - 0.274 * x * fy_mpa / e_mpa) * fy_mpa)
    return min(fy_mpa, 1.9 * e_mpa / x)


def en_bending_stress_mpa(
    length_mm: float, depth_mm: float, thickness_mm: float, fy_mpa: float, e_mpa: float = YOUNG_MPA
) -> float:
    """Bending stress chi_LT fy, curve d (EN 1993-1-1:2005 6.3.2.2).

    Mcr = (pi/L) sqrt(E Iz G It) of a rectangle, Iz = d t^3/12, It = d t^3/3.

    >>> round(en_bending_stress_mpa(500.0, 100.0, 10.0, 250.0, e_mpa=210000.0), 1)
    185.7
    """
    weak, twisted = depth_mm * thickness_mm**3 / 12.0, depth_mm * thickness_mm**3 / 3.0
    critical = math.pi / length_mm * e_mpa * math.sqrt(SHEAR_RATIO * weak * twisted)
    modulus = thickness_mm * depth_mm**2 / 6.0
    return fy_mpa * en_factor(math.sqrt(modulus * fy_mpa / critical), imperfection=0.76)


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

    def buckling_n(self) -> float:
        """Load at which it buckles, free to turn at both ends.

        >>> round(Bar(20.0, 1000.0, 300.0).buckling_n())
        15503
        """
        return critical_n(*self.section, self.length_mm, self.yield_mpa)


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
    euler = euler_n(inertia, bar.length_mm)
    if push >= euler:
        return math.inf
    return push / area + moment_nmm / bar.modulus_mm3 / (1.0 - push / euler)
