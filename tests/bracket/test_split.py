"""Bolted ears: the tabs stay as they are within the reach, and the parts fit, over known rails and random jobs."""

import math
from dataclasses import replace
from functools import cache

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from plategen.bracket.model import Bracket
from plategen.checks.load_path import bolt_joints
from plategen.cut.table.cutting import plate_dxf
from plategen.flat.distance import chain_distance
from plategen.ground.refusal import Refusal
from plategen.job.change import changed
from plategen.job.load import load_job
from plategen.make import carry_through, fit_rail
from plategen.rail.surface import Rail
from plategen.solid.bodies import job_bodies
from plategen.solid.kernel import plate_solid, volume_mm3
from tests.support.designs import built
from tests.support.every_example import PROFILES
from tests.support.rails import KnownRail, flat_bend_flat
from tests.support.refused import is_one_line, outcome
from tests.support.style_jobs import CASES, assert_sound, carried, job, overlaps, plates_of, split

STATIONS = [2.0 * k for k in range(170)]
KNOWN = {
    "straight": KnownRail(flat_bend_flat(200, math.radians(0.01), 5000, 330, start=-60 + 20j)),
    "kicked away": KnownRail(flat_bend_flat(200, math.radians(12), 60, 330, start=-60 + 20j), 0.1j),
    "kicked near": KnownRail(flat_bend_flat(200, math.radians(-8), 60, 330, start=-60 + 40j), 0.05 + 0.1j),
}


@cache
def _fitted(name: str) -> Rail:
    return fit_rail(tuple(KNOWN[name].read(w, STATIONS) for w in (-40.0, 80.0)), 0.0)


def _on(rail: str, offset_mm: float) -> Rail:
    return replace(_fitted(rail), inline_offset_mm=offset_mm)


def _build(rail: str, **given: object) -> Bracket:
    wanted = job("split", **given)
    return built(wanted, _on(rail, wanted.mount.inline_offset_mm))


def _files(bracket: Bracket, which: str) -> list[str]:
    return [plate_dxf(p, "mm", bracket.welds) for p in bracket.plates if p.name.startswith(which)]


@pytest.mark.parametrize("adjust", ["slots", "recut", "ladder"])
@pytest.mark.parametrize("rail", ["straight", "kicked away"])
def test_the_tabs_files_are_the_same_to_the_byte_within_the_reach(rail: str, adjust: str) -> None:
    step_mm = 16.0 if adjust == "ladder" else None
    table = split(adjust=adjust, reach_mm=10.0, step_mm=step_mm, bolt_mm=12.0, height_mm=64.0)
    made = _build(rail, split=table, inline_offset_mm=100.0)
    for offset_mm in (90.0, 90.000001, 96.123456789, 100.0, 110.0):
        moved = _build(rail, split=table, inline_offset_mm=offset_mm)
        assert _files(moved, "tab") == _files(made, "tab")
        # slotted ears stay, too; round holes are where the tab's bolts are
        assert (_files(moved, "ear") == _files(made, "ear")) == (adjust == "slots" or offset_mm == 100.0)
        assert len(bolt_joints(moved)) == 2
        assert all(len(joint.upper_holes) == 2 for joint in bolt_joints(moved))


@settings(max_examples=CASES, deadline=None)
@given(offset_mm=st.floats(88.0, 112.0))
def test_any_offset_in_reach_leaves_the_welded_parts(offset_mm: float) -> None:
    table = split(adjust="slots", reach_mm=12.0, height_mm=58.0)
    made = _build("kicked away", split=table, inline_offset_mm=100.0)
    moved = _build("kicked away", split=table, inline_offset_mm=offset_mm)
    assert _files(moved, "tab") == _files(made, "tab")
    tab = next(p for p in moved.plates if p.name == "tab_near")
    assert tab.placement.origin[1] == offset_mm


@pytest.mark.parametrize("offset_mm", [89.9, 110.1, 0.0, 500.0])
def test_out_of_reach_is_one_line_that_says_the_reach(offset_mm: float) -> None:
    with pytest.raises(Refusal, match=r"out of the tabs' reach; they are made for 90.0 mm to 110.0 mm") as refused:
        _build("straight", split=split(adjust="slots", reach_mm=10.0), inline_offset_mm=offset_mm)
    assert refused.value.where == "mount.inline_offset"


