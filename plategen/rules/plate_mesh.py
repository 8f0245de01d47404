"""A graded triangle mesh of a plate whose edge points lie exactly on its lines and arcs.

Why our own: the plate is a few lines and arcs, so a quadtree of inside points, refined towards the pin hole and graded
so that neighbours differ little, with edge points spaced to match, and a Delaunay triangulation of both, is a good mesh
in a page of code; general meshers are larger than the rest of this project and bring licences of their own. A mesh
that misses its outline is refused: its area must equal that of the polygon of its edge points.
"""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Segment
from plategen.ground.message import Quantity, message
from plategen.ground.refusal import Refusal

Floats: TypeAlias = NDArray[np.float64]
Ints: TypeAlias = NDArray[np.int64]
"""Numbers and indexes in arrays."""

GRADING = 0.25
"""How much the size of the triangles may grow for each millimetre away from a hole."""

SMOOTHINGS = 4
"""Rounds of moving inside points to the middle of their neighbours."""


@dataclass(frozen=True, slots=True)
class PlateMesh:
    """Points and triangles of a plate."""

    points: Floats  # Corners, two columns, mm.
    triangles: Ints  # Three corners each, anticlockwise.
    # For every edge of the plate, outline first, then each opening and hole: its pairs of neighbouring corners.
    rims: tuple[tuple[tuple[int, int], ...], ...]
    # The circle each rim edge belongs to, centre and radius, or None for a straight one; same shape as rims.
    curves: tuple[tuple[tuple[complex, float] | None, ...], ...]


def mesh_plate(
    outline: Loop, openings: Sequence[Loop], holes: Sequence[Circle], size_mm: float, hole_share: float
) -> PlateMesh:
    """Mesh a plate.

    Args:
        outline: Its outline.
        openings: Other cut-outs.
        holes: Round holes.
        size_mm: Largest size of a triangle.
        hole_share: Size of the triangles at a hole, as a share of its radius.

    Raises:
        Refusal: The mesh does not fill the plate, because edges lie closer together than ``size_mm`` can follow.
    """
    from scipy.spatial import Delaunay  # the mesh is an extra; nothing else here needs it

    def size(at: NDArray[np.complex128]) -> Floats:
        sizes: Floats = np.full(at.shape, size_mm)
        for hole in holes:
            away = np.maximum(0.0, np.abs(at - hole.centre) - hole.radius)
            sizes = np.minimum(sizes, hole.radius * hole_share + GRADING * away)
        return sizes

    loops = [_walk(tuple(outline), size)]
    loops += [_walk(tuple(opening), size) for opening in openings]
    loops += [_walk(hole.segments, size) for hole in holes]
    corners = [np.array([point for point, _ in walked], dtype=np.complex128) for walked in loops]
    edge = np.concatenate(corners)
    inside = _quadtree(outline, size)
    inside = inside[_within(inside, corners)]
    near = np.min(np.abs(inside[:, None] - edge[None, :]), axis=1)
    inside = inside[near > 0.6 * size(inside)]
    for left in range(SMOOTHINGS, -1, -1):
        every = np.concatenate([edge, inside])
        triangles = _kept(Delaunay(_columns(every)).simplices, every, corners)
        if left:
            inside = _smoothed(every, len(edge), triangles)
    _refuse_gaps(every, triangles, corners)
    rims, curves, first = [], [], 0
    for walked in loops:
        count = len(walked)
        rims.append(tuple((first + i, first + (i + 1) % count) for i in range(count)))
        curves.append(tuple(curve for _, curve in walked))
        first += count
    return PlateMesh(_columns(every), triangles, tuple(rims), tuple(curves))


def _walk(
    segments: Sequence[Segment], size: Callable[[NDArray[np.complex128]], Floats]
) -> list[tuple[complex, tuple[complex, float] | None]]:
    """Points round a loop, spaced by ``size``, each with the circle that the edge after it lies on."""
    points: list[tuple[complex, tuple[complex, float] | None]] = []
    for segment in segments:
        fine = 200
        middles = np.array([segment.point((i + 0.5) / fine) for i in range(fine)])
        count = np.concatenate([[0.0], np.cumsum(segment.length / fine / size(middles))])
        pieces = max(1, math.ceil(float(count[-1])))
        if isinstance(segment, Arc):
            pieces = max(pieces, math.ceil(abs(segment.sweep_rad) / math.radians(15.0)))
        shares = np.interp(np.linspace(0.0, float(count[-1]), pieces + 1), count, np.linspace(0.0, 1.0, fine + 1))
        curve = (segment.centre, segment.radius) if isinstance(segment, Arc) else None
        points.extend((segment.point(float(share)), curve) for share in shares[:-1])
    return points


