"""The only way to the solid kernel: edges, plates and round bodies as exact solids, and a part with its name.

The kernel takes most of a second to load, so it is loaded by :func:`kernel` when the first solid is asked for and
nowhere else. Only its core is loaded, never the modelling layer above it, which takes three times as long.
"""

import importlib
import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cache
from types import ModuleType
from typing import Any, TypeAlias

from plategen.bracket.measure import drawn_out
from plategen.bracket.model import Plate
from plategen.draw.pen import Shape as Drawn
from plategen.draw.pen import draw
from plategen.flat.loop import Circle, Contour, Loop
from plategen.flat.placement import Placement
from plategen.flat.segment import Arc, Line
from plategen.ground.refusal import Refusal

Shape: TypeAlias = Any
"""A shape of the solid kernel."""

FLAT = Placement((0.0, 0.0, 0.0), (1.0, 0.0, 0.0), (0.0, 1.0, 0.0))
"""A plate's own frame: its outline in the plane z = 0, its body towards +z."""

STRAIGHT_SAGITTA_MM = 1e-6
"""An arc flatter than this is built as a line: the kernel cannot find its centre, and no instrument its height."""

PACKAGES = {
    "libGL.so.1": "libgl1",
    "libX11.so.6": "libx11-6",
    "libXrender.so.1": "libxrender1",
    "libXext.so.6": "libxext6",
    "libSM.so.6": "libsm6",
    "libICE.so.6": "libice6",
    "libEGL.so.1": "libegl1",
    "libgomp.so.1": "libgomp1",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libexpat.so.1": "libexpat1",
    "libz.so.1": "zlib1g",
    "libstdc++.so.6": "libstdc++6",
}
"""The Debian and Ubuntu package that brings each system library the kernel may miss."""


class SolidUnavailable(Refusal):
    """The solid kernel cannot be loaded on this machine; everything that needs no solid still can be made."""


@cache
def kernel(part: str) -> ModuleType:
    """One package of the solid kernel, e.g. ``kernel("gp")``.

    Raises:
        SolidUnavailable: It cannot be loaded; the message names what to install.
    """
    try:
        return importlib.import_module(f"OCP.{part}")
    except ImportError as error:
        raise SolidUnavailable(why_unavailable(str(error))) from error


def why_unavailable(message: str) -> str:
    """What to tell the user when loading the kernel failed with ``message``.

    >>> why_unavailable("libGL.so.1: cannot open shared object file: No such file or directory")
    'no STEP file: the solid kernel needs the system library libGL.so.1; on Debian or Ubuntu "apt install libgl1"'
    """
    missing = re.search(r"\blib[\w+.-]+\.so[\d.]*", message)
    if missing is None:
        return 'no STEP file: the solid kernel is not installed; install it with "pip install cadquery"'
    library = missing[0]
    words = f"no STEP file: the solid kernel needs the system library {library}"
    package = PACKAGES.get(library)
    return f'{words}; on Debian or Ubuntu "apt install {package}"' if package else f"{words}; install it"


class _WirePen:
    """Adds edges in space to the kernel's wire, lines and arcs exact."""

    def __init__(self, placement: Placement) -> None:
        self.placement = placement
        self.builder = kernel("BRepBuilderAPI").BRepBuilderAPI_MakeWire()

    def move_to(self, start: complex) -> None:
        """Nothing: each edge brings its start."""

    def line_to(self, line: Line) -> None:
        self._add(self._point(line.start), self._point(line.end))

    def arc_to(self, arc: Arc) -> None:
        if abs(arc.bulge) * abs(arc.end - arc.start) / 2 <= STRAIGHT_SAGITTA_MM:
            self._add(self._point(arc.start), self._point(arc.end))
        else:
            ends = (self._point(arc.start), self._point(arc.point(0.5)), self._point(arc.end))
            self._add(kernel("GC").GC_MakeArcOfCircle(*ends).Value())

    def circle(self, circle: Circle) -> None:
        normal, along = (_direction(v) for v in (self.placement.normal, self.placement.u))
        gp = kernel("gp")
        self._add(gp.gp_Circ(gp.gp_Ax2(self._point(circle.centre), normal, along), circle.radius))

    def finish(self, *, closed: bool) -> None:
        """Nothing: the kernel sees for itself whether a wire closes."""

    def _point(self, p: complex) -> Any:
        return point(p, self.placement)

    def _add(self, *curve: Any) -> None:
        self.builder.Add(kernel("BRepBuilderAPI").BRepBuilderAPI_MakeEdge(*curve).Edge())


