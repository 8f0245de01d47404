"""The least convex outline about points."""

from collections.abc import Iterable
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.flat.segment import cross

Polygon: TypeAlias = NDArray[np.complex128]
"""Corners in order, anticlockwise."""


def convex_hull(points: Iterable[complex], within_mm: float = 0.0) -> Polygon:
    """The hull of points, anticlockwise, begun at the leftmost (A. M. Andrew's monotone chain, 1979).

    Corners nearer than ``within_mm`` to the one before, or that stand out by no more than about that, are left out.

    >>> convex_hull((0j, 4 + 0j, 2 + 1j, 2 + 0j, 4 + 3j, 3j)).tolist()
    [0j, (4+0j), (4+3j), 3j]
    """
    ordered = sorted(points, key=lambda p: (p.real, p.imag))
    corners: list[complex] = []
    for way in (ordered, ordered[::-1]):
        half: list[complex] = []
        for p in way:
            while len(half) > 1 and cross(half[-1] - half[-2], p - half[-1]) <= within_mm * abs(p - half[-2]):
                half.pop()
            if not half or abs(p - half[-1]) > within_mm:
                half.append(p)
        corners += half[:-1]
    return np.array(corners, dtype=np.complex128)
