"""What the table's work comes to, how long it takes and how near to the drawing it can be expected."""

from collections.abc import Iterable
from dataclasses import dataclass
from itertools import chain, pairwise
from typing import NamedTuple

from plategen.bracket.model import Plate
from plategen.cut.by_hand import CORNER_DRILL_MM, drilled_corners, kerf_mm
from plategen.cut.kerf import left_corners
from plategen.cut.lead import pierce
from plategen.cut.part import CutPart
from plategen.cut.scribe import CROSSED, identified
from plategen.cut.table.cutting import Sheets, cut_file_name, single_sheets
from plategen.cut.tolerance import cut_edge, cut_size
from plategen.flat.loop import Circle
from plategen.ground.message import Message, joined, message
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.cutting import Cutting, Process
from plategen.rules.cutting_feed import feed
from plategen.work import Work

RAPID_MM_PER_MIN = 10000.0
"""Speed between cuts (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CutTime:
    """The work of a table on some parts."""

    length_mm: float  # Length cut, leads included.
    rapid_mm: float  # Length travelled between cuts, in the order of cutting.
    pierces: int  # How often the torch goes through the plate.
    minutes: float | None  # Estimate of the whole; None when the table of feeds does not reach that thickness.
    source: Message | str  # Where the feeds are from, or why there are none.


def cut_time(parts: Iterable[CutPart], process: str, thickness_mm: float) -> CutTime:
    """Path, pierces and time of cutting these parts from one plate, in their order."""
    cuts = [cut for part in parts for cut in part.cuts]
    length = sum(cut.length_mm for cut in cuts)
    rapid = sum(abs(pierce(b) - pierce(a)) for a, b in pairwise(cuts))
    pierces = 0 if process == "saw and drill" else len(cuts)
    try:
        speed = feed(process, thickness_mm)
    except Refusal as refusal:
        return CutTime(length_mm=length, rapid_mm=rapid, pierces=pierces, minutes=None, source=refusal.message)
    minutes = speed.minutes(length, pierces) + rapid / RAPID_MM_PER_MIN
    return CutTime(length_mm=length, rapid_mm=rapid, pierces=pierces, minutes=minutes, source=speed.source)


@dataclass(frozen=True, slots=True, kw_only=True)
class PlateNote:
    """What to expect of one plate."""

    name: str  # The plate.
    pierces: int  # How often it is pierced.
    length_mm: float  # Length cut, leads included.
    # Limit deviation of its longest dimension, plus or minus; None where the standard gives none.
    size_mm: float | None
    # How far the edge may lean over the depth that the standard judges; None where it gives no limit.
    lean_mm: float | None
    lean_rad: float | None  # The same as an angle.
    left_in_corners_mm: float  # Most material that the round torch, or a corner's drill, leaves in an inner corner.
    drilled_corners: tuple[Circle, ...]  # What is drilled before the plate is sawn; none for another process.
    drilled: tuple[str, ...]  # Names of the holes that are punched and drilled.
    reamed: tuple[str, ...]  # Names of the holes that are cut under size.
    # Names of the holes whose taper may take up all their play: both sides may lean by ``lean_mm``.
    tapered: tuple[str, ...]
    unnamed: bool  # True when there is no room to scribe the plate's name, nor the mark of its shape.
    crossed: bool  # True when two crossing strokes stand for STOP, as the word has no room.
    source: Message  # Where deviation and lean come from.


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetNote:
    """The work on the plates of one thickness and steel that come from sheets alike, or from one piece of the rack."""

    thickness_mm: float  # Their thickness.
    steel: str  # Their steel.
    piece: str  # What the shop calls the piece of its rack; "" for another sheet.
    plates: tuple[str, ...]  # Names of the plates that come from it.
    time: CutTime  # Path, pierces and time.
    yield_share: float | None  # Share of the sheet used up that is plate; None without sheet.
    count: int  # Number of sheets.


@dataclass(frozen=True, slots=True, kw_only=True)
class CutNotes:
    """The table's work on a job."""

    plates: tuple[PlateNote, ...]  # A note a plate.
    process: Process  # What cuts them.
    groups: tuple[SheetNote, ...]  # A note for the sheets of each thickness and steel, and for each piece of the rack.
    compensated: bool  # True when the files already allow for the kerf: the controller must not do it again.
    led: bool  # True when the files carry leads.
    racked: bool  # True when the shop's rack is known, so that what does not come from it is to be bought.
    # File of each sheet by itself, its thickness and steel; empty when all plates come from one.
    sheets: tuple[tuple[str, float, str], ...] = ()

    def from_rack(self, plate: str) -> tuple[str, ...]:
        """What the shop calls the pieces of its rack that a plate comes from, some of it perhaps from elsewhere."""
        return tuple(group.piece for group in self.groups if group.piece and plate in group.plates)


