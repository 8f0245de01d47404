"""The cutting file against readers that did not write it, and against areas known by hand."""

import cmath
import io
import itertools
import logging
import math

import cadquery
import ezdxf
import numpy as np
import pyogrio
import pytest
import shapely
from ezdxf import bbox

from plategen.bracket.model import Plate
from plategen.cut.dxf import LAYER_COLOURS, dxf_name, dxf_text
from plategen.cut.dxf_read import read_dxf
from plategen.cut.kerf import compensated
from plategen.cut.lead import LeadRule, led
from plategen.cut.part import Cut, CutPart, cut_part
from plategen.cut.proof import check_cut, confirm_dxf, proved_dxf
from plategen.cut.table.cutting import plate_dxf, plate_part, side_by_side
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, Line
from plategen.ground.refusal import Refusal
from tests.support.cut_examples import keyhole_plate, rectangle, slot, slotted_plate
from tests.support.example_work import example_work

PLATES = [slotted_plate(), keyhole_plate(), *example_work().bracket.plates]
VERSIONS = ["R12", "R2000", "R2013"]
ENTITIES = ["polylines", "lines and arcs"]
MM = {"in": 25.4, "mm": 1.0}

plates = pytest.mark.parametrize("plate", PLATES, ids=lambda p: p.name)
versions = pytest.mark.parametrize("version", VERSIONS)
entities = pytest.mark.parametrize("entities", ENTITIES)
units = pytest.mark.parametrize("units", ["in", "mm"])


def cut_area(plate: Plate) -> float:
    """What the table cuts out: drilled holes are still full."""
    return plate.area_mm2 + sum(h.circle.area for h in plate.holes if h.made == "drill")


@plates
@versions
@units
def test_the_extents_are_those_of_what_is_drawn(plate: Plate, version: str, units: str) -> None:
    """By the library's own bounding boxes; arcs flattened to a thousandth of a millimetre."""
    text = plate_dxf(plate, units, (), version)
    drawing = ezdxf.read(io.StringIO(text))
    box = bbox.extents(drawing.modelspace(), fast=False)
    for mark, corner in (("$EXTMIN", box.extmin), ("$EXTMAX", box.extmax)):
        assert drawing.header[mark] == pytest.approx(tuple(corner), abs=0.02)


@plates
@versions
@entities
@units
def test_areas_come_back_through_our_reader(plate: Plate, version: str, entities: str, units: str) -> None:
    text = plate_dxf(plate, units, (), version, entities)
    drawn = read_dxf(text, MM[units] if version == "R12" else None)
    outside, inside = drawn.on("CUT-OUTSIDE"), drawn.on("CUT-INSIDE")
    assert len(outside) == 1
    assert abs(outside[0].area) - sum(abs(c.area) for c in inside) == pytest.approx(cut_area(plate), rel=1e-9)
    assert outside[0].length == pytest.approx(plate.outline.length, rel=1e-9)


@plates
@versions
@units
def test_areas_through_gdal(plate: Plate, version: str, units: str, tmp_path) -> None:
    # GDAL draws arcs as chords: at 0.05 degrees their area is short by about one part in ten million
    pyogrio.set_gdal_config_options({"OGR_ARC_STEPSIZE": "0.05", "DXF_MERGE_BLOCK_GEOMETRIES": "NO"})
    path = tmp_path / dxf_name(plate.name, units, version)
    path.write_text(plate_dxf(plate, units, (), version))
    meta, _, geometry, fields = pyogrio.raw.read(path)
    layer = fields[list(meta["fields"]).index("Layer")]
    shapes = shapely.from_wkb(geometry)
    areas = {}
    for name, shape in zip(layer, shapes, strict=True):
        if name.startswith("CUT"):
            ring = np.asarray(shapely.get_coordinates(shape))
            assert np.allclose(ring[0], ring[-1], atol=1e-9), "closed"
            areas[name] = areas.get(name, 0.0) + shapely.Polygon(ring).area * MM[units] ** 2
    found = areas["CUT-OUTSIDE"] - areas["CUT-INSIDE"]
    assert found == pytest.approx(cut_area(plate), rel=1e-6)


@plates
@versions
@entities
def test_areas_through_the_solid_kernels_importer(plate: Plate, version: str, entities: str, tmp_path) -> None:
    path = tmp_path / "plate.dxf"
    path.write_text(plate_dxf(plate, "in", (), version, entities))
    outside, inside = (
        [face.Area() * MM["in"] ** 2 for face in cadquery.importers.importDXF(str(path), include=[layer]).vals()]
        for layer in ("CUT-OUTSIDE", "CUT-INSIDE")
    )
    assert len(outside) == 1
    assert outside[0] - sum(inside) == pytest.approx(cut_area(plate), rel=1e-6)


