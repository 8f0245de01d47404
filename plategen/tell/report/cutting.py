"""The cutting table's work in the report."""

from __future__ import annotations

from typing import Annotated

from plategen.cut.table.notes import CutNotes, PlateNote
from plategen.ground.show import Show
from plategen.tell.report.encode import Level, Maybe, about, mirrored


class CornerReport(Level, frozen=True, kw_only=True):
    """A hole that is drilled before a plate is sawn, where its outline turns inwards."""

    centre_mm: Annotated[tuple[float, float], about("Its place in the plate's own u and v.")]
    diameter_mm: Annotated[float, about("Its diameter.")]


class CutPlateReport(Level, frozen=True, kw_only=True):
    """What to expect of one plate when it comes off the table."""

    name: Annotated[str, about("The plate.")]
    pierces: Annotated[int, about("How often it is pierced.")]
    length_mm: Annotated[float, about("Length cut, leads included.")]
    size_mm: Annotated[Maybe, about("Limit deviation of its longest side, plus or minus; null where there is none.")]
    lean_mm: Annotated[
        Maybe, about("How far the edge may lean over the depth that is judged; null where no limit is given.")
    ]
    left_in_corners_mm: Annotated[
        float, about("Most material that the round torch, or a corner's drill, leaves in an inner corner.")
    ]
    drilled_corners: Annotated[
        tuple[CornerReport, ...], about("What is drilled before the plate is sawn; empty for another process.")
    ]
    drilled: Annotated[tuple[str, ...], about("Names of the holes that are punched and drilled.")]
    reamed: Annotated[tuple[str, ...], about("Names of the holes that are cut under size.")]
    tapered: Annotated[tuple[str, ...], about("Names of the holes whose taper may take up all their play.")]
    unnamed: Annotated[bool, about("True when there is no room to scribe the plate's name or mark.")]
    source: Annotated[str, about("Where deviation and lean come from.")]
    lean_deg: Annotated[Maybe, about("The lean as an angle.")]


class CutTimeReport(Level, frozen=True, kw_only=True):
    """The table's work on the plates of one thickness and steel, or of one piece of the rack."""

    thickness_mm: Annotated[float, about("The thickness.")]
    steel: Annotated[str, about("The steel.")]
    piece: Annotated[str, about("What the shop calls the piece of its rack; empty for another sheet.")]
    plates: Annotated[tuple[str, ...], about("The plates that come from it.")]
    length_mm: Annotated[float, about("Length cut, leads included.")]
    rapid_mm: Annotated[float, about("Length travelled between cuts.")]
    pierces: Annotated[int, about("How often the torch goes through the plate.")]
    minutes: Annotated[Maybe, about("Estimate of the whole; null beyond the table of feeds.")]
    source: Annotated[str, about("Where the feeds are from.")]


class LayoutReport(Level, frozen=True, kw_only=True, rename={"yield_share": "yield"}):
    """How the plates of one thickness use their sheets."""

    thickness_mm: Annotated[float, about("The thickness.")]
    piece: Annotated[str, about("What the shop calls the piece of its rack; empty for another sheet.")]
    yield_share: Annotated[float, about("Share of the length used up that becomes plates.")]
    sheets: Annotated[int, about("How many sheets.")]


class SheetFileReport(Level, frozen=True, kw_only=True):
    """A sheet that has a file of its own."""

    file: Annotated[str, about("The file.")]
    thickness_mm: Annotated[float, about("Thickness of the sheet.")]
    steel: Annotated[str, about("Its steel.")]


class CuttingReport(Level, frozen=True, kw_only=True):
    """The cutting table's work."""

    process: Annotated[str, about("What cuts them.")]
    compensated: Annotated[bool, about("True when the files already allow for the kerf.")]
    leads: Annotated[bool, about("True when the files carry leads.")]
    plates: Annotated[tuple[CutPlateReport, ...], about("A note a plate.")]
    sheets: Annotated[tuple[CutTimeReport, ...], about("Path, pierces and time of each thickness.")]
    layout: Annotated[tuple[LayoutReport, ...], about("How each thickness uses its sheets; empty without sheets.")]
    files: Annotated[tuple[SheetFileReport, ...], about("Each sheet by itself; empty when all plates come from one.")]


def cutting_report(notes: CutNotes, show: Show) -> CuttingReport:
    """The cutting table's work on a job, its sources in words of the job's units."""
    return mirrored(
        CuttingReport,
        notes,
        leads=notes.led,
        plates=tuple(
            mirrored(CutPlateReport, note, source=show.text(note.source), drilled_corners=_corners(note))
            for note in notes.plates
        ),
        sheets=tuple(
            mirrored(CutTimeReport, group.time, group, source=show.text(group.time.source)) for group in notes.groups
        ),
        layout=tuple(
            LayoutReport(
                thickness_mm=group.thickness_mm, piece=group.piece, yield_share=group.yield_share, sheets=group.count
            )
            for group in notes.groups
            if group.yield_share is not None
        ),
        files=tuple(
            SheetFileReport(file=file, thickness_mm=thickness, steel=steel) for file, thickness, steel in notes.sheets
        ),
    )


def _corners(note: PlateNote) -> tuple[CornerReport, ...]:
    return tuple(
        CornerReport(centre_mm=(circle.centre.real, circle.centre.imag), diameter_mm=2.0 * circle.radius)
        for circle in note.drilled_corners
    )