def test_slots_move_the_bolts_by_just_the_reach() -> None:
    for offset_mm, end in ((90.0, 0), (110.0, 1)):
        bracket = _build("straight", split=split(adjust="slots", reach_mm=10.0), inline_offset_mm=offset_mm)
        for plate in bracket.plates:
            for slot in plate.slots:
                assert abs(slot.at - slot.ends[end]) < 1e-9


def test_a_ladder_meets_ears_cut_for_the_rest_of_a_step() -> None:
    table = split(adjust="ladder", reach_mm=50.0, step_mm=40.0, bolt_mm=12.0, height_mm=135.0, built_for_mm=210.0)
    here = _build("straight", split=table, inline_offset_mm=210.0)
    for offset_mm, remainder in ((170.0, 0.0), (250.0, 0.0), (215.0, 5.0), (235.0, -15.0), (260.0, 10.0)):
        there = _build("straight", split=table, inline_offset_mm=offset_mm)
        one, other = (next(p for p in b.plates if p.name == "ear_near") for b in (here, there))
        for a, b in zip(one.holes, other.holes, strict=True):
            assert b.circle.centre - a.circle.centre == pytest.approx(
                (0 if a.name == "pin" else 1j * remainder), abs=1e-9
            )
        tab = next(p for p in there.plates if p.name == "tab_near")
        assert len(tab.holes) == 6
        assert all(len(joint.upper_holes) == 2 for joint in bolt_joints(there))


def test_steel_about_every_hole() -> None:
    bracket = _build("kicked near", split=split(rows=2, in_row=2, spacing_mm=45.0, bolt_mm=12.0, height_mm=70.0),
                     inline_offset_mm=100.0)  # fmt: skip
    for plate in bracket.plates:
        for hole in plate.holes:
            assert plate.outline.distance(hole.circle.centre) >= hole.edge_required_mm - 1e-9


@pytest.mark.parametrize("rail", ["straight", "kicked away", "kicked near"])
def test_nothing_overlaps_in_the_solids(rail: str) -> None:
    wanted = job("split", split=split(adjust="slots", reach_mm=8.0, shim_mm=1.5), inline_offset_mm=102.0)
    work = carried(wanted, _on(rail, 102.0))
    bodies = [b for b in job_bodies(work) if b.name not in ("cylinder_envelope", "pin")]
    assert overlaps(bodies) == []
    for plate in work.bracket.plates:
        assert volume_mm3(plate_solid(plate)) == pytest.approx(plate.area_mm2 * plate.thickness_mm, rel=1e-6)


@pytest.mark.parametrize("rail", sorted(KNOWN))
def test_every_run_lies_on_the_true_rail_but_for_its_gap(rail: str) -> None:
    bracket = _build(rail, split=split(), inline_offset_mm=100.0)
    assert len(bracket.welds) == 4
    for run in bracket.welds:
        w = run.placement.origin[2]
        gaps = [
            -KNOWN[rail].depth(edge.point(k / 8) + (run.placement.origin[1] - 100.0) * 1j, w)
            for edge in run.path
            for k in range(9)
        ]
        assert max(gaps) == pytest.approx(run.gap_mm, abs=0.05)
        assert min(gaps) > -0.02


def _deepest(known: KnownRail, bracket: Bracket, offset_mm: float) -> float:
    """Deepest that any plate goes into the true rail, on a grid of its edges over its thickness."""
    return max(
        known.depth(edge.point(i / 8) + plate.placement.origin[1] * 1j - offset_mm * 1j, plate.placement.origin[2] + d)
        for plate in bracket.plates
        for edge in plate.outline
        for i in range(9)
        for d in (0.0, plate.thickness_mm / 2, plate.thickness_mm)
    )