@plates
@versions
@entities
def test_audit_finds_nothing(plate: Plate, version: str, entities: str) -> None:
    audit = ezdxf.read(io.StringIO(plate_dxf(plate, "in", (), version, entities))).audit()
    assert not audit.errors
    assert not audit.fixes


@plates
@units
def test_only_what_tables_read(plate: Plate, units: str) -> None:
    drawing = ezdxf.read(io.StringIO(plate_dxf(plate, units, example_work().bracket.welds)))
    assert drawing.dxfversion == "AC1015"
    assert drawing.header["$INSUNITS"] == {"in": 1, "mm": 4}[units]
    assert drawing.header["$MEASUREMENT"] == {"in": 0, "mm": 1}[units]
    kept = drawing.modelspace().block_record.get_xdata("ACAD")
    assert [tag.value for tag in kept if tag.code == 1070] == [1, drawing.header["$INSUNITS"]]
    holes = len(plate.openings) + sum(h.made == "cut" for h in plate.holes)
    space = drawing.modelspace()
    assert {e.dxftype() for e in space} <= {"LINE", "ARC", "CIRCLE", "LWPOLYLINE"}
    assert {e.dxf.layer for e in space} <= set(LAYER_COLOURS)
    assert len(space.query('*[layer=="CUT-OUTSIDE"]')) == 1
    assert len(space.query('*[layer=="CUT-INSIDE"]')) == holes
    assert len(space.query('CIRCLE[layer=="CUT-INSIDE"]')) == sum(h.made == "cut" for h in plate.holes)
    order = [e.dxf.layer for e in space if e.dxf.layer.startswith("CUT")]
    assert order == ["CUT-INSIDE"] * holes + ["CUT-OUTSIDE"], "inside before outside"
    for polyline in space.query('LWPOLYLINE[layer=="CUT-OUTSIDE"]'):
        points = list(polyline.get_points("xyb"))
        assert polyline.closed
        assert math.dist(points[0][:2], points[-1][:2]) > 1e-6, "first vertex not repeated"
        assert all(abs(bulge) < 1.0 for _, _, bulge in points), "no arc of half a turn or more"
        assert points[-1][2] == 0.0, "the closing edge is a line"
        corners = [complex(x, y) * MM[units] for x, y, _ in points]
        assert min(abs(a - b) for a, b in itertools.pairwise([*corners, corners[0]])) >= 0.05


@units
def test_a_current_version_declares_its_unit_on_the_model_space_too(units: str) -> None:
    drawing = ezdxf.read(io.StringIO(plate_dxf(slotted_plate(), units, (), "R2013")))
    assert drawing.dxfversion == "AC1027"
    assert drawing.modelspace().units == drawing.header["$INSUNITS"] == {"in": 1, "mm": 4}[units]


def test_plate_and_file_have_the_same_coordinates() -> None:
    plate = slotted_plate()
    circle = ezdxf.read(io.StringIO(plate_dxf(plate, "mm"))).modelspace().query("CIRCLE").first
    assert (circle.dxf.center.x, circle.dxf.center.y, circle.dxf.radius) == (40.0, 45.0, 12.5)


def test_a_bulge_bows_to_the_side_it_should() -> None:
    # sagitta = bulge * chord / 2, to the right of the way for a left turn (AutoCAD DXF reference, group code 42)
    plate = keyhole_plate()
    lines = ezdxf.read(io.StringIO(plate_dxf(plate, "mm"))).modelspace().query('LWPOLYLINE[layer=="CUT-OUTSIDE"]').first
    points = list(lines.get_points("xyb"))
    x, y, bulge = next(p for p in points if p[2])
    following = points[(points.index((x, y, bulge)) + 1) % len(points)]
    chord = complex(*following[:2]) - complex(x, y)
    middle = (complex(*following[:2]) + complex(x, y)) / 2 - 1j * chord * bulge / 2
    assert abs(middle) == pytest.approx(50.0)


def test_drilled_holes_are_marked_inside_the_hole_and_not_cut() -> None:
    drawing = ezdxf.read(io.StringIO(plate_dxf(slotted_plate(), "mm")))
    lines = drawing.modelspace().query('LINE[layer=="PUNCH"]')
    middles = {((e.dxf.start + e.dxf.end) / 2).xyz for e in lines}
    assert middles == {(130.0, 20.0, 0.0)}
    assert all(e.dxf.start.distance(e.dxf.end) < 8.0 for e in lines)
    assert not drawing.modelspace().query("CIRCLE").filter(lambda e: e.dxf.center.x > 100)


