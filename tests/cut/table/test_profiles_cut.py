"""Every example job's cutting files and solids: one shape in two formats, and no steel inside the rail's."""

import io
from functools import cache
from itertools import pairwise
from pathlib import Path

import cadquery
import ezdxf
import pytest

from plategen.bracket.envelope import barrel_start_mm
from plategen.cut.dxf import LAYER_COLOURS
from plategen.cut.dxf_read import read_dxf
from plategen.cut.table.cutting import plate_dxf
from plategen.flat.segment import SHORTEST_EDGE_MM
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.solid.bodies import job_bodies
from plategen.solid.clearance import common_mm3
from plategen.solid.kernel import location
from plategen.work import Work

PROFILES = sorted(path.parent for path in (Path(__file__).parents[3] / "profiles").glob("*/job.toml"))
profiles = pytest.mark.parametrize("profile", PROFILES, ids=lambda path: path.name)


@cache
def work_of(profile: Path) -> Work:
    loaded = load_job(profile)
    return carry_through(loaded.job, loaded.traces)


@profiles
def test_dxf_area_times_thickness_is_the_solids_volume(profile: Path) -> None:
    work = work_of(profile)
    bodies = {body.name: body.shape for body in job_bodies(work)}
    for plate in work.bracket.plates:
        if plate.name not in bodies:
            assert work.bracket.folded is not None  # a flange of a bent plate; tests/solid holds that
            continue
        drawn = read_dxf(plate_dxf(plate, work.job.units, work.bracket.welds))
        cut = abs(drawn.on("CUT-OUTSIDE")[0].area) - sum(abs(c.area) for c in drawn.on("CUT-INSIDE"))
        drilled = sum(hole.circle.area for hole in plate.holes if hole.made == "drill")
        volume = cadquery.Shape.cast(bodies[plate.name]).Volume()
        if not getattr(plate, "rolled_mm", None):
            assert volume == pytest.approx((cut - drilled) * plate.thickness_mm, rel=1e-6)


@profiles
def test_cutting_layers_hold_only_closed_clean_outlines(profile: Path) -> None:
    work = work_of(profile)
    for plate in work.bracket.plates:
        drawing = ezdxf.read(io.StringIO(plate_dxf(plate, work.job.units, work.bracket.welds)))
        audit = drawing.audit()
        assert not audit.errors
        assert not audit.fixes
        space = drawing.modelspace()
        assert {e.dxftype() for e in space} <= {"LINE", "ARC", "CIRCLE", "LWPOLYLINE"}
        assert {e.dxf.layer for e in space} <= set(LAYER_COLOURS)
        (outline,) = space.query('*[layer=="CUT-OUTSIDE"]')
        assert outline.closed
        scale = {"in": 25.4, "mm": 1.0}[work.job.units]
        corners = [complex(x, y) * scale for x, y in outline.get_points("xy")]
        assert min(abs(b - a) for a, b in pairwise([*corners, corners[0]])) >= SHORTEST_EDGE_MM
        assert all(edge.length >= SHORTEST_EDGE_MM for edge in plate.outline.segments)


@profiles
def test_no_plate_is_inside_the_rail_nor_the_barrel_by_the_kernels_own_boolean(profile: Path) -> None:
    work = work_of(profile)
    placed = {body.name: body.shape.Located(location(body.placement)) for body in job_bodies(work)}
    stands_on = "rail" if "rail" in placed else "tube"
    bent = {plate.name for plate in work.bracket.plates} - set(placed)
    assert not bent or work.bracket.folded is not None
    for plate in (plate for plate in work.cut_plates if plate.name in placed):
        # 0.02 mm over its contact with the rail is what an overlap may be: of its edge, or of a face bolted to it
        flat = plate.role in ("base", "backing", "formed", "shim")
        allowed = 0.02 * (plate.area_mm2 if flat else plate.thickness_mm * plate.outline.length / 4)
        assert common_mm3(placed[plate.name], placed[stands_on]) <= allowed
        assert common_mm3(placed[plate.name], placed["cylinder_envelope"]) <= 1e-3
    assert barrel_start_mm(work.bracket, work.job.cylinder.body_diameter_mm) >= work.bracket.pin.eye_radius_mm
