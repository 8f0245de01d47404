"""The block of steel that a bolt pattern could tear out of a plate."""

from dataclasses import dataclass
from itertools import pairwise

from plategen.bracket.model import Hole, Plate
from plategen.checks.setting import View
from plategen.flat.inside import inside
from plategen.flat.segment import Segment
from plategen.rules import bolt as rule
from plategen.rules.material import Steel
from plategen.rules.reach import Edges, reaches
from plategen.rules.safety import RUPTURE


@dataclass(frozen=True, slots=True)
class Block:
    """A block of steel that a pattern could tear out: the whole force, its case, and the areas that hold it, mm^2."""

    force: float
    case: str
    gross_shear: float
    net_shear: float
    net_tension: float


def blocks(plate: Plate, holes: tuple[Hole, ...], forces: list[tuple[complex, str]]) -> list[Block]:
    """The block in the direction of every case's force: the outer rows shear, the end between them pulls."""
    if len(holes) < 2:
        return []
    edges = Edges.of(edges_beside(plate, holes), [])
    t, d0 = plate.thickness_mm, 2.0 * holes[0].circle.radius
    across_force = max([d0, *(slot.length_mm for slot in plate.slots)])
    forces = [(force, case) for force, case in forces if abs(force) > 1e-9]
    ways = [force / abs(force) for force, _ in forces]
    if not ways:
        return []
    centres = [hole.circle.centre for hole in holes]
    far = [reaches(edges, centre, ways)[0].tolist() for centre in centres]
    found = []
    for k, ((force, case), way) in enumerate(zip(forces, ways, strict=True)):
        along = [(centre * way.conjugate()).real for centre in centres]
        across = [(centre * way.conjugate()).imag for centre in centres]
        wide = max(across) - min(across)
        rows = [[i for i, c in enumerate(across) if c <= min(across) + d0]]
        if wide > d0:
            rows.append([i for i, c in enumerate(across) if c >= max(across) - d0])
        gross = net = 0.0
        for row in rows:
            length = far[min(row, key=along.__getitem__)][k]
            gross += length * t
            net += max(0.0, length - (len(row) - 0.5) * d0) * t
        end = max(0.0, wide - (_levels(across, d0) - 1) * across_force) * t
        found.append(Block(abs(force), case, gross, net, end))
    return found


def _levels(places: list[float], apart: float) -> int:
    """How many rows the holes lie in, rows more than a hole's width apart."""
    ordered = sorted(places)
    return 1 + sum(1 for one, other in pairwise(ordered) if other - one > apart)


def block_strength(view: View, steel: Steel, block: Block) -> float:
    """What a block may carry: AISC 360 J4.3 with Ubs 1, or EN 1993-1-8 3.10.2."""
    if view.rules == "en-1993":
        return rule.en_block_shear_n(steel.fy_mpa, steel.fu_mpa, block.net_tension, block.net_shear)
    nominal = rule.block_shear_nominal_n(
        steel.fy_mpa, steel.fu_mpa, block.gross_shear, block.net_shear, block.net_tension
    )
    return RUPTURE.available(nominal, view.rules)


def edges_beside(plate: Plate, holes: tuple[Hole, ...]) -> list[Segment]:
    """The plate's edges but for those of the slots that its bolts sit in."""
    centres = [hole.circle.centre for hole in holes]
    beside = [opening for opening in plate.openings if not any(inside(opening, p) for p in centres)]
    return [*plate.outline, *(segment for opening in beside for segment in opening)]
