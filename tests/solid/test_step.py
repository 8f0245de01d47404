"""STEP files against the kernel's own reader, areas times thickness, and the time it takes to load what is needed."""

import math
import re
import subprocess
import sys
from dataclasses import replace

import cadquery
import pytest
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Quantity import Quantity_Color, Quantity_TypeOfColor
from OCP.STEPCAFControl import STEPCAFControl_Reader
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label, TDF_LabelSequence
from OCP.TDocStd import TDocStd_Document
from OCP.XCAFDoc import XCAFDoc_ColorType, XCAFDoc_DocumentTool

from plategen.bracket.envelope import barrel_start_mm, lug_outline
from plategen.flat.loop import Circle
from plategen.flat.placement import Placement
from plategen.ground.refusal import Refusal
from plategen.rail.surface import Rail
from plategen.solid import kernel as solid
from plategen.solid.bodies import job_bodies, plate_bodies, rail_solid
from plategen.solid.step import step_bytes
from tests.support.cut_examples import keyhole_plate, slotted_plate
from tests.support.example_work import example_work, fitted

WALL_MM, BARREL_MM = 6.35, 60.325


def read_parts(step: bytes, tmp_path) -> dict[str, tuple[cadquery.Shape, tuple[float, ...]]]:
    """Name, placed shape and colour of every part, by the kernel's document reader."""
    path = tmp_path / "bracket.step"
    path.write_bytes(step)
    document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
    reader = STEPCAFControl_Reader()
    reader.SetNameMode(True)
    reader.SetColorMode(True)
    assert reader.ReadFile(str(path)) == IFSelect_ReturnStatus.IFSelect_RetDone
    reader.Transfer(document)
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    colours = XCAFDoc_DocumentTool.ColorTool_s(document.Main())
    roots, parts = TDF_LabelSequence(), {}
    shapes.GetFreeShapes(roots)
    assert roots.Length() == 1
    components = TDF_LabelSequence()
    shapes.GetComponents_s(roots.Value(1), components)
    for i in range(1, components.Length() + 1):
        part = TDF_Label()
        shapes.GetReferredShape_s(components.Value(i), part)
        name = TDataStd_Name()
        assert part.FindAttribute(TDataStd_Name.GetID_s(), name)
        # the kernel keeps the colour of a part of several bodies on the bodies
        shape, colour = cadquery.Shape.cast(shapes.GetShape_s(part)), Quantity_Color()
        coloured = [
            colours.GetColor(piece.wrapped, kind, colour)
            for piece in (shape, *shape.Solids())
            for kind in (XCAFDoc_ColorType.XCAFDoc_ColorGen, XCAFDoc_ColorType.XCAFDoc_ColorSurf)
        ]
        assert any(coloured)
        rgb = colour.Values(Quantity_TypeOfColor.Quantity_TOC_sRGB)
        parts[name.Get().ToExtString()] = (cadquery.Shape.cast(shapes.GetShape_s(components.Value(i))), rgb)
    return parts


def test_every_part_comes_back_named_coloured_placed_and_of_the_right_size(tmp_path) -> None:
    work = example_work()
    bodies = job_bodies(work)
    parts = read_parts(step_bytes("Bracket", bodies), tmp_path)
    assert list(parts) == ["ear_near", "ear_far", "rail", "cylinder_envelope", "pin"]
    for body in bodies:
        assert parts[body.name][1] == pytest.approx(body.colour, abs=2e-3)
    for plate in work.bracket.plates:
        shape = parts[plate.name][0]
        assert shape.isValid()
        assert shape.Volume() == pytest.approx(plate.area_mm2 * plate.thickness_mm, rel=1e-6)
        box, (u0, v0, u1, v1) = shape.BoundingBox(tolerance=1e-4), plate.outline.bounds
        w0 = plate.placement.origin[2]
        assert (box.xmin, box.ymin, box.zmin) == pytest.approx((u0, v0, w0), abs=1e-3)
        assert (box.xmax, box.ymax, box.zmax) == pytest.approx((u1, v1, w0 + plate.thickness_mm), abs=1e-3)


@pytest.mark.parametrize("plate", [slotted_plate(), keyhole_plate()], ids=lambda p: p.name)
def test_exact_faces_and_volume(plate, tmp_path) -> None:
    turned = replace(plate, placement=Placement((10.0, -20.0, 30.0), (0.0, 0.6, 0.8), (1.0, 0.0, 0.0)))
    (body,) = plate_bodies(replace(example_work().bracket, plates=(turned,)))
    step = step_bytes("Bracket", [body])
    shape = read_parts(step, tmp_path)[plate.name][0]
    assert shape.Volume() == pytest.approx(plate.area_mm2 * plate.thickness_mm, rel=1e-9)
    assert {face.geomType() for face in shape.Faces()} == {"PLANE", "CYLINDER"}
    assert b"B_SPLINE" not in step
    centre = cadquery.Shape.centerOfMass(shape).toTuple()
    alone = cadquery.Shape.centerOfMass(cadquery.Shape.cast(solid.plate_solid(plate))).toTuple()
    assert centre == pytest.approx(turned.placement.point(complex(alone[0], alone[1]), alone[2]), abs=1e-6)


