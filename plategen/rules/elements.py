"""Plane-stress finite elements: displacements and stresses of a flat plate (an extra, needs scikit-fem).

Six-node triangles with curved edges on arcs and holes, linear elasticity, stresses averaged at the corners from the
triangles about them. Nothing here is imported until asked for.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.ground.refusal import Refusal, missing_library
from plategen.rules.material import POISSON, YOUNG_MPA
from plategen.rules.plate_mesh import PlateMesh

Floats: TypeAlias = NDArray[np.float64]
Flags: TypeAlias = NDArray[np.bool_]
"""Numbers, and yes or no, in arrays."""

Place: TypeAlias = Callable[[Floats], Flags]
"""Which edges: from their middles, two rows, to true or false."""

Traction: TypeAlias = Callable[[Floats], Floats]
"""Force on each square millimetre of edge, MPa: from points, two rows (and more axes), to two rows alike."""


@dataclass(frozen=True, slots=True)
class Field:
    """A solved plate."""

    mesh: PlateMesh  # Its mesh.
    displacement_mm: Floats  # Displacement of the corners, two columns.
    stress_mpa: Floats  # sigma x, sigma y, tau xy of the corners, three columns.

    @property
    def von_mises_mpa(self) -> Floats:
        """Equivalent stress of the corners: sqrt(sx^2 - sx sy + sy^2 + 3 t^2)."""
        sx, sy, t = self.stress_mpa.T
        stress: Floats = np.sqrt(sx * sx - sx * sy + sy * sy + 3.0 * t * t)
        return stress


def solve_plate(
    mesh: PlateMesh, held: Place, loads: Sequence[tuple[Place, Traction]], e_mpa: float = YOUNG_MPA
) -> Field:
    """Solve a plate of unit thickness.

    Args:
        mesh: The plate.
        held: Edges that do not move.
        loads: Edges and what pulls on them; divide forces by the plate's thickness.
        e_mpa: Young's modulus.

    Raises:
        Refusal: scikit-fem is not installed, or no edge is held.
    """
    fem = _fem()
    shape = _curved(fem, mesh)
    element = fem.ElementVector(fem.ElementTriP2())
    basis = fem.Basis(shape, element)
    shear = e_mpa / (2.0 * (1.0 + POISSON))
    first = e_mpa * POISSON / (1.0 - POISSON**2)

    def stiffness(u: Any, v: Any, _: Any) -> Any:
        from skfem.helpers import ddot, div, sym_grad

        return 2.0 * shear * ddot(sym_grad(u), sym_grad(v)) + first * div(u) * div(v)

    matrix = fem.BilinearForm(stiffness).assemble(basis)
    force = np.zeros(basis.N)
    for place, traction in loads:
        edges = shape.facets_satisfying(place, boundaries_only=True)
        rim = fem.FacetBasis(shape, element, facets=edges)

        def work(v: Any, w: Any, traction: Traction = traction) -> Any:
            pull = traction(np.asarray(w.x))
            return pull[0] * v[0] + pull[1] * v[1]

        force += fem.LinearForm(work).assemble(rim)
    fixed = shape.facets_satisfying(held, boundaries_only=True)
    if not len(fixed):
        raise Refusal("no edge of the plate is held; a notch on the rail is right", "elements")
    moved = fem.solve(*fem.condense(matrix, force, D=basis.get_dofs(fixed)))
    return Field(mesh, moved[basis.nodal_dofs].T, _stresses(fem, shape, element, moved, shear, first))


def _stresses(fem: Any, shape: Any, element: Any, moved: Floats, shear: float, first: float) -> Floats:
    """Stresses at the corners, averaged over the triangles that meet there by their area."""
    corners = np.array([[0.0, 1.0, 0.0], [0.0, 0.0, 1.0]])
    basis = fem.Basis(shape, element, quadrature=(corners, np.full(3, 1.0 / 6.0)))
    grad = np.asarray(basis.interpolate(moved).grad)
    ex, ey, g = grad[0, 0], grad[1, 1], grad[0, 1] + grad[1, 0]
    trace = first * (ex + ey)
    stress = np.stack([2.0 * shear * ex + trace, 2.0 * shear * ey + trace, shear * g])
    weight = 1.0 / basis.dx
    total, count = np.zeros((shape.nvertices, 3)), np.zeros(shape.nvertices)
    for corner in range(3):
        at = shape.t[corner]
        np.add.at(total, at, (stress[:, :, corner] * weight[:, corner]).T)
        np.add.at(count, at, weight[:, corner])
    mean: Floats = total / count[:, None]
    return mean


def _curved(fem: Any, mesh: PlateMesh) -> Any:
    """The mesh with the middles of its rim edges moved onto their arcs."""
    plain = fem.MeshTri(mesh.points.T.copy(), mesh.triangles.T.copy(), sort_t=True)
    curved = fem.MeshTri2.from_mesh(plain)
    numbers = {(int(a), int(b)): index for index, (a, b) in enumerate(plain.facets.T)}
    places = curved.doflocs.copy()
    for rim, curves in zip(mesh.rims, mesh.curves, strict=True):
        for (a, b), curve in zip(rim, curves, strict=True):
            if curve is None:
                continue
            centre, radius = curve
            middle = complex(*((mesh.points[a] + mesh.points[b]) / 2.0)) - centre
            on = centre + middle / abs(middle) * radius
            places[:, plain.nvertices + numbers[(min(a, b), max(a, b))]] = (on.real, on.imag)
    return fem.MeshTri2(places, curved.t)


def _fem() -> Any:
    try:
        import skfem
    except ImportError as missing:
        raise missing_library("this check needs", missing.name, "elements", "elements") from None
    return skfem
