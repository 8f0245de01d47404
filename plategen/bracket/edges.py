"""How far a hole lies from every edge of its plate."""

import cmath
import math
from dataclasses import dataclass

from plategen.bracket.model import Hole, Plate
from plategen.flat.segment import Segment


@dataclass(frozen=True, slots=True)
class EdgeDistance:
    """From a hole's centre to one edge.

    Args:
        edge: ``"notch"``, ``"nose"``, or ``"edge 3"``, counted round the outline.
        mm: Shortest distance from the hole's centre.
        direction_rad: Which way that is, from the plate's u towards v.
    """

    edge: str
    mm: float
    direction_rad: float


def edge_distances(plate: Plate, hole: Hole) -> tuple[EdgeDistance, ...]:
    """The distance from a hole's centre to every edge of the outline, the nearest first."""
    return tuple(
        sorted(
            (_distance(_name(plate, hole, index, edge), edge, hole) for index, edge in enumerate(plate.outline)),
            key=lambda d: d.mm,
        )
    )


def least_edge_distance_mm(plate: Plate, hole: Hole) -> float:
    """The distance from a hole's centre to the nearest edge, mm."""
    return plate.outline.distance(hole.circle.centre)


def _distance(name: str, edge: Segment, hole: Hole) -> EdgeDistance:
    centre = hole.circle.centre
    away = edge.point(edge.nearest(centre)) - centre
    return EdgeDistance(name, abs(away), cmath.phase(away))


def _name(plate: Plate, hole: Hole, index: int, edge: Segment) -> str:
    if plate.notch is not None and edge.reversed() in plate.notch.segments:
        return "notch"
    if edge.sweep_rad and math.isclose(
        abs(edge.start - hole.circle.centre), abs(edge.point(0.5) - hole.circle.centre), rel_tol=1e-9
    ):
        return "nose"
    return f"edge {index + 1}"
