"""Whether a point lies within a closed contour, circle or loop alike."""

from plategen.cut.part import Contour
from plategen.flat.inside import inside
from plategen.flat.loop import Circle


def encloses(contour: Contour, p: complex) -> bool:
    """True when ``p`` lies inside, whichever way the contour runs; undecided on the contour itself."""
    if isinstance(contour, Circle):
        return abs(p - contour.centre) < contour.radius
    return inside(contour, p)
