"""The plate that a stop runs against, to be cut."""

from dataclasses import dataclass

from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.job.steering_equipment import PadEntry

QUARTER_BULGE = 2.0**0.5 - 1.0
"""Bulge of a quarter turn: tan(90 deg / 4)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class StopPad:
    """A stop-pad plate, flat, its middle at the origin; so many alike, of a steel or, left empty, the bracket's.

    ``bolt_mm`` is the diameter of the bolts, that of the holes when it is not told.
    """

    name: str
    outline: Loop
    holes: tuple[Circle, ...]
    thickness_mm: float
    bolt_mm: float = 0.0
    steel: str = ""
    count: int = 1

    @property
    def edge_distance_mm(self) -> float | None:
        """From a hole's centre to the nearest edge; None for a pad without holes."""
        return min((self.outline.distance(hole.centre) for hole in self.holes), default=None)


def stop_pad(pad: PadEntry) -> StopPad:
    """A pad with no hole, one hole in its middle, or two in line along its width; its bolts fill the holes unless told.

    Raises:
        Refusal: corners that do not fit, or a hole that leaves less than half its diameter to the edge.
    """
    width, height, hole, apart = pad.width_mm, pad.height_mm, pad.hole_mm, pad.hole_spacing_mm
    if 2.0 * pad.corner_radius_mm > min(width, height):
        words = message(
            "two corners of radius {} do not fit a pad of {} x {}", mm(pad.corner_radius_mm), mm(width), mm(height)
        )
        raise Refusal(words, key="steering.stops.pad.corner_radius")
    holes: tuple[Circle, ...] = ()
    if hole is not None:
        wall = min(width / 2 - apart / 2, height / 2) - hole / 2
        if wall < hole / 2 or 0.0 < apart < 2.0 * hole:
            words = message(
                "holes of {} leave {} to the edge of the pad; leave half a diameter at least, and set two holes two "
                "diameters apart",
                mm(hole),
                mm(wall),
            )
            raise Refusal(words, key="steering.stops.pad.hole")
        places = (0j,) if apart == 0.0 else (-apart / 2 + 0j, apart / 2 + 0j)
        holes = tuple(Circle(place, hole / 2) for place in places)
    return StopPad(
        name="stop_pad",
        outline=_rounded(width, height, pad.corner_radius_mm),
        holes=holes,
        thickness_mm=pad.thickness_mm,
        bolt_mm=pad.bolt_mm or hole or 0.0,
        steel=pad.steel,
        count=pad.count,
    )


def _rounded(width: float, height: float, r: float) -> Loop:
    """Anticlockwise from the lower left; each corner a quarter arc, or sharp when r is zero."""
    a, b = width / 2, height / 2
    corners = [(complex(a, -b), 1 + 0j), (complex(a, b), 1j), (complex(-a, b), -1 + 0j), (complex(-a, -b), -1j)]
    segments: list[Line | Arc] = []
    start = complex(-a + r, -b)
    for corner, along in corners:
        enter, leave = corner - r * along, corner + r * along * 1j
        segments.append(Line(start, enter))
        if r > 0.0:
            segments.append(Arc(enter, leave, QUARTER_BULGE))
        start = leave
    return Loop(tuple(segments))
