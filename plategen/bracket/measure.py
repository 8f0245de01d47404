"""What a plate measures: its mass, what the torch cuts on it, and how near its holes lie to its edges."""

from plategen.bracket.model import Hole, Plate, Slot

STEEL_KG_PER_MM3 = 7.85e-6
"""Density of structural steel, 7850 kg/m3 (EN 1993-1-1, 3.2.6 gives no other; ASTM A6 takes 490 lb/ft3, the same)."""


def mass_kg(plate: Plate) -> float:
    """Mass of one plate: area times thickness times density."""
    return plate.area_mm2 * plate.thickness_mm * STEEL_KG_PER_MM3


def cut_length_mm(plate: Plate) -> float:
    """Length that the torch cuts on one plate: the outline, the openings and the holes that are cut."""
    return (
        plate.outline.length
        + sum(opening.length for opening in plate.openings)
        + sum(hole.circle.length for hole in plate.holes if hole.made == "cut")
    )


def hole_edge_mm(plate: Plate, hole: Hole) -> float:
    """Distance from a hole's centre to the nearest edge of outline or opening, whatever its direction."""
    return min(loop.distance(hole.circle.centre) for loop in (plate.outline, *plate.openings))


def slot_edge_mm(plate: Plate, slot: Slot) -> float:
    """Distance from the centre of either end of a slot to the nearest edge that is not its own."""
    edges = (plate.outline, *(opening for opening in plate.openings if opening != slot.contour))
    return min(loop.distance(end) for loop in edges for end in slot.ends)
