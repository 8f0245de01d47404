"""The plates along the pin, which the drawing looks along and so cannot show: a strip in its lower corner.

Left is near, a millimetre is a millimetre, and its zero stays where it is while the plane is dragged.
"""

from collections.abc import Iterator
from dataclasses import dataclass

from plategen.draw.svg import element
from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter
from plategen.work import Work


@dataclass(frozen=True, slots=True)
class Strip:
    """Where it lies in the straightedge's frame, and what stands on it; places along the pin in mm."""

    zero: complex  # Where the trace's own plane 0 is.
    plates: tuple[tuple[float, float], ...]  # Both faces of every plate that lies across the pin.
    traced: tuple[float, ...]  # The planes that were traced.

    @property
    def ends(self) -> tuple[complex, complex]:
        """Its left and its right end."""
        places = (*self.traced, *(face for faces in self.plates for face in faces))
        return self.zero + min(places), self.zero + max(places)


def strip_of(work: Work, corner: complex) -> Strip:
    """The strip of a bracket, its middle at a corner of the drawing where nothing is drawn."""
    across = (plate for plate in work.bracket.plates if abs(plate.placement.normal[2]) > 0.5)
    plates = tuple(
        (min(faces), max(faces))
        for plate in across
        for faces in ([plate.placement.point(0j, depth)[2] for depth in (0.0, plate.thickness_mm)],)
    )
    plane = work.design.pin.plane_mm  # wherever it is dragged to, the bracket is as wide
    middle = (min(low for low, _ in plates) + max(high for _, high in plates)) / 2 - plane
    return Strip(corner - middle, plates, tuple(fitted.trace.plane_mm for fitted in work.rail.traces))


def strip_marks(strip: Strip, drafter: Drafter, show: Show, plane_mm: float) -> Iterator[str]:
    """The strip's line, its plates above it, a tick for each traced plane, and what the plane is."""
    h, (left, right) = drafter.height_mm, strip.ends
    yield drafter.line(left - h, right + h, "tick")
    for low, high in strip.plates:
        at = strip.zero + low
        yield element("rect", x=at.real, y=-at.imag - 1.3 * h, width=high - low, height=1.3 * h, class_="stands")
    for plane in strip.traced:
        yield drafter.line(strip.zero + plane - 0.8j * h, strip.zero + plane, "tick")
    yield drafter.words(f"plane {show.short(plane_mm)}", left - (1 + 1.8j) * h, anchor="start", kind="datum", size=0.85)
