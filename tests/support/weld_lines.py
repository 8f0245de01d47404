"""Weld runs for the tests: a straight piece, and the line load at a point of a group by its definition."""

import numpy as np

from plategen.ground.space import Vector
from plategen.rules.weld_group import Piece, WeldGroup


def straight(start: Vector, end: Vector) -> Piece:
    """A straight piece between two points of space."""
    a, b = np.array(start), np.array(end)
    return Piece(tuple((a + b) / 2.0), tuple((b - a) / 2.0))


def line_load(group: WeldGroup, force: Vector, at: Vector, where: Vector) -> Vector:
    """q = F/L + (K^-1 M) x (r - c), N/mm, of a force through a point ``at``, at the point ``where`` of a run."""
    turned = np.linalg.solve(group.k, np.cross(np.array(at) - group.centroid, force))
    return tuple(np.array(force) / group.length + np.cross(turned, np.array(where) - group.centroid))
