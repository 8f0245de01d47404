"""A pin, the ears that it goes through, a rod end's tilt on it, and the plates that hang on it, by published rules.

The pin is a beam on the ears' mid-planes with the eye's load spread over its width. With eye width b, ear thickness a
and clear gap c on each side the largest moment is F (b + 4 c + 2 a)/8 (EN 1993-1-8:2005 Figure 3.11; the letters are
not those of its Table 3.9).

The distances ``a_mm`` (along the force) and ``be_mm`` or ``c_mm`` (across it) run from the EDGE of the hole to the edge
of the plate; only ``centre_mm`` (R of BTH-1) runs from the hole's centre. Every function takes one direction of force.

Symbols: t plate thickness, d or dp pin diameter, dh or d0 hole diameter, Fy, Fu strengths of the plate.
"""

import math

from plategen.rules.safety import GAMMA_M0, GAMMA_M2, GAMMA_M6_SER, RUPTURE, YIELDING, RuleSet


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
    area = math.pi * diameter_mm**2 / 4.0
    if rules == "en-1993":
        return 0.6 * area * fu_mpa / GAMMA_M2
    return min(YIELDING.available(0.6 * fy_mpa * area, rules), RUPTURE.available(0.563 * fu_mpa * area, rules))


def bending_nmm(fy_mpa: float, diameter_mm: float, rules: RuleSet) -> float:
    """Moment that the pin may carry: AISC F11 Mn = 1.6 Fy S (the bound on Fy Z); EN MRd = 1.5 Wel fyp/gM0.

    >>> round(bending_nmm(250.0, 20.0, "en-1993"))
    294524
    """
    modulus = math.pi * diameter_mm**3 / 32.0
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
    return 0.8 * (math.pi * diameter_mm**3 / 32.0) * fy_mpa / GAMMA_M6_SER


BE_EXTRA_MM = 16.0
"""The part of the effective width that does not grow with the plate (AISC 360 D5.1; 0.63 in in inch units)."""

HOLE_OVER_PIN_MM = 1.0
"""Greatest play of a pin in its hole, mm; 1/32 in (0.79 mm) in inch units (AISC 360-22 D5.2(b), pins under 75 mm)."""


# --- AISC 360 D5 and J7 -------------------------------------------------------------------------------------------


def effective_width_mm(thickness_mm: float, be_mm: float) -> float:
    """Width beside the hole that counts: be = min(2 t + 16 mm, real net width) (AISC 360 D5.1).

    >>> effective_width_mm(12.0, 50.0), effective_width_mm(12.0, 30.0)
    (40.0, 30.0)
    """
    return min(2.0 * thickness_mm + BE_EXTRA_MM, be_mm)


def tension_rupture_n(fu_mpa: float, thickness_mm: float, be_mm: float) -> float:
    """Nominal rupture beside the hole: Pn = Fu (2 t be) (AISC 360 D5.1(a)); ``be_mm`` the effective width.

    >>> round(tension_rupture_n(399.9, 12.7, 41.4))
    420519
    """
    return fu_mpa * 2.0 * thickness_mm * be_mm


def shear_rupture_n(fu_mpa: float, thickness_mm: float, a_mm: float, pin_mm: float) -> float:
    """Nominal tearing out beyond the hole: Pn = 0.6 Fu Asf, Asf = 2 t (a + d/2) (AISC 360 D5.1(b)).

    >>> shear_rupture_n(400.0, 10.0, 20.0, 20.0)
    144000.0
    """
    return 0.6 * fu_mpa * 2.0 * thickness_mm * (a_mm + pin_mm / 2.0)


def bearing_n(fy_mpa: float, pin_mm: float, thickness_mm: float) -> float:
    """Nominal bearing on a pin: Rn = 1.8 Fy Apb, Apb = d t, Fy the lower of pin and plate (AISC 360 J7(a)).

    >>> bearing_n(250.0, 20.0, 10.0)
    90000.0
    """
    return 1.8 * fy_mpa * pin_mm * thickness_mm


# --- ASME BTH-1 section 3-3.3 ---------------------------------------------------------------------------------------

DESIGN_FACTOR = {"A": 2.00, "B": 3.00, "C": 6.00}
"""Nominal design factor Nd by design category (ASME BTH-1 3-1.3): A loads known and watched, B not known, C cyclic."""


def play_factor(pin_mm: float, hole_mm: float) -> float:
    """Reduction for play: Cr = 1 - 0.275 sqrt(1 - Dp^2/Dh^2) (ASME BTH-1 eq. 3-46).

    >>> play_factor(20.0, 20.0), round(play_factor(16.0, 20.0), 3)
    (1.0, 0.835)
    """
    share = min(1.0, pin_mm / hole_mm)
    return 1.0 - 0.275 * math.sqrt(1.0 - share * share)


