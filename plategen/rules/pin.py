"""A round pin through an eye and two ears: shear, bending with the real gaps, and contact.

The pin is a beam on the ears' mid-planes with the eye's load spread over its width. With eye width b, ear thickness a
and clear gap c on each side the largest moment is F (b + 4 c + 2 a)/8 (EN 1993-1-8:2005 Figure 3.11; the letters are
not those of its Table 3.9).
"""

import math

from plategen.rules.safety import GAMMA_M0, GAMMA_M2, GAMMA_M6_SER, RUPTURE, YIELDING, RuleSet


def area_mm2(diameter_mm: float) -> float:
    """Area of the pin's section: pi d^2/4.

    >>> round(area_mm2(20.0), 2)
    314.16
    """
    return math.pi * diameter_mm**2 / 4.0


def section_modulus_mm3(diameter_mm: float) -> float:
    """Elastic section modulus: pi d^3/32.

    >>> round(section_modulus_mm3(20.0), 2)
    785.4
    """
    return math.pi * diameter_mm**3 / 32.0


def moment_nmm(force_n: float, eye_width_mm: float, ear_mm: float, gap_mm: float) -> float:
    """Largest bending moment in a pin in double shear: F (b + 4 c + 2 a)/8.

    >>> moment_nmm(8.0, 10.0, 5.0, 1.0)
    24.0
    """
    return force_n * (eye_width_mm + 4.0 * gap_mm + 2.0 * ear_mm) / 8.0


def cantilever_moment_nmm(force_n: float, eye_width_mm: float, ear_mm: float, gap_mm: float) -> float:
    """Bending moment of a pin held in one ear only: F (b/2 + c + a/2), at the ear's mid-plane.

    >>> cantilever_moment_nmm(8.0, 10.0, 5.0, 1.0)
    68.0
    """
    return force_n * (eye_width_mm / 2.0 + gap_mm + ear_mm / 2.0)


def near_ear_share(eye_width_mm: float, ear_mm: float, gap_mm: float) -> float:
    """Share of the force on the nearer ear when the eye stands hard against it: 1/2 + c/(b + 2 c + a).

    Half each when centred; the levers run between the ears' mid-planes.

    >>> near_ear_share(10.0, 6.0, 2.0)
    0.6
    """
    return 0.5 + gap_mm / (eye_width_mm + 2.0 * gap_mm + ear_mm)


def shear_n(fy_mpa: float, fu_mpa: float, diameter_mm: float, rules: RuleSet) -> float:
    """Shear that one plane of the pin may carry.

    AISC: the lesser of yielding 0.6 Fy A (G1) and rupture 0.563 Fu A (Table J3.2, threads not in the plane).
    EN: Fv,Rd = 0.6 A fup/gM2 (EN 1993-1-8:2005 Table 3.10).

    >>> round(shear_n(250.0, 400.0, 20.0, "en-1993"))
    60319
    """
    area = area_mm2(diameter_mm)
    if rules == "en-1993":
        return 0.6 * area * fu_mpa / GAMMA_M2
    return min(YIELDING.available(0.6 * fy_mpa * area, rules), RUPTURE.available(0.563 * fu_mpa * area, rules))


def bending_nmm(fy_mpa: float, diameter_mm: float, rules: RuleSet) -> float:
    """Moment that the pin may carry: AISC F11 Mn = 1.6 Fy S (the bound on Fy Z); EN MRd = 1.5 Wel fyp/gM0.

    >>> round(bending_nmm(250.0, 20.0, "en-1993"))
    294524
    """
    modulus = section_modulus_mm3(diameter_mm)
    if rules == "en-1993":
        return 1.5 * modulus * fy_mpa / GAMMA_M0
    return YIELDING.available(1.6 * fy_mpa * modulus, rules)


def shear_with_bending(shear_share: float, bending_share: float) -> float:
    """Interaction (M/MRd)^2 + (F/FRd)^2 (EN 1993-1-8:2005 Table 3.10), not to exceed 1.

    >>> shear_with_bending(0.6, 0.8)
    1.0
    """
    return shear_share**2 + bending_share**2


def service_bending_nmm(fy_mpa: float, diameter_mm: float) -> float:
    """Service moment of a pin meant to be replaced: 0.8 Wel fyp/gM6,ser (EN 1993-1-8:2005 Table 3.10).

    >>> round(service_bending_nmm(250.0, 20.0))
    157080
    """
    return 0.8 * section_modulus_mm3(diameter_mm) * fy_mpa / GAMMA_M6_SER
