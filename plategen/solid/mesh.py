"""Bodies as flat facets, from the solid kernel: for looking only, never for cutting."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.solid.kernel import Body, kernel, location

CHORD_MM, TURN_RAD = 0.05, 0.2
"""How far facets may lie off a round face, and how far two neighbours may turn."""


@dataclass(frozen=True, slots=True)
class Mesh:
    """A body in facets.

    Args:
        name: Its name.
        colour: Its colour, sRGB.
        corners: (n, 3), mm, placed.
        triangles: (m, 3) indexes of corners, anticlockwise seen from outside.
    """

    name: str
    colour: tuple[float, float, float]
    corners: NDArray[np.float64]
    triangles: NDArray[np.int64]

    @property
    def volume_mm3(self) -> float:
        """Enclosed volume: the sum of signed tetrahedra from the origin."""
        a, b, c = (self.corners[self.triangles[:, k]] for k in range(3))
        return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)


def mesh_of(body: Body) -> Mesh:
    """A body in facets, face by face.

    Raises:
        SolidUnavailable: The solid kernel cannot be loaded.
    """
    shape = body.shape.Located(location(body.placement))
    kernel("BRepMesh").BRepMesh_IncrementalMesh(shape, CHORD_MM, False, TURN_RAD, False)
    top = kernel("TopAbs")
    explorer = kernel("TopExp").TopExp_Explorer(shape, top.TopAbs_ShapeEnum.TopAbs_FACE)
    corners: list[tuple[float, float, float]] = []
    triangles: list[tuple[int, int, int]] = []
    while explorer.More():
        face = kernel("TopoDS").TopoDS.Face_s(explorer.Current())
        place = kernel("TopLoc").TopLoc_Location()
        facets = kernel("BRep").BRep_Tool.Triangulation_s(face, place)
        first, move = len(corners) - 1, place.Transformation()
        for i in range(1, facets.NbNodes() + 1):
            p = facets.Node(i).Transformed(move)
            corners.append((p.X(), p.Y(), p.Z()))
        turned = face.Orientation() == top.TopAbs_Orientation.TopAbs_REVERSED
        for i in range(1, facets.NbTriangles() + 1):
            a, b, c = facets.Triangle(i).Get()
            triangles.append((first + a, first + c, first + b) if turned else (first + a, first + b, first + c))
        explorer.Next()
    return Mesh(body.name, body.colour, *_welded(np.array(corners), np.array(triangles)))


def _welded(
    corners: NDArray[np.float64], triangles: NDArray[np.int64]
) -> tuple[NDArray[np.float64], NDArray[np.int64]]:
    """Neighbouring faces' facets made to share their corners, so that the body is closed; slivers left out."""
    _, first, which = np.unique(np.round(corners, 6), axis=0, return_index=True, return_inverse=True)
    joined = which.reshape(-1)[triangles]
    whole = (joined[:, 0] != joined[:, 1]) & (joined[:, 1] != joined[:, 2]) & (joined[:, 2] != joined[:, 0])
    return corners[first], joined[whole]
