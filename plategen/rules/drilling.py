"""Drilling a frame rail: distances and sizes as the trade keeps them. Vehicle makers differ, and theirs bind.

Every number here is common practice, no source: it is what body builders' handbooks of several makers have in common,
put on the safe side. A rail is drilled in its web, never burned, and never in its flanges between the axles.
"""

from plategen.rules.safety import PRACTICE

FLANGE_MM = 38.1
"""From a hole's edge to the inside of a flange: 1 1/2 in."""

BETWEEN_MM = 25.4
"""From hole's edge to hole's edge: 1 in,"""

SMALL_MM = 15.875
BETWEEN_OVER_LARGER = 1.5
"""for holes up to 5/8 in; above that this times the larger."""

LARGEST_MM = 20.64
"""Largest hole: 13/16 in, the structural hole of a 3/4 in bolt."""

SHARE_OF_WEB = 0.25
"""Holes that stand over each other take no more than this of the web's height."""

MOST_IN_LINE = 2
"""Holes that stand over each other, at most: no vertical row."""

IN_LINE = 1.0
"""Holes whose middles lie within so many hole diameters along the rail stand over each other."""

BESIDE_BEND_MM = 2.0
"""From a washer or the base to where the bend between web and flange begins."""

BEND_OVER_WALL = 2.0
"""Inside radius of that bend over the wall, where nobody has gauged it."""

STEPS_MM = 5.0
FIRST_MM = 5.0
"""A pilot, and how much larger each further drill is at most."""

SOURCE = f"{PRACTICE}: the rail maker's own rules bind"
"""Source of what may be drilled."""


def between_mm(one_mm: float, other_mm: float) -> float:
    """Least steel between the edges of two holes.

    >>> round(between_mm(14.0, 14.0), 1), round(between_mm(14.0, 18.0), 1)
    (25.4, 27.0)
    """
    larger = max(one_mm, other_mm)
    return BETWEEN_MM if larger <= SMALL_MM else max(BETWEEN_MM, BETWEEN_OVER_LARGER * larger)


def steps_mm(hole_mm: float, there_mm: float = 0.0) -> tuple[float, ...]:
    """Drills for a hole, one after the other, the last the hole's own size; from a hole that is there already.

    >>> steps_mm(18.0), steps_mm(18.0, 14.0), steps_mm(18.0, 18.0)
    ((5.0, 9.0, 13.0, 18.0), (18.0,), ())
    """
    if there_mm >= hole_mm:
        return ()
    begin = there_mm or FIRST_MM
    count = max(1, -int(-(hole_mm - begin) // STEPS_MM))
    between = tuple(float(int(begin + (hole_mm - begin) * k / count)) for k in range(1, count))
    return (*(() if there_mm else (FIRST_MM,)), *between, hole_mm)
