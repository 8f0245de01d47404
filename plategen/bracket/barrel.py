"""How near the pin a cylinder's barrel may begin without touching the plates that hold its eye.

The barrel is often wider than the space between the ears, so it must begin beyond them. Where the real barrel begins
is not asked of the user: this says what the bracket needs, and the pictures and solids draw it so.
"""

import math
from collections.abc import Iterable, Iterator

from plategen.bracket.model import Bracket, Pin, Plate
from plategen.flat.intersect import crossings
from plategen.flat.loop import Loop
from plategen.flat.segment import Arc, Line, Segment


def barrel_start_mm(bracket: Bracket, barrel_mm: float) -> float:
    """Least distance from the pin's centre to the barrel, along the cylinder, that clears eye and plates.

    Args:
        bracket: The plates and the pin; plates that do not lie across the pin are passed over.
        barrel_mm: Diameter of the barrel, its axis through the pin's centre along u.
    """
    u, v, w = bracket.pin.centre
    reaches = [bracket.pin.eye_radius_mm]
    for plate in bracket.plates:
        half = _half_width(plate, w, barrel_mm / 2)
        if half is not None and half > 0.0:
            reaches.extend(p - u for p in _reach(plate.outline, v - half, v + half, u))
    return max(reaches)


def lug_outline(pin: Pin, begins_mm: float) -> Loop:
    """The eye with the lug that joins it to a barrel beginning ``begins_mm`` from the pin, across the pin."""
    centre, radius = complex(pin.centre[0], pin.centre[1]), pin.eye_radius_mm
    top, bottom = centre + radius * 1j, centre - radius * 1j
    round_the_back = Arc(centre - radius, bottom, math.tan(math.pi / 8))
    first = Arc(top, centre - radius, math.tan(math.pi / 8))
    far_bottom, far_top = bottom + begins_mm, top + begins_mm
    return Loop((first, round_the_back, Line(bottom, far_bottom), Line(far_bottom, far_top), Line(far_top, top)))


def _half_width(plate: Plate, w_mm: float, radius_mm: float) -> float | None:
    """Half the width of the barrel where it would pass the plate's nearest face; None if the plate lies otherwise."""
    if plate.placement.u != (1.0, 0.0, 0.0) or plate.placement.v != (0.0, 1.0, 0.0):
        return None
    low = plate.placement.origin[2]
    high = low + plate.thickness_mm
    nearest = max(low - w_mm, w_mm - high, 0.0)
    return math.sqrt(radius_mm**2 - nearest**2) if nearest < radius_mm else 0.0


def _reach(outline: Iterable[Segment], low: float, high: float, beyond_u: float) -> Iterator[float]:
    """The places, by u, at which an outline may reach furthest within the band ``low <= v <= high``."""
    yield beyond_u
    for segment in outline:
        turning = [segment.start, segment.end]
        if isinstance(segment, Arc):
            rightmost = segment.centre + segment.radius
            if abs(segment.point(segment.nearest(rightmost)) - rightmost) < 1e-6:
                turning.append(rightmost)
        yield from (p.real for p in turning if low <= p.imag <= high)
        span = 1e6
        for level in (low, high):
            band = Line(complex(beyond_u - span, level), complex(beyond_u + span, level))
            yield from (segment.point(t).real for t, _ in crossings(segment, band))
