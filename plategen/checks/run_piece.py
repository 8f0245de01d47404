"""A weld run of the bracket as pieces of line in space."""

from plategen.bracket.model import WeldRun
from plategen.flat.placement import Placement
from plategen.flat.segment import Arc, Segment
from plategen.ground.space import Vector
from plategen.rules.weld_group import Piece


def pieces_of(run: WeldRun) -> tuple[Piece, ...]:
    """The edges of a run's root line, placed in space."""
    return tuple(piece(segment, run.placement) for segment in run.path)


def piece(segment: Segment, placement: Placement) -> Piece:
    """An edge of a plane, placed in space."""
    start, end = segment.start, segment.end
    middle, along = placement.point((start + end) / 2), (end - start) / 2
    u, v = placement.u, placement.v

    def turned(z: complex) -> Vector:
        x, y = z.real, z.imag
        return (x * u[0] + y * v[0], x * u[1] + y * v[1], x * u[2] + y * v[2])

    if not isinstance(segment, Arc):
        return Piece(middle, turned(along))
    # an arc that turns left bows to the right of its chord
    side = -1j if segment.bulge > 0.0 else 1j
    return Piece(middle, turned(along), turned(side * along / abs(along)), abs(segment.sweep_rad) / 2.0)
