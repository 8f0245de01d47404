"""What touches, what overlaps and how much room there is between the bodies of a job, from the solids themselves.

The swing is measured at both ends of it and at the angle where the plane's sweep is worst: the second opinion on
:mod:`plategen.bracket.swing` with the same convex bodies and angles, but the kernel's surfaces and shortest distance.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import Any

from plategen.bracket.envelope import Block, Post, cylinder_bodies
from plategen.bracket.swing import Room
from plategen.flat.loop import Circle, polygon
from plategen.flat.placement import Placement, across_pin
from plategen.ground.space import Vector
from plategen.solid.bodies import cylinder_body, eye_body, pin_body, plate_bodies, standing_body
from plategen.solid.kernel import Body, Shape, kernel, location, plate_solid, prism, volume_mm3
from plategen.work import Work

NEAR_MM = 5.0
"""Plates further apart than this need no telling."""

SAME_MM3 = 1e-3
"""A common volume of less than this is a touch: what the kernel's tolerance of 1e-7 mm leaves on a plate's faces."""


@dataclass(frozen=True, slots=True)
class Clearance:
    """Two bodies by their names: their shortest distance, 0 when they touch, and the volume they have in common."""

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
    boxes = {name: kernel("Bnd").Bnd_Box() for name in placed if within_mm < math.inf}
    for name, box in boxes.items():
        kernel("BRepBndLib").BRepBndLib.Add_s(placed[name], box)
    # what lies apart as boxes lies apart as bodies, and the kernel's own distance takes a hundred times as long
    named = pairs or combinations(placed, 2)
    near = ((a, b) for a, b in named if not boxes or boxes[a].Distance(boxes[b]) < within_mm)
    measured = (_clearance(a, placed[a], b, placed[b]) for a, b in near)
    return tuple(clearance for clearance in measured if clearance.gap_mm < within_mm)


def job_clearances(work: Work) -> tuple[Clearance, ...]:
    """The clearances of a finished job that somebody could get wrong.

    Eye and pin in the plates; plates that stand on the rail or tube, and the cylinder beside it; plates that lie near
    one another. Where the barrel may begin is said by :func:`plategen.bracket.barrel.barrel_start_mm`, so the barrel is
    no body here.
    """
    cylinder = work.job.cylinder
    whole = cylinder_body(work.bracket, cylinder.body_diameter_mm, cylinder.closed_length_mm, cylinder.rod_mm)
    stands_on, eye, pin = standing_body(work), eye_body(work.bracket), pin_body(work.bracket)
    ears = [plate.name for plate in work.bracket.plates if plate.pin_hole is not None]
    pairs = [(ear, other) for ear in ears for other in (eye.name, pin.name)]
    plates = plate_bodies(work.bracket)
    standing = [(plate.name, stands_on.name) for plate in plates]
    joined = clearances((*plates, eye, pin, whole, stands_on), (*pairs, *standing, (whole.name, stands_on.name)))
    return (*joined, *clearances(plates, within_mm=NEAR_MM))


def _clearance(one: str, a: Shape, other: str, b: Shape) -> Clearance:
    gap = gap_mm(a, b)
    return Clearance(one, other, gap, common_mm3(a, b) if gap == 0.0 else 0.0)


def gap_mm(a: Shape, b: Shape) -> float:
    """Shortest distance between two shapes, 0 when they meet."""
    distance_mm = float(kernel("BRepExtrema").BRepExtrema_DistShapeShape(a, b).Value())
    # within the kernel's own tolerance two faces are one
    return distance_mm if distance_mm > 1e-6 else 0.0


def common_mm3(a: Shape, b: Shape) -> float:
    """Volume that two shapes share."""
    common, one, other = kernel("BRepAlgoAPI").BRepAlgoAPI_Common(), *(_list(shape) for shape in (a, b))
    common.SetArguments(one)
    common.SetTools(other)
    # boxes that lie as the faces do let more pairs go untried; which face came of which is not asked
    common.SetUseOBB(True)
    common.SetToFillHistory(False)
    common.Build()
    shared = abs(volume_mm3(common.Shape()))
    return shared if shared > SAME_MM3 else 0.0


def _list(shape: Shape) -> Any:
    """The kernel's list of one shape."""
    made = kernel("TopTools").TopTools_ListOfShape()
    made.Append(shape)
    return made


def swing_clearances(work: Work) -> tuple[Clearance, ...]:
    """For every room that the plane's sweep found, what the solids say at its angle and at both ends of the swing.

    Returns:
        In the order of ``work.rooms``, the smallest clearance of the same body of the cylinder to the same thing at
        those three angles; rooms beside a rolled plate, which is no flat solid, are left out.

    Raises:
        SolidUnavailable: The solid kernel cannot be loaded.
    """
    standing = standing_body(work)
    others = {standing.name: standing.shape.Located(location(standing.placement))}
    others |= {p.name: plate_solid(p).Located(location(p.placement)) for p in work.bracket.plates if not p.rolled_mm}
    start = work.job.swing.barrel_start_mm if work.job.swing else None
    cylinder = cylinder_bodies(work.job, start)
    bodies = {body.name: body for body in cylinder}
    return tuple(_measured(room, bodies[room.of], others[room.to], work) for room in work.rooms if room.to in others)


def _measured(room: Room, body: Block | Post, other: Shape, work: Work) -> Clearance:
    angles = sorted({room.angle_rad, *work.design.motion.swing_rad})
    turned = (_shape(body).Located(location(_turned(work.bracket.pin.centre, angle))) for angle in angles)
    measured = (_clearance(f"{room.of}, swinging", shape, room.to, other) for shape in turned)
    return min(measured, key=lambda clearance: clearance.gap_mm)


def _turned(pin: Vector, angle_rad: float) -> Placement:
    """The cylinder's own frame in space."""
    c, s = math.cos(angle_rad), math.sin(angle_rad)
    return Placement(pin, (c, s, 0.0), (-s, c, 0.0))


def _shape(body: Block | Post) -> Shape:
    """A body of the envelope as a solid in the cylinder's frame."""
    if isinstance(body, Block):
        (x0, y0, z0), (x1, y1, z1) = body.low, body.high
        outline = polygon((complex(x0, y0), complex(x1, y0), complex(x1, y1), complex(x0, y1)))
        return prism(outline, z1 - z0, placement=across_pin(z0))
    return prism(Circle(0j, body.radius_mm), body.high_mm - body.low_mm, placement=_along(body))


def _along(post: Post) -> Placement:
    """A plane square to a post's axis, at its lower end."""
    origin = tuple(post.low_mm if k == post.axis else post.through[k] for k in range(3))
    axes = ((1.0, 0.0, 0.0), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))
    return Placement(origin, axes[post.axis - 2], axes[post.axis - 1])  # type: ignore[arg-type]