def cut_notes(work: Work, parts: dict[str, CutPart], groups: tuple[Sheets, ...]) -> CutNotes:
    """What to tell about the cutting of a job: of its plates as the table cuts them, and of the same laid out."""
    process = work.job.cutting.process
    return CutNotes(
        plates=tuple(_note(work.of(plate), plate, parts[plate.name]) for plate in work.cut_plates),
        process=process,
        groups=tuple(_group(group, process) for group in groups),
        compensated=work.job.cutting.compensate,
        led=work.job.cutting.lead_mm > 0.0,
        racked=bool(work.job.shop and work.job.shop.stock),
        sheets=tuple(
            (cut_file_name(work.job, name), group.thickness_mm, group.plates[0].steel)
            for name, group, _ in single_sheets(groups)
        ),
    )


def _group(group: Sheets, process: str) -> SheetNote:
    return SheetNote(
        thickness_mm=group.thickness_mm,
        steel=group.plates[0].steel,
        piece=group.piece,
        plates=tuple(dict.fromkeys(plate.name for plate in group.plates)),
        time=_time(group, process),
        yield_share=group.layout.yield_share if group.layout else None,
        count=group.count,
    )


def _time(group: Sheets, process: str) -> CutTime:
    placed = chain.from_iterable(group.placed(number) for number in range(group.count))
    return cut_time(placed, process, group.thickness_mm)


def _note(work: Work, plate: Plate, part: CutPart) -> PlateNote:
    expected = _expected(plate, work.job.cutting)
    corners = drilled_corners(work.job, plate)
    lean = expected.lean_mm
    not_cut = [hole for hole in plate.holes if hole.made == "drill"]
    punched = {punch.centre for punch in part.punch}
    return PlateNote(
        name=plate.name,
        pierces=0 if work.job.cutting.straight else len(part.cuts),
        length_mm=sum(cut.length_mm for cut in part.cuts),
        size_mm=expected.size_mm,
        lean_mm=lean,
        lean_rad=expected.lean_rad,
        left_in_corners_mm=_left_mm(plate, _round_mm(work.job, plate)),
        drilled_corners=corners,
        drilled=tuple(hole.name for hole in not_cut if hole.circle.centre in punched),
        reamed=tuple(hole.name for hole in not_cut if hole.circle.centre not in punched),
        tapered=tuple(
            hole.name
            for hole in plate.holes
            if hole.made == "cut" and 2.0 * (lean or 0.0) > 2.0 * hole.circle.radius - hole.bolt_mm
        ),
        unnamed=not identified(part.words),
        crossed=CROSSED in part.words,
        source=expected.source,
    )


class _Expected(NamedTuple):
    """Size and lean of an edge, None where nothing gives them, and where they are from."""

    size_mm: float | None
    lean_mm: float | None
    lean_rad: float | None
    source: Message


def _expected(plate: Plate, cutting: Cutting) -> _Expected:
    """What can be expected of a plate's edges."""
    if cutting.by_hand:
        return _Expected(
            None, None, None, message("an edge that is ground or filed to a line is as near as that is done")
        )
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
    return _Expected(size, lean, lean_rad, joined("; ", sources))


def _round_mm(job: Job, plate: Plate) -> float:
    """Diameter of the round that is left in an inner corner: the torch's cut, or the corner's drill."""
    return CORNER_DRILL_MM[job.units] if job.cutting.straight else kerf_mm(job, plate)


def _left_mm(plate: Plate, kerf_mm: float) -> float:
    """Most that is left in an inner corner of the outline or of an opening."""
    openings = (corner for opening in plate.openings for corner in left_corners(opening, kerf_mm, hole=True))
    return max((corner.left_mm for corner in (*left_corners(plate.outline, kerf_mm), *openings)), default=0.0)
