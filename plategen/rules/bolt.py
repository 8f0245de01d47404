"""Bolts and the plates they press on: shear, bearing, tear-out, slip, tension, both together, and block shear.

Forces on single bolts of a group come from the elastic method: direct shear V/n added as a vector to the
moment's share M r/sum(r^2). Prying is not covered: under tension it adds force and must be looked at apart.

AISC functions return nominal strengths, to be used with phi 0.75 / Omega 2.00 (slip 1.00 / 1.50 in standard holes).
EN functions return design strengths with gamma_M2 = 1.25 in.
"""

import math
from collections.abc import Sequence
from typing import Literal, TypeAlias

from plategen.rules.safety import GAMMA_M2, GAMMA_M3, RUPTURE, SLIP, SLOT_SLIP, RuleSet

SURFACE_MU = 0.30
"""Slip of clean mill scale: class A (AISC 360 J3.8); EN 1090-2 class C gives 0.30 too."""

HoleKind: TypeAlias = Literal["standard", "long slot across the force", "long slot along the force"]
"""What hole a bolt that holds by friction sits in."""

KS: dict[HoleKind, float] = {
    "standard": 1.00,
    "long slot across the force": 0.70,
    "long slot along the force": 0.63,
}
"""ks of EN 1993-1-8:2005 Table 3.6."""


def group_forces_n(at: Sequence[complex], force_n: complex, where: complex) -> tuple[complex, ...]:
    """Shear on each bolt of a pattern in a plane, elastic method, all bolts alike.

    Args:
        at: Bolt centres, mm.
        force_n: The force in the plane.
        where: A point of its line of action.

    Returns:
        The force on each bolt; their sum is ``force_n`` and their moment is its moment.

    >>> group_forces_n((0j, 100 + 0j), 1000j, 50 + 0j), group_forces_n((0j, 100 + 0j), 1000j, 100 + 0j)
    ((500j, 500j), (0j, 1000j))
    """
    centre = sum(at) / len(at)
    arm, polar = where - centre, sum(abs(p - centre) ** 2 for p in at)
    moment = arm.real * force_n.imag - arm.imag * force_n.real
    direct = force_n / len(at)
    if polar == 0.0:
        return tuple(direct for _ in at)
    return tuple(direct + moment / polar * 1j * (p - centre) for p in at)


def shear_nominal_n(fnv_mpa: float, diameter_mm: float) -> float:
    """Rn = Fnv Ab for each shear plane, Ab the gross shank area (AISC 360 J3.6 in 360-16, J3.7 in 360-22).

    A pattern longer than 965 mm (38 in) along the force would lose a sixth of it (Table J3.2 note); ours never is.

    >>> round(shear_nominal_n(372.0, 20.0))
    116867
    """
    return fnv_mpa * math.pi * diameter_mm**2 / 4.0


def packing(thickness_mm: float) -> float:
    """Share of its shear that a bolt keeps through fillers: 1 - 0.0154 (t - 6), not under 0.85 (AISC 360 J5.2(a)).

    Up to 6 mm (1/4 in) it keeps all of it. The rule goes as far as 19 mm (3/4 in).

    >>> packing(6.0), round(packing(10.0), 4), packing(19.0)
    (1.0, 0.9384, 0.85)
    """
    return max(0.85, 1.0 - 0.0154 * max(0.0, thickness_mm - 6.0))


def en_packing(thickness_mm: float, diameter_mm: float) -> float:
    """The same by EN 1993-1-8:2005 3.6.1(12): beta_p = 9 d/(8 d + 3 t), at most 1, for packing thicker than d/3.

    >>> en_packing(5.0, 16.0), round(en_packing(16.0, 16.0), 4)
    (1.0, 0.8182)
    """
    if thickness_mm <= diameter_mm / 3.0:
        return 1.0
    return min(1.0, 9.0 * diameter_mm / (8.0 * diameter_mm + 3.0 * thickness_mm))


def bearing_nominal_n(
    fu_mpa: float, diameter_mm: float, thickness_mm: float, clear_mm: float, *, slotted: bool = False
) -> float:
    """Rn = min(1.2 lc t Fu, 2.4 d t Fu), where the hole's stretch matters (AISC 360 J3.10, J3.11).

    ``clear_mm`` (lc) is the clear steel along the force: edge bolt Le - dh/2, inner bolt s - dh. A long slot square to
    the force takes 1.0 and 2.0.

    >>> bearing_nominal_n(400.0, 20.0, 10.0, clear_mm=30.0)
    144000.0
    """
    tear, bear = (1.0, 2.0) if slotted else (1.2, 2.4)
    return min(tear * max(0.0, clear_mm), bear * diameter_mm) * thickness_mm * fu_mpa


