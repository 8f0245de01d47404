"""Area, centroid and second moments of plates, and where a straight cut passes through steel; exact (Green).

The plane's moments up to the second are carried as ``A``, ``integral z``, ``integral z^2`` and ``integral |z|^2`` with
the complex ``z = u + i v``, which turn and shift in one line. A loop is the triangles from a corner to its chords and
the bow between each arc and its chord.
"""

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple, TypeAlias

from plategen.flat.inside import inside
from plategen.flat.loop import Circle, Loop
from plategen.flat.reach import line_places
from plategen.flat.segment import Arc, cross, dot
from plategen.flat.tolerance import SAME_POINT_MM

Hole: TypeAlias = Circle | Loop
"""What is cut out of a plate."""

_FLAT_BOW_RAD = 0.3
"""Half sweep below which a bow's moments, differences of nearly equal numbers, are taken by Gauss's rule instead."""

_GAUSS = (
    (0.1834346424956498, 0.3626837833783620),
    (0.5255324099163290, 0.3137066458778873),
    (0.7966664774136267, 0.2223810344533745),
    (0.9602898564975363, 0.1012285362903763),
)
"""Gauss's rule of eight points: places and weights (Abramowitz and Stegun, table 25.4). Exact here to 1e-13."""


class AreaMoments(NamedTuple):
    """Area, centroid and second moments about the centroid of a plane figure.

    Args:
        area_mm2: Area.
        centroid: Its centre.
        about_u_mm4: Integral of ``v^2``: stiffness against bending about the u direction.
        about_v_mm4: Integral of ``u^2``.
        product_mm4: Integral of ``u v``.
    """

    area_mm2: float
    centroid: complex
    about_u_mm4: float
    about_v_mm4: float
    product_mm4: float

    @property
    def polar_mm4(self) -> float:
        """Polar second moment about the centroid."""
        return self.about_u_mm4 + self.about_v_mm4

    def about(self, direction: complex) -> float:
        """Second moment in mm^4 about the centroidal line of any direction."""
        e = direction / abs(direction)
        return (
            self.about_u_mm4 * e.real * e.real
            + self.about_v_mm4 * e.imag * e.imag
            - 2.0 * self.product_mm4 * e.real * e.imag
        )


class _Moments(NamedTuple):
    """``A``, ``integral z``, ``integral z^2`` and ``integral |z|^2`` about some origin."""

    area: float
    first: complex
    square: complex
    polar: float


def area_moments(loop: Loop, holes: Sequence[Hole] = ()) -> AreaMoments:
    """Area, centroid and second moments of a loop of either sense less its holes.

    Raises:
        ZeroDivisionError: If nothing is left.
    """
    origin = loop.segments[0].start
    parts = [_solid(loop, origin)]
    parts += [_negative(_disc(h, origin) if isinstance(h, Circle) else _solid(h, origin)) for h in holes]
    area = sum(part.area for part in parts)
    first = sum(part.first for part in parts)
    square = sum(part.square for part in parts) - first * first / area
    polar = sum(part.polar for part in parts) - abs(first) ** 2 / area
    return AreaMoments(
        area, origin + first / area, (polar - square.real) / 2, (polar + square.real) / 2, square.imag / 2
    )


def section(
    loop: Loop, through: complex, along: complex, holes: Sequence[Hole] = ()
) -> tuple[tuple[float, float], ...]:
    """Where an infinite straight cut passes through steel; along an edge that lies on the cut, either way.

    Args:
        loop: The plate's outline.
        through: A point of the cut, from which places on it are measured.
        along: Direction of the cut, any length but zero.
        holes: What is cut out of the plate.

    Returns:
        Intervals (from, to) in mm along the cut, in order and apart from one another; those without length left out.
    """
    along = along / abs(along)
    places = [x for edge in loop for x in line_places(edge, through, along)]
    for hole in holes:
        if isinstance(hole, Circle):
            off = hole.centre - through
            square = (hole.radius - abs(cross(along, off))) * (hole.radius + abs(cross(along, off)))
            if square > 0.0:
                places += [dot(along, off) - math.sqrt(square), dot(along, off) + math.sqrt(square)]
        else:
            places += [x for edge in hole for x in line_places(edge, through, along)]
    places.sort()
    found: list[tuple[float, float]] = []
    for x0, x1 in pairwise(places):
        if x1 - x0 <= SAME_POINT_MM or not _steel(loop, holes, through + along * ((x0 + x1) / 2)):
            continue
        if found and x0 - found[-1][1] <= SAME_POINT_MM:
            found[-1] = (found[-1][0], x1)
        else:
            found.append((x0, x1))
    return tuple(found)


