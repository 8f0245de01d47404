"""The cutting table's work in the report."""

from plategen.cut.table.notes import CutNotes
from plategen.ground.show import Show
from plategen.tell.report.encode import Level, mirrored


class CutPlateReport(Level, frozen=True, kw_only=True):
    """What to expect of one plate when it comes off the table.

    Args:
        name: The plate.
        pierces: How often it is pierced.
        length_mm: Length cut, leads included.
        size_mm: Limit deviation of its longest dimension, plus or minus; null where the standard gives none.
        lean_mm: How far the edge may lean over the thickness; null where the standard gives none.
        left_in_corners_mm: Most material that the round torch leaves in an inner corner.
        drilled: Names of the holes that are punched and drilled.
        reamed: Names of the holes that are cut under size.
        tapered: Names of the holes whose taper may take up all their play.
        unnamed: True when there is no room to scribe the plate's name.
        source: Where deviation and lean come from.
        lean_deg: The lean as an angle.
    """

    name: str
    pierces: int
    length_mm: float
    size_mm: float | None
    lean_mm: float | None
    left_in_corners_mm: float
    drilled: tuple[str, ...]
    reamed: tuple[str, ...]
    tapered: tuple[str, ...]
    unnamed: bool
    source: str
    lean_deg: float | None


class CutTimeReport(Level, frozen=True, kw_only=True):
    """The table's work on all plates of one thickness.

    Args:
        thickness_mm: The thickness.
        length_mm: Length cut, leads included.
        rapid_mm: Length travelled between cuts.
        pierces: How often the torch goes through the plate.
        minutes: Estimate of the whole; null when the table of feeds does not reach that thickness.
        source: Where the feeds are from.
    """

    thickness_mm: float
    length_mm: float
    rapid_mm: float
    pierces: int
    minutes: float | None
    source: str


class LayoutReport(Level, frozen=True, kw_only=True, rename={"yield_share": "yield"}):
    """How the plates of one thickness use their sheets.

    Args:
        thickness_mm: The thickness.
        yield: Share of the length used up that becomes plates.
        sheets: How many sheets.
    """

    thickness_mm: float
    yield_share: float
    sheets: int


class SheetFileReport(Level, frozen=True, kw_only=True):
    """A sheet that has a file of its own.

    Args:
        file: The file.
        thickness_mm: Thickness of the sheet.
        steel: Its steel.
    """

    file: str
    thickness_mm: float
    steel: str


class CuttingReport(Level, frozen=True, kw_only=True):
    """The cutting table's work.

    Args:
        compensated: True when the files already allow for the kerf.
        leads: True when the files carry leads.
        plates: A note a plate.
        sheets: Path, pierces and time of each thickness.
        layout: How the sheets of each thickness are used; empty without sheets.
        files: Each sheet by itself; empty when all plates come from one.
    """

    compensated: bool
    leads: bool
    plates: tuple[CutPlateReport, ...]
    sheets: tuple[CutTimeReport, ...]
    layout: tuple[LayoutReport, ...]
    files: tuple[SheetFileReport, ...]


def cutting_report(notes: CutNotes, show: Show) -> CuttingReport:
    """The cutting table's work on a job, its sources in words of the job's units."""
    return mirrored(
        CuttingReport,
        notes,
        leads=notes.led,
        plates=tuple(mirrored(CutPlateReport, note, source=show.text(note.source)) for note in notes.plates),
        sheets=tuple(
            mirrored(CutTimeReport, time, thickness_mm=thickness, source=show.text(time.source))
            for thickness, time in notes.times
        ),
        layout=tuple(
            LayoutReport(thickness_mm=thickness, yield_share=share, sheets=count)
            for thickness, share, count in notes.yields
        ),
        files=tuple(
            SheetFileReport(file=file, thickness_mm=thickness, steel=steel) for file, thickness, steel in notes.sheets
        ),
    )
