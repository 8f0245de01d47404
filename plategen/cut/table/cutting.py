"""What a job's plates become on the cutting table: checked, kerf allowed for, led in and out, and laid out."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from plategen.bracket.model import Plate, WeldRun
from plategen.cut.dxf import dxf_name
from plategen.cut.kerf import compensated, with_corner_loops
from plategen.cut.lead import LeadRule, led
from plategen.cut.nest.layout import Layout, nest
from plategen.cut.nest.packing import way_of
from plategen.cut.nest.rack import from_rack
from plategen.cut.part import CutPart, cut_part
from plategen.cut.proof import check_cut, check_edges, proved_dxf
from plategen.cut.scribe import scribed
from plategen.flat.loop import Circle
from plategen.ground.message import message, mm
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.cutting import DxfEntities, DxfVersion
from plategen.job.shop import StockPiece
from plategen.work import Work

PIERCE_CLEAR = 0.8
"""Least distance from a pierce to an edge, in lead radii: what a quarter turn of that radius gives, less a little."""

CORNER_CLEAR = 1.5
"""Least distance from where a lead meets the cut to a corner of it, in lead radii."""

APART_MM = 10.0
"""Room between plates that are laid side by side without a sheet to lay them on."""

SAME_GAUGE_MM = 0.05
"""A piece of the rack whose thickness is nearer than this to a plate's is of that thickness."""

SHEETS_APART_MM = 10 * APART_MM
"""Room between sheets on one drawing, so that nobody takes two for one."""

LOOP_KERFS = 4.0
"""Length of a corner loop, in kerfs: room for the torch to come up to speed (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheets:
    """The plates of one thickness and steel, each as often as it is cut, and the same as parts, as they are drawn.

    ``layout`` says where they lie; None when the job gives no sheet. ``piece`` is what the shop calls the piece of its
    rack that they come from; "" for another sheet.
    """

    plates: tuple[Plate, ...]
    parts: tuple[CutPart, ...]
    layout: Layout | None
    piece: str = ""

    @property
    def thickness_mm(self) -> float:
        """Thickness of the sheet."""
        return self.plates[0].thickness_mm

    @property
    def count(self) -> int:
        """How many sheets; one row of plates counts as one."""
        return self.layout.sheets if self.layout else 1

    def placed(self, sheet: int = 0) -> tuple[CutPart, ...]:
        """The parts of one sheet where they lie; all of them in a row when there is no sheet."""
        return self.layout.placed(self.parts, sheet) if self.layout else side_by_side(self.parts)


def cut_file_name(job: Job, name: str) -> str:
    """Name of the DXF file of a plate, or of ``plates``."""
    return dxf_name(name, job.units, job.cutting.dxf)


def plate_part(plate: Plate, welds: Iterable[WeldRun] = (), *, stopped: bool = False) -> CutPart:
    """The plate as it is cut and scribed, with STOP where a check says no, checked.

    Raises:
        Refusal: No table could cut it as meant (see :func:`plategen.cut.proof.check_cut`).
    """
    scribing = scribed(plate, welds, stopped=stopped)
    part = cut_part(plate, scribing.lines, scribing.words)
    check_cut(part)
    return part


def plate_dxf(
    plate: Plate,
    units: Units,
    welds: Iterable[WeldRun] = (),
    version: DxfVersion = "R2000",
    entities: DxfEntities = "polylines",
    *,
    stopped: bool = False,
) -> str:
    """The DXF file of one plate, full size, its (u, v) the file's (x, y); read back and found right."""
    return proved_dxf((plate_part(plate, welds, stopped=stopped),), units, version, entities)


def cut_parts(work: Work) -> dict[str, CutPart]:
    """Every plate of the job as the table cuts it, by its name.

    Raises:
        Refusal: A plate cannot be cut as meant: kerf, lead or hole does not fit.
    """
    return {plate.name: table_part(work.of(plate), plate) for plate in work.cut_plates}


def table_part(work: Work, plate: Plate) -> CutPart:
    """One plate as the table cuts it: finished size checked, then kerf, corner loops and leads as the job asks."""
    cutting = work.job.cutting
    scribing = scribed(plate, work.bracket.welds, stopped=work.stopped)
    part = cut_part(_with_undersize(work.job, plate), scribing.lines, scribing.words)
    check_cut(part)
    if cutting.compensate:
        loops = cutting.outer_corner == "loop"
        part = compensated(part, cutting.kerf_mm, "miter" if loops else "round")
        check_edges(part, message("with a kerf of {} ", mm(cutting.kerf_mm)))
        part = with_corner_loops(part, LOOP_KERFS * cutting.kerf_mm, cutting.kerf_mm) if loops else part
    if cutting.lead_mm:
        rule = LeadRule(
            radius_mm=cutting.lead_mm,
            pierce_clear_mm=PIERCE_CLEAR * cutting.lead_mm,
            corner_clear_mm=CORNER_CLEAR * cutting.lead_mm,
        )
        part = led(part, rule, plate.notch)
    return part


