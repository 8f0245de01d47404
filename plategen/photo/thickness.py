"""Whether a piece is as thick as it was said to be: photographs from two places agree of its edge at one height only.

A face that is thought too low lies, as each camera sees it, a little away from that camera; where the cameras stand
apart their edges part.
"""

import math
from dataclasses import dataclass

import numpy as np

from plategen.ground.message import Message, message, mm
from plategen.photo.adjust import A_LITTLE, Adjusted
from plategen.photo.camera import Floats, View
from plategen.photo.edge import Edge

REACH_MM = 8.0
"""Two pictures' edges farther apart than this show different things."""

ALIKE = 10.0
"""So many neighbouring points share their error: they are ten millimetres of edge."""

CERTAIN = 3.0
"""A thickness is wrong that lies so many standard deviations from the one told."""

LEAST_POINTS = 60
"""From fewer points that pictures share nothing is said."""


@dataclass(frozen=True, slots=True, eq=False)
class Parallax:
    """How two pictures' edges part at the height told, point by point, along the first one's normals."""

    apart_mm: Floats  # (n,)
    by_height: Floats  # (n,): how that changes in a mm of height.
    by_error: Floats  # (k, n): how each independent error of the views changes it.
    weight: Floats  # (n,)

    @classmethod
    def of(
        cls, views: tuple[View, View], edges: tuple[Edge, Edge], varied: list[tuple[View, View]], height: float
    ) -> "Parallax":
        """The parallax of an edge in two pictures, from where both show it well."""
        from scipy.spatial import cKDTree

        first, second = edges
        away, foot = cKDTree(second.points_mm).query(first.points_mm)
        both = first.good & second.good[foot] & (away < REACH_MM)
        both &= np.einsum("ij,ij->i", first.outward, second.outward[foot]) > math.cos(math.radians(20.0))
        foot, normal = foot[both], first.outward[both]
        at = (first.points_mm[both], second.points_mm[foot])
        pixels = [view.to_pixels(points, height) for view, points in zip(views, at, strict=True)]
        upper = (1.0 - first.from_lower[both], 1.0 - second.from_lower[foot])

        def moves(of: tuple[View, View], lift: float) -> Floats:
            one, two = (
                np.einsum("ij,ij->i", view.to_floor(px, height + lift) - points, normal)
                for view, px, points in zip(of, pixels, at, strict=True)
            )
            return np.asarray(two * upper[1] - one * upper[0] if lift else two - one)

        error = first.error_mm[both] ** 2 + second.error_mm[foot] ** 2
        return cls(
            apart_mm=np.einsum("ij,ij->i", at[1] - at[0], normal),
            by_height=moves(views, 1.0),
            by_error=np.array([moves(of, 0.0) for of in varied]).reshape(len(varied), -1) / A_LITTLE,
            weight=1.0 / error,
        )


def thickness_doubt(
    adjusted: Adjusted, edges: list[Edge], best: int, scale: float, told_mm: float, spread_mm: float
) -> Message | None:
    """What several photographs say against a thickness; None if they bear it out, or cannot tell.

    Args:
        adjusted: Cameras and pages.
        edges: The piece's outline in each picture, found at the height told.
        best: The picture that the others are compared with.
        scale: True mm in a mm of the adjusted floor.
        told_mm: The thickness.
        spread_mm: One standard deviation of what it may be out by.
    """
    varied = list(adjusted.errors())
    pairs = [
        Parallax.of(
            (adjusted.views[best], adjusted.views[k]),
            (edges[best], edges[k]),
            [(views[best], views[k]) for views in varied],
            told_mm / scale,
        )
        for k in range(len(edges))
        if k != best
    ]
    if not pairs or sum(len(pair.apart_mm) for pair in pairs) < LEAST_POINTS:
        return None
    apart, slope, weight = (
        np.concatenate([getattr(pair, name) for pair in pairs]) for name in ("apart_mm", "by_height", "weight")
    )
    errors = np.concatenate([pair.by_error for pair in pairs], axis=1)
    thicker = 0.0
    for _ in range(8):  # what one picture followed and the other did not counts less and less (Huber)
        off = np.abs(apart + thicker * slope)
        limit = 3.0 * max(float(np.median(off)), 0.02)
        held = weight * np.minimum(1.0, limit / np.maximum(off, 1e-9))
        known = float((held * slope**2).sum())
        thicker = -float((held * slope * apart).sum()) / max(known, 1e-12)
    squares = (errors @ (held * slope) / max(known, 1e-12)) ** 2
    sigma = scale * math.sqrt(float(squares.sum()) + ALIKE / max(known, 1e-12))
    if abs(scale * thicker) <= CERTAIN * math.hypot(sigma, spread_mm):
        return None
    return message(
        "the photographs agree at a thickness of {}, not {}; measure it and read them again, or nothing here holds",
        mm(max(0.0, told_mm + scale * thicker)),
        mm(told_mm),
    )
