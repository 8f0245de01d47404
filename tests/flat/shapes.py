"""Outlines that the tests of the plane share, and their many-sided likeness for a library without arcs."""

import cmath
import math
from collections.abc import Iterable

import shapely
from hypothesis import strategies as st

from plategen.flat.loop import Loop
from plategen.flat.segment import Arc, Line, Segment


def polygon(*corners: complex) -> Loop:
    return Loop(tuple(Line(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True)))


def sampled(edges: Iterable[Segment], step_rad: float = 0.002) -> list[tuple[float, float]]:
    """Points along the edges, each arc in steps of ``step_rad``: off by the sagitta r step^2 / 8 at most."""
    points = []
    for edge in edges:
        count = max(1, math.ceil(abs(edge.sweep_rad) / step_rad))
        points += [edge.point(i / count) for i in range(count)]
    return [(p.real, p.imag) for p in points]


def as_shapely(loop: Loop, step_rad: float = 0.002) -> shapely.Polygon:
    return shapely.Polygon(sampled(loop, step_rad))


@st.composite
def loops(draw: st.DrawFn) -> Loop:
    """A star-shaped outline about the origin, 3 to 8 corners, edges straight or bowed, that does not cross itself."""
    count = draw(st.integers(3, 8))
    corners = []
    for i in range(count):
        angle = (i + draw(st.floats(-0.2, 0.2))) * 2.0 * math.pi / count
        corners.append(cmath.rect(draw(st.floats(20.0, 60.0)), angle))
    edges: list[Segment] = []
    for a, b in zip(corners, (*corners[1:], corners[0]), strict=True):
        bulge = draw(st.one_of(st.just(0.0), st.floats(-0.12, 0.3)))
        edges.append(Line(a, b) if abs(bulge) < 1e-3 else Arc(a, b, bulge))
    return Loop(tuple(edges))


def channel() -> Loop:
    """A plate like a U: 100 x 60 mm, with a slot 40 mm wide and 40 mm deep from the top."""
    return polygon(0j, 100 + 0j, 100 + 60j, 70 + 60j, 70 + 20j, 30 + 20j, 30 + 60j, 60j)
