"""How much steel a plate has: from a point to its edge in any direction, and along straight cuts through it.

The sweep runs from the pin towards the rail. Each cut gives its steel as lengths on a line; area, centroid and second
moment follow exactly. Plane sections are assumed to stay plane, also where the cut passes beside a hole or opening.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.flat.loop import Circle
from plategen.flat.segment import Arc, Segment

Floats: TypeAlias = NDArray[np.float64]
Complexes: TypeAlias = NDArray[np.complex128]
"""Numbers and points of the plane, in arrays."""

_ON_EDGE = 1e-9  # share of a segment's length by which a ray may pass its end and still meet it


@dataclass(frozen=True, slots=True)
class Edges:
    """The edges of a plate as arrays: outline, openings and other holes."""

    start: Complexes  # Where each straight edge begins.
    along: Complexes  # From its start to its end.
    centre: Complexes  # Centre of each arc or circle.
    radius: Floats  # Its radius.
    chord_start: Complexes  # Where each arc begins.
    chord: Complexes  # From its start to its end; zero for a full circle.
    bulge: Floats  # Its bulge; the outline's own arcs bulge outward when it is positive.

    @classmethod
    def of(cls, segments: Iterable[Segment], circles: Iterable[Circle] = ()) -> "Edges":
        """The edges of loops and circles."""
        edges = list(segments)
        arcs = [edge for edge in edges if isinstance(edge, Arc)]
        lines = [edge for edge in edges if not isinstance(edge, Arc)]
        rounds = list(circles)
        return cls(
            start=np.array([s.start for s in lines], dtype=np.complex128),
            along=np.array([s.end - s.start for s in lines], dtype=np.complex128),
            centre=np.array([a.centre for a in arcs] + [c.centre for c in rounds], dtype=np.complex128),
            radius=np.array([a.radius for a in arcs] + [c.radius for c in rounds], dtype=np.float64),
            chord_start=np.array([a.start for a in arcs] + [c.centre for c in rounds], dtype=np.complex128),
            chord=np.array([a.end - a.start for a in arcs] + [0j for _ in rounds], dtype=np.complex128),
            bulge=np.array([a.bulge for a in arcs] + [-1.0 for _ in rounds], dtype=np.float64),
        )

    def on_arc(self, points: Complexes) -> NDArray[np.bool_]:
        """Whether points of the full circles (last axis: the circles) lie on the arcs."""
        side = _cross(self.chord, points - self.chord_start)
        slack = _ON_EDGE * np.abs(self.chord) * self.radius
        met: NDArray[np.bool_] = (side * np.sign(self.bulge) <= slack) | (self.chord == 0)
        return met


def reaches(edges: Edges, point: complex, directions: Sequence[complex]) -> tuple[Floats, Floats]:
    """Distance from a point to the first edge in each direction, and the radius of that edge.

    Args:
        edges: The plate's edges.
        point: A point inside the plate.
        directions: Unit vectors.

    Returns:
        Distances (infinite when nothing is met), and radii: infinite for a straight edge or one that curves inward,
        else the arc's radius, mm.

    >>> distance, radius = reaches(Edges.of([], [Circle(0j, 10.0)]), 4 + 0j, [1 + 0j, -1 + 0j])
    >>> distance.tolist()
    [6.0, 14.0]
    """
    ways = np.array(directions, dtype=np.complex128)[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        to = edges.start - point
        across = _cross(ways, edges.along)
        far = _cross(to, edges.along) / across
        share = _cross(to, ways) / across
        far = np.where((share >= -_ON_EDGE) & (share <= 1.0 + _ON_EDGE) & (far > 0.0), far, np.inf)
        offset = point - edges.centre
        half = _dot(offset, ways)
        root = np.sqrt(half * half - (np.abs(offset) ** 2 - edges.radius**2))
    distances, radii = [far], [np.full(far.shape, np.inf)]
    for sign in (-1.0, 1.0):
        distance = -half + sign * root
        good = np.isfinite(distance) & (distance > 0.0)
        good &= edges.on_arc(point + np.where(good, distance, 0.0) * ways)
        distances.append(np.where(good, distance, np.inf))
        radii.append(np.broadcast_to(np.where(edges.bulge > 0.0, edges.radius, np.inf), distance.shape))
    every, radius = np.concatenate(distances, axis=1), np.concatenate(radii, axis=1)
    if every.shape[1] == 0:
        return np.full(len(ways), np.inf), np.full(len(ways), np.inf)
    first = np.argmin(every, axis=1)
    rows = np.arange(len(ways))
    return every[rows, first], radius[rows, first]


def added_up(heights: Floats, at_mm: Floats) -> Floats:
    """The area under heights (last axis) that stand at growing places, straight between them: the trapezoidal rule."""
    area: Floats = (heights[..., 1:] + heights[..., :-1]) @ (at_mm[1:] - at_mm[:-1]) / 2.0
    return area


def _cross(a: Complexes, b: Complexes) -> Floats:
    return a.real * b.imag - a.imag * b.real


def _dot(a: Complexes, b: Complexes) -> Floats:
    return a.real * b.real + a.imag * b.imag


_NUDGE_MM = 1e-6  # a cut exactly through a corner is moved by this, so that it crosses each edge clearly or not at all


@dataclass(frozen=True, slots=True)
class Sections:
    """Cuts square to the direction of the sweep; every array has one number a cut."""

    at_mm: Floats  # Place of the cut along the sweep, from its origin.
    area_mm2: Floats  # Steel area.
    centroid_mm: Floats  # Centroid across the sweep, from its origin, positive to the left of the direction.
    inertia_mm4: Floats  # Second moment of the cut about its centroid, for bending in the plate's plane.
    first_mm: Floats  # Across the sweep, the right-hand end of the steel, and
    last_mm: Floats  # its left-hand end.
    width_mm: Floats  # Steel length of the cut.
    thickness_mm: float  # Plate thickness.


def cut_sections(
    edges: Edges, thickness_mm: float, origin: complex, direction: complex, at_mm: Iterable[float]
) -> Sections:
    """Cut a plate at places along a direction.

    Args:
        edges: Every edge of the plate: outline, holes, openings.
        thickness_mm: Plate thickness.
        origin: Where the sweep begins.
        direction: Unit vector of the sweep.
        at_mm: Places of the cuts; a place where the cut meets no steel is left out.

    >>> from plategen.flat.segment import Line
    >>> corners = [0j, 60 + 0j, 60 + 20j, 20j]
    >>> plate = Edges.of([Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1])], [Circle(30 + 10j, 5.0)])
    >>> cuts = cut_sections(plate, 10.0, 10j, 1 + 0j, [10.0, 30.0])
    >>> cuts.area_mm2.round().tolist(), cuts.inertia_mm4.round().tolist()
    ([200.0, 100.0], [6667.0, 5833.0])
    """
    at = np.array(list(at_mm), dtype=float) + _NUDGE_MM
    cuts = at[:, None]
    turn = direction.conjugate()
    with np.errstate(divide="ignore", invalid="ignore"):
        start, along = (edges.start - origin) * turn, edges.along * turn
        share = (cuts - start.real) / along.real
        crossing = np.where((share >= 0.0) & (share < 1.0), start.imag + share * along.imag, np.inf)
        centre = (edges.centre - origin) * turn
        height = cuts - centre.real
        half = np.sqrt(edges.radius**2 - height * height)
    parts = [crossing]
    for sign in (-1.0, 1.0):
        across = centre.imag + sign * half
        good = np.isfinite(across)
        points: Complexes = origin + (cuts + 1j * np.where(good, across, 0.0)) * direction
        parts.append(np.where(good & edges.on_arc(points), across, np.inf))
    ends = np.sort(np.concatenate(parts, axis=1), axis=1)
    if ends.shape[1] % 2:
        ends = np.concatenate([ends, np.full((len(at), 1), np.inf)], axis=1)
    count = np.isfinite(ends).sum(axis=1)
    keep = (count > 0) & (count % 2 == 0)
    at, ends, count = at[keep], ends[keep], count[keep]
    low, high = ends[:, 0::2], ends[:, 1::2]
    there = np.isfinite(high)
    low, high = np.where(there, low, 0.0), np.where(there, high, 0.0)
    width = (high - low).sum(axis=1)
    centroid = ((high**2 - low**2).sum(axis=1) / 2.0) / width
    a, b = low - centroid[:, None], high - centroid[:, None]
    inertia = np.where(there, b**3 - a**3, 0.0).sum(axis=1) / 3.0
    return Sections(
        at_mm=at,
        area_mm2=thickness_mm * width,
        centroid_mm=centroid,
        inertia_mm4=thickness_mm * inertia,
        first_mm=ends[:, 0],
        last_mm=ends[np.arange(len(at)), count - 1],
        width_mm=width,
        thickness_mm=thickness_mm,
    )


def sweep_places(
    segments: Iterable[Segment], holes: Iterable[Circle], origin: complex, direction: complex, to_mm: float, count: int
) -> list[float]:
    """Where to cut between the origin and ``to_mm``: evenly, and at every corner and hole's middle on the way.

    Stress between two cuts is smooth, so its peaks lie at corners, at the middles of holes, or are flat between.
    """
    turn = direction.conjugate()
    corners = [((s.start - origin) * turn).real for s in segments]
    corners += [((hole.centre - origin) * turn).real for hole in holes]
    even = [to_mm * i / count for i in range(count)]
    return sorted([*even, *(s for s in corners if 0.0 <= s < to_mm), max(0.0, to_mm - 2.0 * _NUDGE_MM)])
