"""Plate that is bent cold on a brake: how tightly, how long it was while flat, what the bend does to the steel.

Angles are those through which the plate is turned: 0 while flat, a right angle for a square bend.
"""

import math
from functools import cache

from plategen.ground.message import message, size
from plategen.ground.refusal import Refusal
from plategen.rules import table
from plategen.rules.material import Steel

DIE_OVER_THICKNESS = ((8.0, 8.0), (10.0, 10.0), (math.inf, 12.0))
"""Opening of the V under the bend over the thickness, up to a thickness in mm (air-bending charts of brake makers)."""

LEG_OVER_DIE = 0.71
"""Shortest outside leg that still lies on both shoulders of the V, over its opening: b 71 mm for V 100, 113 for 160
(air-bending charts of brake makers)."""

HOLE_OFF_BEND = 2.0
"""Steel between a hole and a bend, in thicknesses: nearer, the hole is drawn oval (common practice, no source)."""

AIR_BENDING = 1.42
"""C of F = C Rm t^2 L / V, for a bend in the air over a V of about eight thicknesses (handbooks; from memory)."""


@cache
def least_radius_mm(steel: Steel, thickness_mm: float, *, across: bool) -> tuple[float, str]:
    """Least inside radius of a bend, and the rule.

    Args:
        steel: The steel.
        thickness_mm: Thickness of the plate.
        across: Whether the bend line lies across the way the plate was rolled.

    Raises:
        Refusal: No table says how tightly that steel is bent, or none in that thickness.

    >>> from plategen.rules.material import steel
    >>> least_radius_mm(steel("S355"), 10.0, across=True)[0], least_radius_mm(steel("A36"), 10.0, across=True)[0]
    (20.0, 15.0)
    """
    rows = [row for row in table.read("bend_radius") if row["steel"] == steel.name]
    if not rows:
        known = ", ".join(dict.fromkeys(row["steel"] for row in table.read("bend_radius")))
        raise Refusal(f'no table says how tightly "{steel.name}" is bent cold; {known} are right')
    for row in rows:
        if thickness_mm <= table.length_mm(row, "upto") + 1e-6:
            printed = row["across" if across else "along"]
            times = printed.removesuffix("t")
            is_times = times != printed
            return (
                table.number(times) * (thickness_mm if is_times else table.MM_PER[row["unit"]]),
                row["source"],
            )
    most = size(table.length_mm(rows[-1], "upto"))
    raise Refusal(
        message('"{}" is bent cold up to {}, not {}; a thinner plate is right', steel.name, most, size(thickness_mm))
    )


def k_factor(radius_mm: float, thickness_mm: float) -> float:
    """How deep from the inside the fibre lies that keeps its length, over the thickness: half of DIN 6935's factor k.

    k = 0.65 + 0.5 log10(r/s), no more than 1 (which it reaches at r = 5 s).

    >>> round(2.0 * k_factor(6.0, 5.0), 2), k_factor(100.0, 10.0)
    (0.69, 0.5)
    """
    return max(0.0, min(1.0, 0.65 + 0.5 * math.log10(radius_mm / thickness_mm))) / 2.0


def allowance_mm(radius_mm: float, thickness_mm: float, turn_rad: float, k: float) -> float:
    """Length of a bend in the flat plate, from where it begins to where it ends.

    The worked example of a German handbook's page on DIN 6935 (r = 6, s = 5, opened to 60 degrees, k = 0.7 read off a
    diagram): v = 2 (r + s) - allowance = 5.77.

    >>> round(2.0 * (6.0 + 5.0) - allowance_mm(6.0, 5.0, math.radians(120.0), 0.7 / 2.0), 2)
    5.77
    """
    return turn_rad * (radius_mm + k * thickness_mm)


def outer_strain(radius_mm: float, thickness_mm: float) -> float:
    """How far the outermost fibre is stretched: t/(2 r + t).

    >>> outer_strain(15.0, 10.0)
    0.25
    """
    return thickness_mm / (2.0 * radius_mm + thickness_mm)


def inner_stress_factor(radius_mm: float, thickness_mm: float) -> float:
    """Stress at the inside of a bent bar over that of a straight one, in bending (Winkler and Bach).

    Timoshenko's and Roark's tables for a rectangle: c/R = 0.25 (R = 2 t) gives 1.20, c/R = 0.5 (R = t) gives 1.52.

    >>> round(inner_stress_factor(1.5, 1.0), 2), round(inner_stress_factor(0.5, 1.0), 2)
    (1.2, 1.52)
    """
    neutral = thickness_mm / math.log1p(thickness_mm / radius_mm)
    off = radius_mm + thickness_mm / 2.0 - neutral
    return (neutral - radius_mm) / (off * radius_mm) * thickness_mm / 6.0


def die_mm(thickness_mm: float) -> float:
    """Opening of the V that is usual for a thickness.

    >>> die_mm(6.0), die_mm(10.0)
    (48.0, 100.0)
    """
    return thickness_mm * next(times for upto, times in DIE_OVER_THICKNESS if thickness_mm <= upto + 1e-6)


def least_leg_mm(thickness_mm: float) -> float:
    """Shortest leg, outside, that a bend over that V takes."""
    return LEG_OVER_DIE * die_mm(thickness_mm)


def force_n(steel: Steel, thickness_mm: float, length_mm: float) -> float:
    """What a brake pushes with in the air over that V: C Rm t^2 L / V."""
    return AIR_BENDING * steel.fu_mpa * thickness_mm**2 * length_mm / die_mm(thickness_mm)
