"""Facets read back by other readers, beads and clearances against figures known by hand."""

import dataclasses
import io
import math
import xml.etree.ElementTree as ET
import zipfile
from collections import Counter
from pathlib import Path

import cadquery
import numpy as np
import pytest
from vtkmodules.vtkFiltersCore import vtkMassProperties
from vtkmodules.vtkIOGeometry import vtkGLTFReader, vtkSTLReader

from plategen.bracket.model import WeldRun
from plategen.flat.chain import Chain
from plategen.flat.placement import across_pin
from plategen.flat.segment import Arc, Line
from plategen.job.cutting import SolidEntry
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.solid.bodies import bead_bodies, job_bodies, pin_body, plate_bodies
from plategen.solid.clearance import clearances, job_clearances
from plategen.solid.kernel import volume_mm3
from plategen.solid.mesh import Mesh, glb_bytes, mesh_of, stl_bytes, three_mf_bytes
from tests.support.cut_examples import keyhole_plate, slotted_plate
from tests.support.example_work import example_work

WORK = example_work()
CORE = "{http://schemas.microsoft.com/3dmanufacturing/core/2015/02}"


def meshes() -> list[Mesh]:
    return [mesh_of(body) for body in plate_bodies(WORK.bracket)]


def enclosed_mm3(mesh: Mesh) -> float:
    """The sum of signed tetrahedra from the origin."""
    a, b, c = (mesh.corners[mesh.triangles[:, k]] for k in range(3))
    return float(np.einsum("ij,ij->i", a, np.cross(b, c)).sum() / 6.0)


@pytest.mark.parametrize("plate", [slotted_plate(), keyhole_plate()], ids=lambda p: p.name)
def test_facets_are_closed_turned_outwards_and_nearly_exact(plate) -> None:
    mesh = mesh_of(plate_bodies(dataclasses.replace(WORK.bracket, plates=(plate,)))[0])
    sides = Counter((int(a), int(b)) for t in mesh.triangles for a, b in ((t[0], t[1]), (t[1], t[2]), (t[2], t[0])))
    assert all(count == 1 and sides[b, a] == 1 for (a, b), count in sides.items()), "every side met once from each way"
    assert enclosed_mm3(mesh) == pytest.approx(plate.area_mm2 * plate.thickness_mm, rel=2e-3)


def test_stl_through_vtk(tmp_path) -> None:
    path = tmp_path / "bracket.stl"
    path.write_bytes(stl_bytes(meshes(), "Bracket"))
    reader, mass = vtkSTLReader(), vtkMassProperties()
    reader.SetFileName(str(path))
    mass.SetInputConnection(reader.GetOutputPort())
    mass.Update()
    assert mass.GetVolume() == pytest.approx(sum(map(enclosed_mm3, meshes())), rel=1e-5)


def test_gltf_through_vtk(tmp_path) -> None:
    path = tmp_path / "bracket.glb"
    path.write_bytes(glb_bytes(meshes(), "Bracket"))
    reader = vtkGLTFReader()
    reader.SetFileName(str(path))
    reader.Update()
    blocks, bounds = reader.GetOutput(), [0.0] * 6
    blocks.GetBounds(bounds)
    boxes = [plate.outline.bounds for plate in WORK.bracket.plates]
    assert bounds[0] * 1000 == pytest.approx(min(b[0] for b in boxes), abs=1e-3)
    assert bounds[3] * 1000 == pytest.approx(max(b[3] for b in boxes), abs=1e-3)
    assert b'"name":"ear_far"' in path.read_bytes()


def test_3mf_holds_named_coloured_closed_objects_in_millimetres() -> None:
    package = zipfile.ZipFile(io.BytesIO(three_mf_bytes(meshes(), "Bracket <1>")))
    assert package.testzip() is None
    assert set(package.namelist()) == {"[Content_Types].xml", "_rels/.rels", "3D/3dmodel.model"}
    model = ET.fromstring(package.read("3D/3dmodel.model"))
    assert model.get("unit") == "millimeter"
    objects = model.findall(f"{CORE}resources/{CORE}object")
    assert [o.get("name") for o in objects] == ["ear_near", "ear_far"]
    for element, mesh in zip(objects, meshes(), strict=True):
        assert len(element.findall(f".//{CORE}triangle")) == len(mesh.triangles)
        assert len(element.findall(f".//{CORE}vertex")) == len(mesh.corners)
    assert len(model.findall(f"{CORE}build/{CORE}item")) == 2


def test_same_job_same_bytes() -> None:
    for write in (stl_bytes, three_mf_bytes, glb_bytes):
        assert write(meshes(), "Bracket") == write(meshes(), "Bracket")


