"""Sections and reaches of a plate, against hand formulas and an independent polygon library."""

import cmath
import math

import numpy as np
import pytest
from shapely.geometry import LineString, Point, Polygon

from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc
from plategen.rules.plate_section import Edges, cut_sections, reaches, sweep_places
from tests.checks.bench import Bench
from tests.checks.cases import box

EAR = Bench().outline()
HOLE = Circle(0j, 12.75)


def polygon(loop: Loop, count: int = 400) -> Polygon:
    points: list[complex] = []
    for segment in loop:
        pieces = count if isinstance(segment, Arc) else 1
        points += [segment.point(i / pieces) for i in range(pieces)]
    return Polygon([(p.real, p.imag) for p in points])


def test_a_rectangle_has_the_textbook_section() -> None:
    edges = Edges.of(box(-20, -50, 80, 50))
    cuts = cut_sections(edges, 8.0, 0j, 1 + 0j, [10.0, 40.0])
    assert cuts.area_mm2 == pytest.approx([800.0, 800.0])
    assert cuts.inertia_mm4 == pytest.approx([8 * 100**3 / 12] * 2)
    assert cuts.centroid_mm == pytest.approx([0.0, 0.0], abs=1e-9)


def test_a_hole_is_taken_out_off_centre_too() -> None:
    edges = Edges.of(box(-60, -50, 60, 50), [Circle(20j, 10.0)])
    cuts = cut_sections(edges, 5.0, 0j, 1 + 0j, [0.0])
    whole, hole, at = 100.0, 20.0, 20.0
    centroid = -hole * at / (whole - hole)
    inertia = whole**3 / 12 + whole * centroid**2 - hole**3 / 12 - hole * (at - centroid) ** 2
    assert cuts.area_mm2[0] == pytest.approx(5.0 * 80.0, rel=1e-6)
    assert cuts.centroid_mm[0] == pytest.approx(centroid, rel=1e-6)
    assert cuts.inertia_mm4[0] == pytest.approx(5.0 * inertia, rel=1e-6)


@pytest.mark.parametrize("angle_deg", [0, 37, 90, 123, 211, 300])
def test_cuts_of_an_ear_equal_a_polygon_librarys(angle_deg: int) -> None:
    way = cmath.rect(1.0, math.radians(angle_deg))
    plate = polygon(EAR).difference(Point(0, 0).buffer(HOLE.radius, 256))
    edges = Edges.of(EAR, [HOLE])
    places = [-31.0, -7.0, 0.5, 11.0, 29.0, 43.0]
    cuts = cut_sections(edges, 1.0, 0j, way, places)
    lengths = {}
    for s in places:
        a, b = s * way - 500j * way, s * way + 500j * way
        lengths[s] = plate.intersection(LineString([(a.real, a.imag), (b.real, b.imag)])).length
    for s, width in zip(cuts.at_mm, cuts.width_mm, strict=True):
        assert width == pytest.approx(lengths[min(places, key=lambda p: abs(p - s))], abs=0.02)
    assert len(cuts.at_mm) == sum(1 for length in lengths.values() if length > 0.0)


def test_cuts_through_corners_and_tangents_are_never_odd() -> None:
    edges = Edges.of(EAR, [HOLE])
    places = sweep_places(EAR, [HOLE], 0j, 1j, 90.0, 12)
    cuts = cut_sections(edges, 1.0, 0j, 1j, [*places, 12.75, -12.75, -45.0 + 1e-3])
    assert len(cuts.at_mm) == len(places) + 3
    assert (cuts.width_mm > 0).all()
    assert (cuts.inertia_mm4 > 0).all()


def test_area_of_all_cuts_is_the_area_of_the_plate() -> None:
    edges = Edges.of(EAR, [HOLE])
    step = 0.05
    cuts = cut_sections(edges, 1.0, 0j, 1j, np.arange(-45.0 + step / 2, 90.0, step))
    assert cuts.width_mm.sum() * step == pytest.approx(EAR.area - HOLE.area, rel=1e-4)


def test_reaches_equal_a_polygon_librarys_in_every_direction() -> None:
    slot = box(30.0, 20.0, 50.0, 30.0)
    other = Circle(-60 + 60j, 8.0)
    edges = Edges.of([*EAR, *slot], [other])
    rims = [polygon(EAR).exterior, polygon(slot).exterior, Point(-60, 60).buffer(8.0, 256).exterior]
    ways = [cmath.rect(1.0, math.radians(a)) for a in range(3, 363, 7)]
    found, _ = reaches(edges, 0j, ways)
    for way, distance in zip(ways, found, strict=True):
        ray = LineString([(0, 0), ((500 * way).real, (500 * way).imag)])
        hits = [Point(0, 0).distance(ray.intersection(rim)) for rim in rims if ray.intersects(rim)]
        assert distance == pytest.approx(min(hits), abs=0.01)


def test_a_nose_is_met_at_its_radius_and_says_so() -> None:
    found, radius = reaches(Edges.of(EAR), 0j, [-1j, cmath.rect(1.0, -2.2), 1j])
    assert found == pytest.approx([45.0, 45.0, 90.0], rel=1e-9)
    assert radius[:2] == pytest.approx([45.0, 45.0])
    assert math.isinf(radius[2])
