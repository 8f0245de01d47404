"""The sheet's table of bends: what whoever stands at the brake sets and measures."""

from collections.abc import Sequence

from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.tell.report.bend import BendReport
from plategen.tell.report.plate import PlateReport
from plategen.tell.sheet.cells import Cell, Table, row
from plategen.tell.table import cells


def bend_table(plates: Sequence[PlateReport], show: Show) -> Table | None:
    """Every bend in its order; None where no plate is bent."""
    rows = tuple(_row(plate, number, bend, show) for plate in plates for number, bend in enumerate(plate.bends, 1))
    heads = (
        "plate", "bend", "turns up", "middle from the side", "turn through", "between the legs", "inside radius",
        "length in the flat", "V and force",
    )  # fmt: skip
    return Table("Bends, in this order", heads, rows) if rows else None


def _row(plate: PlateReport, number: int, bend: BendReport, show: Show) -> tuple[Cell, ...]:
    return row(
        in_words(plate.name), str(number), in_words(bend.ear), *cells(show, bend, "from_side_mm"),
        f"{bend.turn_deg:.1f}°", f"{180.0 - bend.turn_deg:.1f}°", *cells(show, bend, "inside_mm"),
        Cell(show.length(bend.allowance_mm), small=(f"k {bend.k:.3f}",)),
        Cell(show.length(bend.die_mm), small=(show.finding(bend.force_n, "N"),)),
    )  # fmt: skip


WHICH_FACE = (
    "Lines and words are scribed on the inside of the bends: lay the plate with them up, under the punch, and the ears "
    "come up towards you. The scribed line is the middle of a bend, where the punch comes down; a tape finds it from "
    "the straight side of the plate next to it, beyond the slots. Where a bend begins and ends is on the paper. No "
    "line is scribed nor a centre punched on the outside of a bend, where a scratch opens."
)
"""Stands under the table."""
