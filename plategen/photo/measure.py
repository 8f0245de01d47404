"""A piece measured: its edges in plan from one or several photographs, and how each may be out.

An error of camera or pages moves every point at once, one of the light all edges outward, one side or some centimetres
of it, one of the reading a point alone. They are kept apart until it is known what is read off the points:
``Ring.errors`` gives those that move every point, each by one standard deviation, ``side_mm`` a side's, ``shared_mm`` a
stretch's (a side's among it), ``error_mm`` a point's.
"""

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from plategen.ground.message import Message
from plategen.photo.adjust import A_LITTLE, Adjusted
from plategen.photo.beside import BESIDE_MM, beside_edge, of_piece, on_floor, shadow_doubt, unlike_pages
from plategen.photo.blur import coarse_doubt, printed_blur_px
from plategen.photo.camera import Floats, View
from plategen.photo.edge import COARSE_MM, Edge, edge
from plategen.photo.region import openings, region, signed_area
from plategen.photo.thickness import thickness_doubt

Complexes = NDArray[np.complex128]
"""Points of the floor, in mm."""

THICKNESS_SHARE, THICKNESS_MM = 0.03, 0.08
"""One standard deviation of a thickness told: of sheet and card by their rolling or pressing, and of reading it (common
practice, no source)."""

SCALE = 0.002
"""One standard deviation of the scale at which a printer draws (common practice, no source)."""

LIKE_A_LENS = 0.5
"""An opening is nearer to a lens than to a circle by this: two circles of one size, apart by what a wall shows."""

BAR_ERROR_MM = 0.15
"""One standard deviation of measuring a printed bar by rule (common practice, no source)."""

PLATE_MM = (9.0, 9.0)
"""How far inside and outside the region's outline a plate's edge is looked for: a hole may lie close inside."""

JUMP_MM, ISLAND_MM = 1.0, 40.0
"""A step of the edge beyond its points' own spacing, and how long a stretch between two such steps is doubted."""

HIDDEN, BETWEEN, BACK = 5, 2, 12
"""Beside so many points in a row that were not seen, but for a few between them, the last number on each side are
doubted: they were looked at together with those."""

ALIKE_MM = 0.1
"""What the views' own errors weigh beside the reading's when pictures are brought together."""


@dataclass(frozen=True, slots=True)
class Bar:
    """A printed length that was measured."""

    own_mm: float  # What it is where the print is true: a check bar, or the whole board.
    there_mm: float  # What it measures.

    @property
    def share(self) -> float:
        """Size of the print as a share of the true one."""
        return self.there_mm / self.own_mm


@dataclass(frozen=True, slots=True, eq=False)
class Ring:
    """A closed edge in plan, anticlockwise round an outline and clockwise round a hole."""

    points: Complexes  # (n,)
    outward: Complexes  # (n,): unit normals, away from the piece.
    error_mm: Floats  # (n,): one standard deviation along the normal, of the reading alone.
    shared_mm: Floats  # (n,): the same, of what points within a few centimetres have in common.
    side_mm: Floats  # (n,): the same, of what all points of a side have in common.
    seen: NDArray[np.bool_]  # (n,): whether an edge was seen at all.
    told: NDArray[np.bool_]  # (n,): whether it was seen, and nothing there speaks against its being the piece's.
    good: NDArray[np.bool_]  # (n,): the same, and nothing beside it either.
    near_rim: NDArray[np.bool_]  # (n,): whether a picture shows it near its own edge.
    errors: Complexes  # (k, n): how each independent error of views, scale, thickness and light moves the points.
    thicker: Complexes  # (n,): how a mm more of thickness moves them.


@dataclass(frozen=True, slots=True, eq=False)
class Measured:
    """A piece's outline and holes."""

    outline: Ring
    holes: tuple[Ring, ...]
    blur_px: float
    scale: float  # True mm in a mm of the adjusted floor.
    picture: int  # Which picture shows it best.
    doubts: tuple[Message, ...]  # What the photographs say against what was told.