JOBS = st.fixed_dictionaries(
    {
        "inline_offset_mm": st.floats(70, 160),
        "pin_station_mm": st.floats(110, 190),
        "foot_mm": st.none() | st.tuples(st.floats(20, 100), st.floats(190, 270)),
        "thickness_mm": st.sampled_from([8.0, 10.0, 12.0, 16.0]),
        "toe_mm": st.one_of(st.none(), st.floats(10, 30)),
        "corner_radius_mm": st.floats(0, 15),
        "leg_mm": st.floats(4, 10),
        "root_gap_mm": st.sampled_from([0.0, 1.0]),
        "plane_mm": st.floats(-5, 10),
    }
)
TABLES = st.fixed_dictionaries(
    {
        "bolt_mm": st.sampled_from([10.0, 12.0, 16.0, 20.0]),
        "rows": st.integers(1, 4),
        "in_row": st.integers(1, 4),
        "row_spacing_mm": st.floats(30, 140),
        "spacing_mm": st.sampled_from([40.0, 60.0, 80.0]),
        "height_mm": st.floats(30, 110),
        "adjust": st.sampled_from(["recut", "slots", "ladder"]),
        "reach_mm": st.floats(0, 25),
        "step_mm": st.sampled_from([None, 20.0, 40.0]),
        "shim_mm": st.floats(0, 3),
    }
)


@settings(max_examples=CASES, deadline=None)
@given(rail=st.sampled_from(sorted(KNOWN)), given_job=JOBS, table=TABLES, moved=st.floats(-1.2, 1.2))
def test_a_sound_bracket_or_one_line(
    rail: str, given_job: dict[str, float], table: dict[str, float], moved: float
) -> None:
    _sound_or_refused(rail, given_job, table, moved)


SENSIBLE_JOBS = st.fixed_dictionaries(
    {
        "inline_offset_mm": st.floats(90, 170),
        "pin_station_mm": st.floats(130, 170),
        "foot_mm": st.none() | st.tuples(st.floats(20, 70), st.floats(230, 270)),
        "thickness_mm": st.sampled_from([8.0, 10.0, 12.0, 16.0]),
        "toe_mm": st.none() | st.floats(10, 30),
        "corner_radius_mm": st.floats(0, 15),
        "leg_mm": st.floats(4, 10),
        "root_gap_mm": st.sampled_from([0.0, 1.0]),
        "plane_mm": st.floats(-5, 10),
    }
)
ADJUSTED = st.one_of(
    st.fixed_dictionaries({"adjust": st.just("recut"), "reach_mm": st.floats(0, 12)}),
    st.fixed_dictionaries({"adjust": st.just("slots"), "reach_mm": st.floats(1, 12)}),
    st.fixed_dictionaries({"adjust": st.just("ladder"), "reach_mm": st.floats(10, 14), "step_mm": st.just(20.0)}),
)


def test_a_reach_lost_in_rounding_is_no_reach() -> None:
    """Before, it ended in a division by zero."""
    kept = {"pin_station_mm": 160.0, "plane_mm": 0.4, "toe_mm": None, "corner_radius_mm": 8.5, "leg_mm": 8.3}
    given_job = {**kept, "inline_offset_mm": 135.0, "foot_mm": (45.0, 249.0), "thickness_mm": 10.0, "root_gap_mm": 0.0}
    table = {"bolt_mm": 10.0, "rows": 3, "in_row": 1, "row_spacing_mm": 57.5, "spacing_mm": 40.0, "height_mm": 65.4}
    table |= {"shim_mm": 1.6, "adjust": "recut", "reach_mm": 1e-31, "built_for_mm": 135.0}
    found = outcome(lambda: _build("straight", split=split(**table), **given_job))
    assert is_one_line(found) if isinstance(found, Refusal) else assert_sound(found) is None


@settings(max_examples=2 * CASES, deadline=None)
@given(
    rail=st.sampled_from(sorted(KNOWN)),
    given_job=SENSIBLE_JOBS,
    bolt_mm=st.sampled_from([10.0, 12.0, 16.0, 20.0]),
    rows=st.sampled_from([(2, 1), (3, 1), (1, 2), (2, 2)]),
    row_spacing_mm=st.floats(50, 120),
    share=st.floats(0.45, 0.75),
    adjusted=ADJUSTED,
    shim_mm=st.floats(0, 3),
    moved=st.floats(-1.0, 1.0),
)
def test_a_sensible_job_is_sound(
    rail: str, given_job: dict[str, float], bolt_mm: float, rows: tuple[int, int], row_spacing_mm: float, share: float,
    adjusted: dict[str, float], shim_mm: float, moved: float,
) -> None:  # fmt: skip
    table = {
        "bolt_mm": bolt_mm,
        "rows": rows[0],
        "in_row": rows[1],
        "row_spacing_mm": row_spacing_mm,
        "spacing_mm": 40.0,
        "height_mm": share * given_job["inline_offset_mm"],
        "shim_mm": shim_mm,
        **adjusted,
    }
    _sound_or_refused(rail, given_job, table, moved)


