"""The bends of a plate in the report."""

from __future__ import annotations

from typing import Annotated

from plategen.bracket.model import Plate
from plategen.bracket.unfold import bend_limits, bend_line, bends_in
from plategen.rules.cold_bending import die_mm, force_n
from plategen.rules.material import steel
from plategen.tell.report.encode import Level, Pair, about, mirrored, pair
from plategen.work import Work


class BendReport(Level, frozen=True, kw_only=True):
    """A bend, towards the face that is drawn."""

    name: Annotated[str, about("As it is called; they are numbered in the order in which they are made.")]
    ear: Annotated[str, about("The part that it turns up.")]
    turn_deg: Annotated[float, about("How far the plate is turned from flat.")]
    inside_mm: Annotated[float, about("Inside radius.")]
    k: Annotated[float, about("How deep from the inside the fibre lies that keeps its length, over the thickness.")]
    allowance_mm: Annotated[float, about("Length of the bend in the flat plate.")]
    begins_mm: Annotated[tuple[Pair, Pair], about("Where it begins in the flat plate: the ends of a line, u and v.")]
    ends_mm: Annotated[tuple[Pair, Pair], about("Where it ends there.")]
    from_side_mm: Annotated[float, about("From the straight side of the plate beyond the slots to the bend's middle.")]
    die_mm: Annotated[float, about("Opening of the V that is usual under it (brake makers' charts).")]
    force_n: Annotated[float, about("What a brake pushes with over that V (handbooks' formula, from memory).")]


def bend_reports(work: Work, plate: Plate) -> tuple[BendReport, ...]:
    """The bends of a plate in their order; none of one that stays flat."""
    found, thick, folded = [], plate.thickness_mm, work.bracket.folded
    base = next((each for each in work.bracket.plates if folded is not None and each.name == folded.base), plate)
    _, low, _, high = base.outline.bounds
    for bend in bends_in(work.bracket, plate):
        begins, ends = ((pair(line.start), pair(line.end)) for line in bend_limits(bend))
        force = force_n(steel(plate.steel, thick), thick, bend.edge.length)
        side = abs(bend_line(bend).start.imag - (low if bend.side < 0 else high))
        found.append(
            mirrored(
                BendReport, bend, begins_mm=begins, ends_mm=ends, from_side_mm=side, die_mm=die_mm(thick), force_n=force
            )
        )
    return tuple(found)
