"""Bore and rod to ask for: the smallest standard cylinder that turns the wheels both ways and does not buckle."""

import math
from dataclasses import dataclass

from plategen.rules.rod import Bar
from plategen.steering.standard import Series, Size, nearest, sizes

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


def rod_against_buckling(wanted_n: float, length_mm: float, yield_mpa: float, series: Series) -> Size | None:
    """The smallest standard rod whose buckling load reaches what is wanted; None where the series ends below it.

    The whole open length counts as rod, by the rule that judges it: :meth:`plategen.rules.rod.Bar.buckling_n`.

    >>> rod_against_buckling(70_000.0, 600.0, 517.0, "metric").size_mm
    25.0
    """
    rods = sizes("rod", series)
    return next((rod for rod in rods if Bar(rod.size_mm, length_mm, yield_mpa).buckling_n() >= wanted_n), None)


def sizing(
    needed_n: float,
    pressure_mpa: float,
    open_mm: float,
    series: Series,
    *,
    yield_mpa: float,
    buckling_factor: float,
    own_bore_mm: float | None = None,
    own_rod_mm: float | None = None,
) -> Sizing:
    """The smallest standard bore, with the rod it needs, that pushes and pulls with the asked force.

    Args:
        needed_n: Force asked both ways.
        pressure_mpa: Relief setting.
        open_mm: Pin to pin, open: what may buckle.
        series: Which standard sizes.
        yield_mpa: Of the rod's steel.
        buckling_factor: How many times the push the rod must stand.
        own_bore_mm: Of the cylinder there is.
        own_rod_mm: Of the cylinder there is.
    """
    bore, rod = None, None
    for each in sizes("bore", series):
        push = pressure_mpa * math.pi / 4.0 * each.size_mm**2
        held = rod_against_buckling(buckling_factor * push, open_mm, yield_mpa, series)
        if held is None or held.size_mm > THICKEST_ROD * each.size_mm:
            continue
        if push - pressure_mpa * math.pi / 4.0 * held.size_mm**2 >= needed_n:
            bore, rod = each, held
            break
    return Sizing(
        needed_n=needed_n,
        bore=bore,
        rod=rod,
        nearest_bore=None if own_bore_mm is None else nearest("bore", series, own_bore_mm),
        nearest_rod=None if own_rod_mm is None else nearest("rod", series, own_rod_mm),
    )
