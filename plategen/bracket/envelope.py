"""What the cylinder takes up beside the pin: convex bodies, exact in distance, and where its barrel may begin.

The cylinder's own frame: x along it from the pin, y towards the rail when it lies on its drawn line, z along the pin
from the middle of the eye. All bodies are mirror images of themselves in z but for ports that point along the pin.

The barrel is often wider than the space between the ears, so it must begin beyond them. Where the real barrel begins
is not asked of the user: this says what the bracket needs, and the pictures and solids draw it so.
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.bracket.model import Bracket, Pin, Plate
from plategen.flat.intersect import crossings
from plategen.flat.loop import Loop
from plategen.flat.segment import Arc, Line, Segment
from plategen.job import Job

Floats: TypeAlias = NDArray[np.float64]
"""Numbers in an array."""


KEPT_CLEAR_MM = 3.0
"""Room to the cylinder when the job asks for none: dirt, paint and worn pins (common practice, no source)."""

HEAD_OVER_PIN = 1.5
"""Width of a pin's head, or of the washer and clip at its other end, over its diameter (ISO 2341, from memory)."""

PIN_OVER = 0.25
"""How far a pin stands out of the plates that hold it at each end, over its diameter."""

CylinderPart: TypeAlias = Literal["eye", "pin", "lug", "barrel", "rod", "port"]
"""A part of the cylinder: its eye, the lug from there to the barrel, the barrel, the rod, or a port that stands out."""


_ACROSS = ((1, 2), (0, 2), (0, 1))
"""Of each axis the two others."""


def _size(x: Floats, y: Floats) -> Floats:
    """The length of vectors with these two coordinates, whose arrays are used up for it."""
    x *= x
    y *= y
    x += y
    return np.sqrt(x, out=x)


def _between(low: Floats, high: Floats, first: Sequence[float], last: Sequence[float]) -> float:
    """The distance between two boxes along the axes, each told by two of its corners."""
    gaps = (
        max(0.0, from_mm - to, begin - to_mm)
        for from_mm, to_mm, begin, to in zip(low.tolist(), high.tolist(), first, last, strict=True)
    )
    return math.sqrt(sum(gap * gap for gap in gaps))


@dataclass(frozen=True, slots=True)
class Post:
    """A round body with flat ends."""

    part: CylinderPart  # What it is.
    name: str  # What it is called; a port as the job calls it.
    axis: int  # 0, 1 or 2 for x, y or z.
    # The point that its axis passes, in its three coordinates; that along the axis does not count.
    through: tuple[float, float, float]
    low_mm: float  # Where it begins along its axis.
    high_mm: float  # Where it ends.
    radius_mm: float  # Its radius.

    def distance(self, p: Floats) -> Floats:
        """Signed distance of points (3, n), negative inside."""
        along = p[self.axis]
        one, other = _ACROSS[self.axis]
        # np.hypot, which guards against overflow, takes several times as long
        radial = _size(p[one] - self.through[one], p[other] - self.through[other])
        radial -= self.radius_mm
        axial = np.maximum(self.low_mm - along, along - self.high_mm)
        inside = np.minimum(np.maximum(radial, axial), 0.0)
        inside += _size(np.maximum(radial, 0.0, out=radial), np.maximum(axial, 0.0, out=axial))
        return np.asarray(inside)

    def off(self, low: Floats, high: Floats) -> float:
        """No more than the distance from a box along the axes, from ``low`` to ``high``."""
        ends = [(each - self.radius_mm, each + self.radius_mm) for each in self.through]
        ends[self.axis] = (self.low_mm, self.high_mm)
        return _between(low, high, *zip(*ends, strict=True))


@dataclass(frozen=True, slots=True)
class Block:
    """A box along the axes, from ``low`` to ``high``."""

    part: CylinderPart
    name: str
    low: tuple[float, float, float]
    high: tuple[float, float, float]

    def distance(self, p: Floats) -> Floats:
        """Signed distance of points (3, n), negative inside."""
        x, y, z = (np.maximum(self.low[k] - p[k], p[k] - self.high[k]) for k in range(3))
        outside = np.sqrt(np.maximum(x, 0.0) ** 2 + np.maximum(y, 0.0) ** 2 + np.maximum(z, 0.0) ** 2)
        return np.asarray(outside + np.minimum(np.maximum(np.maximum(x, y), z), 0.0))

    def off(self, low: Floats, high: Floats) -> float:
        """No more than the distance from a box along the axes, from ``low`` to ``high``."""
        return _between(low, high, self.low, self.high)


Body: TypeAlias = Post | Block
"""What the cylinder is made of."""


