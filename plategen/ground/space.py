"""Vectors of three plain floats, one at a time, where calling numpy would cost more than the sums."""

import math
from typing import TypeAlias

Vector: TypeAlias = tuple[float, float, float]
"""A point or a direction in space."""


def dot(a: Vector, b: Vector) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Vector, b: Vector) -> Vector:
    """Vector product."""
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def minus(a: Vector, b: Vector) -> Vector:
    """From ``b`` to ``a``."""
    return (a[0] - b[0], a[1] - b[1], a[2] - b[2])


def unit(a: Vector) -> Vector:
    """The vector of length 1 along ``a``."""
    size = math.sqrt(dot(a, a))
    return (a[0] / size, a[1] / size, a[2] / size)


def mixed(a: Vector, x: float, b: Vector, y: float) -> Vector:
    """X a + y b."""
    return (a[0] * x + b[0] * y, a[1] * x + b[1] * y, a[2] * x + b[2] * y)
