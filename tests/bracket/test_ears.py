"""Ears on rails known exactly: whatever a sensible job asks, a valid bracket or one clear line."""

import math

import numpy as np
import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from plategen.bracket.model import Bracket
from plategen.design.foot import weld_length_mm
from plategen.flat.clip import extended
from plategen.flat.distance import chain_distance, offset_from
from plategen.flat.inside import inside, simple
from plategen.flat.segment import SHORTEST_EDGE_MM, Arc
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.bracket import BracketEntry, Mount
from plategen.job.cylinder import CylinderEnd
from plategen.make import fit_rail, on_rail
from plategen.rail.surface import Rail
from plategen.solid.bodies import rail_solid
from plategen.solid.clearance import common_mm3
from plategen.solid.kernel import location, plate_solid, volume_mm3
from tests.rail.fit_rails import trace_of
from tests.support.brackets import INLINE_MM, corner_job, corner_rail, flat_rail
from tests.support.corners import exact_rail
from tests.support.designs import built
from tests.support.style_jobs import CASES, job, split

ENDS = st.one_of(
    st.builds(
        CylinderEnd,
        pin_mm=st.floats(15.0, 50.0),
        eye_width_mm=st.floats(15.0, 80.0),
        eye_radius_mm=st.floats(30.0, 60.0),
    ),
    st.builds(
        CylinderEnd,
        kind=st.just("fork"),
        pin_mm=st.floats(15.0, 50.0),
        eye_width_mm=st.floats(10.0, 30.0),
        fork_width_mm=st.floats(31.0, 90.0),
        eye_radius_mm=st.floats(30.0, 60.0),
    ),
    st.builds(
        CylinderEnd,
        kind=st.just("rod_end"),
        pin_mm=st.floats(15.0, 50.0),
        eye_width_mm=st.floats(25.0, 60.0),
        head_width_mm=st.floats(10.0, 24.0),
        spacer_mm=st.floats(0.0, 15.0),
        eye_radius_mm=st.floats(30.0, 60.0),
    ),
)
AUTO_OR_LENGTH = st.none() | st.floats(2.0, 80.0)


def _built(job: Job, rail: Rail) -> Bracket | None:
    """The bracket, or None when it is refused in one clear line that says where."""
    try:
        return built(job, rail)
    except Refusal as refusal:
        said, where = str(refusal), refusal.where
    assert said
    assert "\n" not in said
    assert where
    return None


@settings(max_examples=3 * CASES, deadline=None)
@given(
    end=ENDS,
    round_corner=st.booleans(),
    foot=st.none() | st.tuples(st.floats(-60.0, 330.0), st.floats(30.0, 480.0)).map(lambda f: (f[0], f[0] + f[1])),
    begin=st.none() | st.floats(-60.0, 330.0),
    rise=st.none() | st.floats(5.0, 260.0),
    pin_station=st.floats(50.0, 450.0),
    inline=st.floats(20.0, 180.0),
    plane=st.floats(-5.0, 60.0),
    thickness=st.floats(5.0, 30.0),
    nose=AUTO_OR_LENGTH,
    toe=AUTO_OR_LENGTH,
    corner=st.floats(0.0, 20.0),
    relief=st.none() | st.just(0.0) | st.floats(1.0, 30.0),
    gap=st.sampled_from([0.0, 0.0, 1.5]),
    leg=st.floats(3.0, 14.0),
    radius=st.just(0.0) | st.floats(0.5, 40.0),
    flare=st.floats(-0.15, 0.15),
    run_off=st.floats(-0.25, 0.25),
    lean=st.floats(-8.0, 8.0),
)
def test_any_sensible_job_gives_a_valid_bracket_or_one_clear_line(
    end: CylinderEnd, round_corner: bool, foot: tuple[float, ...] | None, begin: float | None, rise: float | None,
    pin_station: float, inline: float, plane: float, thickness: float, nose: float | None, toe: float | None,
    corner: float, relief: float | None, gap: float, leg: float, radius: float, flare: float, run_off: float,
    lean: float,
) -> None:  # fmt: skip
    known = corner_rail(radius, flare, run_off, lean) if round_corner else flat_rail(flare, run_off)
    rail = Rail(traces=known.traces, inline_offset_mm=inline)
    round_it = {"foot_mm": None if begin is None else (begin,), "foot_rise_mm": rise}
    given = round_it if round_corner else {"foot_mm": foot}
    job = corner_job(round_corner)
    job = job.replaced(
        mount=Mount(inline_offset_mm=inline, pin_station_mm=pin_station, **given),  # type: ignore[arg-type]
        bracket=BracketEntry(
            plane_mm=plane, thickness_mm=thickness, steel="S355", nose_radius_mm=nose, toe_mm=toe,
            corner_radius_mm=corner, relief_mm=relief, root_gap_mm=gap,
        ),
        cylinder=job.cylinder.replaced(base=end),
        weld=job.weld.replaced(leg_mm=leg),
    )  # fmt: skip
    bracket = _built(job, rail)
    event("refused" if bracket is None else "built")
    if bracket is None:
        return
    assert len(bracket.plates) == (1 if end.kind == "fork" else 2)
    for plate in bracket.plates:
        assert simple(plate.outline) is None
        assert min(edge.length for edge in plate.outline) >= 0.05
        assert plate.outline.area > 0.0
        assert plate.fit is not None
        assert plate.fit.overlap_mm < 0.02
        for hole in plate.holes:
            assert inside(plate.outline, hole.circle.centre)
            assert plate.outline.distance(hole.circle.centre) > hole.circle.radius
    for run in bracket.welds:
        for edge in run.path:
            for k in range(5):
                u, v, w = run.placement.point(edge.point(k / 4))
                # a plate beside the traced planes may reach a little beyond where the section there ends
                section = extended(rail.section(w), 30.0, 30.0)
                assert abs(offset_from(section, complex(u, v))) < run.gap_mm + 0.05


