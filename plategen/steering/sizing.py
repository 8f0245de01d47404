"""Bore and rod to ask for: the smallest standard cylinder that turns the wheels both ways and does not buckle."""

import math
from dataclasses import dataclass

from plategen.ground.refusal import Refusal
from plategen.steering.standard import Series, Size, nearest, next_size, sizes

STEEL_E_MPA = 205_000.0
"""Modulus of elasticity of steel, between the 200 and the 210 GPa that codes print."""

BUCKLING_SAFETY = 3.5
"""Euler load over push (common practice; makers ask for 3 to 5)."""

THICKEST_ROD = 0.75
"""A rod thicker than this share of its bore leaves hardly any pull (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sizing:
    """What to ask for, and the standard sizes nearest to what is there.

    Args:
        needed_n: Force asked both ways.
        bore: Smallest standard bore whose weaker way has it; None when no standard cylinder does.
        rod: Smallest standard rod of that cylinder that does not buckle.
        nearest_bore: Standard bore nearest to the cylinder's own; None without one.
        nearest_rod: Standard rod nearest to its own.
    """

    needed_n: float
    bore: Size | None
    rod: Size | None
    nearest_bore: Size | None = None
    nearest_rod: Size | None = None


def rod_against_buckling_mm(push_n: float, length_mm: float, safety: float = BUCKLING_SAFETY) -> float:
    """Rod diameter whose Euler load, pinned at both ends, is ``safety`` times the push.

    F = pi^2 E I / L^2 with I = pi d^4 / 64, so d = (64 F s L^2 / (pi^3 E))^(1/4). The whole open length counts as rod,
    which is on the safe side; a short rod yields before it buckles and is not the case here.

    Examples:
        >>> round(rod_against_buckling_mm(20_000.0, 600.0), 1)
        22.4
    """
    return float((64.0 * push_n * safety * length_mm**2 / (math.pi**3 * STEEL_E_MPA)) ** 0.25)


def sizing(
    needed_n: float,
    pressure_mpa: float,
    open_mm: float,
    series: Series,
    *,
    own_bore_mm: float | None = None,
    own_rod_mm: float | None = None,
) -> Sizing:
    """The smallest standard bore, with the rod it needs, that pushes and pulls with the asked force.

    Args:
        needed_n: Force asked both ways.
        pressure_mpa: Relief setting.
        open_mm: Pin to pin, open: what may buckle.
        series: Which standard sizes.
        own_bore_mm: Of the cylinder there is.
        own_rod_mm: Of the cylinder there is.
    """
    bore, rod = _smallest(needed_n, pressure_mpa, open_mm, series)
    return Sizing(
        needed_n=needed_n,
        bore=bore,
        rod=rod,
        nearest_bore=None if own_bore_mm is None else nearest("bore", series, own_bore_mm),
        nearest_rod=None if own_rod_mm is None else nearest("rod", series, own_rod_mm),
    )


def _smallest(needed: float, pressure: float, length: float, series: Series) -> tuple[Size | None, Size | None]:
    for bore in sizes("bore", series):
        push = pressure * math.pi / 4.0 * bore.size_mm**2
        try:
            rod = next_size("rod", series, rod_against_buckling_mm(push, length))
        except Refusal:
            continue
        pull = push - pressure * math.pi / 4.0 * rod.size_mm**2
        if rod.size_mm <= THICKEST_ROD * bore.size_mm and pull >= needed:
            return bore, rod
    return None, None
