"""The yield lines of a rail's wall against its limit load by finite elements, on plates of published proportions.

The limit load of a perfectly plastic plate in bending is the least work of plastic curvature over all ways that it can
give, the plate that stands on it going in by one:

    least  sum_e A_e 2 m / sqrt(3) sqrt(kx^2 + ky^2 + kx ky + kxy^2),    m = Fy t^2/4, von Mises

with Morley's triangles, whose curvature is constant, found by quadratic programmes that are weighted anew each time.
Yield lines count m on a hinge whatever runs along it, where von Mises gives 2/sqrt(3) of it: so 0.87 is the ratio of a
long plate, and a short one, whose ends fan out, comes nearer to 1 or over it.
"""

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from plategen.rules import wall_bending as rule
from plategen.rules.plate_section import Floats

ALLOWED = 0.20
FY, THICK = 350.0, 6.0
ROUNDS = 60


@dataclass(frozen=True, slots=True)
class Wall:
    """A wall and the plate that stands along it, mm."""

    name: str
    width: float  # Of a face between its walls; of a flange from its web to its free edge.
    plate: float  # Thickness of the plate; 0 on a flange, where it is a line.
    length: float  # Of the plate's foot.
    arm: float | None = None  # Of a flange: from the web to the plate.
    leg: float = 0.0  # Of the fillets on both sides of the plate: the wall is pushed by all of the weld.

    def formula_n(self) -> float:
        """Force square to the wall by the yield lines that the check uses."""
        if self.arm is not None:
            return rule.flange_along(FY, THICK, self.length, self.arm, self.width - self.arm).push_n
        return rule.face_along(FY, THICK, self.width, self.plate, self.length, en=False).push_n


WALLS = (
    # faces: widths of hollow sections of the AISC Manual, and shear plates with fillets of 5/8 of their thickness, as
    # it asks for (from memory)
    Wall("HSS 6 in, plate 3/8 in, 6 in long", 152.4, 9.525, 152.4, leg=6.35),
    Wall("HSS 8 in, plate 3/8 in, 8 1/2 in long", 203.2, 9.525, 215.9, leg=6.35),
    Wall("HSS 4 in, plate 1/2 in, 3 in long", 101.6, 12.7, 76.2, leg=7.9375),
    # flanges: widths of C8x11.5, C10x20 and C12x30 of the AISC Manual, from the web's face
    Wall("C8 flange, 4 in long, at two thirds", 51.8, 0.0, 101.6, arm=34.5),
    Wall("C10 flange, 6 in long, at half", 60.0, 0.0, 152.4, arm=30.0),
    Wall("C12 flange, 8 in long, at three quarters", 67.5, 0.0, 203.2, arm=50.6),
)


def limit_load_n(wall: Wall, fine: int) -> float:
    """Limit load by finite elements on a quarter of a face, or half of a flange.

    Args:
        wall: The wall.
        fine: Triangles' sides over the wall's width.
    """
    import skfem

    flange = wall.arm is not None
    inner, outer = (wall.arm, wall.width) if wall.arm is not None else (wall.plate / 2.0 + wall.leg, wall.width / 2.0)
    step, half = outer / fine, wall.length / 2.0
    xs = _spaced([0.0, half, half + 1.5 * wall.width], step)
    mesh = skfem.MeshTri.init_tensor(xs, _spaced([0.0, inner, outer], step))
    basis = skfem.Basis(mesh, skfem.ElementTriMorley(), intorder=1)
    curvature = [np.asarray(each[0].hess)[:, :, :, 0] for each in basis.basis]  # of each shape, 2 x 2 x triangles
    bent = np.stack([[k[0, 0], k[1, 1], k[0, 1]] for k in curvature])  # shapes x 3 x triangles
    area, dofs = np.asarray(basis.dx).sum(axis=1), basis.element_dofs

    tiny = 1e-6 * step
    along_plate = [n for n, x in enumerate(mesh.p.T) if x[0] <= half + tiny and abs(x[1] - inner) < tiny]
    in_plate = (
        along_plate if flange else [n for n, x in enumerate(mesh.p.T) if x[0] <= half + tiny and x[1] <= inner + tiny]
    )
    middle = mesh.p[:, mesh.facets].mean(axis=1)
    fixed = np.zeros(basis.N)
    held = np.zeros(basis.N, dtype=bool)
    wall_y = 0.0 if flange else outer
    points, sides = basis.nodal_dofs[0], basis.facet_dofs[0]
    held[points[np.abs(mesh.p[1] - wall_y) < tiny]] = True
    held[sides[np.abs(middle[1] - wall_y) < tiny]] = True
    held[sides[middle[0] < tiny]] = True  # the middle of the plate's length
    if not flange:
        held[sides[middle[1] < tiny]] = True  # the middle of its thickness
        held[sides[(middle[0] <= half + tiny) & (middle[1] <= inner + tiny)]] = True  # the plate does not bend
    held[points[in_plate]] = True
    fixed[points[in_plate]] = 1.0
    work = _least_work(bent, area, dofs, held, fixed)
    return work * (2.0 if flange else 4.0)


def _spaced(ends: list[float], step: float) -> Floats:
    """Places with all of the ends among them, no farther apart than a step."""
    found = [0.0]
    for low, high in pairwise(ends):
        if high > low:
            found += list(np.linspace(low, high, max(1, int(np.ceil((high - low) / step))) + 1)[1:])
    return np.array(found)


def _least_work(bent: Floats, area: Floats, dofs: Floats, held: Floats, fixed: Floats) -> float:
    """The least plastic work, N mm on each mm of the plate's way in."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.linalg import spsolve

    metric = np.array([[1.0, 0.5, 0.0], [0.5, 1.0, 0.0], [0.0, 0.0, 1.0]])
    moment = 2.0 / np.sqrt(3.0) * rule.hinge_n(FY, THICK)
    stiff = np.einsum("ait,ij,bjt->abt", bent, metric, bent) * area
    rows = np.broadcast_to(dofs[:, None, :], stiff.shape).ravel()
    columns = np.broadcast_to(dofs[None, :, :], stiff.shape).ravel()
    weight, size, free, moved = np.ones(len(area)), len(held), ~held, fixed
    best = np.inf
    for _ in range(ROUNDS):
        matrix = coo_matrix(((stiff * weight).ravel(), (rows, columns)), shape=(size, size)).tocsr()
        moved = fixed.copy()
        moved[free] = spsolve(matrix[free][:, free], -(matrix[free] @ fixed))
        bend = np.einsum("ait,at->it", bent, moved[dofs])
        rate = np.sqrt(np.maximum(np.einsum("it,ij,jt->t", bend, metric, bend), 0.0))
        best = min(best, float(moment * (rate @ area)))
        weight = 1.0 / (rate + 1e-4 * rate.max())
    return best


def main() -> None:
    """Print formula over elements, on two meshes."""
    for wall in WALLS:
        ratios = [wall.formula_n() / limit_load_n(wall, fine) for fine in (12, 20)]
        verdict = "ok" if abs(ratios[-1] - 1.0) <= ALLOWED else "TOO FAR"
        print(f"{wall.name:<44} formula over elements {ratios[0]:.3f}, finer {ratios[1]:.3f}  {verdict}")
