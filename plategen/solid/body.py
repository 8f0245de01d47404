"""One part of the finished job in space: a solid with its name, colour and place."""

from dataclasses import dataclass

from plategen.flat.placement import Placement
from plategen.solid.kernel import FLAT, Shape

Colour = tuple[float, float, float]
"""Red, green and blue, 0 to 1, as a screen shows them (sRGB)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Body:
    """A solid.

    Args:
        name: Unique in its file.
        shape: The solid in its own frame.
        colour: How it is shown.
        placement: Where its own frame lies in space.
    """

    name: str
    shape: Shape
    colour: Colour
    placement: Placement = FLAT
