"""The ``[rail]`` table: the rail's wall and the traces taken of it."""

import math
from itertools import pairwise

from plategen.ground.refusal import Refusal
from plategen.job.quantities import Angle, Length, PositiveLength, Table


class SecondStraightedge(Table, frozen=True, kw_only=True):
    """A second straightedge in the same plane, whose readings go on round the rail's corner.

    Args:
        file: Its trace file, beside the job file; ``station,offset``.
        at_mm: Where its station 0 lies in the first straightedge's frame: along it, and square from it to the rail.
        angle_rad: Direction of its stations, from the first straightedge towards the rail; its offsets lie to the
            left of that direction.
    """

    file: str
    at_mm: tuple[Length, Length]
    angle_rad: Angle

    def __post_init__(self) -> None:
        _refuse_no_name(self.file)


class TraceEntry(Table, frozen=True, kw_only=True):
    """One ``[[rail.trace]]``: readings taken in one plane across the pin.

    Args:
        file: The trace file, beside the job file.
        plane_mm: Place of the plane along the pin.
        read_error_mm: One standard deviation of a reading; left out, it is estimated from the readings.
        second: A second straightedge round the corner.
    """

    file: str
    plane_mm: Length
    read_error_mm: PositiveLength | None = None
    second: SecondStraightedge | None = None

    def __post_init__(self) -> None:
        _refuse_no_name(self.file)


class RailEntry(Table, frozen=True, kw_only=True):
    """The rail.

    Args:
        wall_mm: Thickness where the bracket is welded.
        steel: Its steel, by the name shops use.
        trace: The traces, one or more; none for a seat, which stands on a tube of known size.
    """

    wall_mm: PositiveLength
    steel: str
    trace: tuple[TraceEntry, ...] = ()

    def __post_init__(self) -> None:
        planes = sorted(entry.plane_mm for entry in self.trace)
        if any(math.isclose(a, b, abs_tol=0.01) for a, b in pairwise(planes)):
            raise Refusal("two traces lie in the same plane; give each its own `plane`", "trace")


def _refuse_no_name(file: str) -> None:
    if not file.strip():
        raise Refusal("no name; the trace file beside the job file is right", "file")
