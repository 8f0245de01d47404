"""How a doubler lies on the rail under the foot of welded ears: decided before any plate is drawn."""

from dataclasses import dataclass

from plategen.flat.placement import Placement
from plategen.ground.message import Message


@dataclass(frozen=True, slots=True, kw_only=True)
class DoublerPlan:
    """The doubler, in the plane of its face on the rail: u along the rail, v along the pin, the normal off the rail."""

    placement: Placement
    sides: tuple[float, float]  # V of its two long edges, the lower first.
    straight: tuple[float, float]  # From where to where along u those run straight; its ends lie beyond.
    gap_mm: float  # Largest gap between it and the rail's face anywhere under it.
    plugs: tuple[complex, ...] = ()  # Middles of its plug welds.
    plug_mm: float = 0.0  # Their diameter.
    why: tuple[Message, ...] = ()  # Why its sizes are what they are, where a rule chose.
