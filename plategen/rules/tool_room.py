"""How much room a socket needs beside a bolt: hand tools by practice, power tools by a published table."""

from dataclasses import dataclass

from plategen.ground.message import Message, message, mm, number
from plategen.rules import table
from plategen.rules.hole_size import wrench_size

SOCKET_OVER_FLATS = 1.5
"""Outside of a hand socket over the flats it fits (common practice, no source)."""

HAND_MM = 2.0
"""Room beside a hand socket or a head (common practice, no source)."""

PRACTICE = "common practice, no source"
"""Source of what the trade knows and nobody printed."""

_SAME_MM = 0.02


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
            if abs(table.length_mm(row, "diameter") - bolt_mm) <= _SAME_MM:
                return ToolRoom(
                    table.length_mm(row, "clearance"), row["source"], message("a power wrench's socket and its room")
                )
    flats = wrench_size(bolt_mm).nut_mm
    return ToolRoom(
        SOCKET_OVER_FLATS * flats / 2.0 + HAND_MM,
        PRACTICE,
        message("a hand socket {} x across flats, and {} of room", number(SOCKET_OVER_FLATS), mm(HAND_MM)),
    )