def test_beads_lie_on_their_faces_with_the_leg_asked() -> None:
    plate = slotted_plate()
    leg, joint = 6.0, math.radians(100)
    top = Chain((Line(160 + 90j, 90j),))
    runs = tuple(
        WeldRun(
            joint="rail", name=name, plate="slotted", other="rail", side="outside", path=top, placement=across_pin(w),
            leg_mm=leg, joint_angle_rad=(joint, joint), gap_mm=0.0, electrode="E70",
        )
        for name, w in (("W1", 5.0), ("W2", 17.0))
    )  # fmt: skip
    beads = bead_bodies(dataclasses.replace(WORK.bracket, plates=(plate,), welds=runs))
    assert [bead.name for bead in beads] == ["bead_W1", "bead_W2"]
    for bead, (low, high) in zip(
        beads, ((5.0 - leg * math.sin(joint), 5.0), (17.0, 17.0 + leg * math.sin(joint))), strict=True
    ):
        # area of a triangle with two sides of the leg at the joint's angle, times the length
        assert volume_mm3(bead.shape) == pytest.approx(leg**2 / 2 * math.sin(joint) * 160.0, rel=1e-9)
        box = cadquery.Shape.cast(bead.shape).BoundingBox()
        assert (box.zmin, box.zmax) == pytest.approx((low, high), abs=1e-4)
        # into the plate by the leg, and over its edge by what the obtuse joint gives
        assert box.ymin == pytest.approx(90.0 - leg, abs=1e-4)
        assert box.ymax == pytest.approx(90.0 - leg * math.cos(joint), abs=1e-4)


def test_a_bead_round_an_arc_has_pappus_volume() -> None:
    plate = keyhole_plate()
    (arc, *_) = plate.outline.segments
    assert isinstance(arc, Arc)
    run = WeldRun(
        joint="rail", name="W1", plate="keyhole", other="rail", side="outside", path=Chain((arc,)),
        placement=across_pin(0.0), leg_mm=5.0, joint_angle_rad=(math.pi / 2, math.pi / 2), gap_mm=0.0, electrode="E70",
    )  # fmt: skip
    (bead,) = bead_bodies(dataclasses.replace(WORK.bracket, plates=(plate,), welds=(run,)))
    # the triangle's centre of area lies a third of the leg inside the radius
    assert volume_mm3(bead.shape) == pytest.approx(12.5 * math.radians(300) * (50 - 5.0 / 3), rel=1e-6)


def test_beads_join_the_job_only_when_asked() -> None:
    plain = [body.name for body in job_bodies(WORK)]
    with_beads = dataclasses.replace(
        WORK, design=dataclasses.replace(WORK.design, job=WORK.job.replaced(solid=SolidEntry(beads=True)))
    )
    assert [b.name for b in job_bodies(with_beads)] == [*plain, *(f"bead_{weld.name}" for weld in WORK.bracket.welds)]


def test_gaps_and_overlaps_are_those_drawn() -> None:
    plate = slotted_plate()
    far = dataclasses.replace(plate, name="far", placement=across_pin(30.0))
    into = dataclasses.replace(plate, name="into", placement=across_pin(15.0))
    bodies = plate_bodies(dataclasses.replace(WORK.bracket, plates=(plate, far, into)))
    one, two, three = clearances(bodies)
    assert (one.gap_mm, one.overlap_mm3) == (pytest.approx(13.0), 0.0)
    assert two.gap_mm == 0.0
    assert two.overlap_mm3 == pytest.approx(plate.area_mm2 * 2.0, rel=1e-6)
    assert (three.gap_mm, three.overlap_mm3) == (pytest.approx(3.0), 0.0)


def test_the_jobs_own_clearances() -> None:
    told = {(c.one, c.other): c for c in job_clearances(WORK)}
    pin = WORK.bracket.pin
    for plate in WORK.bracket.plates:
        assert told[plate.name, "eye"].gap_mm == pytest.approx(pin.gap_mm, abs=1e-6)
        slack = plate.holes[0].circle.radius - pin.diameter_mm / 2
        assert told[plate.name, "pin"].gap_mm == pytest.approx(slack, abs=1e-6)
        assert told[plate.name, "pin"].overlap_mm3 == 0.0
    assert told["cylinder_envelope", "rail"].gap_mm > 20.0
    assert pin_body(WORK.bracket).name == "pin"


def test_plates_are_told_against_what_they_stand_on_and_against_near_plates() -> None:
    loaded = load_job(Path(__file__).parents[2] / "profiles" / "quarry-screen-corner")
    work = carry_through(loaded.job, loaded.traces)
    told = {(c.one, c.other): c for c in job_clearances(work)}
    for plate in work.bracket.plates:
        found = told[plate.name, "rail"]
        # the notch is the envelope of the rail's sections: it touches the rail and takes none of its steel
        assert (found.gap_mm, found.overlap_mm3) == (pytest.approx(0.0, abs=1e-3), 0.0)
    assert 0.0 < told["ear_near", "closing_back"].gap_mm < 1.0
    assert ("ear_near", "ear_far") not in told, "far apart"
    into = dataclasses.replace(
        work.bracket.plates[0].placement, origin=(0.0, 2.0, work.bracket.plates[0].placement.origin[2])
    )
    shifted = dataclasses.replace(work.bracket.plates[0], placement=into)
    bracket = dataclasses.replace(work.bracket, plates=(shifted, *work.bracket.plates[1:]))
    wrong = {(c.one, c.other): c for c in job_clearances(dataclasses.replace(work, bracket=bracket))}
    assert wrong[shifted.name, "rail"].overlap_mm3 > 100.0, "a plate pushed 2 mm into the rail is found"