def laid_out(work: Work, parts: dict[str, CutPart]) -> tuple[Sheets, ...]:
    """The plates, as :func:`cut_parts` made them, on sheets, those of one thickness and steel together, thickest first.

    They come from the shop's rack as far as it has pieces of that thickness and steel, the rest from the job's sheet.

    Raises:
        Refusal: A plate is larger than the sheet.
    """
    groups: dict[tuple[float, str], list[Plate]] = {}
    for plate in work.cut_plates:
        groups.setdefault((plate.thickness_mm, plate.steel), []).extend([plate] * plate.count)
    sheet = work.job.sheet_stock
    sheets_of = []
    for key, plates in sorted(groups.items(), key=lambda group: -group[0][0]):
        copies = [parts[plate.name] for plate in plates]
        taken, left = from_rack(copies, _pieces(work.job, *key))
        for piece, layout, which in taken:
            sheets_of.append(_sheets([plates[i] for i in which], [copies[i] for i in which], layout, piece.name))
        if left:
            rest = [copies[i] for i in left]
            sheets_of.append(_sheets([plates[i] for i in left], rest, nest(rest, sheet) if sheet else None))
    return tuple(sheets_of)


def _pieces(job: Job, thickness_mm: float, steel: str) -> tuple[StockPiece, ...]:
    """The rack's pieces of one thickness and steel."""
    stock = job.shop.stock if job.shop else ()
    return tuple(
        piece for piece in stock if piece.steel == steel and abs(piece.thickness_mm - thickness_mm) <= SAME_GAUGE_MM
    )


def _sheets(plates: Sequence[Plate], parts: Sequence[CutPart], layout: Layout | None, piece: str = "") -> Sheets:
    # what is cut is larger than the plate by the kerf and the loops: the yield is of plates
    layout = layout and replace(layout, parts_mm2=sum(plate.area_mm2 for plate in plates))
    return Sheets(plates=tuple(plates), parts=tuple(parts), layout=layout, piece=piece)


def side_by_side(parts: Iterable[CutPart]) -> tuple[CutPart, ...]:
    """Parts in a row from the origin, each turned as it is drawn, their leads apart too."""
    placed, at = [], 0.0
    for part in parts:
        box = way_of(part, 1 + 0j)
        placed.append(part.moved(shift=at - box.low))
        at += box.size.real + APART_MM
    return tuple(placed)


def single_sheets(groups: Sequence[Sheets]) -> tuple[tuple[str, Sheets, int], ...]:
    """Each sheet for a drawing of its own, since a table holds one at a time: its name, its plates, its number.

    None when all plates come from one sheet: ``plates`` is that sheet.
    """
    singles = [(group, number) for group in groups for number in range(group.count)]
    if len(singles) == 1:
        return ()
    return tuple((f"plates_{count}", group, number) for count, (group, number) in enumerate(singles, 1))


def on_one_drawing(groups: Sequence[Sheets]) -> tuple[CutPart, ...]:
    """All sheets side by side, apart."""
    placed: list[CutPart] = []
    left = 0.0
    for group in groups:
        for number in range(group.count):
            shifted = [part.moved(shift=complex(left, 0.0)) for part in group.placed(number)]
            placed.extend(shifted)
            length = group.layout.sheet.length_mm if group.layout else max(p.bounds[2] for p in shifted) - left
            left += length + SHEETS_APART_MM
    return tuple(placed)


def _with_undersize(job: Job, plate: Plate) -> Plate:
    """The plate with its reamed pin hole cut small instead of punched, if the job asks and the hole is large enough."""
    under = job.cutting.ream_under_mm
    if job.bracket.pin_fit != "ream" or under == 0.0:
        return plate
    least = job.cutting.smallest_hole * plate.thickness_mm
    holes = (
        replace(hole, circle=Circle(hole.circle.centre, size / 2), made="cut")
        if hole.purpose == "pin" and (size := 2 * hole.circle.radius - under) >= least
        else hole
        for hole in plate.holes
    )
    return replace(plate, holes=tuple(holes))
