"""The DXF files of a bracket: each plate by itself in its own (u, v), and all plates side by side."""

from collections.abc import Iterable, Sequence

from plategen.bracket.model import Plate, WeldRun
from plategen.cut.dxf import Entities, Version, dxf_text
from plategen.cut.nest.hull import way_of
from plategen.cut.part import CutPart, cut_part
from plategen.cut.proof import check_cut, confirm_dxf
from plategen.cut.scribe import scribed
from plategen.ground.unit import Units

APART_MM = 10.0
"""Room between plates that are laid side by side without a sheet to lay them on."""


def plate_part(plate: Plate, welds: Iterable[WeldRun] = ()) -> CutPart:
    """The plate as it is cut and scribed, checked.

    Raises:
        Refusal: No table could cut it as meant (see :func:`plategen.cut.proof.check_cut`).
    """
    part = cut_part(plate, scribed(plate, welds))
    check_cut(part)
    return part


def plate_dxf(
    plate: Plate,
    units: Units,
    welds: Iterable[WeldRun] = (),
    version: Version = "R2000",
    entities: Entities = "polylines",
) -> str:
    """The DXF file of one plate, full size, its (u, v) the file's (x, y); read back and found right."""
    return parts_dxf((plate_part(plate, welds),), units, version, entities)


def parts_dxf(
    parts: Sequence[CutPart], units: Units, version: Version = "R2000", entities: Entities = "polylines"
) -> str:
    """The DXF file of parts where they lie, read back and found right."""
    text = dxf_text(parts, units, version, entities)
    confirm_dxf(text, tuple(parts), units, version)
    return text


def side_by_side(parts: Iterable[CutPart]) -> tuple[CutPart, ...]:
    """Parts in a row from the origin, each turned as it is drawn, their leads apart too."""
    placed, at = [], 0.0
    for part in parts:
        box = way_of(part, 1 + 0j)
        placed.append(part.moved(shift=at - box.low))
        at += box.size.real + APART_MM
    return tuple(placed)
