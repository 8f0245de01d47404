"""Plug welds: their hole, their spacing, and how deep they are filled (AISC 360-16/22 J2.3b)."""

import math

from plategen.ground.unit import Units

SOURCE = "AISC 360-22 J2.3b"
"""Where sizes and spacing of plug welds are from."""

OVER_PLATE_MM = 8.0
"""Hole over the plate's thickness, at least: 5/16 in (8 mm)."""

SPACING = 4.0
"""From middle to middle, in diameters of the hole."""

FULL_TO_MM = 16.0
"""Plates up to 5/8 in (16 mm) are filled to their face, thicker ones half, no less than that."""


def plug_hole_mm(thickness_mm: float, units: Units) -> float:
    """Least hole for a plug weld: the plate's thickness and 5/16 in, or 8 mm.

    On the next odd sixteenth, or even millimetre (that step from memory).

    >>> plug_hole_mm(25.4 * 3 / 8, "in") / 25.4, plug_hole_mm(10.0, "mm")
    (0.6875, 18.0)
    """
    if units == "mm":
        return 2.0 * math.ceil((thickness_mm + OVER_PLATE_MM) / 2.0 - 1e-9)
    sixteenths = math.ceil((thickness_mm / 25.4 + 5 / 16) * 16.0 - 1e-9)
    return (sixteenths + (sixteenths + 1) % 2) / 16.0 * 25.4


def filled_mm(thickness_mm: float) -> float:
    """How deep the plug is filled.

    >>> filled_mm(10.0), filled_mm(20.0), filled_mm(40.0)
    (10.0, 16.0, 20.0)
    """
    return thickness_mm if thickness_mm <= FULL_TO_MM else max(FULL_TO_MM, thickness_mm / 2.0)
