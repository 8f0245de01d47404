"""The report: the keys other programs rely on, and figures checked against the geometry they stand for."""

import json
import math
from collections import Counter
from dataclasses import replace
from pathlib import Path

import msgspec
import pytest

from plategen.bracket.measure import STEEL_KG_PER_MM3
from plategen.checks.finding import Check
from plategen.checks.finding import part as plate_part
from plategen.ground.cure import Change, Cure, advise, set_to
from plategen.ground.message import message, mm, size
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.tell.report.encode import json_text
from plategen.tell.report.finding import ChangeReport
from plategen.tell.report.job import JobReport, job_report
from plategen.tell.report.trace import BendReport, FlatReport, trace_report
from tests.support.example_work import FOOT_MM, HOLE_MM, IN, NOSE_MM, example_work, rail_chain

KEYS = {
    "": {"format", "title", "units", "traces", "plates", "welds", "weld_length_mm", "findings", "cautions"},
    "traces": {"file", "plane_mm", "readings", "doubtful", "rms_mm", "pieces"},
    "plates": {
        "name", "file", "thickness_mm", "count", "area_mm2", "mass_kg", "cut_length_mm", "width_mm", "height_mm",
        "frame", "holes", "fit",
    },
    "welds": {"name", "plate", "side", "length_mm", "leg_mm", "joint_angle_deg"},
    "findings": {"check", "part", "demand", "capacity", "unit", "ratio", "verdict", "source"},
}  # fmt: skip


def test_every_promised_key_is_there_and_it_is_json():
    told = json.loads(json_text(job_report(example_work())))
    assert told["format"] == 1
    assert KEYS[""] <= told.keys()
    for part in ("traces", "plates", "welds", "findings"):
        for item in told[part]:
            assert KEYS[part] <= item.keys()
    plate = told["plates"][0]
    assert plate["frame"].keys() == {"origin_mm", "u", "v"}
    assert plate["fit"].keys() == {
        "gap_near_mm", "gap_far_mm", "overlap_mm", "expected_gap_mm", "expected_bind_mm", "home_gap_mm",
        "home_pin_off_mm",
    }  # fmt: skip
    assert {
        "name", "diameter_mm", "centre_mm", "made", "edge_distance_mm", "edge_distance_required_mm", "source"
    } <= plate["holes"][0].keys()  # fmt: skip


def test_figures_are_the_geometry_s():
    report = job_report(example_work())
    plate = report.plates[0]
    hole = plate.holes[0]
    assert hole.edge_distance_mm == pytest.approx(NOSE_MM)
    assert hole.diameter_mm == HOLE_MM
    assert plate.file == "ear_near.dxf"
    assert plate.mass_kg == pytest.approx(plate.area_mm2 * 9.525 * 7850e-9)
    assert plate.cut_length_mm == pytest.approx(example_work().bracket.plates[0].outline.length + math.pi * HOLE_MM)
    notch = rail_chain()
    flat, bend, _ = notch
    along = flat.length - FOOT_MM[0] + bend.length + (FOOT_MM[1] - bend.end.real) / math.cos(math.radians(12))
    assert report.welds[0].length_mm == pytest.approx(along)
    assert report.weld_length_mm == pytest.approx(4 * along)
    assert report.welds[0].joint_angle_deg == pytest.approx([88.0, 94.0])


def test_area_and_mass_against_shapely_and_the_book_density():
    """7850 kg/m3 is 0.2836 lb/in3, the value of the Manual of Steel Construction (from memory)."""
    shapely = pytest.importorskip("shapely")
    plate = example_work().bracket.plates[0]
    ring = [s.point(k / 200) for s in plate.outline for k in range(200)]
    area = shapely.Polygon([(p.real, p.imag) for p in ring]).area - math.pi / 4 * HOLE_MM**2
    assert job_report(example_work()).plates[0].area_mm2 == pytest.approx(area, rel=1e-5)
    assert pytest.approx(0.2836, abs=5e-5) == STEEL_KG_PER_MM3 / 0.45359237 * IN**3


