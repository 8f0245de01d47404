"""How much steel there is from a point of a plate to its edge, in any direction, curved edges included."""

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
    """The edges of a plate as arrays: outline, openings and other holes.

    Args:
        start: Where each straight edge begins.
        along: From its start to its end.
        centre: Centre of each arc or circle.
        radius: Its radius.
        chord_start: Where each arc begins.
        chord: From its start to its end; zero for a full circle.
        bulge: Its bulge; the outline's own arcs bulge outward when it is positive.
    """

    start: Complexes
    along: Complexes
    centre: Complexes
    radius: Floats
    chord_start: Complexes
    chord: Complexes
    bulge: Floats

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


def _cross(a: Complexes, b: Complexes) -> Floats:
    return a.real * b.imag - a.imag * b.real


def _dot(a: Complexes, b: Complexes) -> Floats:
    return a.real * b.real + a.imag * b.imag