def _quadtree(outline: Loop, size: Callable[[NDArray[np.complex128]], Floats]) -> NDArray[np.complex128]:
    """Middles of the squares that result when every square larger than ``size`` there is quartered."""
    left, low, right, high = outline.bounds
    width = max(right - left, high - low)
    level = np.array([complex((left + right) / 2, (low + high) / 2)])
    done: list[NDArray[np.complex128]] = []
    while len(level):
        large = width > size(level)
        done.append(level[~large])
        level = (level[large][:, None] + width / 4 * np.array([1 + 1j, 1 - 1j, -1 + 1j, -1 - 1j])).ravel()
        width /= 2
    return np.concatenate(done)


def _within(points: NDArray[np.complex128], corners: Sequence[NDArray[np.complex128]]) -> NDArray[np.bool_]:
    """Which points lie inside the first polygon and outside the others (a ray to the right crosses oddly)."""
    crossings: NDArray[np.int64] = np.zeros(len(points), dtype=np.int64)
    for polygon in corners:
        start, end = polygon, np.roll(polygon, -1)
        rises = (start.imag[None, :] > points.imag[:, None]) != (end.imag[None, :] > points.imag[:, None])
        with np.errstate(divide="ignore", invalid="ignore"):
            share = (points.imag[:, None] - start.imag) / (end.imag - start.imag)
            cross = start.real + share * (end.real - start.real)
        crossings += (rises & (cross > points.real[:, None])).sum(axis=1)
    inside: NDArray[np.bool_] = crossings % 2 == 1
    return inside


def _kept(
    triangles: NDArray[np.int32], every: NDArray[np.complex128], corners: Sequence[NDArray[np.complex128]]
) -> Ints:
    """The triangles inside the plate, anticlockwise."""
    a, b, c = (every[triangles[:, i]] for i in range(3))
    area = ((b - a).conjugate() * (c - a)).imag / 2
    keep = _within((a + b + c) / 3, corners) & (np.abs(area) > 1e-12 * np.abs(b - a) ** 2)
    kept: Ints = np.where((area > 0)[:, None], triangles, triangles[:, ::-1])[keep].astype(np.int64)
    return kept


def _smoothed(every: NDArray[np.complex128], edges: int, triangles: Ints) -> NDArray[np.complex128]:
    """Inside points, those after the first ``edges``, moved to the mean of their neighbours."""
    total, count = np.zeros(len(every), dtype=np.complex128), np.zeros(len(every))
    for i in range(3):
        for j in range(3):
            if i != j:
                np.add.at(total, triangles[:, i], every[triangles[:, j]])
                np.add.at(count, triangles[:, i], 1.0)
    moved: NDArray[np.complex128] = (total / np.maximum(count, 1.0))[edges:]
    return moved


def _refuse_gaps(every: NDArray[np.complex128], triangles: Ints, corners: Sequence[NDArray[np.complex128]]) -> None:
    a, b, c = (every[triangles[:, i]] for i in range(3))
    meshed = float(((b - a).conjugate() * (c - a)).imag.sum()) / 2
    areas = [abs(float((p.conjugate() * np.roll(p, -1)).imag.sum())) / 2 for p in corners]
    wanted = areas[0] - sum(areas[1:])
    if abs(meshed - wanted) > 1e-6 * wanted:
        words = (
            "edges of the plate lie too close together to be checked in small pieces, which cover {} of its {}; "
            "without --elements is right"
        )
        raise Refusal(message(words, Quantity(meshed, "mm2"), Quantity(wanted, "mm2")), "elements")


def _columns(points: NDArray[np.complex128]) -> Floats:
    return np.column_stack([points.real, points.imag])
