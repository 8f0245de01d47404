"""Flat bodies in space, plates and what is on the rail alike: a contour drawn out along its plane's normal."""

import math
from bisect import insort
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import cast

import numpy as np

from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Contour
from plategen.flat.placement import Placement
from plategen.ground.space import Vector, dot, minus

_START_MM = 10.0
"""How far apart the places lie from which the nearest ones of two bodies are sought."""

_BEST, _ROUNDS = 3, 40
_SETTLED_MM = 1e-6
"""How many of those places are followed, how often at most, and when a distance has settled."""


@dataclass(frozen=True, slots=True)
class Prism:
    """A contour in the plane of a placement, drawn out along its normal; what is cut out of it."""

    outline: Contour
    placement: Placement
    thickness_mm: float
    cut_out: tuple[Contour, ...] = ()

    @property
    def corners(self) -> list[Vector]:
        """The corners in space of the box round it in its own plane."""
        u0, v0, u1, v1 = self.outline.bounds
        flat = (complex(u0, v0), complex(u1, v0), complex(u1, v1), complex(u0, v1))
        return [self.placement.point(p, depth) for p in flat for depth in (0.0, self.thickness_mm)]

    def nearest(self, q: Vector) -> Vector:
        """The point of the body that is nearest to a point of space: that point itself where it lies within."""
        place = self.placement
        flat, depth = place.flat(q), dot(place.normal, minus(q, place.origin))
        depth = min(max(depth, 0.0), self.thickness_mm)
        gone = next((hole for hole in self.cut_out if inside(hole, flat)), None)
        edge = gone if gone is not None else None if inside(self.outline, flat) else self.outline
        return place.point(flat if edge is None else _on(edge, flat), depth)

    def box_distances(self, points: Sequence[Vector]) -> list[float]:
        """Distances of points of space from the box round the body in its own plane: none is nearer to the body."""
        place, (u0, v0, u1, v1) = self.placement, self.outline.bounds
        own = (np.array(points) - place.origin) @ np.array((place.u, place.v, place.normal)).T
        beyond = np.maximum(np.maximum((u0, v0, 0.0) - own, own - (u1, v1, self.thickness_mm)), 0.0)
        return cast(list[float], np.sqrt((beyond**2).sum(axis=1)).tolist())

    def starts(self) -> Iterator[Vector]:
        """Places all over it, no further apart than some millimetres along its edges."""
        u0, v0, u1, v1 = self.outline.bounds
        middle = complex((u0 + u1) / 2, (v0 + v1) / 2)
        flats = [middle]
        for edge in self.outline.segments:
            count = max(1, math.ceil(edge.length / _START_MM))
            flats += [edge.point(k / count) for k in range(count)]
        flats += [(p + middle) / 2 for p in flats[1:]]
        for depth in {0.0, self.thickness_mm / 2, self.thickness_mm}:
            yield from (self.placement.point(p, depth) for p in flats)


@lru_cache(maxsize=64)
def room_between(one: Prism, other: Prism) -> float:
    """Least distance between two bodies, mm; 0 where they meet.

    Sought from places all over the first: by turns the nearest point of the one and of the other, from the few places
    that are nearest. Between convex bodies that is the least distance; a body that is not convex is followed from
    several sides.
    """
    starts: list[tuple[float, Vector]] = []
    places = list(one.starts())
    for least, p in sorted(zip(other.box_distances(places), places, strict=True)):
        if len(starts) >= _BEST and least > starts[_BEST - 1][0]:
            break  # neither this place nor any after it is among the nearest
        insort(starts, (math.dist(p, other.nearest(p)), p))
    best = starts[0][0]
    for _, p in starts[:_BEST]:
        before = math.inf
        for _ in range(_ROUNDS):
            q = other.nearest(p)
            apart = math.dist(p, q)
            if before - apart < _SETTLED_MM:
                break
            before, p = apart, one.nearest(q)
        best = min(best, apart)
    return best


def far_apart(one: Sequence[Vector], other: Sequence[Vector]) -> float:
    """A distance that two bodies about these points are apart at least: that of the balls about them."""
    return max(0.0, math.dist(*(_ball(points)[0] for points in (one, other))) - _ball(one)[1] - _ball(other)[1])


def _ball(points: Sequence[Vector]) -> tuple[Vector, float]:
    middle = tuple(sum(axis) / len(points) for axis in zip(*points, strict=True))
    return middle, max(math.dist(middle, p) for p in points)


def _on(edge: Contour, p: complex) -> complex:
    """The nearest point of a contour."""
    if isinstance(edge, Circle):
        away = p - edge.centre
        return edge.centre + (away / abs(away) if away else 1.0) * edge.radius
    return min((s.point(s.nearest(p)) for s in edge.segments), key=lambda q: abs(q - p))
