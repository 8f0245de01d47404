"""The hexagons that turn on a bolt, and the room that a wrench needs about them."""

from dataclasses import dataclass
from functools import cache

from plategen.ground.message import Message, message, mm, number
from plategen.rules import table
from plategen.rules.hole_size import SAME_MM, row_of_size
from plategen.rules.safety import PRACTICE

SOCKET_OVER_FLATS = 1.5
"""Outside of a hand socket over the flats it fits (common practice, no source)."""

HAND_MM = 2.0
"""Room beside a hand socket or a head (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class WrenchSize:
    """Across flats of a bolt's head and its nut, mm."""

    head_mm: float
    nut_mm: float
    source: str


@cache
def wrench_size(diameter_mm: float) -> WrenchSize:
    """Across flats of the hexagon for a bolt of this diameter.

    >>> wrench_size(12.0).nut_mm
    18.0

    Raises:
        Refusal: The size is not in the table.
    """
    row = row_of_size("wrenches", diameter_mm, "hexagon")
    return WrenchSize(table.length_mm(row, "head_flats"), table.length_mm(row, "nut_flats"), row["source"])


@dataclass(frozen=True, slots=True)
class ToolRoom:
    """From a bolt's centre to the nearest thing that stands beside its nut, mm, and the rule."""

    mm: float
    source: str
    words: Message


def tool_room(bolt_mm: float, *, power: bool) -> ToolRoom:
    """The room that tightening a bolt needs.

    Args:
        bolt_mm: Its diameter.
        power: True for a power wrench, as a structural pretension asks; a size that the table lacks takes the hand's.

    >>> round(tool_room(19.05, power=True).mm / 25.4, 4)
    1.25

    Raises:
        Refusal: No hexagon is tabled for the size.
    """
    if power:
        for row in table.read("tightening"):
            if abs(table.length_mm(row, "diameter") - bolt_mm) <= SAME_MM:
                return ToolRoom(
                    table.length_mm(row, "clearance"), row["source"], message("a power wrench's socket and its room")
                )
    flats = wrench_size(bolt_mm).nut_mm
    return ToolRoom(
        SOCKET_OVER_FLATS * flats / 2.0 + HAND_MM,
        PRACTICE,
        message("a hand socket {} x across flats, and {} of room", number(SOCKET_OVER_FLATS), mm(HAND_MM)),
    )
