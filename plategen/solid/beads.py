"""Fillet beads as bodies: a triangle at the root, as wide as the leg on both faces, carried along the run."""

import math
from collections.abc import Iterable

from plategen.bracket.model import Bracket, Plate, WeldRun
from plategen.flat.inside import inside
from plategen.flat.segment import Arc, Segment
from plategen.ground.space import Vector, dot, minus
from plategen.solid.body import Body
from plategen.solid.kernel import Shape, compound, kernel

BEAD_COLOUR = (0.70, 0.28, 0.10)
"""Of weld beads: red, green, blue."""


def bead_bodies(bracket: Bracket) -> tuple[Body, ...]:
    """One body for each run that lies on a face of its plate; a run across a plate's edge is left out.

    A bead is drawn at the middle of its joint's angles. At a corner of the root its pieces overlap or stand apart:
    it is for looking and for clearances, not for the volume of weld metal.
    """
    plates = {plate.name: plate for plate in bracket.plates}
    found = []
    for weld in bracket.welds:
        outward = _outward(plates[weld.plate], weld)
        if outward is not None:
            pieces = compound(_piece(plates[weld.plate], weld, segment, outward) for segment in weld.path)
            found.append(Body(name=f"bead_{weld.name}", shape=pieces, colour=BEAD_COLOUR))
    return tuple(found)


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
    corners = (root, _plus(root, up, weld.leg_mm), _plus(root, along_other, weld.leg_mm))
    face = _triangle(corners)
    if isinstance(segment, Arc):
        gp = kernel("gp")
        axis_direction = weld.placement.normal
        axis = gp.gp_Ax1(gp.gp_Pnt(*weld.placement.point(segment.centre)), gp.gp_Dir(*axis_direction))
        return kernel("BRepPrimAPI").BRepPrimAPI_MakeRevol(face, axis, segment.sweep_rad).Shape()
    way = minus(weld.placement.point(segment.end), root)
    return kernel("BRepPrimAPI").BRepPrimAPI_MakePrism(face, kernel("gp").gp_Vec(*way)).Shape()


def _into_plate(plate: Plate, weld: WeldRun, segment: Segment) -> Vector:
    """Unit vector square to the run, in the plate's face, into the plate."""
    middle = segment.point(0.5)
    for side in (1j, -1j):
        beside = plate.placement.flat(weld.placement.point(middle + segment.tangent(0.5) * side))
        if inside(plate.outline, beside):
            break
    at = segment.start
    return minus(weld.placement.point(at + segment.start_tangent * side), weld.placement.point(at))


def _triangle(corners: Iterable[Iterable[float]]) -> Shape:
    make = kernel("BRepBuilderAPI")
    polygon = make.BRepBuilderAPI_MakePolygon()
    for corner in corners:
        polygon.Add(kernel("gp").gp_Pnt(*corner))
    polygon.Close()
    return make.BRepBuilderAPI_MakeFace(polygon.Wire()).Face()


def _plus(a: Vector, direction: Iterable[float], length: float) -> Iterable[float]:
    return tuple(x + length * d for x, d in zip(a, direction, strict=True))
