"""Clearances in the words of the sheet and the keys of the report."""

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from plategen.shop.sheet_table import Cell, Table, row
from plategen.show import Show

if TYPE_CHECKING:
    from plategen.shop.solid_clearance import Clearance


def clearance_table(clearances: Sequence["Clearance"], show: Show) -> Table:
    """How much room there is between the parts, as the solids have it."""
    return Table(
        "Room between parts, measured on the solids",
        ("part", "to", "nearest"),
        tuple(
            row(clearance.one.replace("_", " "), clearance.other.replace("_", " "), _room(clearance, show))
            for clearance in clearances
        ),
    )


def clearance_report(clearances: Sequence["Clearance"]) -> list[dict[str, Any]]:
    """The same as plain data."""
    return [{"part": c.one, "other": c.other, "gap_mm": c.gap_mm, "overlap_mm3": c.overlap_mm3} for c in clearances]


def barrel_words(begins_mm: float, show: Show) -> str:
    """Where the barrel may begin."""
    return (
        f"The cylinder's barrel must begin at least {show.length(begins_mm)} from the pin's centre to clear the plates:"
        " measure the real one."
    )


def _room(clearance: "Clearance", show: Show) -> Cell:
    if clearance.overlap_mm3 > 0.0:
        return Cell(f"OVERLAP of {show.volume(clearance.overlap_mm3)}", "stop")
    return Cell("touching" if clearance.gap_mm == 0.0 else show.length(clearance.gap_mm))
