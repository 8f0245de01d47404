"""The plate that a stop runs against: a rectangle with rounded corners and its holes, as a flat outline to be cut."""

from dataclasses import dataclass

from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal

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


def stop_pad(
    *,
    width_mm: float,
    height_mm: float,
    thickness_mm: float,
    corner_mm: float = 0.0,
    hole_mm: float | None = None,
    hole_spacing_mm: float = 0.0,
    bolt_mm: float | None = None,
    name: str = "stop_pad",
    steel: str = "",
    count: int = 1,
) -> StopPad:
    """A pad with no hole, one hole in its middle, or two in line along its width.

    Args:
        width_mm: Outside.
        height_mm: Outside.
        thickness_mm: Plate.
        corner_mm: Corner radius.
        hole_mm: Diameter of the holes; None for a pad that is welded on.
        hole_spacing_mm: Between two holes; zero for one hole.
        bolt_mm: Diameter of the bolts; that of the holes when left out.
        name: Part name.
        steel: Of the plate; empty for the bracket's.
        count: How many alike.

    Raises:
        Refusal: corners that do not fit, or a hole that leaves less than half its diameter to the edge.
    """
    if 2.0 * corner_mm > min(width_mm, height_mm):
        raise Refusal(
            message("two corners of radius {} do not fit a pad of {} x {}", mm(corner_mm), mm(width_mm), mm(height_mm)),
            key="steering.stops.pad.corner_radius",
        )
    holes: tuple[Circle, ...] = ()
    if hole_mm is not None:
        places = (0j,) if hole_spacing_mm == 0.0 else (-hole_spacing_mm / 2 + 0j, hole_spacing_mm / 2 + 0j)
        wall = min(width_mm / 2 - hole_spacing_mm / 2, height_mm / 2) - hole_mm / 2
        if wall < hole_mm / 2 or 0.0 < hole_spacing_mm < 2.0 * hole_mm:
            words = (
                "holes of {} leave {} to the edge of the pad; leave half a diameter at least, and set two holes two "
                "diameters apart"
            )
            raise Refusal(message(words, mm(hole_mm), mm(wall)), key="steering.stops.pad.hole")
        holes = tuple(Circle(place, hole_mm / 2) for place in places)
    return StopPad(
        name=name,
        outline=_rounded(width_mm, height_mm, corner_mm),
        holes=holes,
        thickness_mm=thickness_mm,
        bolt_mm=bolt_mm or hole_mm or 0.0,
        steel=steel,
        count=count,
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
