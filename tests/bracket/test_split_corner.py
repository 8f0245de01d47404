"""Tabs whose notch goes round the rail's corner: from each kind of trace, both legs welded, and left alone in reach."""

import math
import shutil
from functools import cache
from pathlib import Path

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from plategen.bracket.model import Bracket, Plate
from plategen.checks.load_path import bolt_joints
from plategen.cut.table.cutting import plate_dxf
from plategen.flat.chain import Chain
from plategen.flat.clip import extended
from plategen.flat.distance import offset_from
from plategen.flat.segment import Arc
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.bracket import Mount
from plategen.job.load import load_job
from plategen.make import carry_through, fit_rail, on_rail
from plategen.rail.reading import read_trace
from plategen.rail.surface import Rail
from plategen.solid.bodies import job_bodies
from plategen.solid.kernel import plate_solid, volume_mm3
from plategen.tell.picture.plate_station import stations
from tests.support.brackets import corner_job, corner_rail
from tests.support.corners import corner_profile, exact_rail, turned_over
from tests.support.designs import built
from tests.support.refused import is_one_line, outcome
from tests.support.style_jobs import CASES, assert_sound, overlaps, split

PROFILES = Path(__file__).parents[2] / "profiles"
BUILT_FOR_MM = 112.0
REACH_MM = 8.0


def _job(offset_mm: float = BUILT_FOR_MM, **given: object) -> Job:
    """Bolts under the rail's corner at station 300, the pin beyond it; the foot left out unless given."""
    job = corner_job(True)
    table = {"built_for_mm": BUILT_FOR_MM, "reach_mm": REACH_MM, "adjust": "slots", "height_mm": 70.0,
             "row_spacing_mm": 90.0, "station_mm": 270.0, "bolt_mm": 20.0}  # fmt: skip
    mount = Mount(
        inline_offset_mm=offset_mm,
        pin_station_mm=given.pop("pin_station_mm", 340.0),  # type: ignore[arg-type]
        foot_mm=given.pop("foot_mm", (120.0,)),  # type: ignore[arg-type]
        foot_rise_mm=given.pop("foot_rise_mm", 140.0),  # type: ignore[arg-type]
    )
    bracket = job.bracket.replaced(style="split", **given.pop("bracket", {}))  # type: ignore[arg-type]
    return job.replaced(mount=mount, bracket=bracket, split=split(**{**table, **given}))


def _on(rail: Rail, offset_mm: float) -> Rail:
    return Rail(traces=rail.traces, inline_offset_mm=offset_mm)


def _tabs(bracket: Bracket) -> list[Plate]:
    return [plate for plate in bracket.plates if plate.name.startswith("tab")]


def _tab_files(bracket: Bracket, units: str = "mm") -> list[str]:
    return [plate_dxf(plate, units, bracket.welds) for plate in _tabs(bracket)]  # type: ignore[arg-type]


@pytest.mark.parametrize("chosen", [False, True])
@pytest.mark.parametrize("adjust", ["slots", "recut", "ladder"])
@pytest.mark.parametrize("radius", [0.0, 6.0, 25.0])
def test_the_tabs_files_are_the_same_to_the_byte_within_the_reach(radius: float, adjust: str, chosen: bool) -> None:
    rail = corner_rail(radius, 0.06, 0.05, 3.0)
    step = {"step_mm": 16.0} if adjust == "ladder" else {}
    foot = {"foot_mm": None, "foot_rise_mm": None} if chosen else {}

    def made(offset_mm: float) -> Bracket:
        return built(_job(offset_mm, adjust=adjust, bolt_mm=12.0, **step, **foot), _on(rail, offset_mm))

    one = made(BUILT_FOR_MM)
    for offset_mm in (104.0, 104.000001, 115.123456789, 120.0):
        other = made(offset_mm)
        assert _tab_files(other) == _tab_files(one)
        assert other.chosen == one.chosen
        assert all(tab.placement.origin[1] == offset_mm for tab in _tabs(other))


@pytest.mark.parametrize(("radius", "runs"), [(0.0, 8), (6.0, 8), (30.0, 4)])
def test_both_legs_are_welded_and_a_sharp_corner_is_relieved(radius: float, runs: int) -> None:
    bracket = built(_job(), _on(corner_rail(radius, 0.0, 0.0, 0.0), BUILT_FOR_MM))
    assert len(bracket.welds) == runs
    assert any(why.template.startswith("relief") for why in bracket.chosen) == (runs == 8)
    corner = 300 + 20j + BUILT_FOR_MM * 1j
    for tab in _tabs(bracket):
        mine = [run for run in bracket.welds if run.plate == tab.name]
        places = [run.placement.point(edge.point(t)) for run in mine for edge in run.path for t in (0.0, 1.0)]
        assert min(u for u, _, _ in places) == pytest.approx(120.0)
        assert max(abs(complex(u, v) - corner) for u, v, _ in places if v > corner.imag + 40.0) == pytest.approx(140.0)
        if runs == 8:
            # the runs end where the relief begins, and the steel beside it is as deep as the toe
            relief = 16.0
            assert min(abs(complex(u, v) - corner) for u, v, _ in places) == pytest.approx(relief, abs=0.3)
            rim = [e for e in tab.notch if isinstance(e, Arc) and abs(e.radius - relief) < 0.5]  # type: ignore[union-attr]
            assert len(rim) == 2
            notch = set(tab.notch.segments)  # type: ignore[union-attr]
            free = [e for e in tab.outline if e not in notch and e.reversed() not in notch]
            middle = [e.point(k / 20) for e in free for k in range(21)]
            toe = 24.0  # 1.5 x 15 on the next whole millimetre is 23; 2 x leg is 16
            assert min(abs(p - rim[0].centre) for p in middle) > relief + toe - 1.5


