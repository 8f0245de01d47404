"""Plates that try the cutting files: every kind of edge, hole and opening, and sizes known by hand."""

import cmath
import math

from plategen.bracket.model import Hole, Mark, Plate
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Loop
from plategen.flat.placement import across_pin
from plategen.flat.segment import Arc, Line


def hole(name: str, centre: complex, diameter_mm: float, made: str = "cut") -> Hole:
    return Hole(
        purpose="pin" if name == "pin" else "bolt",
        name=name,
        circle=Circle(centre, diameter_mm / 2),
        bolt_mm=diameter_mm,
        made=made,  # type: ignore[arg-type]
        edge_required_mm=diameter_mm,
        edge_source="made up for this test",
    )


def slot(centre: complex, length_mm: float, width_mm: float, *, clockwise: bool = False) -> Loop:
    """A slot with round ends along u; area ``length * width + pi width^2 / 4``."""
    half, r = length_mm / 2, width_mm / 2
    a, b = centre - half - r * 1j, centre + half - r * 1j
    c, d = centre + half + r * 1j, centre - half + r * 1j
    loop = Loop((Line(a, b), Arc(b, c, 1.0), Line(c, d), Arc(d, a, 1.0)))
    return loop.reversed() if clockwise else loop


def rectangle(width_mm: float, height_mm: float, corner: complex = 0j) -> Loop:
    a, b, c, d = (corner + p for p in (0j, width_mm + 0j, complex(width_mm, height_mm), height_mm * 1j))
    return Loop((Line(a, b), Line(b, c), Line(c, d), Line(d, a)))


def slotted_plate() -> Plate:
    """A rectangle 160 x 90 with a cut hole, a drilled hole and a slot that runs clockwise."""
    return Plate(
        role="ear",
        name="slotted",
        outline=rectangle(160.0, 90.0),
        thickness_mm=12.0,
        steel="A36",
        placement=across_pin(5.0),
        holes=(hole("pin", 40 + 45j, 25.0), hole("bolt 1", 130 + 20j, 8.0, "drill")),
        openings=(slot(105 + 60j, 30.0, 12.0, clockwise=True),),
    )


def keyhole_plate() -> Plate:
    """Most of a disc of radius 50 (an arc of 300 degrees) with a stem: an arc of more than half a turn."""
    start, end = (cmath.rect(50.0, a) for a in (math.radians(-60), math.radians(240)))
    around = Arc(start, end, math.tan(math.radians(300) / 4))
    outline = Loop((around, Line(end, end - 40j), Line(end - 40j, start - 40j), Line(start - 40j, start)))
    return Plate(
        role="ear",
        name="keyhole",
        outline=outline,
        thickness_mm=9.525,
        steel="A36",
        placement=across_pin(0.0),
        holes=(hole("pin", 0j, 30.0),),
        marks=(Mark(name="datum", path=Chain((Line(-20 - 60j, 20 - 60j),))),),
    )
