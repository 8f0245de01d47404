"""The sheet's section on drilling the rail: the list of holes, the packing, and how it is done."""

from collections.abc import Iterator, Sequence

from plategen.ground.message import Message, message, mm
from plategen.ground.show import Show
from plategen.job import Job
from plategen.rules.drilling import FLANGE_MM
from plategen.tell.report.job import DrillReport, ShimReport
from plategen.tell.sheet.cells import Cell, Table, row


def drilling_table(drills: Sequence[DrillReport], show: Show) -> Table:
    """Every hole for the base's bolts."""
    return Table(
        "Holes in the rail",
        ("bolt", "station", "along the pin", "hole", "drill", "measured from"),
        tuple(
            row(
                each.name,
                show.length(each.station_mm),
                show.length(each.plane_mm),
                Cell(show.length(each.hole_mm), small=(each.existing,) if each.existing else ("new",)),
                ", ".join(show.short(step) for step in each.steps_mm) or "is there",
                _from(each, show),
            )
            for each in drills
        ),
    )


def _from(each: DrillReport, show: Show) -> str:
    along, across = (show.length(part) for part in each.by_mm)
    if each.by:
        return f"{each.by}: {along} along the rail, {across} along the pin"
    return "" if each.existing else "station 0, and the pin's middle plane"


def shim_table(shims: Sequence[ShimReport], show: Show) -> Table:
    """The packing about every bolt."""
    return Table(
        "Packing between base and rail",
        ("bolt", "square", "at the bolt", "smaller station, lower", "larger station, lower", "larger station, upper",
         "smaller station, upper"),
        tuple(
            row(
                each.name,
                show.length(each.side_mm),
                Cell(show.length(each.thickness_mm), small=(f"give or take {show.bound(each.within_mm, up=True)}",)),
                *(show.length(corner) for corner in each.corners_mm),
            )
            for each in shims
        ),
    )  # fmt: skip


def drill_notes(job: Job) -> Iterator[Message]:
    """How a rail is drilled."""
    yield message(
        "Lay the true-scale paper on the rail, by the holes that are there, or by the station and the cylinder's line; "
        "measure it both ways first. Punch through it, take it off, and measure the marks again with a tape."
    )
    yield message(
        "Drill in the steps of the list, square to the web, with cutting oil; ream or drill the last step; deburr both "
        "sides, paint the bare steel. No torch, no plasma, no punch (common practice, no source)."
    )
    if job.bolted is not None and job.bolted.depth_mm is not None:
        yield message(
            "The bolts go right through: drill the far wall through the near one, in a bush that keeps the drill "
            "square, and measure where it comes out before the last step (common practice, no source)."
        )
    yield message(
        "No hole nearer to a flange than {} from its edge, none in a flange; hoses and cables behind the web are moved "
        "aside first (common practice, no source; the rail maker's rules bind).",
        mm(FLANGE_MM, "up"),
    )
    yield message(
        "Packing is of steel, as wide as the square, its thickness read at its corners: upper is towards larger places "
        "along the pin. Measure the real gap with feelers when the base is held up, and believe the feelers."
    )
    if job.bolted is not None and job.bolted.sleeve_mm is not None and job.bolted.depth_mm is not None:
        inside = job.bolted.depth_mm - 2.0 * job.rail.wall_mm
        yield message(
            "A sleeve of {} outside, bored to the bolts' hole, {} long, faced square, stands about each bolt between "
            "the walls: it must be neither shorter, or the walls are crushed, nor longer, or the base stands off. It "
            "goes in by the section's open end, or by a hole that the rail's maker allows; where there is neither, no "
            "bolt may go right through.",
            mm(job.bolted.sleeve_mm), mm(inside),
        )  # fmt: skip
