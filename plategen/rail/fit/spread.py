"""How well a chain of lines and arcs is known from its readings: its :class:`~plategen.rail.spread.Spread`."""

import numpy as np

from plategen.rail.fit.model import Feet, Floats, chord, motion, slopes
from plategen.rail.fit.solve import Solved
from plategen.rail.spread import Spread

PLACES_AN_EDGE = 5
"""Where the modes are given: between them they are all but straight."""

PRIOR_FREEDOM = 6.0
"""Readings that the usual reading error is worth: about what the score's prior has to say of it."""


def chain_spread(
    solved: Solved, listed: list[tuple[int, float, float]], error_mm: float, reach: Floats, freedom: float
) -> Spread:
    """The spread of a chain of lines and arcs, cut to its listed edges.

    With ``g`` the slopes of a point's normal position by the values, the values' covariance is
    ``C = (J'WJ / s^2 + R^-2)^-1``, what the readings say of them within the ranges they can have at all. With
    ``I + R J'WJ R / s^2 = V D V'`` the modes are ``g R V D^-1/2``, for their square is ``g C g'``.

    Args:
        solved: The shape at its least squares.
        listed: Row, begin and end of each edge of the chain.
        error_mm: One standard deviation ``s`` of a reading.
        reach: The ranges ``R``, one for each value.
        freedom: Degrees of freedom with which ``s`` was found; infinite if it was said.
    """
    walk = solved.walk
    share = np.linspace(0.0, 1.0, PLACES_AN_EDGE)
    row = np.repeat([edge[0] for edge in listed], PLACES_AN_EDGE)
    along = np.concatenate([low + (high - low) * share for _, low, high in listed])
    point = walk.start[row] + walk.heading[row] * chord(walk.curvature[row], along)
    normal = 1j * walk.heading[row] * np.exp(1j * walk.curvature[row] * along)
    foot = Feet(row, along, point, normal, np.zeros(len(row)), np.zeros(len(row), bool))
    slope = slopes(walk, motion(solved.shape, walk), foot)
    known, turned = np.linalg.eigh(np.eye(len(reach)) + reach[:, None] * solved.information * reach / error_mm**2)
    begin = np.cumsum([0.0, *(high - low for _, low, high in listed[:-1])])
    places = np.repeat(begin, PLACES_AN_EDGE) + np.concatenate([(high - low) * share for _, low, high in listed])
    return Spread(places, -slope @ (reach[:, None] * turned / np.sqrt(known)), freedom)
