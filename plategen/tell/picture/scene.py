"""The finished job as flat facets and drawn edges in space, for pictures: no solid kernel, every round face in flats.

An edge is drawn always (a corner, the rim of a face) or only where it is the silhouette of a round face.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from plategen.bracket.measure import drawn_out
from plategen.bracket.model import Plate
from plategen.draw.pen import chords
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Contour
from plategen.flat.placement import Placement
from plategen.flat.segment import angle
from plategen.ground.space import Vector
from plategen.tell.picture.hidden_line import Facet

FLAT_RAD = math.radians(7.5)
"""Turn of one flat of a round face."""

SMOOTH_RAD = math.radians(3.0)
"""Edges that meet with less turn than this run smoothly on: no corner is drawn there."""


@dataclass(frozen=True, slots=True)
class DrawnEdge:
    """A straight edge in space, drawn as a line of the class ``kind``.

    ``between`` has the indexes of the two facets beside it when it is drawn only as a silhouette; else None.
    """

    start: Vector
    end: Vector
    kind: str
    between: tuple[int, int] | None = None


@dataclass(slots=True)
class Scene:
    """Facets and edges, gathered body by body."""

    facets: list[Facet] = field(default_factory=list)
    edges: list[DrawnEdge] = field(default_factory=list)

    def add_plate(self, plate: Plate) -> None:
        """A plate with its holes and openings."""
        self.add_prism(*drawn_out(plate, plate.placement), "edge plate-edge")

    def add_prism(
        self, outside: Contour, inside: Iterable[Contour], placement: Placement, height_mm: float, kind: str
    ) -> None:
        """A flat shape drawn out by ``height_mm`` along its placement's normal."""
        loops = [_turning(outside, left=True), *(_turning(contour, left=False) for contour in inside)]
        for depth, step in ((0.0, -1), (height_mm, 1)):
            self.facets.append(
                Facet(tuple(np.array([placement.point(p, depth) for p, _ in corners][::step]) for corners in loops))
            )
        for corners in loops:
            self._add_walls(corners, placement, height_mm, kind)

    def add_loft(self, rings: Sequence[Sequence[tuple[Vector, str | None]]], kind: str) -> None:
        """A body whose skin joins plane rings of equally many points, its first and last ring closed off.

        Rings run anticlockwise seen from the last one's side. A point carries the kind of the line drawn along the
        body from it, or None for none.
        """
        for near, far in pairwise(rings):
            for k, ((a, along), (b, _)) in enumerate(zip(near, (*near[1:], near[0]), strict=True)):
                c, d = far[(k + 1) % len(far)][0], far[k][0]
                self.facets.append(Facet((np.array([a, b, c]),)))
                self.facets.append(Facet((np.array([a, c, d]),)))
                if along:
                    self.edges.append(DrawnEdge(a, d, along))
        for end, step in ((rings[0], -1), (rings[-1], 1)):
            corners = [p for p, _ in end][::step]
            self.facets.append(Facet((np.array(corners),)))
            self.edges.extend(DrawnEdge(p, q, kind) for p, q in pairwise((*corners, corners[0])))

    def add_path(self, path: Chain, placement: Placement, kind: str) -> None:
        """A line in space."""
        flat = [*chords(path, FLAT_RAD), path.end]
        self.edges.extend(DrawnEdge(placement.point(p), placement.point(q), kind) for p, q in pairwise(flat))

    def _add_walls(
        self, corners: list[tuple[complex, bool]], placement: Placement, height_mm: float, kind: str
    ) -> None:
        first, count = len(self.facets), len(corners)
        for k, (p, is_corner) in enumerate(corners):
            q = corners[(k + 1) % count][0]
            quad = [placement.point(c, depth) for c, depth in ((p, 0.0), (q, 0.0), (q, height_mm), (p, height_mm))]
            self.facets.append(Facet((np.array(quad),)))
            self.edges.append(DrawnEdge(quad[0], quad[1], kind))
            self.edges.append(DrawnEdge(quad[3], quad[2], kind))
            beside = None if is_corner else (first + k, first + (k - 1) % count)
            self.edges.append(DrawnEdge(quad[0], quad[3], kind, beside))


def _turning(contour: Contour, *, left: bool) -> list[tuple[complex, bool]]:
    """Corners of a contour in flats, anticlockwise or clockwise: its steel on the left of the walk."""
    corners = _flattened(contour)
    return corners if (contour.area > 0.0) == left else corners[::-1]


def _flattened(contour: Contour) -> list[tuple[complex, bool]]:
    """Corners of a contour in flats; True where the contour itself has a corner."""
    if isinstance(contour, Circle):
        return [(p, False) for p in chords(contour, FLAT_RAD)]
    corners: list[tuple[complex, bool]] = []
    previous = contour.segments[-1]
    for segment in contour:
        turn = abs(angle(segment.start_tangent / previous.end_tangent))
        corners.extend((p, k == 0 and turn > SMOOTH_RAD) for k, p in enumerate(chords((segment,), FLAT_RAD)))
        previous = segment
    return corners
