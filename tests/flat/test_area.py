"""Areas, centroids and second moments against handbook forms, and straight cuts through plates.

The closed forms are those of any handbook's table of plane areas (Young and Budynas, "Roark's Formulas for Stress and
Strain", appendix A; from memory), the circular segment's centroid ``chord^3 / (12 area)`` that of Machinery's Handbook
(from memory).
"""

import cmath
import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from plategen.flat.area import area_moments, section
from plategen.flat.inside import simple
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line

from .shapes import as_shapely, channel, loops, polygon


def test_rectangle() -> None:
    m = area_moments(polygon(10 + 20j, 40 + 20j, 40 + 30j, 10 + 30j))
    assert m.area_mm2 == pytest.approx(300.0)
    assert m.centroid == pytest.approx(25 + 25j)
    assert m.about_u_mm4 == pytest.approx(30 * 10**3 / 12)
    assert m.about_v_mm4 == pytest.approx(10 * 30**3 / 12)
    assert m.product_mm4 == pytest.approx(0.0, abs=1e-6)
    # about a diagonal, b^3 h^3 / (6 (b^2 + h^2))
    assert m.about(3 + 1j) == pytest.approx(30**3 * 10**3 / (6 * (30**2 + 10**2)))


def test_right_triangle_has_a_product() -> None:
    m = area_moments(polygon(0j, 12 + 0j, 9j))
    assert m.about_u_mm4 == pytest.approx(12 * 9**3 / 36)
    assert m.about_v_mm4 == pytest.approx(9 * 12**3 / 36)
    assert m.product_mm4 == pytest.approx(-((12 * 9) ** 2) / 72)


@pytest.mark.parametrize("start", [0.0, 0.7, 2.0])
@pytest.mark.parametrize("sweep", [0.5, math.pi, 5.5])
def test_circle_of_two_arcs(start: float, sweep: float) -> None:
    c, r = 30 - 40j, 7.0
    loop = Loop((Arc.about(c, r, start, sweep), Arc.about(c, r, start + sweep, 2 * math.pi - sweep)))
    m = area_moments(loop)
    assert m.area_mm2 == pytest.approx(math.pi * r**2)
    assert m.centroid == pytest.approx(c)
    assert m.about_u_mm4 == pytest.approx(math.pi * r**4 / 4)
    assert m.about_v_mm4 == pytest.approx(math.pi * r**4 / 4)
    assert m.polar_mm4 == pytest.approx(math.pi * r**4 / 2)


def test_half_circle() -> None:
    r = 12.0
    m = area_moments(Loop((Line(-r + 0j, r + 0j), Arc(r + 0j, -r + 0j, 1.0))))
    assert m.centroid == pytest.approx(4j * r / (3 * math.pi))
    assert m.about_u_mm4 == pytest.approx((math.pi / 8 - 8 / (9 * math.pi)) * r**4)
    assert m.about_v_mm4 == pytest.approx(math.pi * r**4 / 8)


@pytest.mark.parametrize("sweep", [1e-4, 0.01, 0.29, 0.599, 0.601, 1.0, 3.0, 5.0])
def test_circular_segment(sweep: float) -> None:
    r = 25.0
    arc = Arc.about(0j, r, -sweep / 2, sweep)
    m = area_moments(Loop((arc, Line(arc.end, arc.start))))
    chord = abs(arc.end - arc.start)
    area = r**2 * (sweep - math.sin(sweep)) / 2 if sweep > 0.2 else chord**3 / (12 * r) * (1 + 0.075 * sweep**2)
    assert m.area_mm2 == pytest.approx(area, rel=1e-8)
    assert m.centroid == pytest.approx(chord**3 / (12 * area) + 0j, rel=1e-8)
    if sweep > 0.2:
        about_diameter = r**4 / 8 * (sweep - math.sin(sweep) * (1 + 2 / 3 * math.sin(sweep / 2) ** 2))
        assert m.about_u_mm4 == pytest.approx(about_diameter, rel=1e-8)
        square_to_it = r**4 / 8 * (sweep - math.sin(sweep) + 2 * math.sin(sweep) * math.sin(sweep / 2) ** 2)
        assert m.about_v_mm4 + m.area_mm2 * m.centroid.real**2 == pytest.approx(square_to_it, rel=1e-7)


def test_an_almost_straight_arc_adds_nothing() -> None:
    straight = area_moments(polygon(0j, 100 + 0j, 100 + 50j, 50j))
    bowed = area_moments(
        Loop((Arc(0j, 100 + 0j, 1e-9), Line(100 + 0j, 100 + 50j), Line(100 + 50j, 50j), Line(50j, 0j)))
    )
    assert bowed.area_mm2 - straight.area_mm2 == pytest.approx(2 / 3 * 100 * 50e-9, rel=1e-3)
    assert bowed.about_u_mm4 - straight.about_u_mm4 == pytest.approx(2 / 3 * 100 * 50e-9 * 25**2, rel=1e-3)