def test_a_pin_hole_is_told_from_every_edge_and_shapely_finds_the_same():
    shapely = pytest.importorskip("shapely")
    loaded = load_job(Path(__file__).parents[3] / "profiles" / "sprayer-kicked-rail")
    work = carry_through(loaded.job, loaded.traces)
    plate = work.bracket.plates[0]
    hole = job_report(work).plates[0].holes[0]
    assert Counter(e.edge for e in hole.edges) == {"notch": 3, "toe": 2, "corner": 2, "flank": 2, "nose": 1}
    assert hole.edges[0].from_centre_mm == pytest.approx(hole.edge_distance_mm)
    centre = shapely.Point(hole.centre_mm)
    found = sorted(
        shapely.LineString([(p.real, p.imag) for p in (s.point(k / 2000) for k in range(2001))]).distance(centre)
        for s in plate.outline
    )
    assert [e.from_centre_mm for e in hole.edges] == pytest.approx(found, abs=1e-3)
    for e in hole.edges:
        assert e.from_hole_mm == pytest.approx(e.from_centre_mm - hole.diameter_mm / 2)
        assert 0.0 <= e.direction_deg < 360.0


def test_a_trace_is_told_reading_by_reading_and_piece_by_piece():
    trace = trace_report(example_work().rail.traces[0])
    assert (trace.readings, trace.pieces, trace.doubtful) == (13, 3, (4,))
    assert trace.read[4].residual_mm == pytest.approx(IN)
    assert trace.read[4].doubtful is True
    assert [type(piece) for piece in trace.fitted] == [FlatReport, BendReport, FlatReport]
    assert trace.fitted[1].radius_mm == pytest.approx(40.0)
    assert trace.fitted[1].kick_deg == pytest.approx(12.0)
    assert trace.fitted[2].lie_deg == pytest.approx(12.0)


def test_findings_are_the_ones_that_were_judged():
    work = example_work()
    for told, finding in zip(job_report(work).findings, work.findings, strict=True):
        assert (told.check, told.ratio, told.verdict) == (finding.check, finding.ratio, finding.verdict)


def test_nothing_to_carry_a_demand_is_null_not_a_broken_file():
    finding = Check("clear edge", "hole", "N", source="derived").strength(plate_part("ear"), demand=1.0, capacity=0.0)
    report = job_report(replace(example_work(), findings=(finding,)))
    assert report.findings[0].ratio is None
    assert report.findings[0].verdict == "stop"
    assert json.loads(json_text(report))["findings"][0]["ratio"] is None


def test_a_cure_is_told_in_words_and_as_the_keys_it_sets():
    """Numbers, lists and words of the job file, each with its unit, and the same again from the JSON."""
    cures = (
        set_to("weld.leg", size(7.9375), "leg to {}"),
        Cure(message("a longer foot"), (Change("mount.foot", (mm(50.8), mm(381.0))), Change("weld.electrode", "E80"))),
        advise("a larger pin"),
    )
    check = Check("clear edge", "hole", "mm", limit="at least")
    findings = tuple(
        check.at_least(plate_part("ear"), least=2.0, there=1.0, cure=lambda cure=cure: cure) for cure in cures
    )
    report = job_report(replace(example_work(), findings=findings))
    leg, foot, pin = report.findings
    assert leg.changes == (ChangeReport(key="weld.leg", value=7.9375, unit="mm"),)
    assert foot.changes == (
        ChangeReport(key="mount.foot", value=(50.8, 381.0), unit="mm"),
        ChangeReport(key="weld.electrode", value="E80", unit=""),
    )
    assert pin.changes == ()
    assert report.units == "in"
    assert [f.cure for f in report.findings] == ["leg to 5/16 in", "a longer foot", "a larger pin"]
    assert {f.limit for f in report.findings} == {"at least"}
    assert msgspec.json.decode(json_text(report), type=JobReport).findings == report.findings


def test_what_an_example_s_cures_set_is_what_the_report_says():
    loaded = load_job(Path(__file__).parents[3] / "profiles" / "sprayer-kicked-rail")
    hard = loaded.job.replaced(cylinder=loaded.job.cylinder.replaced(pressure_mpa=60.0))
    work = carry_through(hard, loaded.traces)
    cured = [finding for finding in work.findings if finding.cure and finding.cure.changes]
    told = [finding for finding in job_report(work).findings if finding.changes]
    assert len(cured) > 3

    def number(to):
        return tuple(q.value for q in to) if isinstance(to, tuple) else getattr(to, "value", to)

    for finding, row in zip(cured, told, strict=True):
        assert [(c.key, number(c.to)) for c in finding.cure.changes] == [(c.key, c.value) for c in row.changes]
        assert row.verdict != "ok"
