"""How far a plate may be bent in its own plane before it turns over sideways.

AISC 360 F11 for rectangular bars about their strong axis; EN 1993-1-1 6.3.2 with the elastic critical moment of a thin
rectangle. Both are given here as the bending stress that is reached, with the elastic section modulus.
"""

import math

from plategen.rules.column import en_factor
from plategen.rules.material import YOUNG_MPA

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
    critical = (
        math.pi
        / length_mm
        * e_mpa
        * math.sqrt(SHEAR_RATIO * (depth_mm * thickness_mm**3 / 12.0) * (depth_mm * thickness_mm**3 / 3.0))
    )
    modulus = thickness_mm * depth_mm**2 / 6.0
    return fy_mpa * en_factor(math.sqrt(modulus * fy_mpa / critical), imperfection=0.76)
