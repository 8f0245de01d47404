"""A drawing opened for a bracket; a unit that its file does not say is told by the one hole of known size, its pin."""

from pathlib import Path

from plategen.bracket.model import Bracket
from plategen.cut.dxf import MM_PER
from plategen.ground.message import message
from plategen.ground.refusal import Refusal
from plategen.revision.dxf_load import MOST_BYTES, refuse_too_large
from plategen.revision.dxf_open import OpenedPlate, open_plate
from plategen.revision.trim_place import takes_pin


def drawing_data(file: Path) -> bytes:
    """The bytes of a DXF file.

    Raises:
        Refusal: There is no such file, or it is larger than a plate's.
    """
    if not file.is_file():
        raise Refusal("there is no such file; a DXF file is right")
    refuse_too_large(file.stat().st_size)
    with file.open("rb") as stream:
        return stream.read(MOST_BYTES + 1)


def plate_for(bracket: Bracket, data: bytes, mm_per_unit: float | None = None) -> OpenedPlate:
    """The plate that a DXF file draws, in the other unit when only so a hole takes the pin and the file does not say.

    ``mm_per_unit`` is the drawing's unit where the reader knows better than the file.

    Raises:
        Refusal: It is not one flat plate; the message says why.
    """
    opened, pin_mm = open_plate(data, mm_per_unit), bracket.pin.diameter_mm
    if mm_per_unit is not None or opened.mm_per_unit is not None or _takes(opened, pin_mm):
        return opened
    others = (open_plate(data, unit) for unit in MM_PER.values())
    fitting = next((other for other in others if _takes(other, pin_mm)), None)
    if fitting is None:
        return opened
    return fitting.noting(message("the file does not say its unit; it was taken from the size of the pin hole"))


def _takes(opened: OpenedPlate, pin_mm: float) -> bool:
    return any(takes_pin(hole, pin_mm) for hole in opened.holes)
