"""The finished job as flat facets and drawn edges in space, and which pieces of the edges are seen: no solid kernel.

Every round face is in flats. An edge is drawn always (a corner, the rim of a face) or only where it is the silhouette
of a round face. Hidden lines are exact, no sampling: everything is looked at along -z, x to the right, y up, z towards
the eye. An edge's shadow inside a facet's is found from the crossings of the whole line with the facet's boundary
(even-odd, so holes see through), and the piece of it that lies behind the facet's plane follows from depths that are
linear along the edge.
"""

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from itertools import pairwise
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.bracket.measure import drawn_out
from plategen.bracket.model import Plate
from plategen.draw.pen import chords
from plategen.flat.chain import Chain
from plategen.flat.loop import Circle, Contour
from plategen.flat.placement import Placement
from plategen.flat.segment import angle
from plategen.ground.space import Vector

Points: TypeAlias = NDArray[np.float64]
"""Points in an array."""

BEHIND_MM = 0.3
"""An edge this little behind a facet is still seen: round faces are drawn as flats, and lines that lie on them show."""

EDGE_ON = 1e-6
"""A facet turned so that less than this share of it is seen hides nothing."""


@dataclass(frozen=True, eq=False)
class Facet:
    """A plane polygon: its loops one after another, outline and holes alike, each an (n, 3) array of corners."""

    loops: tuple[Points, ...]

    @cached_property
    def normal(self) -> Points:
        """Normal of the outline, its length twice the outline's area (Newell's sum, safe for any shape)."""
        x, y, z = self.loops[0].T
        x1, y1, z1 = np.concatenate([self.loops[0][1:], self.loops[0][:1]]).T
        return np.array([y @ z1 - z @ y1, z @ x1 - x @ z1, x @ y1 - y @ x1])


def seen_pieces(starts: Points, ends: Points, facets: Sequence[Facet]) -> list[list[tuple[float, float]]]:
    """For every edge, from ``starts`` to ``ends`` (n, 3), the pieces that no facet hides, as shares of its length.

    Facets are the skins of closed bodies, anticlockwise seen from outside. Those that face away hide nothing that the
    others do not hide, and are passed over.
    """
    hidden: list[list[tuple[float, float]]] = [[] for _ in starts]
    normals = [facet.normal for facet in facets]
    facing = [(f, n) for f, n in zip(facets, normals, strict=True) if n[2] > EDGE_ON * float(np.linalg.norm(n))]
    corners = [np.concatenate(facet.loops) for facet, _ in facing]
    least, most = (np.array([extreme(each, axis=0) for each in corners]).reshape(-1, 3) for extreme in (np.min, np.max))
    (x0, y0, z0), (x1, y1, _) = np.minimum(starts, ends).T, np.maximum(starts, ends).T
    near = (x1 >= least[:, :1]) & (x0 <= most[:, :1]) & (y1 >= least[:, 1:2]) & (y0 <= most[:, 1:2])
    near &= z0 < most[:, 2:] - BEHIND_MM
    alike: dict[tuple[int, ...], list[int]] = {}  # facets with as many corners are looked at together
    for row, (facet, _) in enumerate(facing):
        alike.setdefault(tuple(map(len, facet.loops)), []).append(row)
    for rows in alike.values():
        which, edge = np.nonzero(near[rows])
        loops = [np.array(loop)[which] for loop in zip(*(facing[row][0].loops for row in rows), strict=True)]
        normal = np.array([facing[row][1] for row in rows])[which]
        _hide(hidden, edge, starts[edge], ends[edge] - starts[edge], loops, normal)
    return [_remaining(spans) for spans in hidden]


def _hide(
    hidden: list[list[tuple[float, float]]],
    which: NDArray[np.intp],
    start: Points,
    along: Points,
    loops: Sequence[Points],
    normal: Points,
) -> None:
    """Note on every edge of ``which``, each beside a facet of its own, the spans that this hides.

    Args:
        hidden: Where they are noted, edge by edge.
        which: The edges' numbers, (p,).
        start: Where they start, (p, 3).
        along: From there to their ends, (p, 3).
        loops: The facets' loops, each (p, n, 3).
        normal: Their normals, (p, 3).
    """
    inside = _crossings(start, along, loops)
    # height of the facet's plane over the edge: g0 + g1 t
    g0 = ((loops[0][:, 0] - start) * normal).sum(axis=1) / normal[:, 2]
    g1 = -(along * normal).sum(axis=1) / normal[:, 2]
    with np.errstate(divide="ignore", invalid="ignore"):
        t_level = (BEHIND_MM - g0) / g1
    flat = np.abs(g1) < 1e-12
    first = np.where(flat, np.where(g0 > BEHIND_MM, -np.inf, np.inf), np.where(g1 > 0, t_level, -np.inf))
    last = np.where(flat, np.inf, np.where(g1 > 0, np.inf, t_level))
    first, last = np.maximum(first, 0.0), np.minimum(last, 1.0)
    for k in range(0, inside.shape[1] - 1, 2):
        begin, end = np.maximum(inside[:, k], first), np.minimum(inside[:, k + 1], last)
        for row in np.flatnonzero(end > begin):
            hidden[which[row]].append((float(begin[row]), float(end[row])))