@plates
@entities
def test_nothing_is_drawn_twice(plate: Plate, entities: str) -> None:
    drawn = ezdxf.read(io.StringIO(plate_dxf(plate, "mm", example_work().bracket.welds, "R2000", entities)))
    pieces = []
    for entity in drawn.modelspace():
        if entity.dxftype() == "LWPOLYLINE":
            pieces.extend(entity.virtual_entities())
        else:
            pieces.append(entity)
    lines = [shapely.LineString([e.dxf.start.vec2, e.dxf.end.vec2]) for e in pieces if e.dxftype() == "LINE"]
    for a, b in itertools.combinations(lines, 2):
        assert a.intersection(b).length < 1e-6
    round_pieces = [e for e in pieces if e.dxftype() != "LINE"]
    places = {
        tuple(np.round([*e.dxf.center, e.dxf.radius, e.dxf.start_angle if e.dxftype() == "ARC" else 0.0], 6))
        for e in round_pieces
    }
    assert len(places) == len(round_pieces)


def test_same_job_same_bytes_and_the_librarys_own_setting_is_left_alone() -> None:
    ears, welds = example_work().bracket.plates, example_work().bracket.welds
    before = ezdxf.options.write_fixed_meta_data_for_testing
    assert plate_dxf(ears[0], "in", welds) == plate_dxf(ears[0], "in", welds)
    assert ezdxf.options.write_fixed_meta_data_for_testing == before


def test_r12_says_nothing_to_the_screen_and_names_its_unit(caplog) -> None:
    with caplog.at_level(logging.WARNING):
        text = plate_dxf(slotted_plate(), "in", (), "R12")
    assert not caplog.records
    assert "$INSUNITS" not in text
    assert "LWPOLYLINE" not in text
    assert dxf_name("slotted", "in", "R12") == "slotted_r12_in.dxf"


def test_all_plates_together_do_not_touch() -> None:
    ears = example_work().bracket.plates
    outlines = read_dxf(proved_dxf(side_by_side(map(plate_part, ears)), "in")).on("CUT-OUTSIDE")
    boxes = [shapely.box(*o.bounds) for o in outlines]
    assert len(boxes) == len(ears)
    assert all(a.distance(b) >= 10.0 - 1e-9 for a, b in itertools.combinations(boxes, 2))
    assert sum(abs(o.area) for o in outlines) == pytest.approx(sum(p.outline.area for p in ears), rel=1e-12)


@plates
def test_name_and_ticks_lie_on_the_plate(plate: Plate) -> None:
    part = plate_part(plate, example_work().bracket.welds)
    assert part.scribe, "the name has room on every plate here"
    outline = shapely.Polygon([(p.real, p.imag) for s in plate.outline for p in (s.point(k / 64) for k in range(64))])
    for h in plate.holes:
        outline = outline.difference(shapely.Point(h.circle.centre.real, h.circle.centre.imag).buffer(h.circle.radius))
    for opening in plate.openings:
        outline = outline.difference(shapely.Polygon([(s.start.real, s.start.imag) for s in opening]))
    for chain in part.scribe:
        for segment in chain:
            line = shapely.LineString([(p.real, p.imag) for p in (segment.start, segment.end)])
            assert outline.contains(line)


@pytest.mark.parametrize(
    ("outside", "inside", "says"),
    [
        (rectangle(100, 60), [Circle(95 + 30j, 10.0)], "breaks the edge"),
        (rectangle(100, 60), [Circle(200 + 30j, 10.0)], "breaks the edge"),
        (rectangle(100, 60), [Circle(40 + 30j, 10.0), Circle(55 + 30j, 10.0)], "overlap"),
        (rectangle(100, 60), [Circle(40 + 30j, 10.0), Circle(40 + 30j, 3.0)], "overlap"),
        (rectangle(100, 60), [slot(95 + 30j, 20.0, 8.0)], "breaks the edge"),
        (rectangle(100, 60), [Circle(50 + 30j, 0.02)], "cannot be cut"),
        (Loop((Line(0j, 50 + 0j), Line(50 + 0j, 50.01 + 0j), Line(50.01 + 0j, 50j), Line(50j, 0j))), [], "too short"),
        (Loop((Line(0j, 50 + 50j), Line(50 + 50j, 50 + 0j), Line(50 + 0j, 50j), Line(50j, 0j))), [], "meets itself"),
        (
            Loop((Line(-30, 60), Arc(60 + 0j, 60 + 40j, -4.0), Line(60 + 40j, -30 + 40j), Line(-30 + 40j, -30))),
            [],
            "meets itself",
        ),
    ],
)
def test_what_cannot_be_cut_is_refused(outside, inside, says: str) -> None:
    part = CutPart(name="ear", outside=Cut(outside), inside=tuple(Cut(c) for c in inside))
    with pytest.raises(Refusal, match=says):
        check_cut(part)


