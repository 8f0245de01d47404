"""Clearances in the words of the sheet."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

from plategen.bracket.model import Bracket
from plategen.cut.tolerance import WeldedClass, welded_angle, welded_length
from plategen.ground.show import Show
from plategen.tell.sheet.tables import Cell, Table, row

if TYPE_CHECKING:
    from plategen.solid.clearance import Clearance

WELDED_CLASS: WeldedClass = "B"
"""The class of ISO 13920 that careful work by hand keeps (common practice, no source)."""


def clearance_table(clearances: Sequence["Clearance"], show: Show) -> Table:
    """How much room there is between the parts, as the solids have it."""
    return Table(
        "Room between parts, measured on the solids",
        ("part", "to", "nearest"),
        tuple(
            row(clearance.one.replace("_", " "), clearance.other.replace("_", " "), _room(clearance, show))
            for clearance in clearances
        ),
        slim=True,
    )


def barrel_words(begins_mm: float, show: Show) -> str:
    """Where the barrel may begin."""
    return (
        f"The cylinder's barrel must begin at least {show.length(begins_mm)} from the pin's centre to clear the plates:"
        " measure the real one."
    )


def welded_words(bracket: Bracket, show: Show) -> str:
    """How far a welded bracket may be off where nothing closer is asked."""
    sizes = [(u1 - u0, v1 - v0) for u0, v0, u1, v1 in (plate.outline.bounds for plate in bracket.plates)]
    longest, shorter = max(max(size) for size in sizes), min(min(size) for size in sizes)
    length, angle = welded_length(longest, WELDED_CLASS), welded_angle(shorter, WELDED_CLASS)
    return (
        f"Once welded, lengths up to {show.length(longest)} may be off by ± {show.length(length.value)} and angles by "
        f"± {show.angle(angle.value)} where nothing closer is asked (EN ISO 13920, class {WELDED_CLASS}). The pin "
        "holes ask for closer: weld with the pin in place."
    )


def _room(clearance: "Clearance", show: Show) -> Cell:
    if clearance.overlap_mm3 > 0.0:
        return Cell(f"OVERLAP of {show.volume(clearance.overlap_mm3)}", "stop")
    return Cell("touching" if clearance.gap_mm == 0.0 else show.length(clearance.gap_mm))