def _steel(loop: Loop, holes: Sequence[Hole], p: complex) -> bool:
    """True when a point lies in the plate and in none of its holes."""
    return inside(loop, p) and not any(
        abs(p - h.centre) < h.radius if isinstance(h, Circle) else inside(h, p) for h in holes
    )


def _solid(loop: Loop, origin: complex) -> _Moments:
    """Moments of the inside of a loop of either sense."""
    area, first, square, polar = 0.0, 0j, 0j, 0.0
    for edge in loop:
        a, b = edge.start - origin, edge.end - origin
        triangle = cross(a, b) / 2
        area += triangle
        first += triangle * (a + b) / 3
        square += triangle * (a * a + a * b + b * b) / 6
        polar += triangle * (dot(a, a) + dot(a, b) + dot(b, b)) / 6
        if isinstance(edge, Arc):
            bow = _bow(a, b, edge.bulge)
            area, first, square, polar = area + bow.area, first + bow.first, square + bow.square, polar + bow.polar
    found = _Moments(area, first, square, polar)
    return found if area >= 0.0 else _negative(found)


def _negative(m: _Moments) -> _Moments:
    """The moments with the sign of what is cut out."""
    return _Moments(-m.area, -m.first, -m.square, -m.polar)


def _disc(circle: Circle, origin: complex) -> _Moments:
    """Moments of a full circle: polar r^4 pi / 2 about its centre."""
    c = circle.centre - origin
    area = circle.area
    return _Moments(area, area * c, area * c * c, area * (dot(c, c) + circle.radius**2 / 2))


def _bow(a: complex, b: complex, bulge: float) -> _Moments:
    """Moments of the bow between an arc and its chord, positive on the right of the chord (the arc turns left)."""
    middle, along = (a + b) / 2, (b - a) / abs(b - a)
    outward = -1j * math.copysign(1.0, bulge)
    size, rise, xx, yy = (math.copysign(m, bulge) for m in _bow_moments(abs(b - a) / 2, abs(bulge)))
    # local z = x + outward y, of which x is odd
    first, square = outward * rise, xx - yy
    return _Moments(
        size,
        middle * size + along * first,
        middle * middle * size + 2.0 * middle * along * first + along * along * square,
        dot(middle, middle) * size + 2.0 * dot(middle, along * first) + xx + yy,
    )


def _bow_moments(half_chord: float, bulge: float) -> tuple[float, float, float, float]:
    """Integrals of 1, y, x^2 and y^2 over a bow on the chord from -a to a, of ``bulge > 0``.

    With the half sweep h, c = cos h, s = sin h and r = a / s they follow from y = r cos(t) - r c, x = r sin(t).
    """
    h = 2.0 * math.atan(bulge)
    c, s = (1.0 - bulge * bulge) / (1.0 + bulge * bulge), 2.0 * bulge / (1.0 + bulge * bulge)
    if h < _FLAT_BOW_RAD:
        size = rise = xx = yy = 0.0
        for place, weight in _GAUSS:
            x = place * half_chord
            # y without cancellation: k (a^2 - x^2) / (sqrt(1 - k^2 x^2) + c), k = s / a
            y = s * half_chord * (1.0 - place * place) / (math.sqrt(1.0 - (s * place) ** 2) + c)
            width = 2.0 * weight * half_chord
            size, rise, xx, yy = (
                size + width * y,
                rise + width * y * y / 2,
                xx + width * x * x * y,
                yy + width * y**3 / 3,
            )
        return size, rise, xx, yy
    r = half_chord / s
    cos_2 = h + s * c
    cos_3 = 2.0 * (s - s**3 / 3)
    cos_4 = 0.75 * h + s * c + s * c * (c * c - s * s) / 4
    return (
        r**2 * (h - s * c),
        r**3 * (s - s**3 / 3 - c * h),
        r**4 * (h / 4 - s * c * (c * c - s * s) / 4 - 2.0 * c * s**3 / 3),
        r**4 * (cos_4 - 3.0 * c * cos_3 + 3.0 * c * c * cos_2 - 2.0 * c**3 * s) / 3,
    )
