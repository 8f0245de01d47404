"""The face on which two plates lie on each other: the least convex outline about what their outlines share."""

import math

import numpy as np
from numpy.typing import NDArray

from plategen.flat.convex import convex_hull
from plategen.flat.loop import Loop

_STEP_RAD = math.pi / 12
"""Turn between the corners that stand for an arc: they lie on it, so the face is no larger than it is."""

SAME_MM = 1e-6
"""Corners nearer than this are one."""

_INWARD = 1e-7
"""Share by which corners are drawn towards the middle, so that those on a shared edge count as within."""


def shared_face(one: Loop, other: Loop, middle: complex) -> list[complex]:
    """Corners of the least convex outline about what two outlines share, anticlockwise; arcs by corners upon them.

    Args:
        one: An outline.
        other: An outline.
        middle: A point within both.

    >>> from plategen.flat.segment import Line
    >>> def box(low, high):
    ...     corners = [complex(low, 0), complex(high, 0), complex(high, 2), complex(low, 2)]
    ...     return Loop(tuple(Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1])))
    >>> [complex(round(p.real, 6), round(p.imag, 6)) for p in shared_face(box(0, 3), box(1, 5), 2 + 1j)]
    [(1+0j), (3+0j), (3+2j), (1+2j)]
    """
    a, b = (middle + (_corners(loop) - middle) * (1.0 - k * _INWARD) for k, loop in enumerate((one, other)))
    held = [*a[_within(a, middle, b)].tolist(), *b[_within(b, middle, a)].tolist(), *_meetings(a, b)]
    corners: list[complex] = convex_hull(held, SAME_MM).tolist()
    return corners


def _corners(loop: Loop) -> NDArray[np.complex128]:
    pieces = ((edge, math.ceil(abs(edge.sweep_rad) / _STEP_RAD) or 1) for edge in loop)
    return np.array([edge.point(k / count) for edge, count in pieces for k in range(count)], dtype=np.complex128)


def _within(points: NDArray[np.complex128], middle: complex, corners: NDArray[np.complex128]) -> NDArray[np.bool_]:
    """Which points, drawn a hair towards the middle, lie within a polygon: a ray crosses it an odd time."""
    p = (middle + (points - middle) * (1.0 - 3.0 * _INWARD))[:, None]
    start, end = corners, np.roll(corners, -1)
    spans = (start.imag <= p.imag) != (end.imag <= p.imag)
    with np.errstate(divide="ignore", invalid="ignore"):
        at = start.real + (p.imag - start.imag) / (end.imag - start.imag) * (end.real - start.real)
    within: NDArray[np.bool_] = (spans & (at > p.real)).sum(axis=1) % 2 == 1
    return within


def _meetings(a: NDArray[np.complex128], b: NDArray[np.complex128]) -> list[complex]:
    """Where the edges of two polygons cross."""
    one, other = (np.roll(a, -1) - a)[:, None], np.roll(b, -1) - b
    to = b - a[:, None]
    with np.errstate(divide="ignore", invalid="ignore"):
        turn = one.real * other.imag - one.imag * other.real
        t = (to.real * other.imag - to.imag * other.real) / turn
        s = (to.real * one.imag - to.imag * one.real) / turn
    met = (t >= 0.0) & (t <= 1.0) & (s >= 0.0) & (s <= 1.0)
    points: list[complex] = (a[:, None] + np.where(met, t, 0.0) * one)[met].tolist()
    return points
