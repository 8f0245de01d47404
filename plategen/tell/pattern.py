"""A pattern read off photographs, in words and as a trace file."""

from plategen.cut.part import Cut, CutPart
from plategen.flat.loop import Circle
from plategen.ground.show import Show
from plategen.ground.unit import INCH_MM, Units
from plategen.photo.pattern import Pattern
from plategen.photo.plate import PhotographedPlate

THICKER_MM = 1.0
"""An error of the thickness whose effect is told."""


def trace_text(read: Pattern, units: Units, photographs: list[str]) -> str:
    """The trace file: how well it was read at its head, then a row a reading."""
    show = Show(units)
    per, places = (1.0, 2) if units == "mm" else (float(INCH_MM), 4)
    head = [
        f"# read off {', '.join(photographs)}",
        f"# units: {units}",
        f"# read_error: {read.read_error_mm / per:.{places + 1}f} {units}",
        *(f"# {show.text(doubt)}" for doubt in read.doubts),
        "u,v" if read.round_corner else "station,offset",
    ]
    rows = [f"{p.real / per:.{places}f},{p.imag / per:.{places}f}" for p in read.points]
    return "\n".join([*head, *rows]) + "\n"


def pattern_lines(read: Pattern, show: Show) -> list[str]:
    """What was read, how well, and what is doubtful."""
    worst = int(read.error_mm.argmax())
    where = f"near station {show.length(read.points[worst].real)}"
    rim = " (edge of the picture)" if read.worst_at_rim else ""
    return [
        f"{len(read.points)} readings along a straight edge of {show.length(read.length_mm)}",
        f"read to about {show.length(read.read_error_mm)} (one standard deviation); worst "
        f"{show.length(float(read.error_mm[worst]))} {where}{rim}",
        f"the straight edge is straight to {show.length(read.bent_mm)}",
        f"a thickness {show.length(THICKER_MM)} out moves a reading by up to "
        f"{show.length(THICKER_MM * read.by_thickness)}",
        *(f"doubt: {show.text(doubt)}" for doubt in read.doubts),
    ]


def plate_text(read: PhotographedPlate, units: Units) -> str:
    """The plate as a DXF file, its outline and holes in true size."""
    from plategen.cut.dxf import dxf_text  # late: a trace is written without it

    part = CutPart(name="plate", outside=Cut(read.outline), inside=tuple(map(Cut, read.inside)))
    return dxf_text([part], units)


def plate_lines(read: PhotographedPlate, show: Show) -> list[str]:
    """What was read of a plate, how well, and what is doubtful."""
    u0, v0, u1, v1 = read.outline.bounds
    holes = [show.length(2.0 * hole.radius) for hole in read.inside if isinstance(hole, Circle)]
    others = len(read.inside) - len(holes)
    return [
        f"a plate of {show.length(u1 - u0)} by {show.length(v1 - v0)}; holes: {', '.join(holes) or 'none'}"
        + (f"; slots and other openings: {others}" if others else ""),
        f"read to about {show.length(read.error_mm)} (one standard deviation)",
        *(f"doubt: {show.text(doubt)}" for doubt in read.doubts),
    ]
