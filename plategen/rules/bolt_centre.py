"""A bolt group under an eccentric force by the instantaneous centre of rotation: what the group holds at its ultimate.

The plate turns about a centre, and each bolt resists square to its arm by how far it is sheared:
``R = Rult (1 - exp(-10 d))^0.55`` with the deformation ``d`` in inches, 0.34 in at the farthest bolt and in proportion
to the arm at the others (Crawford and Kulak, 1971; AISC Manual, 15th edition, Part 7; both from memory). It wants bolts
in bearing, alike, with the edge distances and spacings of the specification; not a joint that is to hold by friction.
"""

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np

from plategen.rules.bolt import group_forces_n

SOURCE = "AISC Manual, 15th edition, Part 7, instantaneous centre of rotation (from memory)"
"""Where the method is from."""

MOST_IN = 0.34
"""Deformation of the bolt that is sheared most, in."""

STIFFNESS, POWER = 10.0, 0.55
"""Of the curve of a bolt's resistance."""

_ROUNDS, _SAME = 400, 1e-10
_FAR = 1e4  # a force that passes so near to the middle turns nothing, in shares of the pattern's size


def resistance(deformation_in: float) -> float:
    """Share of its strength that a bolt has at a deformation, in.

    >>> round(resistance(0.34), 4)
    0.9815
    """
    return float((1.0 - math.exp(-STIFFNESS * deformation_in)) ** POWER)


def elastic_coefficient(at: Sequence[complex], direction: complex, where: complex) -> float:
    """How many times one bolt's strength a pattern holds by the elastic method.

    Args:
        at: Bolt centres, mm.
        direction: Of the force.
        where: A point of its line of action.
    """
    return 1.0 / max(abs(force) for force in group_forces_n(at, direction / abs(direction), where))


@lru_cache(maxsize=512)
def coefficient(at: tuple[complex, ...], direction: complex, where: complex) -> float:
    """How many times one bolt's strength a pattern holds by the instantaneous centre: the Manual's C.

    A force through the middle shears all bolts alike, at the curve's end. Where the search for the centre does not
    settle, the elastic method's number stands, lowered to the curve's end.

    Args:
        at: Bolt centres, mm, two or more.
        direction: Of the force.
        where: A point of its line of action.

    >>> column = tuple(complex(0.0, 76.2 * k) for k in range(6))
    >>> round(coefficient(column, -1j, 152.4 + 190.5j), 2)  # the Manual has 3.55
    3.55
    """
    centre = sum(at) / len(at)
    points = np.array(at) - centre
    force = direction / abs(direction)
    arm = (where - centre).real * force.imag - (where - centre).imag * force.real
    size = float(np.abs(points).max())
    if abs(arm) * _FAR < size:
        return len(at) * resistance(MOST_IN)
    polar, count = float((np.abs(points) ** 2).sum()), len(at)
    # the plate turns with the moment; about the elastic centre the bolts' own forces are direct and turning ones
    turn = 1j * math.copysign(1.0, arm)
    at_rest = 1j * force * polar / (count * arm)
    step, before = polar / (count * abs(arm)), math.inf
    for _ in range(_ROUNDS):
        arms = points - at_rest
        reach = np.abs(arms)
        most = float(reach.max())
        bolts = (1.0 - np.exp(-STIFFNESS * MOST_IN * reach / most)) ** POWER
        lever = abs(arm - _cross(at_rest, force))
        held = float((bolts * reach).sum()) / lever
        # the bolts resist against the turn; what is left over moves the centre
        ways = np.divide(arms, reach, out=np.zeros_like(arms), where=reach > 0.0)
        left = held * force - turn * complex((bolts * ways).sum())
        if abs(left) <= _SAME * count:
            return held
        if abs(left) > before:  # too long a step
            step *= 0.7
        before = abs(left)
        at_rest += 1j * math.copysign(1.0, arm) * left * step / count
    return elastic_coefficient(at, direction, where) * resistance(MOST_IN)


def _cross(a: complex, b: complex) -> float:
    return a.real * b.imag - a.imag * b.real