def test_rolled_channel() -> None:
    # C8x11.5, d 8, bf 2.26, tw 0.220, tf 0.390 in at mid-overhang, inner flange faces sloping 2 in 12; the tables print
    # A 3.37 in2, Ix 32.5 in4, Iy 1.31 in4, x 0.572 in (AISC Steel Construction Manual, table 1-5; from memory). The
    # fillets left out here are worth about one part in a hundred.
    inch = 25.4
    toe, root = 0.390 - 2.04 / 12, 0.390 + 2.04 / 12
    corners = (
        0j,
        2.26 + 0j,
        2.26 + 1j * toe,
        0.22 + 1j * root,
        0.22 + 1j * (8 - root),
        2.26 + 1j * (8 - toe),
        2.26 + 8j,
        8j,
    )
    m = area_moments(polygon(*(inch * p for p in corners)))
    assert m.area_mm2 / inch**2 == pytest.approx(3.37, rel=0.01)
    assert m.about_u_mm4 / inch**4 == pytest.approx(32.5, rel=0.015)
    assert m.about_v_mm4 / inch**4 == pytest.approx(1.31, rel=0.02)
    assert m.centroid.real / inch == pytest.approx(0.572, rel=0.015)


def test_holes_are_taken_out() -> None:
    plate = polygon(0j, 100 + 0j, 100 + 60j, 60j)
    m = area_moments(plate, (Circle(20 + 30j, 10.0), polygon(60 + 20j, 60 + 40j, 80 + 40j, 80 + 20j)))
    hole = math.pi * 100
    assert m.area_mm2 == pytest.approx(6000 - hole - 400)
    centre = (6000 * 50 - hole * 20 - 400 * 70) / m.area_mm2
    assert m.centroid == pytest.approx(centre + 30j)
    assert m.about_u_mm4 == pytest.approx(100 * 60**3 / 12 - math.pi * 10**4 / 4 - 20 * 20**3 / 12)
    own = 60 * 100**3 / 12 - math.pi * 10**4 / 4 - 20 * 20**3 / 12
    moved = 6000 * (50 - centre) ** 2 - hole * (20 - centre) ** 2 - 400 * (70 - centre) ** 2
    assert m.about_v_mm4 == pytest.approx(own + moved)


@given(loops())
def test_against_a_polygon_of_chords(loop: Loop) -> None:
    assume(simple(loop) is None)
    shape, m = as_shapely(loop, 0.005), area_moments(loop)
    assert m.area_mm2 == pytest.approx(loop.area)
    sagitta = max((e.radius for e in loop if isinstance(e, Arc)), default=0.0) * 0.005**2 / 8
    assert m.area_mm2 == pytest.approx(shape.area, abs=sagitta * loop.length + 1e-6)
    assert m.centroid == pytest.approx(complex(shape.centroid.x, shape.centroid.y), abs=10 * sagitta + 1e-6)


@given(loops(), st.floats(-3.0, 3.0), st.floats(-1e3, 1e3))
def test_moving_keeps_the_moments(loop: Loop, way: float, far: float) -> None:
    turn = cmath.rect(1.0, way)
    before, after = area_moments(loop), area_moments(loop.moved(turn, far + 1j * far))
    assert after.area_mm2 == pytest.approx(before.area_mm2, rel=1e-9)
    assert after.centroid == pytest.approx(before.centroid * turn + far + 1j * far, abs=1e-6)
    assert after.polar_mm4 == pytest.approx(before.polar_mm4, rel=1e-9)
    assert after.about(turn) == pytest.approx(before.about_u_mm4, rel=1e-8)
    back = area_moments(loop.reversed())
    assert back.about_v_mm4 == pytest.approx(before.about_v_mm4, rel=1e-9)


def test_a_cut_through_a_channel() -> None:
    u = channel()
    assert section(u, 40j, 1 + 0j) == (pytest.approx((0.0, 30.0)), pytest.approx((70.0, 100.0)))
    assert section(u, 50 + 10j, 2 + 0j) == (pytest.approx((-50.0, 50.0)),)
    assert section(u, 50 + 10j, -1j) == (pytest.approx((-10.0, 10.0)),)
    holes = (Circle(50 + 10j, 4.0), polygon(10 + 5j, 20 + 5j, 20 + 15j, 10 + 15j))
    assert section(u, 10j, 1 + 0j, holes) == (
        pytest.approx((0.0, 10.0)), pytest.approx((20.0, 46.0)), pytest.approx((54.0, 100.0)),
    )  # fmt: skip
    assert section(u, -5j, 1 + 0j) == ()
    # through corners, and touching a hole
    assert section(u, 0j, 70 + 20j)[0] == pytest.approx((0.0, math.hypot(100.0, 100.0 * 2 / 7)))
    assert section(u, 14j, 1 + 0j, holes[:1]) == (pytest.approx((0.0, 100.0)),)


@given(loops(), st.floats(-40.0, 40.0), st.floats(-3.0, 3.0))
def test_cuts_add_up_to_what_a_library_cuts(loop: Loop, off: float, way: float) -> None:
    import shapely

    assume(simple(loop) is None)
    along = cmath.rect(1.0, way)
    through = 1j * along * off
    far, near = through + 200 * along, through - 200 * along
    line = shapely.LineString([(near.real, near.imag), (far.real, far.imag)])
    shape = as_shapely(loop, 0.005)
    cut = line.intersection(shape).length
    found = sum(b - a for a, b in section(loop, through, along))
    # where the cut grazes an edge a chord's 0.0003 mm can be worth a long cut
    if line.intersection(shape.buffer(0.01)).length - line.intersection(shape.buffer(-0.01)).length < 1.0:
        assert found == pytest.approx(cut, abs=0.1)