def bth_effective_width_mm(be_mm: float, thickness_mm: float, hole_mm: float, fy_mpa: float, fu_mpa: float) -> float:
    """Effective width to each side: min(be, 4 t, 0.6 be (Fu/Fy) sqrt(Dh/be)) (ASME BTH-1 eqs. 3-47, 3-48).

    >>> bth_effective_width_mm(25.0, 10.0, 25.0, 250.0, 400.0)
    24.0
    """
    if be_mm <= 0.0:
        return 0.0
    return min(be_mm, 4.0 * thickness_mm, 0.6 * be_mm * (fu_mpa / fy_mpa) * math.sqrt(hole_mm / be_mm))


def bth_tension_n(
    fy_mpa: float, fu_mpa: float, thickness_mm: float, be_mm: float, pin_mm: float, hole_mm: float, nd: float
) -> float:
    """Allowable tension through the hole: Pt = Cr Fu/(1.20 Nd) 2 t beff (ASME BTH-1 eq. 3-45).

    >>> round(bth_tension_n(250.0, 400.0, 10.0, 24.0, 25.0, 25.0, 2.0))
    78384
    """
    beff = bth_effective_width_mm(be_mm, thickness_mm, hole_mm, fy_mpa, fu_mpa)
    return play_factor(pin_mm, hole_mm) * fu_mpa / (1.20 * nd) * 2.0 * thickness_mm * beff


def bth_fracture_n(
    fu_mpa: float, thickness_mm: float, centre_mm: float, be_mm: float, pin_mm: float, hole_mm: float, nd: float
) -> float:
    """Allowable splitting beyond the hole on one plane (ASME BTH-1 eq. 3-49).

    Pb = Cr Fu/(1.20 Nd) [1.13 (R - Dh/2) + 0.92 be/(1 + be/Dh)] t, R from the hole's CENTRE to the edge.

    >>> round(bth_fracture_n(400.0, 10.0, 40.0, 20.0, 20.0, 20.0, 2.0))
    71833
    """
    bracket = 1.13 * (centre_mm - hole_mm / 2.0) + 0.92 * be_mm / (1.0 + be_mm / hole_mm)
    return play_factor(pin_mm, hole_mm) * fu_mpa / (1.20 * nd) * bracket * thickness_mm


def bth_shear_n(
    fu_mpa: float,
    thickness_mm: float,
    a_mm: float,
    pin_mm: float,
    hole_mm: float,
    nd: float,
    edge_radius_mm: float = math.inf,
) -> float:
    """Allowable shear beyond the hole on two planes (ASME BTH-1 eqs. 3-50 to 3-52, commentary for a curved edge).

    Pv = 0.70 Fu/(1.20 Nd) Av, Av = 2 [a + (Dp/2)(1 - cos phi) - Z'] t, phi = 55 deg Dp/Dh, and for an edge of radius r
    Z' = r - sqrt(r^2 - ((Dp/2) sin phi)^2).

    >>> round(bth_shear_n(400.0, 10.0, 20.0, 20.0, 20.0, 2.0))
    56617
    """
    phi_rad = math.radians(55.0) * pin_mm / hole_mm
    lost_mm = 0.0
    if math.isfinite(edge_radius_mm):
        off_mm = min(edge_radius_mm, pin_mm / 2.0 * math.sin(phi_rad))
        lost_mm = edge_radius_mm - math.sqrt(edge_radius_mm**2 - off_mm**2)
    area_mm2 = 2.0 * (a_mm + pin_mm / 2.0 * (1.0 - math.cos(phi_rad)) - lost_mm) * thickness_mm
    return 0.70 * fu_mpa / (1.20 * nd) * area_mm2


def bth_bearing_n(fy_mpa: float, pin_mm: float, thickness_mm: float, nd: float, *, turning: bool = False) -> float:
    """Allowable bearing: 1.25 Fy/Nd on Dp t (ASME BTH-1 eq. 3-53); 0.63 Fy/Nd where the pin turns under load often.

    >>> bth_bearing_n(250.0, 20.0, 10.0, 2.0)
    31250.0
    """
    return (0.63 if turning else 1.25) * fy_mpa / nd * pin_mm * thickness_mm


# --- EN 1993-1-8 3.13 -----------------------------------------------------------------------------------------------


