"""Vectors of three in plain numpy, shaped (..., 3): the few operations every file of this room needs, named once.

Each part of many vectors lies in one row of memory (:func:`of_parts`), as what is done is done part by part.
"""

from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Point: TypeAlias = tuple[float, float, float]
"""Vectors in an array, and one as plain floats."""

UP = np.array([0.0, 0.0, 1.0])
FORWARD = np.array([1.0, 0.0, 0.0])
LEFT = np.array([0.0, 1.0, 0.0])
"""Directions of the vehicle frame."""


def array(point: Sequence[float] | Floats) -> Floats:
    """A point as a float array of shape (..., 3)."""
    return np.asarray(point, dtype=np.float64)


def as_point(vector: Floats) -> Point:
    """An array of shape (3,) as three plain floats."""
    x, y, z = (float(c) for c in vector)
    return (x, y, z)


def of_parts(x: Floats, y: Floats, z: Floats) -> Floats:
    """Vectors from their three parts, (..., 3) for (...) each, one part after the other in memory."""
    parts = np.empty((3, *np.shape(x)))
    parts[0], parts[1], parts[2] = x, y, z
    return parts.T if parts.ndim <= 2 else np.moveaxis(parts, 0, -1)


def dot(a: Floats, b: Floats) -> Floats:
    """Scalar product along the last axis, written out: ``sum`` is slow over three; the leading shapes broadcast."""
    return np.asarray(a[..., 0] * b[..., 0] + a[..., 1] * b[..., 1] + a[..., 2] * b[..., 2])


def cross(a: Floats, b: Floats) -> Floats:
    """Vector product along the last axis, written out: ``numpy.cross`` spends more on its axes than on its sums."""
    ax, ay, az = a[..., 0], a[..., 1], a[..., 2]
    bx, by, bz = b[..., 0], b[..., 1], b[..., 2]
    return of_parts(ay * bz - az * by, az * bx - ax * bz, ax * by - ay * bx)


def length(a: Floats) -> Floats:
    """Euclidean length along the last axis."""
    return np.asarray(np.sqrt(dot(a, a)))


def unit(a: Floats) -> Floats:
    """The same direction with length 1. The caller has made sure that no length is zero."""
    return np.asarray(a / length(a)[..., None])


def turned(vector: Floats, axis: Floats, angle_rad: Floats | float) -> Floats:
    """``vector`` turned about the unit ``axis`` by each angle, (n, 3) for (n,), (3,) for a float; either may be (n, 3).

    The vector is split into its part along the axis, which stays, and its part across, which runs round a circle:
    v(t) = v_along + v_across cos t + (axis x v) sin t (Rodrigues).
    """
    along = axis * dot(axis, vector)[..., None]
    across = vector - along
    return round_circle(along, across, cross(axis, vector), np.cos(angle_rad), np.sin(angle_rad))


def round_circle(centre: Floats, e: Floats, f: Floats, cos: Floats, sin: Floats) -> Floats:
    """Points of a circle, centre + e cos t + f sin t, at each angle t, by its cosine and sine: (n, 3) for (n,)."""
    x, y, z = (centre[..., k] + e[..., k] * cos + f[..., k] * sin for k in range(3))
    return of_parts(x, y, z)


def unwrapped(angle_rad: Floats) -> Floats:
    """Angles without the jumps of a whole turn along the last axis, as ``numpy.unwrap`` gives; few have any."""
    steps = np.abs(np.diff(angle_rad, axis=-1))
    return angle_rad if bool((steps < np.pi).all()) else np.unwrap(angle_rad, axis=-1)


def bearing_rad(direction: Floats) -> Floats:
    """Where directions point, seen from above: from vehicle forward, to the left positive, (...) for (..., 3)."""
    return np.asarray(np.arctan2(direction[..., 1], direction[..., 0]))


def angle_between(a: Floats, b: Floats) -> Floats:
    """Angle between two directions, 0 to pi; exact for small angles too, where an arc cosine is not."""
    return np.asarray(np.arctan2(length(cross(a, b)), dot(a, b)))


def square_to(direction: Floats) -> tuple[Floats, Floats]:
    """Two unit vectors square to a unit ``direction`` (..., 3): the first level and to the left of it, the second
    upwards.

    ``across = up x direction``, ``upwards = direction x across``. Where the direction is upright, vehicle forward takes
    up's place.
    """
    across = unit(_beside(direction, direction))
    return across, cross(direction, across)


def square_to_rates(direction: Floats, rate: Floats) -> tuple[Floats, Floats]:
    """How the two vectors of :func:`square_to` move when the unit ``direction`` moves at ``rate``, (..., 3) each."""
    beside = _beside(direction, direction)
    size = length(beside)[..., None]
    across, moved = beside / size, _beside(rate, direction) / size
    across_rate = moved - across * dot(across, moved)[..., None]
    return across_rate, cross(rate, across) + cross(direction, across_rate)


def _beside(vector: Floats, direction: Floats) -> Floats:
    """Up x a vector, or forward x it where the direction is upright."""
    x, y, z = vector[..., 0], vector[..., 1], vector[..., 2]
    upright = np.maximum(np.abs(direction[..., 0]), np.abs(direction[..., 1])) < 1e-9
    if not bool(upright.any()):
        return of_parts(-y, x, np.zeros_like(z))
    return of_parts(np.where(upright, 0.0, -y), np.where(upright, -z, x), np.where(upright, y, 0.0))
