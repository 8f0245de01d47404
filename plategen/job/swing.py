"""The ``[swing]`` table: how far the cylinder turns about the pin, and what stands out of it."""

from typing import Literal

from plategen.ground.refusal import Refusal
from plategen.job.quantities import Angle, LengthFromZero, PositiveLength, Table


class PortPost(Table, frozen=True, kw_only=True):
    """A ``[[swing.port]]``: a port with its fitting and hose end, as a round post that stands out of the barrel.

    Args:
        name: What it is called.
        at_mm: From the pin's centre to its middle, along the cylinder.
        diameter_mm: Across everything that is screwed into it.
        height_mm: How far that stands out of the barrel.
        towards: Which way it points: to the rail or away from it, or along the pin to the near or the far side.
    """

    name: str = "port"
    at_mm: PositiveLength
    diameter_mm: PositiveLength
    height_mm: PositiveLength
    towards: Literal["rail", "away", "near", "far"] = "rail"


class Swing(Table, frozen=True, kw_only=True):
    """The cylinder's swing in the plates' plane, and what is to be kept clear.

    Args:
        low_rad: Least angle of the cylinder against its drawn line, positive towards the rail; left out, the steering
            study's, or the swing of `rules`.
        high_rad: Greatest angle; left out, likewise.
        barrel_start_mm: From the pin's centre to where the barrel or its end cap begins; left out, the barrel is held
            against the rail all along the cylinder, and against no plate.
        least_mm: Clearance asked everywhere: dirt, paint, worn pins (common practice, no source).
        port: Ports, fittings and hose ends.
    """

    low_rad: Angle | None = None
    high_rad: Angle | None = None
    barrel_start_mm: PositiveLength | None = None
    least_mm: LengthFromZero = 3.0
    port: tuple[PortPost, ...] = ()

    def __post_init__(self) -> None:
        low, high = self.low_rad or 0.0, self.high_rad or 0.0
        if (self.low_rad is None) != (self.high_rad is None):
            missing = "low" if self.low_rad is None else "high"
            raise Refusal("missing; both ends of the swing, or neither, is right", missing)
        if low > high:
            raise Refusal("the swing ends before it begins; the lesser angle comes first", "high")
        if max(abs(low), abs(high)) > 2.0:
            raise Refusal("more than 115 degrees; a swing within that is right", "high" if high > 2.0 else "low")