def _crossings(start: Points, along: Points, loops: Sequence[Points]) -> Points:
    """Shares at which the whole lines cross the facet's boundary, sorted along each row, infinite where none is."""
    columns = []
    square = along[:, 0] ** 2 + along[:, 1] ** 2
    point_like = square < 1e-18
    square = np.where(point_like, 1.0, square)
    for loop in loops:
        following = np.concatenate([loop[:, 1:], loop[:, :1]], axis=1)
        side_a = _sides(start, along, loop)
        side_b = np.concatenate([side_a[:, 1:], side_a[:, :1]], axis=1)
        # one rule for corners that lie on the line, so that every loop is crossed an even number of times
        crossed = (side_a >= 0.0) != (side_b >= 0.0)
        share = np.where(crossed, side_a, 0.0) / np.where(crossed, side_a - side_b, 1.0)
        x = loop[..., 0] + (following - loop)[..., 0] * share - start[:, :1]
        y = loop[..., 1] + (following - loop)[..., 1] * share - start[:, 1:2]
        t = (x * along[:, :1] + y * along[:, 1:2]) / square[:, None]
        columns.append(np.where(crossed & ~point_like[:, None], t, np.inf))
    shares: Points = np.sort(np.concatenate(columns, axis=1), axis=1)
    return shares[:, : max(2, int(np.isfinite(shares).sum(axis=1).max(initial=0)))]


def _sides(start: Points, along: Points, corners: Points) -> Points:
    """Cross product of each edge's direction with the way from its start to each corner, in the picture's plane."""
    sides: Points = along[:, :1] * (corners[..., 1] - start[:, 1:2]) - along[:, 1:2] * (corners[..., 0] - start[:, :1])
    return sides


def _remaining(spans: list[tuple[float, float]]) -> list[tuple[float, float]]:
    """What is left of 0..1 when the spans are taken out."""
    left, at = [], 0.0
    for begin, end in sorted(spans):
        if begin > at:
            left.append((at, begin))
        at = max(at, end)
    if at < 1.0:
        left.append((at, 1.0))
    return left


FLAT_RAD = math.radians(7.5)
"""Turn of one flat of a round face."""

SMOOTH_RAD = math.radians(3.0)
"""Edges that meet with less turn than this run smoothly on: no corner is drawn there."""


@dataclass(frozen=True, slots=True)
class DrawnEdge:
    """A straight edge in space, drawn as a line of the class ``kind``.

    ``between`` has the indexes of the two facets beside it when it is drawn only as a silhouette; else None. ``of`` is
    the name of the part that it belongs to, where words may point at it.
    """

    start: Vector
    end: Vector
    kind: str
    between: tuple[int, int] | None = None
    of: str = ""


@dataclass(slots=True)
class Scene:
    """Facets and edges, gathered body by body."""

    facets: list[Facet] = field(default_factory=list)
    edges: list[DrawnEdge] = field(default_factory=list)

    def add_plate(self, plate: Plate) -> None:
        """A plate with its holes and openings."""
        first = len(self.edges)
        self.add_prism(*drawn_out(plate, plate.placement), "edge plate-edge")
        self._belong(first, plate.name)

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

    def add_path(self, path: Chain, placement: Placement, kind: str, of: str = "") -> None:
        """A line in space."""
        flat = [*chords(path, FLAT_RAD), path.end]
        self.edges.extend(DrawnEdge(placement.point(p), placement.point(q), kind, of=of) for p, q in pairwise(flat))

    def _belong(self, first: int, name: str) -> None:
        """Let the edges from the ``first`` on be those of a part."""
        self.edges[first:] = [replace(edge, of=name) for edge in self.edges[first:]]

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
