"""Hole diameters for bolts, and the sizes of bolts that are made.

Structural holes (AISC 360 Table J3.3) and general clearance holes (ISO 273, ASME B18.2.8) are different tables: a bolt
that carries load in a structural joint takes the first, a bolt that locates a part takes the second.
"""

from collections.abc import Callable, Iterable
from functools import cache

from plategen.ground.message import Message, joined, message, size
from plategen.ground.printed import Row
from plategen.ground.refusal import Refusal
from plategen.rules import table
from plategen.rules.edge_distance import Distance

SAME_MM = 0.02
"""Sizes that differ by no more are one."""

FITS = {"close": ("close", "fine"), "normal": ("normal", "medium"), "loose": ("loose", "coarse")}
"""The same fit as the inch and the metric standard name it."""


@cache
def clearance_hole(diameter_mm: float, fit: str = "normal") -> Distance:
    """General clearance hole: ASME B18.2.8 for inch sizes, ISO 273 for metric ones.

    Args:
        diameter_mm: Bolt diameter.
        fit: ``"close"`` (ISO: fine), ``"normal"`` (medium) or ``"loose"`` (coarse).

    >>> clearance_hole(12.0).mm, clearance_hole(12.7, "close").mm / 25.4
    (13.5, 0.531)

    Raises:
        Refusal: The size is in neither table.
    """
    if fit not in FITS:
        raise Refusal(f'"{fit}" is no fit of a clearance hole; close, normal or loose is right')
    return _hole(diameter_mm, ("ASME B18.2.8", "ISO 273"), FITS[fit])


@cache
def structural_hole(diameter_mm: float, kind: str = "standard") -> Distance:
    """Bolt hole of a structural joint, AISC 360-16/22 Table J3.3 or J3.3M.

    Args:
        diameter_mm: Bolt diameter.
        kind: ``"standard"``, ``"oversized"`` or ``"standard to 2010"`` (the 1 in hole grew by 1/16 in in 2016).

    Raises:
        Refusal: The size is not in the table.

    >>> structural_hole(20.0).mm
    22.0
    """
    return _hole(diameter_mm, ("AISC J3.3", "AISC J3.3M"), (kind,))


def bolt_hole_size(bolt_mm: float) -> Distance:
    """Hole of a bolt that carries: the structural table's, or below its sizes the close clearance hole.

    Raises:
        Refusal: No table has the size.
    """
    try:
        return structural_hole(bolt_mm)
    except Refusal:
        return clearance_hole(bolt_mm, "close")


@cache
def stress_area_mm2(diameter_mm: float) -> float:
    """Tensile stress area of the coarse thread, mm^2.

    Raises:
        Refusal: The size is not in the table.

    >>> stress_area_mm2(20.0)
    245.0
    """
    row = row_of_size("threads", diameter_mm, "coarse thread")
    return table.number(row["stress_area"]) * table.MM_PER[row["unit"]] ** 2


@cache
def made_bolts_mm(unit: str) -> tuple[float, ...]:
    """Diameters of the bolts of a unit that have a thread, a hexagon and a hole in the tables, in order, mm.

    >>> made_bolts_mm("mm")[:4]
    (6.0, 8.0, 10.0, 12.0)
    """
    sizes = {table.length_mm(row, "diameter") for row in table.read("threads") if row["unit"] == unit}
    for name in ("hole_sizes", "wrenches"):
        tabled = [table.length_mm(row, "diameter") for row in table.read(name)]
        sizes = {size for size in sizes if any(abs(size - other) <= SAME_MM for other in tabled)}
    return tuple(sorted(sizes))


def row_of_size(name: str, diameter_mm: float, what: str, fits: Callable[[Row], bool] = lambda _: True) -> Row:
    """The row of a table for a size.

    Args:
        name: The table.
        diameter_mm: The size.
        what: What it gives, for the refusal.
        fits: What else must be true of the row.

    Raises:
        Refusal: The size is not in the table.
    """
    for row in table.read(name):
        if abs(table.length_mm(row, "diameter") - diameter_mm) <= SAME_MM and fits(row):
            return row
    right = _nearest_sizes([row for row in table.read(name) if fits(row)], diameter_mm)
    raise Refusal(message("no {} is tabled for a bolt of {}; {} is right", what, size(diameter_mm), right))


def _nearest_sizes(rows: Iterable[Row], diameter_mm: float) -> Message:
    """The sizes of some rows next below and above a diameter, of its own unit, as one says them."""
    unit = table.unit_of_size(diameter_mm)
    known = sorted({table.length_mm(row, "diameter") for row in rows if row["unit"] == unit})
    below, above = [mm for mm in known if mm < diameter_mm][-1:], [mm for mm in known if mm > diameter_mm][:1]
    return joined(" or ", [message("{}", size(mm)) for mm in (*below, *above)]) or message("another size")


def _hole(diameter_mm: float, standards: tuple[str, ...], fits: tuple[str, ...]) -> Distance:
    try:
        row = row_of_size(
            "hole_sizes", diameter_mm, "hole", lambda row: row["standard"] in standards and row["fit"] in fits
        )
    except Refusal:
        rows = [row for row in table.read("hole_sizes") if row["standard"] in standards and row["fit"] in fits]
        of = size(diameter_mm), " or ".join(standards), _nearest_sizes(rows, diameter_mm)
        raise Refusal(message("there is no standard bolt of {} ({}); {} is right", *of)) from None
    return Distance(table.length_mm(row, "hole"), row["source"])
