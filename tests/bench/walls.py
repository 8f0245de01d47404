"""The yield lines of a rail's wall against its limit load by finite elements, on plates of published proportions.

The limit load of a perfectly plastic plate in bending is the least work of plastic curvature over all ways that it can
give, the plate that stands on it going in by one:

    least  sum_e A_e 2 m / sqrt(3) sqrt(kx^2 + ky^2 + kx ky + kxy^2),    m = Fy t^2/4, von Mises

with Morley's triangles, whose curvature is constant, found by quadratic programmes that are weighted anew each time.
Yield lines count m on a hinge whatever runs along it, where von Mises gives 2/sqrt(3) of it: so 0.87 is the ratio of a
long plate, and a short one, whose ends fan out, comes nearer to 1 or over it.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal, get_args

import numpy as np

from plategen.rules import wall_bending as rule
from plategen.rules.plate_section import Floats

Way = Literal["push", "tilt", "aside"]
WAYS: tuple[Way, ...] = get_args(Way)
"""Into the wall, along the foot, and about it."""

ALLOWED = 0.20
OVER = 1.01
"""A rule may stand so much over the elements, whose mesh gives a little less than they would without end."""

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

    def rule(self, way: Way) -> float:
        """What the yield lines that the check uses give: N, or N mm for what tilts."""
        if self.arm is not None:
            beyond = self.width - self.arm
            if way == "aside":
                return rule.flange_aside_nmm(FY, THICK, self.length, beyond)
            found = rule.flange_along(FY, THICK, self.length, self.arm, beyond)
        elif way == "aside":
            return rule.face_tilt_n(FY, THICK, self.width, self.plate) * self.length
        else:
            found = rule.face_along(FY, THICK, self.width, self.plate, self.length, en=False, leg_mm=self.leg)
        return found.push_n if way == "push" else found.tilt_nmm(self.length)


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


def limit_load(wall: Wall, way: Way, fine: int) -> float:
    """Limit load by finite elements on a quarter of a face, or half of a flange: N, or N mm of what tilts the plate.

    Args:
        wall: The wall.
        way: How the plate goes: ``push`` into the wall, ``tilt`` along its foot, or ``aside`` about its foot.
        fine: Triangles' sides over the wall's width.
    """
    import skfem

    flange = wall.arm is not None
    inner, outer = (wall.arm, wall.width) if wall.arm is not None else (wall.plate / 2.0 + wall.leg, wall.width / 2.0)
    step, half = outer / fine, wall.length / 2.0
    xs = spaced([0.0, half, half + 1.5 * wall.width], step)
    mesh = skfem.MeshTri.init_tensor(xs, spaced([0.0, inner, outer], step))
    basis = skfem.Basis(mesh, skfem.ElementTriMorley(), intorder=4)
    along, across = (basis.project(lambda at, axis=axis: at[axis]) for axis in (0, 1))
    bends = skfem.Basis(mesh, skfem.ElementTriMorley(), intorder=1)
    curvature = [np.asarray(each[0].hess)[:, :, :, 0] for each in bends.basis]  # of each shape, 2 x 2 x triangles
    bent = np.stack([[k[0, 0], k[1, 1], k[0, 1]] for k in curvature])  # shapes x 3 x triangles

    tiny = 1e-6 * step
    points, sides = basis.nodal_dofs[0], basis.facet_dofs[0]
    corner, middle = mesh.p, mesh.p[:, mesh.facets].mean(axis=1)
    held = np.zeros(basis.N, dtype=bool)

    def hold(which: Floats, axis: int, at: float) -> None:
        place = corner if which is points else middle
        held[which[np.abs(place[axis] - at) < tiny]] = True

    wall_y = 0.0 if flange else outer
    hold(points, 1, wall_y)
    hold(sides, 1, wall_y)
    hold(points if way == "tilt" else sides, 0, 0.0)  # the middle of the plate's length
    if not flange:
        hold(points if way == "aside" else sides, 1, 0.0)  # the middle of its thickness
    in_plate = [
        (at[0] <= half + tiny) & (np.abs(at[1] - inner) < tiny if flange else at[1] <= inner + tiny)
        for at in (corner, middle)
    ]
    on_points, on_sides = points[in_plate[0]], sides[in_plate[1]]
    goes = {"push": np.zeros(basis.N), "tilt": along, "aside": across}[way]
    goes[points] += {"push": 1.0, "tilt": 0.0, "aside": -(wall.arm or 0.0)}[way]
    fixed = np.zeros(basis.N)
    held[on_points] = True
    fixed[on_points] = goes[on_points]
    if not flange or way == "aside":  # a line turns about itself as it likes, a plate does not
        held[on_sides] = True
        fixed[on_sides] = goes[on_sides]
    free_way = np.zeros(basis.N)  # a flange's plate that is tilted aside goes in as it likes
    free_way[on_points] = 1.0 if flange and way == "aside" else 0.0
    work = least_work(bent, np.asarray(bends.dx).sum(axis=1), basis.element_dofs, held, (fixed, free_way))
    return work * (2.0 if flange else 4.0)


def spaced(ends: list[float], step: float) -> Floats:
    """Places with all of the ends among them, no farther apart than a step."""
    found = [0.0]
    for low, high in pairwise(ends):
        if high > low:
            found += list(np.linspace(low, high, max(1, int(np.ceil((high - low) / step))) + 1)[1:])
    return np.array(found)


def least_work(bent: Floats, area: Floats, dofs: Floats, held: Floats, ways: tuple[Floats, Floats]) -> float:
    """The least plastic work, N mm on each mm, or radian, of the first way; what there is of the second is free."""
    from scipy.sparse import coo_matrix
    from scipy.sparse.linalg import spsolve

    metric = np.array([[1.0, 0.5, 0.0], [0.5, 1.0, 0.0], [0.0, 0.0, 1.0]])
    moment = 2.0 / np.sqrt(3.0) * rule.hinge_n(FY, THICK)
    stiff = np.einsum("ait,ij,bjt->abt", bent, metric, bent) * area
    rows = np.broadcast_to(dofs[:, None, :], stiff.shape).ravel()
    columns = np.broadcast_to(dofs[None, :, :], stiff.shape).ravel()
    weight, size, free = np.ones(len(area)), len(held), ~held
    best = np.inf
    for _ in range(ROUNDS):
        matrix = coo_matrix(((stiff * weight).ravel(), (rows, columns)), shape=(size, size)).tocsr()
        moved, other = (way.copy() for way in ways)
        for each in (moved, other) if other.any() else (moved,):
            each[free] = spsolve(matrix[free][:, free], -(matrix[free] @ each))
        if other.any():
            moved -= other * (other @ (matrix @ moved)) / (other @ (matrix @ other))
        bend = np.einsum("ait,at->it", bent, moved[dofs])
        rate = np.sqrt(np.maximum(np.einsum("it,ij,jt->t", bend, metric, bend), 0.0))
        best = min(best, float(moment * (rate @ area)))
        weight = 1.0 / (rate + 1e-4 * rate.max())
    return best


def grid() -> Iterator[Wall]:
    """Flanges and faces of every proportion, faces without fillets: what the rules must not stand over."""
    for share in (0.3, 0.5, 0.75, 0.9, 1.0):
        for length in (0.25, 1.0, 4.0):
            arm = share * 60.0
            yield Wall(f"flange, plate at {share} of it, {length} times as long", 60.0, 0.0, length * arm, arm)
    for share in (0.05, 0.125, 0.3, 0.6):
        for length in (0.15, 0.5, 1.0, 2.0):
            name = f"face, plate {share} of it thick, {length} long"
            yield Wall(name, 120.0, share * 120.0, length * 120.0)


def main() -> None:
    """Print rules over elements, on two meshes and, over the grid, on one."""
    from tests.bench import walls_across

    for wall in WALLS:
        ratios = [wall.rule("push") / limit_load(wall, "push", fine) for fine in (12, 20)]
        verdict = "ok" if abs(ratios[-1] - 1.0) <= ALLOWED else "TOO FAR"
        print(f"{wall.name:<44} rule over elements {ratios[0]:.3f}, finer {ratios[1]:.3f}  {verdict}")
    for wall in grid():
        ratios = [wall.rule(way) / limit_load(wall, way, 14) for way in WAYS]
        words = ", ".join(f"{way} {ratio:.3f}" for way, ratio in zip(WAYS, ratios, strict=True))
        print(f"{wall.name:<44} {words}  {'ok' if max(ratios) <= OVER else 'UNSAFE'}")
    for foot in walls_across.FEET:
        ratios = [foot.rule(way) / walls_across.limit_load(foot, way, 14) for way in WAYS]
        words = ", ".join(f"{way} {ratio:.3f}" for way, ratio in zip(WAYS, ratios, strict=True))
        print(f"{foot.name:<44} {words}  {'ok' if max(ratios) <= OVER else 'UNSAFE'}")