def slip_nominal_n(mu: float, pretension_n: float, faces: int = 1, filler: float = 1.0) -> float:
    """Rn = mu Du hf Tb ns, Du = 1.13 (AISC 360 J3.8 in 360-16); mu 0.30 class A, 0.50 class B surfaces.

    >>> round(slip_nominal_n(0.30, 142000.0))
    48138
    """
    return mu * 1.13 * filler * pretension_n * faces


def slip_left(pretension_n: float, tension_n: float, rules: RuleSet) -> float:
    """Share of a bolt's slip strength left when it is pulled: ksc = 1 - Tu/(Du Tb), 1.5 Ta under ASD; not below 0.

    AISC 360 J3.9 in 360-16, J3.10 in 360-22; ``tension_n`` with the rule set's load factor in.

    >>> round(slip_left(100000.0, 56500.0, "aisc-lrfd"), 6)
    0.5
    """
    return max(0.0, 1.0 - (1.5 if rules == "aisc-asd" else 1.0) * tension_n / (1.13 * pretension_n))


def tension_with_shear_mpa(fnt_mpa: float, fnv_mpa: float, shear_mpa: float, rules: RuleSet) -> float:
    """Tensile stress left under shear: F'nt = 1.3 Fnt - Fnt/(phi Fnv) frv <= Fnt, 1/Omega for phi (AISC 360 J3.7).

    >>> round(tension_with_shear_mpa(620.0, 372.0, 0.75 * 372.0, "aisc-lrfd"), 6)
    186.0
    """
    return max(0.0, min(fnt_mpa, 1.3 * fnt_mpa - fnt_mpa / RUPTURE.available(fnv_mpa, rules) * shear_mpa))


def block_shear_nominal_n(
    fy_mpa: float, fu_mpa: float, gross_shear_mm2: float, net_shear_mm2: float, net_tension_mm2: float, ubs: float = 1.0
) -> float:
    """Rn = min(0.6 Fu Anv, 0.6 Fy Agv) + Ubs Fu Ant (AISC 360 eq. J4-5).

    >>> block_shear_nominal_n(250.0, 400.0, 1000.0, 900.0, 500.0)
    350000.0
    """
    return min(0.6 * fu_mpa * net_shear_mm2, 0.6 * fy_mpa * gross_shear_mm2) + ubs * fu_mpa * net_tension_mm2


# --- EN 1993-1-8 ---------------------------------------------------------------------------------------------------


def en_shear_n(fub_mpa: float, area_mm2: float, alpha_v: float) -> float:
    """Fv,Rd = alpha_v fub A/gM2 for each plane: A = As with threads in it, gross A with 0.6 without (Table 3.4).

    >>> round(en_shear_n(800.0, 245.0, 0.6))
    94080
    """
    return alpha_v * fub_mpa * area_mm2 / GAMMA_M2


def en_bearing_n(
    fu_mpa: float,
    fub_mpa: float,
    diameter_mm: float,
    hole_mm: float,
    thickness_mm: float,
    e1_mm: float,
    e2_mm: float,
    p1_mm: float = math.inf,
    p2_mm: float = math.inf,
    *,
    slotted: bool = False,
    one_row: bool = False,
) -> float:
    """Fb,Rd = k1 alpha_b fu d t/gM2, fu of the PLATE (EN 1993-1-8:2005 Table 3.4).

    alpha_b = min(e1/(3 d0), p1/(3 d0) - 1/4, fub/fu, 1); k1 = min(2.8 e2/d0 - 1.7, 1.4 p2/d0 - 1.7, 2.5). Give an inner
    bolt ``e1_mm`` or ``e2_mm`` infinite. A slot square to the force bears 0.6 of that (note 1 of the table).
    In a lap of two plates with ``one_row`` of bolts across the force it is 1.5 fu d t/gM2 at most (3.6.1(10)).

    >>> round(en_bearing_n(470.0, 800.0, 20.0, 22.0, 10.0, e1_mm=44.0, e2_mm=33.0))
    125333
    """
    alpha_b = min(e1_mm / (3.0 * hole_mm), p1_mm / (3.0 * hole_mm) - 0.25, fub_mpa / fu_mpa, 1.0)
    k1 = min(2.8 * e2_mm / hole_mm - 1.7, 1.4 * p2_mm / hole_mm - 1.7, 2.5)
    slot = 0.6 if slotted else 1.0
    share = slot * max(0.0, k1) * max(0.0, alpha_b)
    return (min(share, 1.5) if one_row else share) * fu_mpa * diameter_mm * thickness_mm / GAMMA_M2


