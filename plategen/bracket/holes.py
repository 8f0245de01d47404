"""The pin's hole: how large it is finished, how it is made, and how far it must stay from an edge."""

from typing import Literal

from plategen.bracket.model import Hole
from plategen.flat.loop import Circle
from plategen.ground.refusal import Refusal
from plategen.rules.edge_distance import least_edge_distance
from plategen.rules.hole_size import clearance_hole

OVER_PIN_MM = 25.4 / 32
"""Clearance of a pin that no table lists: 1/32 in, the most that AISC 360 D5.2 allows a pin-connected plate."""


def pin_hole_diameter(pin_mm: float, fit: str) -> float:
    """Finished diameter of the hole for a pin, mm.

    ``close``, ``normal`` and ``loose`` are the general clearance holes (ASME B18.2.8, ISO 273); a size that neither
    lists takes 1/32 in over the pin. ``ream`` is drilled and reamed to the pin itself.
    """
    if fit == "ream":
        return pin_mm
    try:
        return clearance_hole(pin_mm, fit).mm
    except Refusal:
        return pin_mm + OVER_PIN_MM


def how_made(diameter_mm: float, thickness_mm: float, smallest_hole: float, fit: str = "") -> Literal["cut", "drill"]:
    """Whether the table cuts a hole or only marks it: small holes taper and a reamed one needs a drilled start."""
    return "drill" if fit == "ream" or diameter_mm < smallest_hole * thickness_mm - 1e-9 else "cut"


def pin_hole(centre: complex, pin_mm: float, fit: str, thickness_mm: float, smallest_hole: float) -> Hole:
    """The hole for the pin, with the edge distance that AISC 360 Table J3.4 asks of it."""
    diameter_mm = pin_hole_diameter(pin_mm, fit)
    rule = least_edge_distance(pin_mm)
    return Hole(
        name="pin",
        circle=Circle(centre, diameter_mm / 2),
        bolt_mm=pin_mm,
        made=how_made(diameter_mm, thickness_mm, smallest_hole, fit),
        edge_required_mm=rule.mm,
        edge_source=rule.source,
    )
