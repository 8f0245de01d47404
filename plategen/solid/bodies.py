"""The bodies of a finished job: its plates, the rail they stand on, the cylinder's envelope, the pin, weld beads.

A fillet bead is a triangle at the root, as wide as the leg on both faces, carried along the run.
"""

import math
from collections.abc import Iterable
from itertools import pairwise

from plategen.bracket.drill_list import shim_of
from plategen.bracket.envelope import PIN_OVER, barrel_start_mm, lug_outline
from plategen.bracket.feature import in_the_way
from plategen.bracket.measure import along_pin, held_along_pin
from plategen.bracket.model import Bracket, Plate, WeldRun
from plategen.bracket.sleeve import sleeves
from plategen.bracket.unfold import bodies_of
from plategen.flat.chain import Chain
from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Loop, polygon
from plategen.flat.offset import offset_chain
from plategen.flat.placement import Placement, across_pin
from plategen.flat.segment import Arc, Line, Segment
from plategen.ground.space import Vector, cross, dot, minus, unit
from plategen.rail.surface import Rail
from plategen.rail.tube import Tube
from plategen.solid.kernel import (
    Body,
    Colour,
    Shape,
    compound,
    cut,
    fused,
    kernel,
    location,
    plate_solid,
    prism,
    wire,
)
from plategen.work import Work

FEATURE_COLOUR = (0.64, 0.10, 0.36)
"""Of what is on the rail already: red, green, blue."""

PLATE_COLOURS = ((0.27, 0.51, 0.71), (0.85, 0.53, 0.24), (0.36, 0.63, 0.42), (0.62, 0.42, 0.66))
RAIL_COLOUR, CYLINDER_COLOUR, PIN_COLOUR = (0.60, 0.62, 0.64), (0.80, 0.75, 0.42), (0.35, 0.35, 0.38)
"""Colours of the parts: red, green, blue."""

BEYOND_MM = 25.0
"""How far a rail traced in one plane, and so straight along the pin, is shown beyond the plates."""

HAIR_MM = 0.01
"""How far beside a traced plane a section is taken where bends begin or end in that plane, so that they have size."""


def job_bodies(work: Work) -> tuple[Body, ...]:
    """Every body of the job, placed.

    Raises:
        SolidUnavailable: The solid kernel cannot be loaded.
    """
    cylinder = work.job.cylinder
    beads = bead_bodies(work.bracket) if work.job.solid.beads else ()
    return (
        *part_bodies(work.bracket),
        *shim_bodies(work),
        *sleeve_bodies(work),
        standing_body(work),
        cylinder_body(work.bracket, cylinder.body_diameter_mm, cylinder.closed_length_mm, cylinder.rod_mm),
        pin_body(work.bracket),
        *beads,
        *feature_bodies(work),
    )


def plate_bodies(bracket: Bracket) -> tuple[Body, ...]:
    """The plates, one by one; of one that is bent its flat parts and its bends."""
    return tuple(
        Body(name=plate.name, shape=plate_solid(plate), colour=_colour(index), placement=plate.placement)
        for index, plate in enumerate(bodies_of(bracket))
    )


def part_bodies(bracket: Bracket) -> tuple[Body, ...]:
    """The plates as the shop has them in its hands when they are finished: one that is bent is one body."""
    folded, bodies = bracket.folded, plate_bodies(bracket)
    if folded is None:
        return bodies
    of_it = {folded.base, *(bend.ear for bend in folded.bends), *(bend.name for bend in folded.bends)}
    bent = fused([body.shape.Located(location(body.placement)) for body in bodies if body.name in of_it])
    others = [body for body in bodies if body.name not in of_it]
    return (Body(name=folded.name, shape=bent, colour=_colour(0)), *others)


def shim_bodies(work: Work) -> tuple[Body, ...]:
    """The packing under a base, ground to where the rail's face lies."""
    return tuple(
        Body(name=plate.name, shape=_ground(work, plate), colour=_colour(1), placement=plate.placement)
        for plate in work.bracket.packing
    )


def sleeve_bodies(work: Work) -> tuple[Body, ...]:
    """The sleeves between the walls of a closed section."""
    return tuple(
        Body(
            name=each.name,
            shape=prism(Circle(0j, each.outside_mm / 2), each.length_mm, (Circle(0j, each.bore_mm / 2),)),
            colour=_colour(2),
            placement=each.placement,
        )
        for each in sleeves(work.design)
    )