def en_tension_n(fub_mpa: float, stress_area_mm2: float, *, countersunk: bool = False) -> float:
    """Ft,Rd = k2 fub As/gM2, k2 0.9, countersunk 0.63 (EN 1993-1-8:2005 Table 3.4).

    >>> round(en_tension_n(800.0, 245.0))
    141120
    """
    return (0.63 if countersunk else 0.9) * fub_mpa * stress_area_mm2 / GAMMA_M2


def en_combined(shear_share: float, tension_share: float) -> float:
    """Fv/Fv,Rd + Ft/(1.4 Ft,Rd), not to exceed 1 (EN 1993-1-8:2005 Table 3.4).

    >>> en_combined(0.5, 0.7)
    1.0
    """
    return shear_share + tension_share / 1.4


def pretension_n(tensile_mpa: float, stress_area_mm2: float) -> float:
    """Pretension of a bolt, 0.7 of its tensile strength (AISC 360 Table J3.1; EN 1993-1-8:2005 3.6.1).

    >>> pretension_n(1000.0, 245.0)
    171500.0
    """
    return 0.7 * tensile_mpa * stress_area_mm2


def en_slip_n(
    mu: float, fub_mpa: float, stress_area_mm2: float, faces: int = 1, ks: float = 1.0, tension_n: float = 0.0
) -> float:
    """Fs,Rd = ks n mu (Fp,C - 0.8 Ft,Ed)/gM3 with Fp,C = 0.7 fub As (EN 1993-1-8:2005 3.9.1, 3.9.2); not below 0.

    >>> round(en_slip_n(0.30, 800.0, 245.0))
    32928
    """
    return ks * faces * mu * max(0.0, pretension_n(fub_mpa, stress_area_mm2) - 0.8 * tension_n) / GAMMA_M3


def slip_strength_n(
    tensile_mpa: float, stress_area_mm2: float, pull_n: float, rules: RuleSet, hole: HoleKind = "standard"
) -> float:
    """What friction holds on one pretensioned bolt in clean mill scale, by a rule set, N.

    The pretension is 0.7 of the tensile strength; a pull on the bolt takes from what it presses.
    Source: :func:`slip_nominal_n` with :func:`slip_left`, or :func:`en_slip_n`.

    Args:
        tensile_mpa: Tensile strength of the bolt.
        stress_area_mm2: Its stress area.
        pull_n: Tension that the load puts on it, the rule set's load factor in.
        rules: The rule set.
        hole: The hole it sits in; AISC 360 gives a long slot one safety in any direction, EN 1993 two factors.

    >>> round(slip_strength_n(800.0, 245.0, 0.0, "en-1993"))
    32928
    """
    if rules == "en-1993":
        return en_slip_n(SURFACE_MU, tensile_mpa, stress_area_mm2, ks=KS[hole], tension_n=pull_n)
    pretension = pretension_n(tensile_mpa, stress_area_mm2)
    nominal = slip_nominal_n(SURFACE_MU, pretension) * slip_left(pretension, pull_n, rules)
    return (SLIP if hole == "standard" else SLOT_SLIP).available(nominal, rules)


def en_block_shear_n(
    fy_mpa: float, fu_mpa: float, net_tension_mm2: float, net_shear_mm2: float, *, eccentric: bool = False
) -> float:
    """Veff,Rd = fu Ant/gM2 + fy Anv/(sqrt 3 gM0); half the first term when eccentric (EN 1993-1-8:2005 3.10.2).

    >>> round(en_block_shear_n(235.0, 360.0, net_tension_mm2=500.0, net_shear_mm2=900.0))
    266110
    """
    return (0.5 if eccentric else 1.0) * fu_mpa * net_tension_mm2 / GAMMA_M2 + fy_mpa * net_shear_mm2 / math.sqrt(3.0)
