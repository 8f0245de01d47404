"""A bent plate's solid: one body, and its fibre of true length has the area and the length of the flat plate."""

import math
from itertools import pairwise

import cadquery
import pytest
from OCP.BRepAlgoAPI import BRepAlgoAPI_Common, BRepAlgoAPI_Section
from OCP.BRepGProp import BRepGProp
from OCP.GProp import GProp_GProps

from plategen.bracket.folded import Bend
from plategen.bracket.model import Plate
from plategen.bracket.unfold import bend_limits, bends_in, cut_of
from plategen.checks.finding import must_stop
from plategen.flat.inside import inside
from plategen.flat.intersect import crossings
from plategen.flat.loop import polygon
from plategen.flat.placement import Placement
from plategen.flat.segment import Line
from plategen.solid.bodies import part_bodies, plate_bodies
from plategen.solid.kernel import face, location, plate_solid, volume_mm3
from plategen.work import Work
from tests.bracket.test_formed import works
from tests.support.every_example import work_of

FORMED = "hay-rake-formed-bracket"


def jobs() -> list[Work]:
    return [work_of(FORMED), *works()[:4]]


def body_of(work: Work) -> cadquery.Shape:
    (body,) = (body for body in part_bodies(work.bracket) if body.name == "formed_plate")
    return cadquery.Shape.cast(body.shape.Located(location(body.placement)))


def area(shape: object) -> float:
    properties = GProp_GProps()
    BRepGProp.SurfaceProperties_s(shape, properties, 1e-9)
    return float(properties.Mass())


def common(one: object, other: object) -> object:
    return BRepAlgoAPI_Common(one, other).Shape()


def crossed(one: object, other: object) -> object:
    return BRepAlgoAPI_Section(one, other).Shape()


def sheet(placement: Placement) -> object:
    """A plane face, large enough."""
    return face(polygon([-900 - 900j, 900 - 900j, 900 + 900j, -900 + 900j]), (), placement)


def test_it_is_one_body_with_the_volume_of_its_parts() -> None:
    for work in jobs():
        whole = body_of(work)
        assert len(whole.Solids()) == 1
        assert whole.isValid()
        parts = {b.name for b in plate_bodies(work.bracket)} - {p.name for p in cut_of(work.bracket)}
        apart = sum(volume_mm3(b.shape) for b in plate_bodies(work.bracket) if b.name in parts)
        assert whole.Volume() == pytest.approx(apart, rel=1e-9)


def test_the_fibre_of_true_length_has_the_flat_plates_area_and_length() -> None:
    """The solid is cut by the kernel along that fibre: planes in base and ears, cylinders in the bends."""
    for work in jobs():
        flat, named = work.cut_plates[0], {plate.name: plate for plate in work.bracket.plates}
        base, whole = named["base"], body_of(work).wrapped
        bends = bends_in(work.bracket, flat)
        u = complex(0.3, 0.0) + (bends[0].edge.start.real * 0.4 + bends[0].edge.end.real * 0.6)
        across = sheet(Placement(base.placement.point(u), base.placement.v, base.placement.normal))
        deep = base.thickness_mm * (1.0 - bends[0].k)
        lies = base.placement.shifted(tuple(deep * x for x in base.placement.normal))
        pieces = [common(sheet(lies), clipped(base, whole))]
        for bend in bends:
            ear = named[bend.ear]
            inner = ear.thickness_mm if bend.side < 0 else 0.0
            depth = inner + bend.side * bend.k * ear.thickness_mm
            stands = ear.placement.shifted((0.0, 0.0, depth))
            pieces.append(common(sheet(stands), clipped(ear, whole)))
            pieces.append(common(round_sheet(bend), clipped(bend.band, whole)))
        assert sum(area(piece) for piece in pieces) == pytest.approx(flat.area_mm2, rel=1e-6)
        long = sum(length(crossed(piece, across)) for piece in pieces)
        assert long == pytest.approx(steel_along(flat, u.real), rel=1e-6)


def clipped(plate: Plate, whole: object) -> object:
    """What of the whole body lies in the room of one of its parts; every hole of it is there."""
    return common(plate_solid(plate).Located(location(plate.placement)), whole)


def round_sheet(bend: Bend) -> object:
    """The cylinder on which the fibre of true length lies in a bend."""
    place, radius = bend.band.placement, bend.inside_mm + bend.k * bend.band.thickness_mm
    centre = place.point(complex(-2000.0, 0.0), -bend.inside_mm)
    plane = cadquery.Plane(origin=centre, xDir=place.normal, normal=place.u)
    cylinder = cadquery.Solid.makeCylinder(radius, 4000.0, plane.origin, plane.zDir)
    (wall,) = (each for each in cylinder.Faces() if each.geomType() == "CYLINDER")
    return wall.wrapped


def length(shape: object) -> float:
    return sum(edge.Length() for edge in cadquery.Shape.cast(shape).Edges())


def steel_along(plate: Plate, u: float) -> float:
    """How much steel a flat plate has along a line across its bends, holes out."""
    line = Line(complex(u, -1e4), complex(u, 1e4))
    loops = (plate.outline, *(hole.circle for hole in plate.holes))
    at = sorted(line.point(t).imag for loop in loops for edge in loop.segments for t, _ in crossings(line, edge))
    total = 0.0
    for low, high in pairwise(at):
        middle = complex(u, (low + high) / 2.0)
        holed = any(inside(hole.circle, middle) for hole in plate.holes)
        total += high - low if inside(plate.outline, middle) and not holed else 0.0
    return total


def test_the_example_must_not_stop_and_its_bends_are_where_the_flat_plate_says() -> None:
    work = work_of(FORMED)
    assert not must_stop(work.findings)
    for bend in bends_in(work.bracket, work.cut_plates[0]):
        begins, ends = bend_limits(bend)
        assert abs(begins.start.imag - ends.start.imag) == pytest.approx(bend.allowance_mm)
        assert math.isclose(begins.length, ends.length)
