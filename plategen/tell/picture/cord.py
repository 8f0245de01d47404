"""Round cords about lines in space, as rings of points with a skin over them: a bead, a hose."""

import math
from itertools import pairwise
from typing import TypeAlias

from plategen.ground.space import Vector, cross, dot, minus, mixed, unit

Face: TypeAlias = list[list[Vector]]
"""Its outline and its holes, seen from outside anticlockwise and clockwise."""


def ring(middle: Vector, aside: Vector, up: Vector, radius_mm: float, sides: int) -> list[Vector]:
    """Points round a place, from ``aside`` towards ``up``, two unit vectors square to each other."""
    turns = (2.0 * math.pi * k / sides for k in range(sides))
    return [mixed(middle, 1.0, mixed(aside, math.cos(t), up, math.sin(t)), radius_mm) for t in turns]


def rings(line: tuple[Vector, ...], radius_mm: float, sides: int) -> list[list[Vector]]:
    """Rings of points about a plane line in space, each square to it and anticlockwise seen against its run."""
    across = max((cross(minus(p, line[0]), minus(q, line[0])) for p, q in pairwise(line)), key=lambda a: dot(a, a))
    if dot(across, across) < 1e-6:  # a straight one
        along = unit(minus(line[-1], line[0]))
        across = cross(along, (0.0, 0.0, 1.0) if abs(along[2]) < 0.9 else (1.0, 0.0, 0.0))
    aside = unit(across)
    places = zip((line[0], *line), line, (*line[1:], line[-1]), strict=False)
    return [ring(p, aside, cross(unit(minus(after, before)), aside), radius_mm, sides) for before, p, after in places]


def skin(about: list[list[Vector]]) -> list[Face]:
    """Faces over rings of equally many points, anticlockwise seen from the last one's side; ring by ring."""
    sides = len(about[0])
    walls: list[Face] = [
        [[one[k - 1], one[k], other[k], other[k - 1]]] for one, other in pairwise(about) for k in range(sides)
    ]
    return [[about[0][::-1]], *walls, [about[-1]]]
