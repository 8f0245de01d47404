"""Whether a point lies within a closed contour, circle or loop alike."""

from plategen.flat.inside import inside
from plategen.flat.loop import Circle
from plategen.shop.cut.part import Contour


def encloses(contour: Contour, p: complex) -> bool:
    """True when ``p`` lies inside, whichever way the contour runs; undecided on the contour itself."""
    if isinstance(contour, Circle):
        return abs(p - contour.centre) < contour.radius
    return inside(contour, p)
