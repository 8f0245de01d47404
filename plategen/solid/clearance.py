"""What touches, what overlaps and how much room there is between the bodies of a job, from the solids themselves."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from plategen.solid.bodies import cylinder_body, eye_body, pin_body, plate_bodies, standing_body
from plategen.solid.body import Body
from plategen.solid.kernel import Shape, kernel, location, volume_mm3
from plategen.work import Work

NEAR_MM = 5.0
"""Plates further apart than this need no telling."""

SAME_MM3 = 1e-3
"""A common volume of less than this is a touch: what the kernel's tolerance of 1e-7 mm leaves on a plate's faces."""


@dataclass(frozen=True, slots=True)
class Clearance:
    """Two bodies.

    Args:
        one: Name of the one.
        other: Name of the other.
        gap_mm: Shortest distance between them, 0 when they touch or overlap.
        overlap_mm3: Volume they have in common, 0 when they do not overlap.
    """

    one: str
    other: str
    gap_mm: float
    overlap_mm3: float


def clearances(
    bodies: Sequence[Body], pairs: Iterable[tuple[str, str]] | None = None, within_mm: float = math.inf
) -> tuple[Clearance, ...]:
    """Gap and overlap of pairs of bodies, those named or all; those nearer to each other than ``within_mm``.

    Raises:
        SolidUnavailable: The solid kernel cannot be loaded.
    """
    placed = {body.name: body.shape.Located(location(body.placement)) for body in bodies}
    boxes = {name: _box(shape) for name, shape in placed.items()} if within_mm < math.inf else {}
    # what lies apart as boxes lies apart as bodies, and the kernel's own distance takes a hundred times as long
    near = (pair for pair in pairs or combinations(placed, 2) if not boxes or _apart_mm(boxes, *pair) < within_mm)
    found = (_clearance(a, placed[a], b, placed[b]) for a, b in near)
    return tuple(clearance for clearance in found if clearance.gap_mm < within_mm)


def _box(shape: Shape) -> Any:
    """The box about a shape, along the axes."""
    box = kernel("Bnd").Bnd_Box()
    kernel("BRepBndLib").BRepBndLib.Add_s(shape, box)
    return box


def _apart_mm(boxes: Mapping[str, Any], one: str, other: str) -> float:
    return float(boxes[one].Distance(boxes[other]))


def job_clearances(work: Work) -> tuple[Clearance, ...]:
    """The clearances of a finished job that somebody could get wrong.

    Eye and pin in the plates; plates that stand on the rail or tube, and the cylinder beside it; plates that lie near
    one another. Where the barrel may begin is said by :func:`plategen.bracket.barrel.barrel_start_mm`, so the barrel is
    no body here.
    """
    cylinder = work.job.cylinder
    whole = cylinder_body(work.bracket, cylinder.body_diameter_mm, cylinder.closed_length_mm, cylinder.rod_mm)
    stands_on, eye, pin = standing_body(work), eye_body(work.bracket), pin_body(work.bracket)
    ears = [plate.name for plate in work.bracket.plates if any(hole.name == "pin" for hole in plate.holes)]
    pairs = [(ear, other) for ear in ears for other in (eye.name, pin.name)]
    plates = plate_bodies(work.bracket)
    standing = [(plate.name, stands_on.name) for plate in plates]
    told = clearances((*plates, eye, pin, whole, stands_on), (*pairs, *standing, (whole.name, stands_on.name)))
    return (*told, *clearances(plates, within_mm=NEAR_MM))


def _clearance(one: str, a: Shape, other: str, b: Shape) -> Clearance:
    gap = gap_mm(a, b)
    overlap = common_mm3(a, b) if gap == 0.0 else 0.0
    return Clearance(one, other, gap, overlap)


def gap_mm(a: Shape, b: Shape) -> float:
    """Shortest distance between two shapes, 0 when they meet."""
    distance = kernel("BRepExtrema").BRepExtrema_DistShapeShape(a, b)
    found = float(distance.Value())
    # within the kernel's own tolerance two faces are one
    return found if found > 1e-6 else 0.0


def common_mm3(a: Shape, b: Shape) -> float:
    """Volume that two shapes share."""
    common = kernel("BRepAlgoAPI").BRepAlgoAPI_Common(a, b)
    shared = abs(volume_mm3(common.Shape()))
    return shared if shared > SAME_MM3 else 0.0
