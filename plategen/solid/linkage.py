"""The steering's linkage as bodies in the vehicle frame: at both locks and straight ahead, with the paths between them.

Bars stand on the true centre lines, so a line or a ball's centre picked off them is exact; their thickness is for the
eye. Paths are wires.
"""

import numpy as np

from plategen.solid.kernel import Body, Colour, Shape, kernel
from plategen.steering.linkage import SMALLEST_LENGTH_MM
from plategen.steering.skeleton import Kind, SkeletonLine, Where
from plategen.steering.vector import Point, array, length

COLOURS: dict[Where, Colour] = {
    "right lock": (0.78, 0.39, 0.08),
    "straight ahead": (0.30, 0.31, 0.33),
    "left lock": (0.10, 0.42, 0.69),
    "all": (0.60, 0.62, 0.64),
}
"""One colour a position, so that what moves together is seen together."""

PATH_COLOUR: Colour = (0.48, 0.24, 0.62)
"""Of the paths of balls and pins."""

RADIUS_MM: dict[Kind, float] = {"lever": 6.0, "rod": 4.0, "cylinder": 8.0, "axis": 2.0, "path": 0.0}
"""Radius of the bars, by what they stand for: enough to be seen, little enough to see past."""

BALL_OVER = 1.6
"""Radius of the balls at a bar's moving end, in the bar's own."""


def linkage_bodies(lines: tuple[SkeletonLine, ...]) -> tuple[Body, ...]:
    """A body for each line of the skeleton, by the line's name.

    Raises:
        SolidUnavailable: The solid kernel cannot be loaded.
    """
    named: set[str] = set()
    bodies = []
    for line in lines:
        if np.ptp(np.array(line.points_mm), axis=0).max() < SMALLEST_LENGTH_MM:
            continue  # a ball on its lever's own axis, which no rod may use, has no arm and no path
        name = line.name if line.name not in named else f"{line.name}, {line.kind}"
        named.add(name)
        path = line.kind == "path"
        shape = _path(line.points_mm) if path else _bar(line)
        bodies.append(Body(name=name, shape=shape, colour=PATH_COLOUR if path else COLOURS[line.where]))
    return tuple(bodies)


def _bar(line: SkeletonLine) -> Shape:
    """A round bar along the line, with a ball at each end that is a joint."""
    start, end = line.points_mm[0], line.points_mm[-1]
    radius = RADIUS_MM[line.kind]
    joints = {"lever": (end,), "rod": (), "cylinder": (start, end), "axis": (), "path": ()}[line.kind]
    make, gp = kernel("BRepPrimAPI"), kernel("gp")
    span = array(end) - array(start)
    axis = gp.gp_Ax2(gp.gp_Pnt(*start), gp.gp_Dir(*(float(c) for c in span)))
    bar = make.BRepPrimAPI_MakeCylinder(axis, radius, float(length(span))).Shape()
    for joint in joints:
        ball = make.BRepPrimAPI_MakeSphere(gp.gp_Pnt(*joint), BALL_OVER * radius).Shape()
        bar = _joined(bar, ball)
    return bar


def _joined(one: Shape, other: Shape) -> Shape:
    """Two solids that meet, as one: readers look for a part's colour on the part, not on what it is made of."""
    explorer = kernel("TopExp").TopExp_Explorer(
        kernel("BRepAlgoAPI").BRepAlgoAPI_Fuse(one, other).Shape(), kernel("TopAbs").TopAbs_ShapeEnum.TopAbs_SOLID
    )
    return explorer.Current()


def _path(points: tuple[Point, ...]) -> Shape:
    """The points joined by straight edges."""
    polygon = kernel("BRepBuilderAPI").BRepBuilderAPI_MakePolygon()
    for p in points:
        polygon.Add(kernel("gp").gp_Pnt(*p))
    return polygon.Wire()