@pytest.mark.parametrize("radius", [0.0, 6.0, 25.0])
def test_the_solids_of_a_corner_bracket_are_true(radius: float) -> None:
    rail = corner_rail(radius, 0.06, 0.05, 3.0)
    bracket = built(corner_job(True), rail)
    standing = rail_solid(rail, bracket, 8.0)
    for plate in bracket.plates:
        solid = plate_solid(plate)
        assert volume_mm3(solid) == pytest.approx(plate.area_mm2 * plate.thickness_mm, rel=1e-6)
        # less than 0.02 mm deep along the notch, over the plate's thickness
        allowed = 0.02 * plate.thickness_mm * plate.notch.length  # type: ignore[union-attr]
        assert common_mm3(solid.Located(location(plate.placement)), standing) < allowed


def test_a_sharp_corner_parts_the_runs_and_a_wide_bend_does_not() -> None:
    sharp, wide = (built(corner_job(True), corner_rail(r, 0.0, 0.0, 0.0)) for r in (3.0, 25.0))
    assert len(sharp.welds) == 8
    assert len(wide.welds) == 4
    assert any("relief" in why.template for why in sharp.chosen)
    assert not any("relief" in why.template for why in wide.chosen)
    for plate in sharp.plates:
        assert len(plate.seats) == 2


def test_a_fork_takes_one_plate_and_its_pin_two_cheeks() -> None:
    job = corner_job(False)
    fork = CylinderEnd(kind="fork", pin_mm=40.0, eye_width_mm=18.0, fork_width_mm=50.0, eye_radius_mm=42.0)
    work = on_rail(job.replaced(cylinder=job.cylinder.replaced(base=fork)), flat_rail(0.0, 0.0))
    (ear,) = work.bracket.plates
    assert work.bracket.pin.centre[2] == pytest.approx(ear.placement.origin[2] + ear.thickness_mm / 2)
    assert work.bracket.pin.gap_mm == pytest.approx(1.5)
    assert [width for _, width in work.bracket.pin.lugs] == pytest.approx([16.0, 16.0])
    bending = next(f for f in work.findings if f.check == "pin bending" and not f.opinion)
    # F (b + 4 c + 2 a)/8 (EN 1993-1-8:2005 Figure 3.11): plate 15, cheeks 16, gaps 1.5
    force = 1.5 * 16.0 * math.pi * 63.0**2 / 4
    assert bending.demand == pytest.approx(force * (15.0 + 4 * 1.5 + 2 * 16.0) / 8)


def test_a_plate_too_thick_for_the_fork_is_refused() -> None:
    job = corner_job(False)
    fork = CylinderEnd(kind="fork", pin_mm=40.0, eye_width_mm=12.0, fork_width_mm=50.0, eye_radius_mm=42.0)
    with pytest.raises(Refusal, match=r"does not go into the fork's gap of 12\.0 mm"):
        built(job.replaced(cylinder=job.cylinder.replaced(base=fork)), flat_rail(0.0, 0.0))


def test_spacers_move_the_ears_apart() -> None:
    job = corner_job(False)
    ball = CylinderEnd(
        kind="rod_end", pin_mm=40.0, eye_width_mm=35.0, head_width_mm=25.0, spacer_mm=10.0, eye_radius_mm=42.0
    )
    bracket = built(job.replaced(cylinder=job.cylinder.replaced(base=ball)), flat_rail(0.0, 0.0))
    near, far = bracket.plates
    apart = far.placement.origin[2] - near.placement.origin[2] - near.thickness_mm
    assert apart == pytest.approx(35.0 + 2 * 10.0 + 2 * 1.0)
    assert bracket.pin.lugs == ((pytest.approx(bracket.pin.centre[2] - 12.5), 25.0),)