def measured(adjusted: Adjusted, thickness_mm: float, printed: Bar | None = None, holes: bool = False) -> Measured:
    """The piece that the photographs show.

    Args:
        adjusted: Cameras and pages.
        thickness_mm: How high its face lies above the floor.
        printed: A printed bar that was measured; None if nobody measured one.
        holes: Whether its holes are measured as well.

    Raises:
        Refusal: There is no piece, more than one, or it runs out of the picture.
    """
    scale = 1.0 if printed is None else printed.share
    height = thickness_mm / scale
    best = int(np.argmax([len(s.page) for s in adjusted.sightings]))
    found, floor = region(adjusted, best, height)
    spread_mm = (THICKNESS_SHARE * thickness_mm + THICKNESS_MM) / scale
    scale_error = SCALE if printed is None else BAR_ERROR_MM / printed.own_mm
    varied = list(adjusted.errors())
    sighting, view = adjusted.sightings[best], adjusted.views[best]
    outlines = [(found, PLATE_MM if holes else COARSE_MM)]
    if holes:
        outlines += [(hole, _within(hole)) for hole in openings(sighting.picture, view, found, height)]
    rings, blurs = [], []
    doubts: list[Message | None] = list(adjusted.doubts)
    blur_px = [printed_blur_px(adjusted, picture) for picture in range(len(adjusted.sightings))]
    for outline, reach in outlines:
        edges = [
            edge(seen.picture, view, outline, height, reach, blur, shaded=outline is found)
            for seen, view, blur in zip(adjusted.sightings, adjusted.views, blur_px, strict=True)
        ]
        ring = _together(adjusted, edges, best, height, spread_mm, scale, scale_error, varied)
        if outline is found:  # through a hole a wall is seen, and its shadow
            doubts.append(thickness_doubt(adjusted, edges, best, scale, thickness_mm, spread_mm * scale))
            inside = beside_edge(adjusted, best, edges[best], -BESIDE_MM, height)
            own = on_floor(adjusted, best, edges[best], height, floor) & of_piece(inside)
            doubts.append(shadow_doubt(inside[ring.told & own], floor))
            doubts.append(coarse_doubt(edges[best].coarse_mm * scale))
            ring = replace(ring, told=ring.told & own)
        elif _is_lens(edges[best].points_mm, view, height):
            ring = replace(ring, told=np.zeros(len(ring.points), bool))
        rings.append(replace(ring, good=_drawn_back(_without_islands(ring.points / scale, ring.told))))
        blurs.append(edges[best].blur_px)
    return Measured(rings[0], tuple(rings[1:]), blurs[0], scale, best, tuple(filter(None, doubts)))


def _within(hole: Floats) -> tuple[float, float]:
    """How far inside the piece and into a hole its edge is looked for."""
    across = math.sqrt(abs(signed_area(hole)) / math.pi)
    return 4.0, min(4.0, 0.6 * across)


def _is_lens(rim: Floats, view: View, height: float) -> bool:
    """Whether what was followed is the floor seen through a round hole: its far wall was taken for the face."""
    middle = rim.mean(0, keepdims=True)
    shift = (view.to_floor(view.to_pixels(middle, 0.0), height) - middle)[0]  # of the lower rim
    wide = float(np.linalg.norm(shift))
    along = shift / max(wide, 1e-9)
    length, breadth = (float(np.ptp(rim @ way)) for way in (along, np.array([-along[1], along[0]])))
    return abs(length + wide - math.hypot(breadth, wide)) < LIKE_A_LENS * abs(length - breadth)


