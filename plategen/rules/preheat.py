"""How warm steel must be before it is welded, and how many passes a leg takes.

The steels of AWS D1.1 go by its table: group and thickest part. Harder ones go by EN 1011-2 method B: carbon equivalent
CET, thickness, hydrogen and heat. A steel that neither lists goes with the group of its like, as practice has it.
"""

import math
from functools import cache

from plategen.ground.unit import Units
from plategen.rules import table
from plategen.rules.material import Steel, WeldMetal

LOW_HYDROGEN_ML = 16.0
"""Diffusible hydrogen, ml in 100 g of weld metal, up to which a filler counts as low-hydrogen (AWS A5.1, H16)."""

HEAT_KJ_PER_MM = 1.0
"""Heat of a fillet of usual leg, on the low side (common practice, no source): more heat asks less preheat."""

SINGLE_PASS_MM = 8.0
"""Largest fillet laid in one horizontal pass: 5/16 in (AWS D1.1 prequalified procedures; from memory)."""

_LAYER_MM = 25.4 / 4.0  # a further pass lays what a fillet of 1/4 in does (common practice, no source)


@cache
def least_preheat_c(
    steel: Steel, filler: WeldMetal, thickest_mm: float, tables: Units, heat_kj_per_mm: float = HEAT_KJ_PER_MM
) -> tuple[float, str]:
    """Least temperature, degrees C, for a steel in the thickest part at its joint, and the rule.

    Less heat than usual asks more of a steel that goes by its carbon equivalent; more is not counted on.

    >>> from plategen.rules.material import steel, weld_metal
    >>> least_preheat_c(steel("A36"), weld_metal("E6010"), 25.4, "in")[0]
    65.0
    """
    if steel.cet:
        heat = min(HEAT_KJ_PER_MM, heat_kj_per_mm)
        return preheat_by_cet_c(steel.cet, thickest_mm, filler.hydrogen_ml, heat), "EN 1011-2 C.3 method B; from memory"
    group = "A" if filler.hydrogen_ml > LOW_HYDROGEN_ML else "B"
    return next((celsius, source) for upto_mm, celsius, source in _rows(group, tables) if thickest_mm <= upto_mm + 1e-6)


@cache
def _rows(group: str, tables: Units) -> tuple[tuple[float, float, str], ...]:
    """The rows of a group: up to which thickness, the temperature, and the rule."""
    rows = (row for row in table.read("preheat") if (row["group"], row["unit"]) == (group, tables))
    return tuple((table.length_mm(row, "upto"), table.number(row["celsius"]), row["source"]) for row in rows)


def preheat_by_cet_c(cet: float, thickness_mm: float, hydrogen_ml: float, heat: float = HEAT_KJ_PER_MM) -> float:
    """697 CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - 328, degrees C, not below 0 (EN 1011-2 C.3).

    >>> round(preheat_by_cet_c(0.40, 35.0, 5.0), 1)
    170.8
    """
    by_steel, by_heat = 697.0 * cet + 160.0 * math.tanh(thickness_mm / 35.0), (53.0 * cet - 32.0) * heat
    return max(0.0, by_steel + 62.0 * math.pow(hydrogen_ml, 0.35) + by_heat - 328.0)


def passes(leg_mm: float) -> int:
    """How many passes a fillet takes.

    >>> passes(8.0), passes(9.525), passes(12.7)
    (1, 3, 4)
    """
    return 1 if leg_mm <= SINGLE_PASS_MM + 1e-6 else math.ceil((leg_mm / _LAYER_MM) ** 2 - 1e-6)