def test_stations_are_told_only_where_the_notch_lies_under_the_rail_once() -> None:
    for tab in _tabs(built(_job(), _on(corner_rail(6.0, 0.0, 0.0, 4.0), BUILT_FOR_MM))):
        told = stations(tab, 10.0)
        assert [station.along_mm for station in told][:16] == [120.0 + 10.0 * k for k in range(16)]
        assert all(station.point.imag < 24.0 for station in told)
        assert max(station.along_mm for station in told) <= 290.0


@pytest.mark.parametrize("radius", [0.0, 6.0, 30.0])
def test_nothing_overlaps_in_the_solids(radius: float) -> None:
    work = on_rail(_job(), _on(corner_rail(radius, 0.06, 0.05, 3.0), BUILT_FOR_MM))
    assert_sound(work.bracket)
    bodies = [b for b in job_bodies(work) if b.name not in ("cylinder_envelope", "pin")]
    assert len(bodies) == 5
    assert overlaps(bodies) == []
    assert len(bolt_joints(work.bracket)) == 2
    for plate in work.bracket.plates:
        assert volume_mm3(plate_solid(plate)) == pytest.approx(plate.area_mm2 * plate.thickness_mm, rel=1e-6)


def _points(chain: Chain, step_mm: float) -> str:
    count = round(chain.length / step_mm)
    places = (chain.point(chain.length * k / count) for k in range(count + 1))
    return "u,v\n" + "".join(f"{p.real!r},{p.imag!r}\n" for p in places)


@cache
def _read(planes: int) -> tuple[Rail, tuple[Chain, ...], tuple[float, ...]]:
    """A rail fitted to (u, v) points read round a known corner without an error, in one plane or in two."""
    profile = corner_profile(320.0, 220.0, math.radians(86.0), 9.0, math.radians(-1.0), at=300 + 20j)
    shapes = (profile, profile.moved(shift=complex(4.0, 6.0)))[:planes]
    at = (0.0, 120.0)[:planes]
    traces = tuple(
        read_trace(_points(chain, 6.0), f"w{w:g}.csv", "mm", w, 0.05) for chain, w in zip(shapes, at, strict=True)
    )
    return fit_rail(traces, BUILT_FOR_MM), shapes, at


@pytest.mark.parametrize("planes", [1, 2])
def test_tabs_from_points_round_the_corner_keep_off_the_true_rail(planes: int) -> None:
    rail, shapes, at = _read(planes)
    bracket = built(_job(), rail)
    assert len(bracket.welds) == 8
    up = BUILT_FOR_MM * 1j

    def true_depth(q: tuple[float, float, float]) -> float:
        share = 0.0 if planes == 1 else (q[2] - at[0]) / (at[1] - at[0])
        drift = 0j if planes == 1 else share * (shapes[1].start - shapes[0].start)
        return offset_from(extended(shapes[0], 30.0, 30.0), complex(q[0], q[1]) - up - drift)

    for tab in _tabs(bracket):
        for edge in tab.outline:
            for k in range(9):
                for d in (0.0, 0.25, 0.5, 0.75, 1.0):
                    assert true_depth(tab.placement.point(edge.point(k / 8), d * tab.thickness_mm)) < 0.02
    for run in bracket.welds:
        offs = [-true_depth(run.placement.point(e.point(k / 8))) for e in run.path for k in range(9)]
        assert max(offs) < run.gap_mm + 0.05
        assert min(offs) > -0.02


@pytest.mark.parametrize("traces", [1, 2])
def test_two_straightedges_make_split_tabs(tmp_path: Path, traces: int) -> None:
    folder = tmp_path / "job"
    shutil.copytree(PROFILES / "quarry-screen-corner", folder)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    closing, swing = text.index("[closing]"), text.index("[swing]")
    text = text[:closing] + text[swing:]
    text = (
        text.replace("plane = 18", "plane = 14")
        .replace("thickness = 15", "thickness = 12")
        .replace('style = "ears"', 'style = "split"')
    )
    text = text.replace("inline_offset = 75", "inline_offset = 100")
    if traces == 1:
        first = text.index("[[rail.trace]]")
        text = text[: text.index("[[rail.trace]]", first + 1)] + text[text.index("[cylinder]") :]
    table = "[split]\nbolt = 20\nrow_spacing = 90\nheight = 60\nstation = 270\nbuilt_for = 100\nreach = 6\n"

    def made(offset: str) -> Bracket:
        moved = text.replace("inline_offset = 100", f"inline_offset = {offset}") + table + 'adjust = "slots"\n'
        (folder / "job.toml").write_text(moved, encoding="utf-8")
        loaded = load_job(folder)
        return carry_through(loaded.job, loaded.traces).bracket

    one = made("100")
    assert len(one.welds) == 8
    assert all(len(tab.seats) == 2 for tab in _tabs(one))
    assert _tab_files(made("94")) == _tab_files(one) == _tab_files(made("103.7"))


