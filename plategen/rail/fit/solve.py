"""Least squares on the normal distances: Levenberg's and Marquardt's damped steps, for a handful of values.

The step solves ``(J'WJ + m diag(J'WJ)) d = -J'W r`` with weights W; m falls when the step helps and grows when it
does not. Sources: Levenberg 1944, Marquardt 1963 (from memory).
"""

import math
from dataclasses import dataclass

import numpy as np

from plategen.rail.fit.model import (
    SHORTEST_LENGTH_MM,
    Complexes,
    Feet,
    Floats,
    Frames,
    Shape,
    bends,
    feet,
    frames,
    heights,
    lengths,
    motion,
    slopes,
)

MOST_STEPS = 40
"""A good start needs about eight; a shape that needs more than this is not the shape of these readings."""

FLATTENED = 4
"""A riser that so many steps in a row press down to nothing is none: of 189 looked at none came up again, and half of
all steps of a clean rail's fit went into such."""

SOLVED = 1e-4
"""Share of the squares below which a step's gain ends the search, for a score good to a hundredth."""

BEND_RADIUS_MM = 30.0
BEND_LOG_SPREAD = 0.8
"""A rail is bent over some tens of millimetres: two in three radii between 13 and 67 mm, nineteen in twenty between 6
and 150 (common practice, no source)."""

USUAL_RADIUS = (BEND_RADIUS_MM, BEND_LOG_SPREAD)
"""The likeliest radius and the spread of its logarithm, of a bend of which nothing else is known."""


@dataclass(frozen=True, slots=True)
class Solved:
    """A shape at its least squares."""

    shape: Shape  # With its best values.
    walk: Frames  # Its frames.
    foot: Feet  # The feet of all readings, of those with no weight too.
    information: Floats  # ``J'WJ``.
    squares_mm2: float  # ``sum of w r^2``.


def expected_radii(shape: Shape) -> tuple[tuple[float, float], ...]:
    """Of each inner arc the likeliest radius, mm, and the spread of its logarithm: the usual, unless more is known."""
    return shape.radii or (USUAL_RADIUS,) * len(bends(shape.word))


def prior(shape: Shape, turn: int, length: int, radius: tuple[float, float]) -> tuple[float, float, float]:
    """How far a bend's radius l/|t| is from the expected, in standard deviations, and its slopes by turn and length.

    ``rho = ln(l / (|t| R0)) / tau``, ``drho/dt = -1 / (tau t)``, ``drho/dl = 1 / (tau l)``.
    """
    t, length_mm = float(shape.values[turn]), float(shape.values[length])
    t = math.copysign(max(abs(t), 1e-9), t)
    radius_mm, spread = radius
    return math.log(length_mm / (abs(t) * radius_mm)) / spread, -1.0 / (spread * t), 1.0 / (spread * length_mm)


def solve(
    shape: Shape,
    points: Complexes,
    weights: Floats,
    error_mm: float,
    tolerance: float = SOLVED,
    most_steps: int = MOST_STEPS,
) -> Solved:
    """Move the shape's values to the least of ``sum w r^2 + s^2 sum rho^2`` near where they are.

    Args:
        shape: The start.
        points: The readings.
        weights: Of each; zero leaves it out.
        error_mm: One standard deviation s of a reading, which says how much the usual radius of a bend has to say.
        tolerance: Share of the squares below which a step's gain ends the search.
        most_steps: Steps after which it ends in any case.
    """
    positive, risers, flattened = list(lengths(shape.word)), list(heights(shape.word)), 0
    bent = [(*bend, radius) for bend, radius in zip(bends(shape.word), expected_radii(shape), strict=True)]
    variance = error_mm**2

    def total(shape: Shape, foot: Feet) -> tuple[float, float]:
        squares = float(weights @ foot.distance**2)
        return squares, squares + variance * sum(prior(shape, *bend)[0] ** 2 for bend in bent)

    walk = frames(shape)
    foot = feet(walk, points)
    squares, cost = total(shape, foot)
    damping = 1e-3
    for _ in range(most_steps):
        slope = slopes(walk, motion(shape, walk), foot)
        information = slope.T @ (weights[:, None] * slope)
        normal, pull = information.copy(), slope.T @ (weights * foot.distance)
        for turn, length, radius in bent:
            off, by_turn, by_length = prior(shape, turn, length, radius)
            normal[turn, turn] += variance * by_turn**2
            normal[length, length] += variance * by_length**2
            normal[turn, length] += variance * by_turn * by_length
            normal[length, turn] += variance * by_turn * by_length
            pull[turn] += variance * off * by_turn
            pull[length] += variance * off * by_length
        scale = normal.diagonal()
        scale = np.maximum(scale, 1e-12 * scale.max())
        while damping < 1e9:
            damped = normal.copy()
            damped.flat[:: len(scale) + 1] += damping * scale
            values = shape.values - np.linalg.solve(damped, pull)
            values[positive] = np.maximum(values[positive], SHORTEST_LENGTH_MM)
            tried = shape.at(values)
            tried_walk = frames(tried)
            tried_foot = feet(tried_walk, points)
            tried_squares, tried_cost = total(tried, tried_foot)
            if tried_cost <= cost:
                break
            damping *= 8.0
        else:
            break
        gain = cost - tried_cost
        shape, walk, foot, squares, cost = tried, tried_walk, tried_foot, tried_squares, tried_cost
        damping = max(damping / 10.0, 1e-12)
        flattened = flattened + 1 if (values[risers] <= SHORTEST_LENGTH_MM).any() else 0
        if flattened == FLATTENED:
            break
        if gain <= tolerance * cost or cost < 1e-18 * weights.sum():
            break
    slope = slopes(walk, motion(shape, walk), foot)
    return Solved(shape, walk, foot, slope.T @ (weights[:, None] * slope), squares)
