"""How far plates reach in space."""

from collections.abc import Iterable

from plategen.bracket.model import Bracket, Plate


def along_pin(plates: Iterable[Plate]) -> tuple[float, float]:
    """Smallest and largest w of the plates (of their outlines' boxes, when a plate does not lie across the pin)."""
    reach: list[float] = []
    for plate in plates:
        u0, v0, u1, v1 = plate.outline.bounds
        corners = (complex(u0, v0), complex(u1, v0), complex(u0, v1), complex(u1, v1))
        reach.extend(plate.placement.point(p, depth)[2] for p in corners for depth in (0.0, plate.thickness_mm))
    return min(reach), max(reach)


def held_along_pin(bracket: Bracket) -> tuple[float, float]:
    """Smallest and largest w of the plates that the pin goes through; of all plates when none has a hole for it."""
    holding = [plate for plate in bracket.plates if plate.pin_hole is not None]
    return along_pin(holding or bracket.plates)
