"""Columns that bend before they crush: Euler, Johnson, the secant for eccentric load, and AISC E3.

Length factors K: pin-pin 1, fixed-pin 0.7, fixed-fixed 0.5, fixed-free 2.
"""

import math

from plategen.rules.material import YOUNG_MPA


def round_bar(diameter_mm: float, bore_mm: float = 0.0) -> tuple[float, float]:
    """Area, mm^2, and second moment of area, mm^4, of a bar or tube.

    >>> area, inertia = round_bar(20.0)
    >>> round(area, 2), round(inertia, 1)
    (314.16, 7854.0)
    """
    return (
        math.pi / 4.0 * (diameter_mm**2 - bore_mm**2),
        math.pi / 64.0 * (diameter_mm**4 - bore_mm**4),
    )


def euler_n(inertia_mm4: float, length_mm: float, e_mpa: float = YOUNG_MPA) -> float:
    """Euler load pi^2 E I/(K L)^2; ``length_mm`` is K L.

    >>> round(euler_n(7854.0, 1000.0, e_mpa=200000.0))
    15503
    """
    return math.pi**2 * e_mpa * inertia_mm4 / length_mm**2


def transition_slenderness(yield_mpa: float, e_mpa: float = YOUNG_MPA) -> float:
    """Slenderness K L/r where Johnson hands over to Euler: pi sqrt(2 E/Sy) (half the yield stress).

    >>> round(transition_slenderness(200.0, e_mpa=200000.0), 2)
    140.5
    """
    return math.pi * math.sqrt(2.0 * e_mpa / yield_mpa)


def johnson_n(area_mm2: float, slenderness: float, yield_mpa: float, e_mpa: float = YOUNG_MPA) -> float:
    """Johnson's parabola A Sy [1 - Sy (K L/r)^2/(4 pi^2 E)], for stocky columns.

    >>> round(johnson_n(100.0, math.pi * math.sqrt(2000.0), 200.0, e_mpa=200000.0), 6)
    10000.0
    """
    return area_mm2 * yield_mpa * (1.0 - yield_mpa * slenderness**2 / (4.0 * math.pi**2 * e_mpa))


def critical_n(
    area_mm2: float, inertia_mm4: float, length_mm: float, yield_mpa: float, e_mpa: float = YOUNG_MPA
) -> float:
    """Buckling load of a centrally loaded column: Johnson below the transition slenderness, Euler from it on.

    >>> round(critical_n(*round_bar(20.0), 1000.0, 300.0, e_mpa=200000.0))
    15503
    """
    slenderness = length_mm / math.sqrt(inertia_mm4 / area_mm2)
    if slenderness < transition_slenderness(yield_mpa, e_mpa):
        return johnson_n(area_mm2, slenderness, yield_mpa, e_mpa)
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
