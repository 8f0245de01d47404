"""Least squares on the normal distances: Levenberg's and Marquardt's damped steps, for a handful of values.

The step solves ``(J'WJ + m diag(J'WJ)) d = -J'W r`` with weights W; m falls when the step helps and grows when it
does not. Sources: Levenberg 1944, Marquardt 1963 (from memory).
"""

from dataclasses import dataclass

import numpy as np

from plategen.rail.fit_model import (
    SHORTEST_LENGTH_MM,
    Complexes,
    Feet,
    Floats,
    Frames,
    Shape,
    feet,
    frames,
    lengths,
    motion,
    slopes,
)

MOST_STEPS = 40
"""A good start needs about eight; a shape that needs more than this is not the shape of these readings."""


@dataclass(frozen=True, slots=True)
class Solved:
    """A shape at its least squares.

    Args:
        shape: With its best values.
        walk: Its frames.
        foot: The feet of all readings, of those with no weight too.
        information: ``J'WJ``.
        squares_mm2: ``sum of w r^2``.
    """

    shape: Shape
    walk: Frames
    foot: Feet
    information: Floats
    squares_mm2: float


def solve(shape: Shape, points: Complexes, weights: Floats) -> Solved:
    """Move the shape's values to the least sum of ``w r^2`` near where they are."""
    positive = lengths(shape.word)
    walk = frames(shape)
    foot = feet(walk, points)
    squares = float(weights @ foot.distance**2)
    damping = 1e-3
    slope = slopes(walk, motion(shape, walk), foot)
    information = slope.T @ (weights[:, None] * slope)
    for _ in range(MOST_STEPS):
        pull = slope.T @ (weights * foot.distance)
        scale = np.diag(information)
        scale = np.maximum(scale, 1e-12 * scale.max())
        better = False
        while damping < 1e9:
            step = np.linalg.solve(information + np.diag(damping * scale), -pull)
            values = shape.values + step
            values[positive] = np.maximum(values[positive], SHORTEST_LENGTH_MM)
            tried = shape.at(values)
            tried_walk = frames(tried)
            tried_foot = feet(tried_walk, points)
            tried_squares = float(weights @ tried_foot.distance**2)
            if tried_squares <= squares:
                better = True
                break
            damping *= 8.0
        if not better:
            break
        gain = squares - tried_squares
        shape, walk, foot, squares = tried, tried_walk, tried_foot, tried_squares
        slope = slopes(walk, motion(shape, walk), foot)
        information = slope.T @ (weights[:, None] * slope)
        damping = max(damping / 10.0, 1e-12)
        if gain <= 1e-4 * squares or squares < 1e-18 * weights.sum():
            break
    return Solved(shape, walk, foot, information, squares)