def cylinder_bodies(job: Job, start_mm: float | None) -> tuple[Body, ...]:
    """The cylinder's bodies: its eye, the lug to the barrel, the barrel, ports, and the rod all the way out.

    Where it is not known where the barrel begins, it is taken to begin at the eye. Where it ends is not asked: it is
    taken to reach to the moving end's eye of the closed cylinder.
    """
    base, cylinder = job.cylinder.base, job.cylinder
    half, radius = base.width_mm / 2, base.eye_radius_mm
    begins = radius if start_mm is None else start_mm
    barrel = cylinder.body_diameter_mm / 2
    ends = max(cylinder.closed_length_mm - radius, begins + barrel)
    bodies: list[Body] = [
        Post("eye", "eye", 2, (0.0, 0.0, 0.0), -half, half, radius),
        Post("barrel", "barrel", 0, (0.0, 0.0, 0.0), begins, ends, barrel),
        Post("rod", "rod", 0, (0.0, 0.0, 0.0), ends, max(ends, cylinder.open_length_mm - radius), cylinder.rod_mm / 2),
    ]
    if begins > radius:
        neck = min(radius, barrel)
        bodies.append(Block("lug", "lug", (0.0, -neck, -half), (begins, neck, half)))
    for port in job.swing.port if job.swing else ():
        axis, sign = {"rail": (1, 1), "away": (1, -1), "near": (2, -1), "far": (2, 1)}[port.towards]
        top = barrel + port.height_mm
        low, high = (0.0, top) if sign > 0 else (-top, 0.0)
        bodies.append(Post("port", port.name, axis, (port.at_mm, 0.0, 0.0), low, high, port.diameter_mm / 2))
    return tuple(bodies)


def in_cylinder(points: Floats, pin: tuple[float, float, float], angle_rad: float) -> Floats:
    """Points of space (3, n) in the frame of the cylinder turned by an angle, positive from u towards v."""
    c, s = math.cos(angle_rad), math.sin(angle_rad)
    u, v, w = points[0] - pin[0], points[1] - pin[1], points[2] - pin[2]
    return np.array([c * u + s * v, c * v - s * u, w])


def swung(points: Floats, pin: tuple[float, float, float], angles_rad: Floats) -> Floats:
    """The same at every one of k angles, one after the other (3, k n)."""
    c, s = np.array([(math.cos(angle), math.sin(angle)) for angle in angles_rad.tolist()]).T[:, :, None]
    u, v, w = points[0] - pin[0], points[1] - pin[1], points[2] - pin[2]
    return np.array([(c * u + s * v).ravel(), (c * v - s * u).ravel(), np.tile(w, len(angles_rad))])


def least_distances(bodies: Sequence[Body], points: Floats) -> Floats:
    """Least distance of each of some points (3, n) to the bodies, n of them."""
    low, high = points.min(axis=1), points.max(axis=1)
    first, *others = bodies
    least = first.distance(points)
    for body in others:
        # a body whose box lies further from that of the points than all of them do from another is nearest to none
        if body.off(low, high) < least.max():
            np.minimum(least, body.distance(points), out=least)
    return least


def nearest(bodies: Sequence[Body], points: Floats) -> tuple[float, Body, int]:
    """Least distance of points to the bodies, which of them, and which point."""
    best = (math.inf, bodies[0], 0)
    for body in bodies:
        distances = body.distance(points)
        index = int(distances.argmin())
        if distances[index] < best[0]:
            best = (float(distances[index]), body, index)
    return best


def barrel_start_mm(bracket: Bracket, barrel_mm: float) -> float:
    """Least distance from the pin's centre to a barrel of a diameter, along u, that clears eye and plates.

    Plates that do not lie across the pin are passed over.
    """
    u, v, w = bracket.pin.centre
    reaches = [bracket.pin.eye_radius_mm]
    for plate in bracket.plates:
        half = _half_width(plate, w, barrel_mm / 2)
        if half > 0.0:
            reaches.extend(p - u for p in _reach(plate.outline, v - half, v + half, u))
    return max(reaches)


def lug_outline(pin: Pin, begins_mm: float) -> Loop:
    """The eye with the lug that joins it to a barrel beginning ``begins_mm`` from the pin, across the pin."""
    centre, radius = complex(pin.centre[0], pin.centre[1]), pin.eye_radius_mm
    top, back, bottom, quarter = centre + radius * 1j, centre - radius, centre - radius * 1j, math.tan(math.pi / 8)
    far = (Line(bottom, bottom + begins_mm), Line(bottom + begins_mm, top + begins_mm), Line(top + begins_mm, top))
    return Loop((Arc(top, back, quarter), Arc(back, bottom, quarter), *far))


def _half_width(plate: Plate, w_mm: float, radius_mm: float) -> float:
    """Half the width of the barrel where it would pass the plate's nearest face; 0 if the plate lies otherwise."""
    if plate.placement.u != (1.0, 0.0, 0.0) or plate.placement.v != (0.0, 1.0, 0.0):
        return 0.0
    low = plate.placement.origin[2]
    high = low + plate.thickness_mm
    nearest = max(low - w_mm, w_mm - high, 0.0)
    return math.sqrt(radius_mm**2 - nearest**2) if nearest < radius_mm else 0.0


def _reach(outline: Iterable[Segment], low: float, high: float, beyond_u: float) -> Iterator[float]:
    """The places, by u, at which an outline may reach furthest within the band ``low <= v <= high``."""
    yield beyond_u
    bands = [Line(complex(beyond_u - 1e6, level), complex(beyond_u + 1e6, level)) for level in (low, high)]
    for segment in outline:
        turning = [segment.start, segment.end]
        if isinstance(segment, Arc):
            rightmost = segment.centre + segment.radius
            if abs(segment.point(segment.nearest(rightmost)) - rightmost) < 1e-6:
                turning.append(rightmost)
        yield from (p.real for p in turning if low <= p.imag <= high)
        yield from (segment.point(t).real for band in bands for t, _ in crossings(segment, band))
