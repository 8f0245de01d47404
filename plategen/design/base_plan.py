"""Where a base plate lies on the rail, and where its bolts go: decided before any plate is drawn."""

from dataclasses import dataclass

from plategen.flat.placement import Placement
from plategen.ground.message import NOTHING, Message


@dataclass(frozen=True, slots=True, kw_only=True)
class BaseBolt:
    """A bolt of the base."""

    at: complex  # In the plane of the base's face on the rail.
    station_mm: float  # Station and place along the pin of its hole in the rail's face.
    plane_mm: float
    gap_mm: float  # From the base to the rail's face there, square to the base: what its shim fills.
    within_mm: float  # How far the true rail may lie off that gap, one way or the other, for 95 bases of 100.
    taper: tuple[float, float]  # How fast that grows along the rail and along the pin, mm for each mm.
    existing: str = ""  # Name of the hole in the rail that it goes through; "" for a new one.

    def corners_mm(self, side_mm: float) -> tuple[float, float, float, float]:
        """How thick a square shim about it is at its corners.

        That of smallest station and place along the pin, then round by the larger station.
        """
        along, across = (rate * side_mm / 2.0 for rate in self.taper)
        a, b, c, d = (self.gap_mm + k * along + m * across for k, m in ((-1, -1), (1, -1), (1, 1), (-1, 1)))
        return a, b, c, d


@dataclass(frozen=True, slots=True, kw_only=True)
class BasePlan:
    """The base."""

    # The plane of its face on the rail: u along the rail, v along the pin, the normal away from the rail.
    placement: Placement
    bolts: tuple[BaseBolt, ...]
    gap_mm: float  # Largest gap between the base and the rail's face anywhere under it.
    # Of 95 bases of 100 no gap at a bolt is so much wider than that bolt's, and none so much narrower.
    wider_mm: float
    narrower_mm: float
    why: tuple[Message, ...] = ()  # Why the bolts stand where they do, where a rule chose.
    moved: Message = NOTHING  # What was moved to keep clear of what is on the rail.
