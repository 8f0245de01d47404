"""Fillet welds: leg rules, throat at any joint angle, effective length, fit-up, strength of metal and base metal.

A leg is measured along the face of each member from the root. Two equal legs z that meet at the dihedral angle psi then
have the throat z cos(psi/2): the height of the isosceles triangle from the root. (Skewed-joint tables that give a leg
factor sin(psi/2)/sin 45 deg measure the leg square to the other member; the two rows go opposite ways.)
"""

import math
from functools import cache

from plategen.ground.unit import Units
from plategen.rules import table
from plategen.rules.material import weld_beta
from plategen.rules.safety import GAMMA_M2, RUPTURE, SHEAR_YIELDING, RuleSet

GAP_AS_IS_MM = 1.6
"""A gap up to 1/16 in (2 mm in metric units) leaves the leg as it is (AWS D1.1 5.21, 7.21 in newer editions)."""

GAP_LARGEST_MM = 4.8
"""From there to 3/16 in (5 mm) the leg grows by the whole gap; more is no fillet as detailed (same clause)."""

ANGLE_LEAST_RAD, ANGLE_MOST_RAD = math.radians(60.0), math.radians(135.0)
"""Dihedral angles between which a fillet is prequalified (AWS D1.1 skewed T-joints)."""

ANGLE_GROOVE_RAD = math.radians(30.0)
"""Below this no throat counts: a groove weld is wanted."""

LEAST_THROAT_EN_MM = 3.0
"""Least throat (EN 1993-1-8:2005 4.5.2)."""


@cache
def least_leg_mm(thinner_mm: float, tables: Units) -> tuple[float, str]:
    """Least single-pass leg by the THINNER part joined, and its source (AISC 360 Table J2.4 or J2.4M).

    The inch and the metric table round differently; which one counts is for the job to say, not for the number.

    >>> round(least_leg_mm(9.525, "in")[0] / 25.4, 4), least_leg_mm(9.525, "mm")[0]
    (0.1875, 5.0)
    """
    rows = [row for row in table.read("fillet_leg") if row["unit"] == tables]
    row = next(row for row in rows if thinner_mm <= table.length_mm(row, "upto") + 1e-6)
    return table.length_mm(row, "leg"), row["source"]


EDGE_LEFT_MM: dict[Units, tuple[float, float]] = {"in": (25.4 / 4.0, 25.4 / 16.0), "mm": (6.0, 2.0)}
"""Thickness from which a leg along an edge leaves some of it standing, and how much (AISC 360 J2.2b, both units)."""


def most_leg_mm(edge_thickness_mm: float, tables: Units) -> float:
    """Greatest leg along the edge of a part: t below 1/4 in (6 mm), t - 1/16 in (2 mm) from there on (AISC 360 J2.2b).

    >>> most_leg_mm(5.0, "mm"), most_leg_mm(10.0, "mm"), round(most_leg_mm(12.7, "in"), 4)
    (5.0, 8.0, 11.1125)
    """
    from_mm, left_mm = EDGE_LEFT_MM[tables]
    return edge_thickness_mm if edge_thickness_mm < from_mm - 1e-6 else edge_thickness_mm - left_mm


def gap_taken_mm(gap_mm: float) -> float:
    """What a fit-up gap takes off the leg: nothing up to 1/16 in, the whole gap from there on (AWS D1.1 5.21).

    >>> gap_taken_mm(1.0), gap_taken_mm(2.5)
    (0.0, 2.5)
    """
    return 0.0 if gap_mm <= GAP_AS_IS_MM + 1e-9 else gap_mm


def laid_leg_mm(leg_mm: float, gap_mm: float) -> float:
    """The leg to lay over a gap, which carries what a leg carries without one.

    >>> laid_leg_mm(6.0, 1.0), laid_leg_mm(6.0, 2.5)
    (6.0, 8.5)
    """
    return leg_mm + gap_taken_mm(gap_mm)


def angle_loss_mm(dihedral_rad: float) -> float:
    """The unfused part of the throat in a sharp joint: 3 mm from 45 to 60 deg, 6 mm from 30 to 45 deg.

    Z-loss of AWS D1.1 skewed T-joints, the larger of its values by position and process; from memory.

    >>> angle_loss_mm(math.pi / 2), angle_loss_mm(math.radians(50.0))
    (0.0, 3.0)
    """
    if dihedral_rad >= ANGLE_LEAST_RAD - 1e-9:
        return 0.0
    return 3.0 if dihedral_rad >= math.radians(45.0) - 1e-9 else 6.0