def _ground(work: Work, plate: Plate) -> Shape:
    """A shim in its own frame, its stock above a plane as high at the bolt and as steep as the rail's face lies."""
    assert work.design.base is not None
    bolt = work.design.base.bolts[shim_of(work.design, plate.name).bolt - 1]
    along, across = bolt.taper
    far, at = 10.0 * (plate.outline.bounds[2] - plate.outline.bounds[0]), plate.holes[0].circle.centre
    u = unit((1.0, 0.0, -along))
    n = unit(cross(u, (0.0, 1.0, -across)))
    under = Placement((at.real, at.imag, plate.thickness_mm - bolt.gap_mm), u, cross(n, u))
    away = polygon([complex(x, y) for x, y in ((-far, -far), (far, -far), (far, far), (-far, far))])
    return cut(plate_solid(plate), prism(away, far, placement=under.shifted((-far * n[0], -far * n[1], -far * n[2]))))


def _colour(index: int) -> Colour:
    return PLATE_COLOURS[index % len(PLATE_COLOURS)]


def standing_body(work: Work) -> Body:
    """What the bracket stands on: the rail, or the tube."""
    if isinstance(work.rail, Tube):
        return Body(name="tube", shape=tube_solid(work.rail), colour=RAIL_COLOUR)
    return Body(name="rail", shape=rail_solid(work.rail, work.bracket, work.job.rail.wall_mm), colour=RAIL_COLOUR)


def feature_bodies(work: Work) -> tuple[Body, ...]:
    """What stands out of the rail, as the job lists it."""
    return tuple(
        Body(
            name=f"on_rail_{index}",
            shape=prism(each.outline, each.height_mm, placement=each.placement),
            colour=FEATURE_COLOUR,
        )
        for index, each in enumerate(in_the_way(work.features), start=1)
    )


def tube_solid(tube: Tube) -> Shape:
    """The piece of the tube about the bracket."""
    first, last = tube.shown_mm
    return prism(tube.profile(), last - first, (tube.bore(),), tube.across(first))


def rail_solid(rail: Rail, bracket: Bracket, wall_mm: float) -> Shape:
    """The traced patch of the rail as a sheet of its wall's thickness, the traced surface exact.

    A rail traced in one plane is drawn out straight along the pin (planes and cylinders); between planes it is ruled.
    The back of the sheet is the section's parallel in each plane, so a slanted wall is thinner than it should be by
    the cosine of its slant: the back touches nothing.
    """
    low, high = along_pin(bracket.plates)
    planes = [fitted.trace.plane_mm for fitted in rail.traces]
    if len(planes) == 1:
        low, high = low - BEYOND_MM, high + BEYOND_MM
    if not rail.varies:
        return prism(_sheet(rail.section(low), wall_mm), high - low, placement=across_pin(low))
    stations = rail.planes_between(min(low, planes[0]), max(high, planes[-1]))
    return compound(_ruled(rail, near, far, wall_mm) for near, far in pairwise(stations))


def cylinder_body(bracket: Bracket, barrel_mm: float, closed_length_mm: float, rod_mm: float) -> Body:
    """What the cylinder takes up when closed: its eye, its barrel from where the plates let it begin, and its rod."""
    pin = bracket.pin
    u, v, w = pin.centre
    bore = Circle(complex(u, v), pin.diameter_mm / 2)
    begins = barrel_start_mm(bracket, barrel_mm)
    outline = lug_outline(pin, begins)
    lugs = [prism(outline, width, (bore,), across_pin(low)) for low, width in pin.lugs]
    # the moving end's eye is taken to be as large as this one's
    ends = max(closed_length_mm - pin.eye_radius_mm, begins + barrel_mm)
    barrel = prism(Circle(0j, barrel_mm / 2), ends - begins, placement=_along_cylinder(u + begins, v, w))
    rod = prism(Circle(0j, rod_mm / 2), pin.eye_radius_mm, placement=_along_cylinder(u + ends, v, w))
    return Body(name="cylinder_envelope", shape=compound((*lugs, barrel, rod)), colour=CYLINDER_COLOUR)


def eye_body(bracket: Bracket) -> Body:
    """The cylinder's eye alone, bored for the pin."""
    pin = bracket.pin
    centre = complex(pin.centre[0], pin.centre[1])
    bore = Circle(centre, pin.diameter_mm / 2)
    rings = [prism(Circle(centre, pin.eye_radius_mm), width, (bore,), across_pin(low)) for low, width in pin.lugs]
    return Body(name="eye", shape=compound(rings) if len(rings) > 1 else rings[0], colour=CYLINDER_COLOUR)


def pin_body(bracket: Bracket) -> Body:
    """The pin, through every plate that lies across it."""
    pin = bracket.pin
    low, high = held_along_pin(bracket)
    over = PIN_OVER * pin.diameter_mm
    circle = Circle(complex(pin.centre[0], pin.centre[1]), pin.diameter_mm / 2)
    return Body(
        name="pin", shape=prism(circle, high - low + 2 * over, placement=across_pin(low - over)), colour=PIN_COLOUR
    )


