"""Areas against handbook forms and a library.

The closed forms are those of any handbook's table of plane areas (Young and Budynas, "Roark's Formulas for Stress and
Strain", appendix A; from memory).
"""

import cmath
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from plategen.flat.inside import simple
from plategen.flat.loop import Loop
from plategen.flat.segment import Arc, Line

from .shapes import as_shapely, loops, polygon


def test_rectangle_either_way_round() -> None:
    loop = polygon(10 + 20j, 40 + 20j, 40 + 30j, 10 + 30j)
    assert loop.area == pytest.approx(300.0)
    assert loop.reversed().area == pytest.approx(-300.0)


@pytest.mark.parametrize("start", [0.0, 0.7, 2.0])
@pytest.mark.parametrize("sweep", [0.5, math.pi, 5.5])
def test_circle_of_two_arcs(start: float, sweep: float) -> None:
    c, r = 30 - 40j, 7.0
    loop = Loop((Arc.about(c, r, start, sweep), Arc.about(c, r, start + sweep, 2 * math.pi - sweep)))
    assert loop.area == pytest.approx(math.pi * r**2)


@pytest.mark.parametrize("sweep", [1e-4, 0.01, 0.29, 0.599, 0.601, 1.0, 3.0, 5.0])
def test_circular_segment(sweep: float) -> None:
    r = 25.0
    arc = Arc.about(0j, r, -sweep / 2, sweep)
    chord = abs(arc.end - arc.start)
    area = r**2 * (sweep - math.sin(sweep)) / 2 if sweep > 0.2 else chord**3 / (12 * r) * (1 + 0.075 * sweep**2)
    assert Loop((arc, Line(arc.end, arc.start))).area == pytest.approx(area, rel=1e-8)


def test_an_almost_straight_arc_adds_nothing() -> None:
    straight = polygon(0j, 100 + 0j, 100 + 50j, 50j)
    bowed = Loop((Arc(0j, 100 + 0j, 1e-9), Line(100 + 0j, 100 + 50j), Line(100 + 50j, 50j), Line(50j, 0j)))
    assert bowed.area - straight.area == pytest.approx(2 / 3 * 100 * 50e-9, rel=1e-3)


@given(loops())
def test_against_a_polygon_of_chords(loop: Loop) -> None:
    assume(simple(loop) is None)
    sagitta = max((e.radius for e in loop if isinstance(e, Arc)), default=0.0) * 0.005**2 / 8
    assert abs(loop.area) == pytest.approx(as_shapely(loop, 0.005).area, abs=sagitta * loop.length + 1e-6)


@given(loops(), st.floats(-3.0, 3.0), st.floats(-1e3, 1e3))
def test_moving_keeps_the_area(loop: Loop, way: float, far: float) -> None:
    moved = loop.moved(cmath.rect(1.0, way), far + 1j * far)
    assert moved.area == pytest.approx(loop.area, rel=1e-9)
    assert moved.reversed().area == pytest.approx(-loop.area, rel=1e-9)