def test_reading_back_finds_a_changed_file() -> None:
    part = cut_part(slotted_plate())
    smaller = CutPart(name="ear", outside=Cut(rectangle(160.0, 89.9)), inside=part.inside)
    lost = CutPart(name="ear", outside=part.outside, inside=part.inside[1:])
    confirm_dxf(dxf_text([part], "in"), (part,), "in")
    for other in (smaller, lost):
        with pytest.raises(Refusal, match="do not cut; this is a fault of plategen"):
            confirm_dxf(dxf_text([other], "in"), (part,), "in")
    with pytest.raises(Refusal, match="unit"):
        confirm_dxf(dxf_text([part], "mm"), (part,), "in")


def test_other_peoples_loose_lines_are_joined_and_strange_things_named() -> None:
    drawing = ezdxf.new("R2000", units=4)
    space = drawing.modelspace()
    space.add_line((0, 0), (10, 0))
    space.add_line((10, 10), (10, 0))  # drawn the other way
    space.add_line((0, 10), (0, 0))
    space.add_arc((5, 10), 5, 0, 180)
    space.add_text("part")
    space.add_line((50, 50), (60, 60))
    stream = io.StringIO()
    drawing.write(stream)
    drawn = read_dxf(stream.getvalue())
    assert [c.area for c in drawn.on("0")] == [pytest.approx(100.0 + math.pi * 25 / 2)] or [
        -c.area for c in drawn.on("0")
    ] == [pytest.approx(100.0 + math.pi * 25 / 2)]
    assert drawn.strange == ("TEXT",)
    assert [chain.length for _, chain in drawn.chains] == [pytest.approx(math.sqrt(200))]


@pytest.mark.parametrize("text", ["", "hello", "0\nSECTION\n", "\x00\x01\x02"])
def test_what_is_no_dxf_file_is_refused(text: str) -> None:
    with pytest.raises(Refusal, match="not a DXF file"):
        read_dxf(text)


@plates
@versions
def test_contours_run_the_way_the_torch_goes(plate: Plate, version: str) -> None:
    # common practice, no source: the squarer edge of a plasma cut lies to the right of the way
    drawn = read_dxf(plate_dxf(plate, "mm", (), version))
    assert all(contour.area < 0.0 for contour in drawn.on("CUT-OUTSIDE"))
    assert all(contour.area > 0.0 for contour in drawn.on("CUT-INSIDE"))


@plates
@versions
@entities
@pytest.mark.parametrize("turn_deg", [0.0, 37.0, 90.0])
def test_the_torch_follows_lead_contour_and_lead_without_a_jump(
    plate: Plate, version: str, entities: str, turn_deg: float
) -> None:
    turn = cmath.rect(1.0, math.radians(turn_deg))
    rule = LeadRule(radius_mm=5.0, pierce_clear_mm=4.0, corner_clear_mm=7.5)
    part = led(compensated(cut_part(plate), 1.5), rule, plate.notch).moved(turn, 200 + 100j)
    space = ezdxf.read(io.StringIO(proved_dxf([part], "mm", version, entities))).modelspace()
    path = [ends for entity in space if entity.dxf.layer in CUTTING for ends in _ends(entity)]
    # an ARC by itself runs anticlockwise by definition: of loose ones an end has to meet, whichever
    jumps = [
        (a, b)
        for a, b in itertools.pairwise(path)
        if (abs(b[0] - a[1]) if entities == "polylines" else min(abs(p - q) for p in a for q in b)) > 1e-6
    ]
    assert len(jumps) == len(part.cuts) - 1, "one rapid from each contour to the next, and nowhere else"


CUTTING = ("CUT-OUTSIDE", "CUT-INSIDE", "LEAD")


def _ends(entity) -> list[tuple[complex, complex]]:
    """Where each piece of an entity begins and ends as the torch goes; an ARC runs anticlockwise by definition."""
    kind = entity.dxftype()
    if kind == "LINE":
        return [(complex(*entity.dxf.start.vec2), complex(*entity.dxf.end.vec2))]
    if kind == "ARC":
        return [(complex(*entity.start_point.vec2), complex(*entity.end_point.vec2))]
    assert kind in ("LWPOLYLINE", "POLYLINE"), "a circle begins at its right, wherever the lead arrives"
    points = entity.get_points("xy") if kind == "LWPOLYLINE" else [v.dxf.location.vec2 for v in entity.vertices]
    corners = [complex(x, y) for x, y in points]
    closed = entity.closed if kind == "LWPOLYLINE" else entity.is_closed
    return list(itertools.pairwise([*corners, corners[0]] if closed else corners))