def _together(
    adjusted: Adjusted, edges: list[Edge], best: int, height: float, spread_mm: float, scale: float,
    scale_error: float, varied: list[tuple[View, ...]],
) -> Ring:  # fmt: skip
    """One edge out of every picture's."""
    base = edges[best]
    places = [base.points_mm if k == best else _beside(base, each) for k, each in enumerate(edges)]
    weights = np.stack(
        [
            (base.good if k == best else _near(base, each)) / (base.error_mm**2 + ALIKE_MM**2)
            for k, each in enumerate(edges)
        ]
    )
    seen = weights.sum(0) > 0.0
    weights = np.where(seen, weights / np.maximum(weights.sum(0), 1e-12), np.eye(len(edges))[best][:, None])
    seen &= unlike_pages(adjusted, best, base, height)
    points = sum(w[:, None] * at for w, at in zip(weights, places, strict=True))
    pixels = [view.to_pixels(at, height) for view, at in zip(adjusted.views, places, strict=True)]

    def plan(views: tuple[View, ...], height: Floats | float) -> Complexes:
        at = sum(w[:, None] * view.to_floor(px, height) for w, view, px in zip(weights, views, pixels, strict=True))
        return np.asarray(at[:, 0] + 1j * at[:, 1])

    z = plan(adjusted.views, height)
    moves = [(plan(views, height) - z) / A_LITTLE for views in varied]
    thicker = (plan(adjusted.views, height + 1.0) - z) * (1.0 - base.from_lower)
    outward: Complexes = base.outward[:, 0] + 1j * base.outward[:, 1]
    moves += [spread_mm * thicker, scale_error * (z - z.mean()), base.common_mm * outward]
    rim = np.zeros(len(z), bool)
    for seen_by, px in zip(adjusted.sightings, pixels, strict=True):
        size = np.array(seen_by.picture.pixels.shape[1::-1])
        rim |= ((px < 0.08 * size) | (px > 0.92 * size)).any(1)
    whole = np.asarray(points)
    error = base.error_mm / np.sqrt(np.maximum(1.0, 1.0 / np.maximum((weights**2).sum(0), 1e-9)))
    return Ring(
        points=scale * (whole[:, 0] + 1j * whole[:, 1]),
        outward=outward,
        error_mm=scale * error,
        shared_mm=scale * base.shared_mm,
        side_mm=scale * base.side_mm,
        seen=seen,
        told=seen,
        good=seen,
        near_rim=rim,
        errors=scale * np.stack(moves),
        thicker=thicker,
    )


def _without_islands(z: Complexes, seen: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """What was seen, without short stretches that stand apart: the rim of something else was followed there."""
    where = np.flatnonzero(seen)
    if len(where) < 2:
        return seen
    jumps = np.flatnonzero(
        np.abs(z[where] - np.roll(z[where], 1)) > JUMP_MM + np.abs(where - np.roll(where, 1)) % len(z)
    )
    kept = seen.copy()
    for a, b in zip(jumps, [*jumps[1:], *(jumps[:1] + len(where))], strict=True):
        if len(jumps) > 1 and b - a < ISLAND_MM:
            kept[where[np.arange(a, b) % len(where)]] = False
    return kept


def _drawn_back(seen: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """What was seen, without what lies beside a stretch that was not: what hid that reaches a little farther."""
    if seen.all() or not seen.any():
        return seen
    first = int(np.flatnonzero(seen)[0])
    turned = np.roll(seen, -first)
    bounds = np.flatnonzero(np.diff(np.concatenate([turned, [True]]).astype(int))) + 1
    bounds = bounds[np.concatenate([[True], np.repeat(np.diff(bounds)[1::2] > BETWEEN, 2), [True]])]
    kept = turned.copy()
    for hidden, shown in zip(bounds[::2], bounds[1::2], strict=True):
        if shown - hidden >= HIDDEN:
            kept[np.arange(hidden - BACK, shown + BACK) % len(kept)] = False
    return np.roll(kept, first)


def _foot(base: Edge, other: Edge) -> NDArray[np.intp]:
    from scipy.spatial import cKDTree

    return np.asarray(cKDTree(other.points_mm).query(base.points_mm)[1])


def _beside(base: Edge, other: Edge) -> Floats:
    """The other picture's edge on the base's normals, (n, 2)."""
    near = _foot(base, other)
    off = np.einsum("ij,ij->i", other.points_mm[near] - base.points_mm, other.outward[near])
    facing = np.einsum("ij,ij->i", base.outward, other.outward[near])
    return np.asarray(base.points_mm + (off / np.where(np.abs(facing) < 0.5, np.inf, facing))[:, None] * base.outward)


def _near(base: Edge, other: Edge) -> NDArray[np.bool_]:
    """Whether the other picture shows an edge there as well, within a millimetre."""
    near = _foot(base, other)
    return np.asarray(other.good[near] & (np.linalg.norm(other.points_mm[near] - base.points_mm, axis=1) < 1.5))
