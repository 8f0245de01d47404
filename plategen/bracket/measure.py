"""What plates measure and take up: mass, cutting length, edge distances, reach in space, the band of a rolled one.

The middle of a rolled plate's thickness keeps its length, so the band turns by width / (R + t/2) and has the blank's
own volume: angle x ((R + t)^2 - R^2)/2 = width x t.
"""

import math
from collections.abc import Iterable

from plategen.bracket.meeting import Home, pushed_home
from plategen.bracket.model import Bracket, Hole, Plate, Slot
from plategen.bracket.prism import Prism
from plategen.flat.loop import Contour, Loop
from plategen.flat.placement import Placement
from plategen.flat.segment import Arc, Line
from plategen.ground.space import Vector

STEEL_KG_PER_MM3 = 7.85e-6
"""Density of structural steel, 7850 kg/m3 (EN 1993-1-1, 3.2.6 gives no other; ASTM A6 takes 490 lb/ft3, the same)."""


def mass_kg(plate: Plate) -> float:
    """Mass of one plate: area times thickness times density."""
    return plate.area_mm2 * plate.thickness_mm * STEEL_KG_PER_MM3


def cut_length_mm(plate: Plate) -> float:
    """Length that the torch cuts on one plate: the outline, the openings and the holes that are cut."""
    holes = sum(hole.circle.length for hole in plate.holes if hole.made == "cut")
    return plate.outline.length + sum(opening.length for opening in plate.openings) + holes


def hole_edge_mm(plate: Plate, hole: Hole) -> float:
    """Distance from a hole's centre to the nearest edge of outline or opening, whatever its direction."""
    return min(loop.distance(hole.circle.centre) for loop in (plate.outline, *plate.openings))


def at_home(bracket: Bracket, plate: Plate) -> Home | None:
    """What is left and off once a fitted plate of a bracket is pushed home instead of held by the pin."""
    if plate.fit is None:
        return None
    return pushed_home(plate.fit.meeting, None if plate.role == "closing" else plate.placement.flat(bracket.pin.centre))


def slot_edge_mm(plate: Plate, slot: Slot) -> float:
    """Distance from the centre of either end of a slot to the nearest edge that is not its own."""
    edges = (plate.outline, *(opening for opening in plate.openings if opening != slot.contour))
    return min(loop.distance(end) for loop in edges for end in slot.ends)


def box_corners(plate: Plate) -> list[Vector]:
    """The corners in space of the box round a plate in its own plane."""
    return Prism(plate.outline, plate.placement, plate.thickness_mm).corners


def along_pin(plates: Iterable[Plate]) -> tuple[float, float]:
    """Smallest and largest w of the plates (of their outlines' boxes, when a plate does not lie across the pin)."""
    reach = [w_mm for plate in plates for w_mm in _faces_along_pin(plate)]
    return min(reach), max(reach)


def _faces_along_pin(plate: Plate) -> Iterable[float]:
    place = plate.placement
    if place.u[2] == place.v[2] == 0.0:  # it lies across the pin
        return place.origin[2], place.origin[2] + place.normal[2] * plate.thickness_mm
    return (corner[2] for corner in box_corners(plate))


def held_along_pin(bracket: Bracket) -> tuple[float, float]:
    """Smallest and largest w of the plates that the pin goes through; of all plates when none has a hole for it."""
    holding = [plate for plate in bracket.plates if plate.pin_hole is not None]
    return along_pin(holding or bracket.plates)


def rolled_band(plate: Plate, placement: Placement) -> tuple[Loop, Placement, float]:
    """Section, its plane, and length along the plane's normal, of a plate rolled from a rectangular blank.

    ``placement`` is where the blank's frame lies: the plate's own placement, or a plain frame.
    """
    u0, v0, u1, v1 = plate.outline.bounds
    inside, outside = plate.rolled_mm, plate.rolled_mm + plate.thickness_mm
    middle = (inside + outside) / 2
    first, last = v0 / middle, v1 / middle

    def at(radius: float, turn: float) -> complex:
        return complex(radius * math.sin(turn), radius * math.cos(turn) - inside)

    bulge = math.tan((last - first) / 4)
    a, b, c, d = at(outside, last), at(outside, first), at(inside, first), at(inside, last)
    band = Loop((Arc(a, b, bulge), Line(b, c), Arc(c, d, -bulge), Line(d, a)))
    return band, Placement(placement.point(complex(u0)), placement.v, placement.normal), u1 - u0


def drawn_out(plate: Plate, placement: Placement) -> tuple[Contour, tuple[Contour, ...], Placement, float]:
    """The plate as a prism: its outer contour, those cut out of it, their plane, and its length along the normal, mm.

    Of a rolled plate the band; ``placement`` as for :func:`rolled_band`.
    """
    if plate.rolled_mm:
        band, across, length_mm = rolled_band(plate, placement)
        return band, (), across, length_mm
    return plate.outline, (*(hole.circle for hole in plate.holes), *plate.openings), placement, plate.thickness_mm
