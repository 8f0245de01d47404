"""The cylinder's swing measured on the solids: at both ends of it, and at the angle where the plane's sweep is worst.

The second opinion on :mod:`plategen.bracket.swing`: the same convex bodies, the same angles, but the kernel's own
surfaces and its own shortest distance.
"""

import math

from plategen.bracket.envelope import Block, Body, Post, cylinder_bodies
from plategen.bracket.swing import Room
from plategen.flat.loop import Circle, polygon
from plategen.flat.placement import Placement, across_pin
from plategen.ground.space import Vector
from plategen.solid.bodies import standing_body
from plategen.solid.clearance import Clearance, common_mm3, gap_mm
from plategen.solid.kernel import Shape, location, plate_solid, prism
from plategen.work import Work


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
    cylinder = cylinder_bodies(work.job, start if start is not None else work.job.cylinder.base.eye_radius_mm)
    bodies = {body.name: body for body in cylinder}
    return tuple(_measured(room, bodies[room.of], others[room.to], work) for room in work.rooms if room.to in others)


def _measured(room: Room, body: Body, other: Shape, work: Work) -> Clearance:
    shape = _shape(body)
    found = []
    for angle in sorted({room.angle_rad, *work.design.motion.swing_rad}):
        turned = shape.Located(location(_turned(work.bracket.pin.centre, angle)))
        found.append((gap_mm(turned, other), turned))
    gap, nearest = min(found, key=lambda one: one[0])
    return Clearance(f"{room.of}, swinging", room.to, gap, common_mm3(nearest, other) if gap == 0.0 else 0.0)


def _turned(pin: Vector, angle_rad: float) -> Placement:
    """The cylinder's own frame in space."""
    c, s = math.cos(angle_rad), math.sin(angle_rad)
    return Placement(pin, (c, s, 0.0), (-s, c, 0.0))


def _shape(body: Body) -> Shape:
    """A body of the envelope as a solid in the cylinder's frame."""
    if isinstance(body, Block):
        (x0, y0, z0), (x1, y1, z1) = body.low, body.high
        outline = polygon((complex(x0, y0), complex(x1, y0), complex(x1, y1), complex(x0, y1)))
        return prism(outline, z1 - z0, placement=across_pin(z0))
    return prism(Circle(0j, body.radius_mm), body.high_mm - body.low_mm, placement=_along(body))


def _along(post: Post) -> Placement:
    """A plane square to a post's axis, at its lower end."""
    origin = tuple(post.low_mm if k == post.axis else post.through[k] for k in range(3))
    one, other = ((0.0, 1.0, 0.0), (0.0, 0.0, 1.0)) if post.axis == 0 else ((0.0, 0.0, 1.0), (1.0, 0.0, 0.0))
    if post.axis == 2:
        one, other = (1.0, 0.0, 0.0), (0.0, 1.0, 0.0)
    return Placement(origin, one, other)  # type: ignore[arg-type]
