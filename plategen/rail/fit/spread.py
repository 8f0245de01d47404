"""How well a chain of lines and arcs is known from its readings: its :class:`~plategen.rail.spread.Spread`.

Besides what the readings leave open of the chain's values it allows for what the chain does not say: that what is taken
for a corner may be a bend that no reading lies in, and that another shape may be the right one.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import TypeAlias

import numpy as np

from plategen.rail.fit.model import Complexes, Feet, Floats, motion, placed, placed_along, slopes
from plategen.rail.fit.solve import BEND_LOG_SPREAD, BEND_RADIUS_MM, Solved
from plategen.rail.spread import Spread, signed
from plategen.rail.trace import FittedTrace

PLACES_AN_EDGE = 5
"""Where the modes are given: between them they are all but straight."""

PRIOR_FREEDOM = 6.0
"""Readings that the usual reading error is worth: about what the score's prior has to say of it."""

SHARP_CHANCE = 0.2
"""One joint in five is welded or folded sharp, as in the score; the rest are bends of the usual radii."""

KICK_RAD = math.radians(30.0)
"""A corner that turns by more is one between two faces, where a relief is cut and its radius is asked for."""

LEAST_CHANCE = 0.005
"""A rival less likely than this is not heeded."""

HAIR_MM = 1e-6
"""Places along a chain that are no farther apart than twice this are one."""

Offset: TypeAlias = Callable[[Complexes, Complexes], Floats]
"""How far a rival lies beside points, along unit normals at them."""

_BEND_STEPS = np.linspace(-2.0, 2.0, 9)
_HEARD = 4.0


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
    foot = Feet(row, along, *placed(walk, row, along), np.zeros(len(row)), np.zeros(len(row), bool))
    slope = slopes(walk, motion(solved.shape, walk), foot)
    known, turned = np.linalg.eigh(np.eye(len(reach)) + reach[:, None] * solved.information * reach / error_mm**2)
    begin = np.cumsum([0.0, *(high - low for _, low, high in listed[:-1])])
    places = np.repeat(begin, PLACES_AN_EDGE) + np.concatenate([(high - low) * share for _, low, high in listed])
    spread = Spread(places, signed(slope @ (reach[:, None] * turned / np.sqrt(known))), freedom)
    for at_mm, half_mm, height_mm in _rounded_off(solved, listed, begin, error_mm):
        spread = spread.with_bump(at_mm, half_mm, height_mm)
    return spread


def _rounded_off(
    solved: Solved, listed: list[tuple[int, float, float]], begin: Floats, error_mm: float
) -> Iterator[tuple[float, float, float]]:
    """For each corner that may be a bend: where it is along the chain, half the bend's length, how far it rounds off.

    A bend of radius R and turn t passes R (1 / cos(t/2) - 1) inside the corner and begins R tan(t/2) before it. Each
    radius counts by the usual chance of it and by how well the readings beside the corner go with it.
    """
    walk, foot = solved.walk, solved.foot
    radius = np.concatenate(([0.0], BEND_RADIUS_MM * np.exp(BEND_LOG_SPREAD * _BEND_STEPS)))
    usual = np.exp(-0.5 * _BEND_STEPS**2)
    chance = np.concatenate(([SHARP_CHANCE], (1.0 - SHARP_CHANCE) * usual / usual.sum()))
    for k in range(1, len(listed)):
        (row, _, high), (after, low, _) = listed[k - 1], listed[k]
        turn = float(np.angle(walk.heading[after] / (walk.heading[row] * np.exp(1j * walk.curvature[row] * high))))
        if not 1e-6 < abs(turn) < KICK_RAD:
            continue
        half, inside = radius * math.tan(abs(turn) / 2.0), math.copysign(1.0 / math.cos(turn / 2.0) - 1.0, turn)
        from_corner = np.where(foot.row == row, high - foot.along, np.where(foot.row == after, foot.along - low, 1e9))
        near = (from_corner < half[-1]) & (np.abs(foot.distance) < _HEARD * error_mm)
        share = np.maximum(1.0 - from_corner[near] / np.maximum(half[:, None], 1e-9), 0.0)
        off = foot.distance[near] - inside * radius[:, None] * share**2
        cost = (off**2).sum(axis=1) / error_mm**2
        likely = chance * np.exp(-0.5 * (cost - cost.min()))
        height, length = np.sqrt(likely @ np.column_stack((inside * radius, half)) ** 2 / likely.sum())
        yield float(begin[k]), float(length), float(height)


def _within(places_mm: Floats) -> Floats:
    """The places along a chain, those that stand twice at a joint moved a hair to their own edge's side of it.

    There the one is the end of an edge and the other the beginning of the next, whose normal is another.
    """
    twice = np.diff(places_mm) < 2.0 * HAIR_MM
    return np.asarray(places_mm + HAIR_MM * (np.append(False, twice) * 1.0 - np.append(twice, False)))


def among(fitted: FittedTrace, rivals: Sequence[tuple[float, Offset]]) -> FittedTrace:
    """The fit with a mode more for each rival that may be right instead.

    One that is dearer by a score d is right with a chance in proportion to ``exp(-d / 2)``, and then the rail lies
    where it says (Hoeting and others, Bayesian model averaging, Statistical Science 14, 1999; from memory).

    Args:
        fitted: The fit that is used.
        rivals: How much dearer each is, and how far it lies beside points of the chain along normals there.
    """
    weights = np.exp([-0.5 * dearer for dearer, _ in rivals])
    chances = weights / (1.0 + weights.sum())
    chain, spread = fitted.chain, fitted.spread
    points, away = placed_along(chain.segments, _within(spread.places_mm))
    heard = [(chance, off) for chance, (_, off) in zip(chances.tolist(), rivals, strict=True) if chance > LEAST_CHANCE]
    columns = [math.sqrt(chance) * off(points, away) for chance, off in heard]
    modes = np.column_stack((spread.modes_mm, *columns))
    return replace(fitted, spread=replace(spread, modes_mm=modes, chances=tuple(chance for chance, _ in heard)))
