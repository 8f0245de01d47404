"""Where bolts sit and what holes they need: patterns, hole sizes, and the steel to leave about each hole."""

from plategen.bracket.holes import how_made
from plategen.bracket.model import Hole, Slot
from plategen.flat.loop import Circle
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PLATE_SIZES
from plategen.rules.edge_distance import EN_LEAST, least_edge_distance
from plategen.rules.hole_size import HoleSize, clearance_hole, structural_hole
from plategen.rules.table import unit_of_size


def pattern(rows: int, in_row: int, row_spacing_mm: float, spacing_mm: float) -> tuple[complex, ...]:
    """Bolt centres about the pattern's middle: rows along u, the bolts of a row along v, the lowest first.

    >>> pattern(2, 1, 60.0, 0.0)
    ((-30+0j), (30+0j))
    """
    return tuple(
        complex((i - (rows - 1) / 2) * row_spacing_mm, (j - (in_row - 1) / 2) * spacing_mm)
        for i in range(rows)
        for j in range(in_row)
    )


def rungs(along_v: tuple[complex, ...], steps: int, step_mm: float) -> tuple[complex, ...]:
    """Every centre that the pattern takes when it is moved along v by up to ``steps`` steps each way, each once."""
    found: dict[tuple[int, int], complex] = {}
    for p in along_v:
        for k in range(-steps, steps + 1):
            q = p + complex(0.0, k * step_mm)
            found.setdefault((round(q.real * 1e4), round(q.imag * 1e4)), q)
    return tuple(sorted(found.values(), key=lambda q: (q.real, q.imag)))


def bolt_hole_size(bolt_mm: float) -> HoleSize:
    """Hole of a bolt that carries: the structural table's, or below its sizes the close clearance hole.

    Raises:
        Refusal: No table has the size.
    """
    try:
        return structural_hole(bolt_mm)
    except Refusal:
        return clearance_hole(bolt_mm, "close")


def steel_round(bolt_mm: float, hole_mm: float) -> float:
    """Radius of the steel to leave round a bolt hole: enough for both rule sets, on the next size up in its unit."""
    least = max(least_edge_distance(bolt_mm).mm, EN_LEAST["e1"] * hole_mm)
    return PLATE_SIZES.up(least, unit_of_size(bolt_mm))


def bolt_hole(number: int, centre: complex, bolt_mm: float, thickness_mm: float, smallest: float) -> Hole:
    """A bolt's round hole."""
    size = bolt_hole_size(bolt_mm)
    rule = least_edge_distance(bolt_mm)
    return Hole(
        name=f"bolt {number}",
        circle=Circle(centre, size.mm / 2),
        bolt_mm=bolt_mm,
        made=how_made(size.mm, thickness_mm, smallest),
        edge_required_mm=rule.mm,
        edge_source=rule.source,
    )


def bolt_slot(number: int, middle: complex, reach_mm: float, at: complex, bolt_mm: float) -> Slot:
    """A bolt's slot along v, in which its centre can move by ``reach_mm`` to each side of the middle.

    AISC 360 Table J3.4 holds where the bolt lies at the slot's very end, (d0 - d)/2 beyond the end's centre; that is
    what Table J3.5 adds for a slot, less the half difference to the longest slot (its note). EN 1993-1-8 Table 3.3 asks
    e3, e4 >= 1.5 d0 of the end's centre and the axis.
    """
    size = bolt_hole_size(bolt_mm)
    rule = least_edge_distance(bolt_mm)
    half = complex(0.0, reach_mm)
    return Slot(
        name=f"bolt {number}",
        ends=(middle - half, middle + half),
        width_mm=size.mm,
        bolt_mm=bolt_mm,
        at=at,
        edge_required_mm=rule.mm + (size.mm - bolt_mm) / 2,
        edge_source=f"{rule.source}, the bolt at the slot's end",
    )


def steel_round_slot(bolt_mm: float, slot_mm: float) -> float:
    """Radius of the steel to leave round the centre of a slot's end, for both rule sets."""
    least = max(least_edge_distance(bolt_mm).mm + (slot_mm - bolt_mm) / 2, EN_LEAST["e4"] * slot_mm)
    return PLATE_SIZES.up(least, unit_of_size(bolt_mm))