def throat_mm(leg_mm: float, dihedral_rad: float = math.pi / 2, gap_mm: float = 0.0) -> float:
    """Effective throat of equal legs: (z - gap taken) cos(psi/2) - angle loss, not below 0.

    >>> round(throat_mm(6.0), 4)
    4.2426
    """
    if dihedral_rad < ANGLE_GROOVE_RAD - 1e-9:
        return 0.0
    return max(0.0, (leg_mm - gap_taken_mm(gap_mm)) * math.cos(dihedral_rad / 2.0) - angle_loss_mm(dihedral_rad))


def leg_for_throat_mm(throat: float, dihedral_rad: float = math.pi / 2, gap_mm: float = 0.0) -> float:
    """The leg that gives a throat: :func:`throat_mm` solved; infinite where no fillet can give it.

    >>> round(leg_for_throat_mm(throat_mm(6.0)), 6)
    6.0
    """
    half_cos = math.cos(dihedral_rad / 2.0)
    if dihedral_rad < ANGLE_GROOVE_RAD - 1e-9 or half_cos <= 1e-9:
        return math.inf
    return (throat + angle_loss_mm(dihedral_rad)) / half_cos + gap_taken_mm(gap_mm)


def least_length_mm(leg_mm: float) -> float:
    """Least length of a run that counts with its full leg: 4 w (AISC 360 J2.2b).

    >>> least_length_mm(6.0)
    24.0
    """
    return 4.0 * leg_mm


def counted_leg_mm(leg_mm: float, length_mm: float) -> float:
    """The leg that a short run counts with: a quarter of its length below 4 w (AISC 360 J2.2b).

    >>> counted_leg_mm(6.0, 20.0), counted_leg_mm(6.0, 30.0)
    (5.0, 6.0)
    """
    return min(leg_mm, length_mm / 4.0)


def long_run_factor(leg_mm: float, length_mm: float) -> float:
    """Loss of a long run loaded from its end: 1 up to 100 w, 1.2 - 0.002 l/w to 300 w, then 180 w/l (AISC 360 J2.2b).

    >>> long_run_factor(5.0, 500.0), round(long_run_factor(5.0, 1000.0), 3), long_run_factor(5.0, 1800.0)
    (1.0, 0.8, 0.5)
    """
    over = length_mm / leg_mm
    return 180.0 / over if over > 300.0 else min(1.0, 1.2 - 0.002 * over)


def throat_stress_mpa(fexx_mpa: float, rules: RuleSet, weaker_fu_mpa: float = math.inf) -> float:
    """Stress that the throat may carry, whatever the direction.

    AISC: 0.60 FEXX, directional gain left out. EN: fu/(sqrt 3 beta_w gM2) of the weaker part (4.5.3.3).

    >>> round(throat_stress_mpa(482.6, "aisc-asd"), 2)
    144.78
    """
    if rules == "en-1993":
        return weaker_fu_mpa / (math.sqrt(3.0) * weld_beta(weaker_fu_mpa) * GAMMA_M2)
    return RUPTURE.available(0.60 * fexx_mpa, rules)


def base_metal_n_per_mm(fy_mpa: float, fu_mpa: float, thickness_mm: float, rules: RuleSet) -> float:
    """Line load that the steel beside the weld may carry in shear.

    AISC J4.2: the lesser of yielding 0.60 Fy t (phi 1.00, Omega 1.50) and rupture 0.60 Fu t (0.75, 2.00).
    EN 1993-1-1 6.2.6: fy t/sqrt 3.

    >>> base_metal_n_per_mm(250.0, 400.0, 10.0, "aisc-asd")
    1000.0
    """
    if rules == "en-1993":
        return fy_mpa * thickness_mm / math.sqrt(3.0)
    return min(
        SHEAR_YIELDING.available(0.60 * fy_mpa * thickness_mm, rules),
        RUPTURE.available(0.60 * fu_mpa * thickness_mm, rules),
    )


def least_run_mm(leg_mm: float) -> float:
    """The shortest bead that counts, in either rule set, square and without a gap.

    >>> least_run_mm(6.0)
    30.0
    """
    return max(least_length_mm(leg_mm), least_length_en_mm(throat_mm(leg_mm)))


def least_length_en_mm(throat: float) -> float:
    """Least length of a run that carries: max(6 a, 30 mm) (EN 1993-1-8:2005 4.5.1).

    >>> least_length_en_mm(4.0), least_length_en_mm(6.0)
    (30.0, 36.0)
    """
    return max(6.0 * throat, 30.0)