def _along_cylinder(u: float, v: float, w: float) -> Placement:
    """A plane square to the cylinder, its normal along u."""
    return Placement((u, v, w), (0.0, 1.0, 0.0), (0.0, 0.0, 1.0))


def _sheet(section: Chain, wall_mm: float) -> Loop:
    """A section and its parallel inside the metal, closed at both ends."""
    back = offset_chain(section, wall_mm, "miter")
    return Loop(
        (*section.segments, Line(section.end, back.end), *back.reversed().segments, Line(back.start, section.start))
    )


def _ruled(rail: Rail, near_mm: float, far_mm: float, wall_mm: float) -> Shape:
    """The sheet between two planes."""
    near, far = (_sheet(rail.section(w), wall_mm) for w in (near_mm, far_mm))
    if len(near) != len(far):
        near_mm, far_mm = near_mm + HAIR_MM, far_mm - HAIR_MM
        near, far = (_sheet(rail.section(w), wall_mm) for w in (near_mm, far_mm))
    builder = kernel("BRepOffsetAPI").BRepOffsetAPI_ThruSections(True, True)
    builder.CheckCompatibility(False)
    for loop, w in ((near, near_mm), (far, far_mm)):
        builder.AddWire(wire(loop, across_pin(w)))
    return builder.Shape()


BEAD_COLOUR = (0.70, 0.28, 0.10)
"""Of weld beads: red, green, blue."""


def bead_bodies(bracket: Bracket) -> tuple[Body, ...]:
    """One body for each run that lies on a face of its plate; a run across a plate's edge is left out.

    A bead is drawn at the middle of its joint's angles. At a corner of the root its pieces overlap or stand apart:
    it is for looking and for clearances, not for the volume of weld metal.
    """
    plates = {plate.name: plate for plate in bracket.plates}
    beads = []
    for weld in bracket.welds:
        outward = _outward(plates[weld.plate], weld)
        if outward is not None:
            pieces = compound(_piece(plates[weld.plate], weld, segment, outward) for segment in weld.path)
            beads.append(Body(name=f"bead_{weld.name}", shape=pieces, colour=BEAD_COLOUR))
    return tuple(beads)


def _outward(plate: Plate, weld: WeldRun) -> Vector | None:
    """The direction out of the plate's face on which the run lies; None if it lies on neither face."""
    normal = plate.placement.normal
    start = weld.placement.point(weld.path.start)
    end = weld.placement.point(weld.path.end)
    depths = [dot(minus(p, plate.placement.origin), normal) for p in (start, end)]
    for face, sign in ((0.0, -1.0), (plate.thickness_mm, 1.0)):
        if all(abs(depth - face) < 0.01 for depth in depths):
            return (sign * normal[0], sign * normal[1], sign * normal[2])
    return None


def _piece(plate: Plate, weld: WeldRun, segment: Segment, outward: Vector) -> Shape:
    """The bead along one edge of the root: drawn out along a line, turned about an arc's centre."""
    root = weld.placement.point(segment.start)
    up = _into_plate(plate, weld, segment)
    angle = sum(weld.joint_angle_rad) / 2
    # the other member's face leaves the root at the joint's angle from the plate's face
    along_other = tuple(math.cos(angle) * a + math.sin(angle) * b for a, b in zip(up, outward, strict=True))
    make, gp = kernel("BRepBuilderAPI"), kernel("gp")
    corners = (root, _plus(root, up, weld.leg_mm), _plus(root, along_other, weld.leg_mm))
    triangle = make.BRepBuilderAPI_MakePolygon(*(gp.gp_Pnt(*corner) for corner in corners), True)
    face = make.BRepBuilderAPI_MakeFace(triangle.Wire()).Face()
    if isinstance(segment, Arc):
        axis_direction = weld.placement.normal
        axis = gp.gp_Ax1(gp.gp_Pnt(*weld.placement.point(segment.centre)), gp.gp_Dir(*axis_direction))
        return kernel("BRepPrimAPI").BRepPrimAPI_MakeRevol(face, axis, segment.sweep_rad).Shape()
    way = minus(weld.placement.point(segment.end), root)
    return kernel("BRepPrimAPI").BRepPrimAPI_MakePrism(face, gp.gp_Vec(*way)).Shape()


def _into_plate(plate: Plate, weld: WeldRun, segment: Segment) -> Vector:
    """Unit vector square to the run, in the plate's face, into the plate."""
    middle = segment.point(0.5)
    for side in (1j, -1j):
        beside = plate.placement.flat(weld.placement.point(middle + segment.tangent(0.5) * side))
        if inside(plate.outline, beside):
            break
    at = segment.start
    return minus(weld.placement.point(at + segment.start_tangent * side), weld.placement.point(at))


def _plus(a: Vector, direction: Iterable[float], length: float) -> Iterable[float]:
    return tuple(x + length * d for x, d in zip(a, direction, strict=True))