@pytest.mark.parametrize("schema", ["AP214", "AP242"])
def test_units_schema_and_the_same_bytes_every_time(schema) -> None:
    bodies = plate_bodies(example_work().bracket)
    step = step_bytes("Bracket", bodies, schema)
    step_bytes("Other", bodies, "AP214")
    assert step_bytes("Bracket", bodies, schema) == step
    assert b"SI_UNIT(.MILLI.,.METRE.)" in step
    assert {"AP214": b"AUTOMOTIVE_DESIGN", "AP242": b"AP242"}[schema] in step
    assert b"2000-01-01T00:00:00" in step
    assert sorted(re.findall(rb"PRODUCT\('(\w+)'", step)) == [b"Bracket", b"ear_far", b"ear_near"]


def test_writing_says_nothing_on_the_screen(capfd) -> None:
    step_bytes("Bracket", plate_bodies(example_work().bracket))
    assert capfd.readouterr() == ("", "")


def test_two_parts_of_one_name_are_refused() -> None:
    body = plate_bodies(example_work().bracket)[0]
    with pytest.raises(Refusal, match='two parts are named "ear_near"'):
        step_bytes("Bracket", [body, body])


def test_a_rail_traced_once_is_exact_planes_and_cylinders() -> None:
    rail = Rail(traces=(fitted(),), inline_offset_mm=95.25)
    shape = cadquery.Shape.cast(rail_solid(rail, example_work().bracket, WALL_MM))
    assert shape.isValid()
    assert {face.geomType() for face in shape.Faces()} == {"PLANE", "CYLINDER"}
    section = rail.section(0.0)
    # area of a strip beside a curve: length times width less half the width squared times the turn
    turn = sum(s.sweep_rad for s in section)
    area = section.length * WALL_MM - turn * WALL_MM**2 / 2
    box = shape.BoundingBox()
    assert shape.Volume() == pytest.approx(area * (box.zmax - box.zmin), rel=1e-6)


def test_a_ruled_rail_carries_the_traced_surface() -> None:
    work = example_work()
    shape = cadquery.Shape.cast(rail_solid(work.rail, work.bracket, WALL_MM))
    assert shape.isValid()
    for w in (-5.0, 0.0, 20.0, 40.0):
        section = work.rail.section(w)
        for share in (0.1, 0.45, 0.56, 0.9):
            p = section.point(section.length * share)
            vertex = cadquery.Vertex.makeVertex(p.real, p.imag, w)
            assert vertex.distance(shape) < 1e-4


def test_barrel_begins_where_it_clears_the_ears() -> None:
    work = example_work()
    begins = barrel_start_mm(work.bracket, BARREL_MM)
    u, v, w = work.bracket.pin.centre

    def overlap(start: float) -> float:
        barrel = cadquery.Solid.makeCylinder(BARREL_MM / 2, 100.0, (u + start, v, w), (1, 0, 0))
        ears = [
            cadquery.Shape.cast(solid.plate_solid(p).Located(solid.location(p.placement))) for p in work.bracket.plates
        ]
        return sum(barrel.intersect(ear).Volume() for ear in ears)

    assert overlap(begins + 1e-3) == pytest.approx(0.0, abs=1e-6)
    assert overlap(begins - 0.5) > 0.0
    assert lug_outline(work.bracket.pin, begins).area == pytest.approx(
        2 * work.bracket.pin.eye_radius_mm * begins + math.pi * work.bracket.pin.eye_radius_mm**2 / 2
    )
    narrow = 2 * work.bracket.pin.gap_mm
    assert barrel_start_mm(work.bracket, narrow) == work.bracket.pin.eye_radius_mm


def test_a_missing_library_is_named_with_the_package_that_brings_it(monkeypatch) -> None:
    def broken(name: str) -> None:
        raise ImportError("libGL.so.1: cannot open shared object file: No such file or directory")

    monkeypatch.setattr(solid.importlib, "import_module", broken)
    solid.kernel.cache_clear()
    try:
        with pytest.raises(solid.SolidUnavailable, match=r"libGL\.so\.1.*apt install libgl1"):
            solid.prism(Circle(0j, 5.0), 3.0)
    finally:
        solid.kernel.cache_clear()
    assert "pip install cadquery" in solid.why_unavailable("No module named 'OCP'")
    assert "libfoo.so.3" in solid.why_unavailable("libfoo.so.3: cannot open shared object file")


def test_nothing_of_the_kernel_is_loaded_before_a_solid_is_asked_for() -> None:
    code = (
        "import sys, plategen.solid.step, plategen.solid.bodies, plategen.cut.table.cutting;"
        "import plategen.tell.picture.view;"
        "print([m for m in ('OCP', 'cadquery', 'vtkmodules', 'scipy', 'ezdxf', 'matplotlib') if m in sys.modules])"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "[]\n"


def test_the_modelling_layer_above_the_kernel_is_never_loaded() -> None:
    code = (
        "import sys; sys.path.insert(0, 'tests/shop');"
        "from tests.support.example_work import example_work;"
        "from plategen.solid.bodies import plate_bodies; from plategen.solid.step import step_bytes;"
        "step_bytes('x', plate_bodies(example_work().bracket));"
        "print([m for m in ('cadquery', 'vtkmodules', 'scipy') if m in sys.modules])"
    )
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "[]\n"
