"""What the table's work comes to and how near to the drawing it can be expected, for the sheet and the report."""

from dataclasses import dataclass
from itertools import chain

from plategen.bracket.model import Hole, Plate
from plategen.cut.kerf import left_corners
from plategen.cut.part import CutPart
from plategen.cut.scribe import weld_ticks
from plategen.cut.table.cutting import Sheets, cut_file_name, single_sheets
from plategen.cut.time import CutTime, cut_time
from plategen.cut.tolerance import cut_edge, cut_size
from plategen.ground.message import Message, joined
from plategen.ground.refusal import Refusal
from plategen.work import Work


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateNote:
    """What to expect of one plate.

    Args:
        name: The plate.
        pierces: How often it is pierced.
        length_mm: Length cut, leads included.
        size_mm: Limit deviation of its longest dimension, plus or minus; None where the standard gives none.
        lean_mm: How far the edge may lean over the thickness; None where the standard gives none.
        lean_rad: The same as an angle.
        left_in_corners_mm: Most material that the round torch leaves in an inner corner.
        drilled: Names of the holes that are punched and drilled.
        reamed: Names of the holes that are cut under size.
        tapered: Names of the holes whose taper may take up all their play: both sides may lean by ``lean_mm``.
        unnamed: True when there is no room to scribe the plate's name.
        source: Where deviation and lean come from.
    """

    name: str
    pierces: int
    length_mm: float
    size_mm: float | None
    lean_mm: float | None
    lean_rad: float | None
    left_in_corners_mm: float
    drilled: tuple[str, ...]
    reamed: tuple[str, ...]
    tapered: tuple[str, ...]
    unnamed: bool
    source: Message


@dataclass(frozen=True, slots=True, kw_only=True)
class CutNotes:
    """The table's work on a job.

    Args:
        plates: A note a plate.
        times: Path, pierces and time of each thickness, with that thickness, in mm.
        compensated: True when the files already allow for the kerf: the controller must not do it again.
        led: True when the files carry leads.
        yields: Share of the sheet used up that is plate, and number of sheets, of each thickness; empty without sheet.
        sheets: File of each sheet by itself, its thickness and steel; empty when all plates come from one.
    """

    plates: tuple[PlateNote, ...]
    times: tuple[tuple[float, CutTime], ...]
    compensated: bool
    led: bool
    yields: tuple[tuple[float, float, int], ...]
    sheets: tuple[tuple[str, float, str], ...] = ()


def cut_notes(work: Work, parts: dict[str, CutPart], groups: tuple[Sheets, ...]) -> CutNotes:
    """What to tell about the cutting of a job.

    Args:
        work: The job.
        parts: Its plates as the table cuts them.
        groups: The same laid out.
    """
    process = work.job.cutting.process
    return CutNotes(
        plates=tuple(_note(work, plate, parts[plate.name]) for plate in work.cut_plates),
        times=tuple((group.thickness_mm, _time(group, process)) for group in groups),
        compensated=work.job.cutting.compensate,
        led=work.job.cutting.lead_mm > 0.0,
        yields=tuple(
            (group.thickness_mm, group.layout.yield_share, group.layout.sheets) for group in groups if group.layout
        ),
        sheets=tuple(
            (cut_file_name(work.job, name), group.thickness_mm, group.plates[0].steel)
            for name, group, _ in single_sheets(groups)
        ),
    )


def _time(group: Sheets, process: str) -> CutTime:
    placed = chain.from_iterable(group.placed(number) for number in range(group.layout.sheets if group.layout else 1))
    return cut_time(placed, process, group.thickness_mm)


def _note(work: Work, plate: Plate, part: CutPart) -> PlateNote:
    cutting = work.job.cutting
    u0, v0, u1, v1 = plate.outline.bounds
    size = lean = lean_rad = None
    sources: list[Message | str] = []
    try:
        tolerance = cut_size(plate.thickness_mm, max(u1 - u0, v1 - v0), 1 if cutting.size_class == 1 else 2)
        size = tolerance.value
        sources.append(tolerance.source)
    except Refusal as refusal:
        sources.append(refusal.message)
    try:
        edge = cut_edge(plate.thickness_mm, cutting.edge_range)
        lean, lean_rad = edge.lean_mm, edge.lean_rad
        sources.append(edge.source)
    except Refusal as refusal:
        sources.append(refusal.message)
    not_cut = [hole for hole in plate.holes if hole.made == "drill"]
    punched = {punch.centre for punch in part.punch}
    return PlateNote(
        name=plate.name,
        pierces=len(part.cuts),
        length_mm=sum(cut.length_mm for cut in part.cuts),
        size_mm=size,
        lean_mm=lean,
        lean_rad=lean_rad,
        left_in_corners_mm=_left_mm(plate, cutting.kerf_mm),
        drilled=tuple(hole.name for hole in not_cut if hole.circle.centre in punched),
        reamed=tuple(hole.name for hole in not_cut if hole.circle.centre not in punched),
        tapered=tuple(hole.name for hole in plate.holes if hole.made == "cut" and _tapers(hole, lean or 0.0)),
        unnamed=len(part.scribe) <= len(weld_ticks(plate, work.bracket.welds)) + len(plate.marks),
        source=joined("; ", sources),
    )


def _left_mm(plate: Plate, kerf_mm: float) -> float:
    """Most that is left in an inner corner of the outline or of an opening."""
    corners = [*left_corners(plate.outline, kerf_mm)]
    for opening in plate.openings:
        corners.extend(left_corners(opening, kerf_mm, hole=True))
    return max((corner.left_mm for corner in corners), default=0.0)


def _tapers(hole: Hole, lean_mm: float) -> bool:
    return 2.0 * lean_mm > 2.0 * hole.circle.radius - hole.bolt_mm