def wire(shape: Drawn, placement: Placement = FLAT) -> Shape:
    """A run of edges in space, closed if the outline is."""
    pen = _WirePen(placement)
    draw(shape, pen)
    return pen.builder.Wire()


def face(outside: Contour, inside: Iterable[Contour] = (), placement: Placement = FLAT) -> Shape:
    """A plane face within ``outside`` with the contours ``inside`` out."""
    gp = kernel("gp")
    plane = gp.gp_Pln(gp.gp_Ax3(point(0j, placement), _direction(placement.normal), _direction(placement.u)))
    builder = kernel("BRepBuilderAPI").BRepBuilderAPI_MakeFace(plane, wire(_turning_left(outside), placement), True)
    for hole in inside:
        turned = wire(_turning_left(hole), placement)
        builder.Add(kernel("TopoDS").TopoDS.Wire_s(turned.Reversed()))
    return builder.Face()


def prism(outside: Contour, height_mm: float, inside: Iterable[Contour] = (), placement: Placement = FLAT) -> Shape:
    """The face ``outside`` less ``inside``, drawn out by ``height_mm`` along the placement's normal."""
    along = kernel("gp").gp_Vec(*(height_mm * x for x in placement.normal))
    return kernel("BRepPrimAPI").BRepPrimAPI_MakePrism(face(outside, inside, placement), along).Shape()


def plate_solid(plate: Plate) -> Shape:
    """A plate as it is when finished, every hole made, in its own (u, v) frame with its body towards +z."""
    outside, inside, placement, depth_mm = drawn_out(plate, FLAT)
    return prism(outside, depth_mm, inside, placement)


def compound(shapes: Iterable[Shape]) -> Shape:
    """Several shapes as one, not joined."""
    builder, whole = kernel("BRep").BRep_Builder(), kernel("TopoDS").TopoDS_Compound()
    builder.MakeCompound(whole)
    for shape in shapes:
        builder.Add(whole, shape)
    return whole


def fused(shapes: Sequence[Shape]) -> Shape:
    """Several shapes that share faces as one body."""
    whole, builder = shapes[0], kernel("BRepAlgoAPI")
    for shape in shapes[1:]:
        whole = builder.BRepAlgoAPI_Fuse(whole, shape).Shape()
    return whole


def cut(shape: Shape, away: Shape) -> Shape:
    """A body without what another takes away."""
    return kernel("BRepAlgoAPI").BRepAlgoAPI_Cut(shape, away).Shape()


def location(placement: Placement) -> Any:
    """The kernel's transformation that carries a shape from its own frame to its place."""
    gp = kernel("gp")
    move = gp.gp_Trsf()
    n, u = placement.normal, placement.u
    move.SetTransformation(gp.gp_Ax3(gp.gp_Pnt(*placement.origin), _direction(n), _direction(u)), gp.gp_Ax3())
    return kernel("TopLoc").TopLoc_Location(move)


def volume_mm3(shape: Shape) -> float:
    """Volume of a solid."""
    properties = kernel("GProp").GProp_GProps()
    kernel("BRepGProp").BRepGProp.VolumeProperties_s(shape, properties)
    return float(properties.Mass())


def point(p: complex, placement: Placement = FLAT) -> Any:
    """The kernel's point of space for a point of a plane."""
    return kernel("gp").gp_Pnt(*placement.point(p))


def _direction(vector: tuple[float, float, float]) -> Any:
    return kernel("gp").gp_Dir(*vector)


def _turning_left(contour: Contour) -> Contour:
    return contour.reversed() if isinstance(contour, Loop) and contour.area < 0.0 else contour


Colour = tuple[float, float, float]
"""Red, green and blue, 0 to 1, as a screen shows them (sRGB)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A solid in its own frame, which lies in space at ``placement``; its name is unique in its file."""

    name: str
    shape: Shape
    colour: Colour
    placement: Placement = FLAT
