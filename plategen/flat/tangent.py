"""Straight lines that touch circles, in closed form."""

import math
from typing import Literal, TypeAlias

from plategen.flat.loop import Circle
from plategen.flat.segment import Line
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal

Side: TypeAlias = Literal["left", "right"]
"""On which hand a circle lies when one walks along the line that touches it."""


def tangent_point(point: complex, circle: Circle, side: Side) -> complex:
    """Where the line from a point touches a circle that it keeps on the given hand.

    Raises:
        Refusal: If the point lies inside the circle.
    """
    return tangent_line(Circle(point, 0.0), side, circle, side).end


def tangent_line(first: Circle, first_side: Side, second: Circle, second_side: Side) -> Line:
    """The line from one circle to another that touches both and keeps each on the given hand.

    With the radii signed (positive on the left hand), ``second - first = along * (length + i (r2 - r1))``.

    Raises:
        Refusal: If one circle lies inside the other, or they overlap and the line would have to cross between them.
    """
    r1 = math.copysign(first.radius, 1.0 if first_side == "left" else -1.0)
    r2 = math.copysign(second.radius, 1.0 if second_side == "left" else -1.0)
    apart = second.centre - first.centre
    distance, step = abs(apart), r2 - r1
    squared = (distance - step) * (distance + step)
    if squared < 0.0 or distance == 0.0:
        words = "no line touches both circles: radii {} and {}, centres {} apart; they must be at least {} apart"
        raise Refusal(message(words, mm(first.radius), mm(second.radius), mm(distance), mm(abs(step), "up")))
    along = apart / complex(math.sqrt(squared), step)
    return Line(first.centre - 1j * along * r1, second.centre - 1j * along * r2)