def en_force_by_a_n(a_mm: float, thickness_mm: float, hole_mm: float, fy_mpa: float) -> float:
    """The force that the steel beyond the hole allows: type A solved for F; 0 when a <= 2 d0/3.

    >>> en_force_by_a_n(24.0, 10.0, 21.0, 250.0)
    50000.0
    """
    return max(0.0, 2.0 * thickness_mm * fy_mpa / GAMMA_M0 * (a_mm - 2.0 * hole_mm / 3.0))


def en_force_by_c_n(c_mm: float, thickness_mm: float, hole_mm: float, fy_mpa: float) -> float:
    """The force that the steel beside the hole allows: type A solved for F; 0 when c <= d0/3.

    >>> en_force_by_c_n(17.0, 10.0, 21.0, 250.0)
    50000.0
    """
    return max(0.0, 2.0 * thickness_mm * fy_mpa / GAMMA_M0 * (c_mm - hole_mm / 3.0))


def en_bearing_n(fy_mpa: float, pin_mm: float, thickness_mm: float) -> float:
    """Bearing of plate and pin: Fb,Rd = 1.5 t d fy/gM0, fy the lower of the two (EN 1993-1-8:2005 Table 3.10).

    >>> en_bearing_n(250.0, 20.0, 10.0)
    75000.0
    """
    return 1.5 * thickness_mm * pin_mm * fy_mpa / GAMMA_M0


def service_bearing_n(fy_mpa: float, pin_mm: float, thickness_mm: float) -> float:
    """Service bearing of a pin meant to be replaced: 0.6 t d fy/gM6,ser, fy the lower of the two (same table).

    >>> round(service_bearing_n(355.0, 40.0, 20.0))
    170400
    """
    return 0.6 * thickness_mm * pin_mm * fy_mpa / GAMMA_M6_SER


def contact_stress_mpa(force_n: float, pin_mm: float, hole_mm: float, thickness_mm: float) -> float:
    """Contact stress of a pin in its hole in service: 0.591 sqrt(E F (d0 - d)/(d^2 t)) (EN 1993-1-8:2005 3.13.2(3)).

    Hertz's pressure along a line, for Poisson's ratio 0.3; ``force_n`` is that on one plate. E is EN's 210 000, for a
    stiffer steel touches over less. It grows with the root of the force.

    >>> round(contact_stress_mpa(60e3, 40.0, 42.0, 20.0), 1)
    524.5
    """
    play_mm = max(0.0, hole_mm - pin_mm)
    return 0.591 * math.sqrt(210_000.0 * force_n * play_mm / (pin_mm**2 * thickness_mm))


def contact_limit_mpa(fy_mpa: float) -> float:
    """What the contact stress may be: 2.5 fy/gM6,ser, fy the lower of pin and plate (EN 1993-1-8:2005 3.13.2(3)).

    >>> contact_limit_mpa(355.0)
    887.5
    """
    return 2.5 * fy_mpa / GAMMA_M6_SER


MOST_IN_HAND_DEG = 1.5
"""Catalogues print up to this much less than the geometry gives (size 40 of ISO 12240-1, as suppliers print it)."""


def tilt_before_plates_rad(gap_mm: float, head_width_mm: float, head_diameter_mm: float) -> float:
    """Tilt at which the corner of a head meets plates ``gap_mm`` apart, the ball in their middle.

    The corner, D/2 out and H/2 up, comes to D/2 sin a + H/2 cos a from the middle when the head tilts by a, so

        a = asin(G / sqrt(D^2 + H^2)) - atan(H / D)

    with G the gap: the ball and its spacers, and the play. A quarter turn where the head can never meet them.

    >>> round(math.degrees(tilt_before_plates_rad(25.0, 18.0, 50.0)), 2)
    8.26
    """
    across = math.hypot(head_diameter_mm, head_width_mm)
    if gap_mm >= across:
        return math.pi / 2
    return math.asin(gap_mm / across) - math.atan2(head_width_mm, head_diameter_mm)


def tilt_in_head_rad(ball_mm: float, shoulder_mm: float, head_width_mm: float) -> float:
    """Tilt at which the rim of the head's seat comes to the shoulder against the ball.

    On a ball of diameter B the head's rim lies asin(H/B) from its equator, and a shoulder of diameter S meets the ball
    acos(S/B) from it; between them lies a = acos(S/B) - asin(H/B). A shoulder as wide as the ball's face of width W,
    S = sqrt(B^2 - W^2), gives asin(W/B) - asin(H/B).

    >>> round(math.degrees(tilt_in_head_rad(29.0, math.sqrt(29.0**2 - 16.0**2), 12.0)), 1)
    9.0
    """
    return math.acos(min(1.0, shoulder_mm / ball_mm)) - math.asin(min(1.0, head_width_mm / ball_mm))
