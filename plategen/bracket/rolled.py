"""The body of a rolled plate: a band about the axis it is rolled to, as long as its blank.

The middle of the thickness keeps its length, so the band turns by width / (R + t/2) and has the blank's own volume:
angle x ((R + t)^2 - R^2)/2 = width x t.
"""

import math

from plategen.bracket.model import Plate
from plategen.flat.loop import Loop
from plategen.flat.placement import Placement
from plategen.flat.segment import Arc, Line


def rolled_band(plate: Plate, placement: Placement) -> tuple[Loop, Placement, float]:
    """Section, its plane, and length along the plane's normal, of a plate rolled from a rectangular blank.

    Args:
        plate: A plate with a ``rolled_mm``.
        placement: Where the blank's frame lies: the plate's own placement, or a plain frame.
    """
    u0, v0, u1, v1 = plate.outline.bounds
    inside, outside = plate.rolled_mm, plate.rolled_mm + plate.thickness_mm
    middle = (inside + outside) / 2
    first, last = v0 / middle, v1 / middle

    def at(radius: float, turn: float) -> complex:
        return complex(radius * math.sin(turn), radius * math.cos(turn) - inside)

    bulge = math.tan((last - first) / 4)
    corners = at(outside, last), at(outside, first), at(inside, first), at(inside, last)
    band = Loop(
        (
            Arc(corners[0], corners[1], bulge),
            Line(corners[1], corners[2]),
            Arc(corners[2], corners[3], -bulge),
            Line(corners[3], corners[0]),
        )
    )
    return band, Placement(placement.point(complex(u0)), placement.v, placement.normal), u1 - u0
