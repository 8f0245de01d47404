"""Dimensions that a job leaves out, chosen by rule, each with the sentence that says so."""

from dataclasses import dataclass

from plategen.ground.shop_size import PLATE_SIZES
from plategen.ground.unit import Units

NOSE_OVER_PIN = 1.5
"""Nose radius over pin diameter: a lug about as wide as three pins (common practice, no source)."""

TOE_OVER_LEG = 2.0
TOE_OVER_THICKNESS = 1.5
"""A toe holds the end of the weld and keeps the plate's end from burning away (common practice, no source)."""

RELIEF_OVER_LEG = 2.0
"""Two beads that come to a corner from both sides stay a leg apart, and a bend as wide can be followed by the bead."""


@dataclass(frozen=True, slots=True)
class Chosen:
    """A length in mm and why it is that."""

    mm: float
    why: str


def nose_radius(pin_mm: float, edge_required_mm: float, edge_source: str, units: Units) -> Chosen:
    """Nose radius from the edge-distance rule, no less than 1.5 pins, on the next shop size up."""
    wanted = max(edge_required_mm, NOSE_OVER_PIN * pin_mm)
    ruled = edge_source if edge_required_mm >= NOSE_OVER_PIN * pin_mm else "1.5 x pin: common practice, no source"
    return Chosen(PLATE_SIZES.up(wanted, units), f"nose radius from {ruled}, on the next shop size up")


def toe_height(leg_mm: float, thickness_mm: float, units: Units) -> Chosen:
    """Toe height from weld leg and plate thickness."""
    wanted = max(TOE_OVER_LEG * leg_mm, TOE_OVER_THICKNESS * thickness_mm)
    return Chosen(
        PLATE_SIZES.up(wanted, units),
        "toe from 2 x weld leg and 1.5 x thickness, the larger (common practice, no source), on the next shop size up",
    )


def relief_radius(leg_mm: float, units: Units) -> Chosen:
    """Radius of the relief at a sharp corner of the rail: the two beads end clear of each other."""
    return Chosen(
        PLATE_SIZES.up(RELIEF_OVER_LEG * leg_mm, units),
        "relief at the rail's sharp corner from 2 x weld leg (common practice, no source), on the next shop size up",
    )