class TestFootChosen:
    """A foot that the job leaves out."""

    def test_the_weld_length_solves_its_equation(self) -> None:
        # E70, leg 8: 0.3 x 482.6 MPa on 8/sqrt 2 mm; runs as two lines in bending and shear
        job, height = corner_job(False), 100.0
        length = weld_length_mm(job, height)
        f = 1.5 * 16.0 * math.pi * 63.0**2 / 4 * (0.5 + 1.0 / (50.0 + 2.0 + 15.0))
        q = 0.3 * 482.633 * 8.0 / math.sqrt(2.0)
        assert math.hypot(f / (2 * length), f * height / (2 * length**2 / 6)) == pytest.approx(q, rel=1e-4)

    @pytest.mark.parametrize("round_corner", [True, False])
    def test_it_holds_and_says_which_rule_chose_it(self, round_corner: bool) -> None:
        rail = corner_rail(20.0, 0.0, 0.0, 0.0) if round_corner else flat_rail(0.0, 0.0)
        job = corner_job(round_corner)
        mount = Mount(inline_offset_mm=INLINE_MM, pin_station_mm=job.mount.pin_station_mm)
        work = on_rail(job.replaced(mount=mount), rail)
        assert sum(str(why).startswith("foot") for why in work.bracket.chosen) == 1
        assert not [f.check for f in work.findings if f.verdict == "stop" and "weld" in f.check and not f.opinion]
        for plate in work.bracket.plates:
            assert plate.notch is not None
            on_side = plate.notch.end.imag > INLINE_MM + 20.0 + 20.0
            assert on_side == round_corner

    def test_a_longer_arm_asks_for_a_longer_foot(self) -> None:
        lengths = []
        for height in (70.0, 110.0, 150.0):
            rail = exact_rail(((0.0, flat_rail(0.0, 0.0).traces[0].chain),), height)
            mount = Mount(inline_offset_mm=height, pin_station_mm=250.0)
            bracket = built(corner_job(False).replaced(mount=mount), rail)
            lengths.append(bracket.plates[0].notch.length)  # type: ignore[union-attr]
        assert lengths == sorted(lengths)
        assert lengths[0] < lengths[-1]

    def test_it_stays_within_every_trace(self) -> None:
        mount = Mount(inline_offset_mm=INLINE_MM, pin_station_mm=-30.0)
        bracket = built(corner_job(False).replaced(mount=mount), flat_rail(0.0, 0.2))
        for plate in bracket.plates:
            assert plate.notch is not None
            assert plate.notch.start.real >= -40.0 + 0.2 * 120.0


@pytest.mark.parametrize("radius_mm", [0.0, 6.0, 30.0])
def test_a_flank_keeps_a_toes_height_of_steel_about_the_rails_corner(radius_mm: float) -> None:
    """A pin far in under the rail: the straight flank from the nose to the upper toe would cut through the corner."""
    job = corner_job(True)
    inner = job.replaced(mount=job.mount.replaced(pin_station_mm=200.0, inline_offset_mm=150.0))
    rail = Rail(traces=corner_rail(radius_mm, 0.0, 0.0, 0.0).traces, inline_offset_mm=150.0)
    work = on_rail(inner, rail)
    for plate in work.bracket.plates:
        assert plate.notch is not None
        down = [edge for edge in plate.outline if edge not in plate.notch.reversed().segments]
        bend = [edge for edge in plate.notch if isinstance(edge, Arc)]
        assert chain_distance(down, bend) >= work.design.toe.mm - 0.5


@pytest.mark.parametrize("style", ["ears", "split"])
def test_no_foot_on_a_dented_rail_has_an_edge_too_short_to_cut(style: str) -> None:
    # a dent is many arcs, and a foot may end just beyond any joint of them; of these 17 feet ten were once refused
    rng = np.random.default_rng(4)
    stations = np.linspace(0.0, 340.0, 60)
    offsets = 25.0 + 5.0 * np.exp(-0.5 * ((stations - 160.0) / 30.0) ** 2) + rng.normal(0.0, 0.3, 60)
    trace = trace_of(stations + 1j * offsets)
    rail = fit_rail((trace,), 100.0)
    assert rail.traces[0].model == "free"
    joints = [edge.start.real for edge in rail.traces[0].chain][1:]
    table = {"split": split(height_mm=64.0, adjust="recut")} if style == "split" else {}
    for k, at in enumerate(joints):
        beyond = (0.02, 0.1, 0.25)[k % 3]
        foot = (at - beyond, 320.0) if at < 120.0 else (60.0, at + beyond) if at > 200.0 else None
        if foot is not None:
            plates = built(job(style, foot_mm=foot, pin_station_mm=sum(foot) / 2.0, **table), rail).plates
            assert min(edge.length for plate in plates for edge in plate.outline) >= SHORTEST_EDGE_MM