@settings(max_examples=CASES, deadline=None)
@given(
    turn=st.floats(60, 115),
    radius=st.just(0.0) | st.floats(1.0, 35.0),
    flare=st.floats(-0.12, 0.12),
    lean=st.floats(-5, 5),
    run_off=st.floats(-0.15, 0.15),
    planes=st.integers(1, 2),
    over=st.booleans(),
    begin=st.none() | st.floats(40, 220),
    rise=st.none() | st.floats(20, 180),
    pin_station=st.floats(250, 400),
    station=st.none() | st.floats(200, 330),
    height=st.floats(30, 110),
    bolt=st.sampled_from([12.0, 16.0, 20.0]),
    rows=st.integers(1, 2),
    in_row=st.integers(1, 2),
    adjust=st.sampled_from(["recut", "slots", "ladder"]),
    reach=st.sampled_from([10.0, 15.0]),
    moved=st.floats(-1.0, 1.0),
    gap=st.sampled_from([0.0, 1.0]),
    toe=st.none() | st.floats(8, 40),
    relief=st.none() | st.just(0.0) | st.floats(3, 25),
    thickness=st.sampled_from([8.0, 12.0, 16.0]),
)
def test_a_sound_bracket_or_one_line(
    turn: float, radius: float, flare: float, lean: float, run_off: float, planes: int, over: bool,
    begin: float | None, rise: float | None, pin_station: float, station: float | None, height: float, bolt: float,
    rows: int, in_row: int, adjust: str, reach: float, moved: float, gap: float, toe: float | None,
    relief: float | None, thickness: float,
) -> None:  # fmt: skip
    near = corner_profile(320.0, 220.0, math.radians(turn), radius, math.radians(-1.0), at=300 + 20j)
    far = corner_profile(320.0, 220.0, math.radians(turn + lean), radius, math.radians(-1.0), at=300 + 20j)
    chains = (near, far.moved(shift=120.0 * complex(run_off, flare)))[:planes]
    other = (lambda x: None if x is None else 600.0 - x) if over else (lambda x: x)
    if over:
        chains = tuple(turned_over(chain).moved(shift=600.0) for chain in chains)
    offset = BUILT_FOR_MM + moved * reach

    def made() -> Bracket:
        wanted = _job(
            offset,
            foot_mm=None if begin is None else (other(begin),),
            foot_rise_mm=rise,
            pin_station_mm=other(pin_station),
            station_mm=other(station),
            height_mm=height,
            bolt_mm=bolt,
            rows=rows if rows * in_row > 1 else 2,
            in_row=in_row,
            spacing_mm=40.0,
            adjust=adjust,
            reach_mm=reach,
            step_mm=20.0 if adjust == "ladder" else None,
            bracket={"root_gap_mm": gap, "toe_mm": toe, "relief_mm": relief, "thickness_mm": thickness},
        )
        return built(wanted, rail)

    rail = exact_rail(tuple(zip((0.0, 120.0), chains, strict=False)), offset)
    found = outcome(made)
    event("refused" if isinstance(found, Refusal) else "built")
    if isinstance(found, Refusal):
        assert is_one_line(found)
        assert found.where
        return
    assert_sound(found)
    for tab in _tabs(found):
        assert tab.fit is not None
        assert tab.fit.overlap_mm < 0.02
    for plate in found.plates:
        for d in (0.0, 0.5, 1.0):
            w = plate.placement.origin[2] + d * plate.thickness_mm
            section = extended(rail.section(w), 30.0, 30.0)
            for edge in plate.outline:
                for k in range(5):
                    assert offset_from(section, edge.point(k / 4) + plate.placement.origin[1] * 1j) < 0.02
    for run in found.welds:
        section = extended(rail.section(run.placement.origin[2]), 30.0, 30.0)
        for edge in run.path:
            for k in range(5):
                off = offset_from(section, edge.point(k / 4) + run.placement.origin[1] * 1j)
                assert -run.gap_mm - 0.05 < off < 0.02


def test_most_sensible_corner_jobs_are_built() -> None:
    count = 0
    for radius in (0.0, 8.0, 25.0):
        for height in (55.0, 65.0):
            for bolt in (12.0, 16.0, 20.0):
                wanted = _job(height_mm=height, bolt_mm=bolt, reach_mm=6.0, foot_mm=None, foot_rise_mm=None)
                rail = _on(corner_rail(radius, 0.05, 0.05, 2.0), BUILT_FOR_MM)
                count += not isinstance(outcome(lambda job=wanted, on=rail: built(job, on)), Refusal)
    assert count >= 15