def _sound_or_refused(rail: str, given_job: dict[str, float], table: dict[str, float], moved: float) -> None:
    """A bracket that is sound and keeps off the true rail, or one line."""

    def made() -> Bracket:
        built_for = given_job["inline_offset_mm"] + moved * table["reach_mm"]
        return _build(rail, split=split(**{**table, "built_for_mm": built_for}), **given_job)

    found = outcome(made)
    event("refused" if isinstance(found, Refusal) else "built")
    if isinstance(found, Refusal):
        assert is_one_line(found)
        return
    assert_sound(found)
    assert _deepest(KNOWN[rail], found, given_job["inline_offset_mm"]) < 0.02
    section = _on(rail, given_job["inline_offset_mm"])
    for plate in found.plates:
        if plate.name.startswith("ear"):  # clear of the bead on the tab
            room = chain_distance(plate.outline, section.section(plate.placement.origin[2]))
            assert room > given_job["leg_mm"]


def test_most_sensible_jobs_are_built() -> None:
    built = 0
    for height in (58.0, 62.0, 66.0):
        for bolt in (12.0, 16.0):
            for rows, in_row in ((2, 1), (3, 1), (2, 2)):
                table = split(bolt_mm=bolt, rows=rows, in_row=in_row, height_mm=height, row_spacing_mm=60.0,
                              spacing_mm=40.0, built_for_mm=110.0)  # fmt: skip
                found = outcome(lambda t=table: _build("kicked away", split=t, inline_offset_mm=110.0,
                                                       **{"foot_mm": (60.0, 250.0)}))  # fmt: skip
                built += not isinstance(found, Refusal)
    assert built >= 8


def test_packing_lies_between_ear_and_tab() -> None:
    bracket = _build("straight", split=split(shim_mm=2.0), inline_offset_mm=100.0)
    at = {p.name: (p.placement.origin[2], p.placement.origin[2] + p.thickness_mm) for p in bracket.plates}
    assert at["ear_near"][0] - at["tab_near"][1] == pytest.approx(2.0)
    assert at["tab_far"][0] - at["ear_far"][1] == pytest.approx(2.0)
    assert len(bolt_joints(bracket)) == 2
    assert plates_of(bracket)


def test_a_foot_narrower_than_the_bolts_is_refused() -> None:
    with pytest.raises(Refusal, match="bolts"):
        _build("straight", split=split(height_mm=88.0), inline_offset_mm=100.0, foot_mm=(140.0, 160.0))


def test_a_tab_over_the_pins_hole_is_refused_and_the_cure_cures() -> None:
    """Once built: rows this wide let the tab's edge run 6.35 mm from the axis of a pin of 12.7 mm radius."""
    loaded = load_job(PROFILES / "forwarder-split-mount")
    assert loaded.job.split is not None
    over = loaded.job.split.replaced(height_mm=31.75, row_spacing_mm=114.3, adjust="recut")
    job = loaded.job.replaced(split=over)
    with pytest.raises(Refusal, match=r"comes within .* of the pin's head") as refused:
        carry_through(job, loaded.traces)
    assert refused.value.key == "split.height"
    assert refused.value.cure is not None
    cured = carry_through(changed(job, refused.value.cure.changes), loaded.traces)
    pin = complex(*cured.bracket.pin.centre[:2])
    for tab in (plate for plate in cured.bracket.plates if plate.role == "tab"):
        shift = complex(*tab.placement.origin[:2])
        for moved_mm in (-over.reach_mm, 0.0, over.reach_mm):
            assert tab.outline.moved(shift=shift).distance(pin + moved_mm * 1j) >= 0.75 * 25.4 + 3.0 - 1e-6
    assert all(room.mm >= 3.0 for room in cured.rooms if room.of == "pin's head")
