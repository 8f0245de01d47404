"""The rule for a plate across a flange against its limit load by finite elements, as in :mod:`tests.bench.walls`."""

from dataclasses import dataclass

import numpy as np

from plategen.rules import wall_bending as rule
from tests.bench.walls import FY, THICK, Way, least_work, spaced


@dataclass(frozen=True, slots=True)
class Across:
    """A flange and the foot across it, mm from the web's face."""

    width: float
    begin: float
    end: float

    @property
    def name(self) -> str:
        """Where the foot stands."""
        return f"flange, plate across it from {self.begin / self.width:g} to {self.end / self.width:g}"

    def rule(self, way: Way) -> float:
        """What the check uses: N, or N mm for what tilts."""
        length, middle = self.end - self.begin, (self.begin + self.end) / 2.0
        if way == "aside":
            return rule.flange_across_aside_nmm(FY, THICK, length)
        wall = rule.flange_across(FY, THICK, self.width, length, middle)
        return wall.push_n if way == "push" else wall.tilt_nmm(length)


FEET = tuple(
    Across(60.0, 60.0 * begin, 60.0 * end)
    for begin, end in (
        (0.02, 0.5), (0.05, 0.95), (0.1, 0.3), (0.1, 1.0), (0.3, 0.7), (0.4, 0.6), (0.5, 1.0), (0.6, 0.8), (0.8, 1.0),
        (0.9, 1.0),
    )
)  # fmt: skip


def limit_load(foot: Across, way: Way, fine: int) -> float:
    """Limit load on half of the flange, N, or N mm of what tilts the plate; a push lets it tilt as it likes."""
    import skfem

    step = foot.width / fine
    mesh = skfem.MeshTri.init_tensor(
        spaced([0.0, 2.0 * foot.width], step), spaced([0.0, foot.begin, foot.end, foot.width], step)
    )
    basis = skfem.Basis(mesh, skfem.ElementTriMorley(), intorder=4)
    along, across = (basis.project(lambda at, axis=axis: at[axis]) for axis in (0, 1))
    bends = skfem.Basis(mesh, skfem.ElementTriMorley(), intorder=1)
    curvature = [np.asarray(each[0].hess)[:, :, :, 0] for each in bends.basis]
    bent = np.stack([[k[0, 0], k[1, 1], k[0, 1]] for k in curvature])
    tiny, points, sides = 1e-6 * step, basis.nodal_dofs[0], basis.facet_dofs[0]
    corner, middle = mesh.p, mesh.p[:, mesh.facets].mean(axis=1)
    held = np.zeros(basis.N, dtype=bool)
    held[points[np.abs(corner[1]) < tiny]] = True  # the web
    held[sides[np.abs(middle[1]) < tiny]] = True
    on_points, on_sides = (
        dofs[(np.abs(at[0]) < tiny) & (at[1] >= foot.begin - tiny) & (at[1] <= foot.end + tiny)]
        for dofs, at in ((points, corner), (sides, middle))
    )
    first, second = np.zeros(basis.N), np.zeros(basis.N)
    if way == "aside":  # what lies behind the foot goes out as far as what lies before it goes in
        held[points[np.abs(corner[0]) < tiny]] = True
        held[on_sides] = True
        first[on_sides] = along[on_sides]
    else:
        held[sides[np.abs(middle[0]) < tiny]] = True
        held[on_points] = True
        pushed, tilted = np.zeros(basis.N), np.zeros(basis.N)
        pushed[on_points] = 1.0
        tilted[on_points] = across[on_points] - (foot.begin + foot.end) / 2.0
        first, second = (pushed, tilted) if way == "push" else (tilted, pushed)
    return 2.0 * least_work(bent, np.asarray(bends.dx).sum(axis=1), basis.element_dofs, held, (first, second))
