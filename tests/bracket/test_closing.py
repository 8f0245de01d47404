"""Closing plates against the ears, the rail and the cylinder they stand between."""

import math
from dataclasses import replace
from pathlib import Path

import pytest
from hypothesis import event, example, given, settings
from hypothesis import strategies as st

from plategen.bracket.model import Bracket, Plate, WeldRun
from plategen.flat.distance import offset_from
from plategen.flat.inside import inside, simple
from plategen.flat.segment import SHORTEST_EDGE_MM
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.change import changed
from plategen.job.cylinder import PortPost, Swing
from plategen.job.load import load_job
from plategen.job.rules import Rules
from plategen.job.style_tables import Closing
from plategen.make import carry_through, on_rail, study_of
from plategen.rail.surface import Rail
from plategen.solid.clearance import common_mm3
from plategen.solid.kernel import location, plate_solid, volume_mm3
from plategen.work import Work
from tests.support.brackets import corner_job, corner_rail, flat_rail
from tests.support.designs import built
from tests.support.style_jobs import CASES

PROFILES = Path(__file__).parents[2] / "profiles"


def _built(job: Job, rail: Rail) -> Bracket | None:
    """The bracket, or None when it is refused in one line."""
    try:
        return built(job, rail)
    except Refusal as raised:
        refusal = raised
    assert str(refusal)
    assert "\n" not in str(refusal)
    return None


def _plate(bracket: Bracket, name: str) -> Plate:
    return next(plate for plate in bracket.plates if plate.name == name)


def _deepest(rail: Rail, plate: Plate) -> float:
    """Deepest that a closing plate's edge goes into the rail, on a grid over edge and thickness."""
    assert plate.notch is not None
    deep = -math.inf
    for edge in plate.notch:
        for i in range(9):
            for d in range(5):
                u, v, w = plate.placement.point(edge.point(i / 8), plate.thickness_mm * d / 4)
                deep = max(deep, offset_from(rail.section(w), complex(u, v)))
    return deep


def _off(run: WeldRun, bracket: Bracket, rail: Rail) -> tuple[float, float]:
    """Largest distance of a run's root line from its plate and from what it holds that to."""
    plate = _plate(bracket, run.plate)
    far_plate = far_other = 0.0
    for edge in run.path:
        for i in range(9):
            q = run.placement.point(edge.point(i / 8))
            far_plate = max(far_plate, _from_plate(plate, q))
            if run.other == "rail":
                off = abs(offset_from(rail.section(q[2]), complex(q[0], q[1])))
            else:
                off = _from_plate(_plate(bracket, run.other), q)
            far_other = max(far_other, off)
    return far_plate, far_other


def _from_plate(plate: Plate, q: tuple[float, float, float]) -> float:
    """Distance of a point from a plate's body, openings out."""
    flat = plate.placement.flat(q)
    depth = sum((a - b) * n for a, b, n in zip(q, plate.placement.origin, plate.placement.normal, strict=True))
    beyond = max(0.0, -depth, depth - plate.thickness_mm)
    opening = next((o for o in plate.openings if inside(o, flat)), None)
    beside = plate.outline.distance(flat) if not inside(plate.outline, flat) else 0.0
    if opening is not None:
        beside = opening.distance(flat)
    return math.hypot(beyond, beside)


CLOSINGS = st.fixed_dictionaries(
    {
        "back": st.booleans(),
        "bottom": st.booleans(),
        "joint": st.sampled_from(["butt", "slots"]),
        "thickness_mm": st.floats(5.0, 14.0),
        "leg_mm": st.floats(3.0, 6.0),
        "fit_mm": st.sampled_from([0.0, 0.4, 0.8]),
    }
).filter(lambda c: c["back"] or c["bottom"])


@settings(max_examples=3 * CASES // 2, deadline=None)
@example(  # the corner's plate begins its edge a twentieth of a millimetre before the rail kinks
    closing={"back": False, "bottom": True, "joint": "butt", "thickness_mm": 5.0, "leg_mm": 3.0, "fit_mm": 0.0},
    round_corner=True,
    flare=0.0,
    run_off=0.125,
    lean=0.0,
    radius=15.0,
    eye=58.25,
    swing=0.0,
)
@given(
    closing=CLOSINGS,
    round_corner=st.booleans(),
    flare=st.floats(-0.12, 0.12),
    run_off=st.floats(-0.2, 0.2),
    lean=st.floats(-6.0, 6.0),
    radius=st.just(0.0) | st.floats(1.0, 30.0),
    eye=st.floats(40.0, 80.0),
    swing=st.floats(0.0, 25.0),
)
def test_closed_brackets_fit_or_are_refused_in_one_line(
    closing: dict[str, object],
    round_corner: bool,
    flare: float,
    run_off: float,
    lean: float,
    radius: float,
    eye: float,
    swing: float,
) -> None:
    rail = corner_rail(radius, flare, run_off, lean) if round_corner else flat_rail(flare, run_off)
    job = corner_job(round_corner, eye, math.radians(swing)).replaced(closing=Closing(**closing))  # type: ignore[arg-type]
    bracket = _built(job, rail)
    event("refused" if bracket is None else "built")
    if bracket is None:
        return
    for plate in bracket.plates:
        assert simple(plate.outline) is None
        assert min(edge.length for edge in plate.outline) >= SHORTEST_EDGE_MM
        assert plate.outline.area > 0.0
        assert plate.fit is not None
        assert plate.fit.overlap_mm < 0.02
        for opening in plate.openings:
            assert all(inside(plate.outline, edge.start) for edge in opening)
    for plate in bracket.plates:
        if plate.name.startswith("closing"):
            assert _deepest(rail, plate) < 0.02
    for run in bracket.welds:
        from_plate, from_other = _off(run, bracket, rail)
        assert from_plate < 1e-6
        assert from_other < run.gap_mm + 0.05


@pytest.mark.parametrize("joint", ["butt", "slots"])
@pytest.mark.parametrize("round_corner", [True, False])
def test_the_solids_do_not_overlap_and_weigh_what_their_outlines_do(joint: str, round_corner: bool) -> None:
    rail = corner_rail(6.0, 0.05, 0.05, 3.0) if round_corner else flat_rail(0.05, 0.05)
    closing = Closing(back=True, bottom=True, joint=joint, thickness_mm=8.0, leg_mm=5.0)  # type: ignore[arg-type]
    bracket = built(corner_job(round_corner, 60.0, 0.1).replaced(closing=closing), rail)
    assert len(bracket.plates) == 4
    solids = []
    for plate in bracket.plates:
        solid = plate_solid(plate)
        assert volume_mm3(solid) == pytest.approx(plate.area_mm2 * plate.thickness_mm, rel=1e-6)
        solids.append(solid.Located(location(plate.placement)))
    for i, one in enumerate(solids):
        for other in solids[:i]:
            assert common_mm3(one, other) == 0.0


def test_a_fork_has_nothing_to_close() -> None:
    job = corner_job(False, 60.0, 0.1)
    fork = job.cylinder.base.replaced(kind="fork", fork_width_mm=100.0)
    job = job.replaced(cylinder=job.cylinder.replaced(base=fork), closing=Closing(back=True))
    with pytest.raises(Refusal, match="nothing to close with one plate alone"):
        built(job, flat_rail(0.0, 0.0))


@settings(max_examples=CASES, deadline=None)
@given(
    round_corner=st.booleans(),
    low=st.floats(0.0, 0.3),
    high=st.floats(0.0, 0.5),
    start=st.none() | st.floats(60.0, 120.0),
    port=st.none()
    | st.builds(
        PortPost,
        at_mm=st.floats(60.0, 250.0),
        diameter_mm=st.floats(10.0, 45.0),
        height_mm=st.floats(5.0, 60.0),
        towards=st.sampled_from(["rail", "away", "near", "far"]),
    ),
    least=st.floats(0.0, 8.0),
)
def test_a_bottom_plate_stays_out_of_the_swing(
    round_corner: bool, low: float, high: float, start: float | None, port: PortPost | None, least: float
) -> None:
    rail = corner_rail(12.0, 0.05, 0.05, 2.0) if round_corner else flat_rail(0.05, 0.05)
    swing = Swing(
        low_rad=-low, high_rad=high, barrel_start_mm=start, least_mm=least, port=() if port is None else (port,)
    )
    closing = Closing(bottom=True, thickness_mm=8.0, leg_mm=5.0)
    job = corner_job(round_corner, 60.0).replaced(swing=swing, closing=closing)
    if _built(job, rail) is None:
        event("refused")
        return
    event("built")
    work = on_rail(job, rail)
    rooms = [room.mm for room in work.rooms if room.to == "closing_bottom"]
    assert min(rooms) >= least
    assert any(f.check == "torch access" and "closing bottom" in f.part.words for f in work.findings)


def test_the_swing_makes_a_bottom_plate_shallower_then_refuses_it() -> None:
    rail, depths, said = flat_rail(0.0, 0.0), [], []
    for degrees in (0.0, 10.0, 18.0):
        job = corner_job(False, 60.0, math.radians(degrees)).replaced(
            closing=Closing(bottom=True, thickness_mm=8.0, leg_mm=5.0)
        )
        bracket = built(job, rail)
        depths.append(-_plate(bracket, "closing_bottom").outline.bounds[1])
        said.append(any("from the cylinder's swing" in str(why) for why in bracket.chosen))
    assert depths[0] >= depths[1] >= depths[2]
    assert depths[0] > depths[2]
    assert said[0] is False
    assert said[2] is True
    job = corner_job(False, 60.0, math.radians(60.0)).replaced(
        closing=Closing(bottom=True, thickness_mm=8.0, leg_mm=5.0)
    )
    traces = tuple(fitted.trace for fitted in rail.traces)

    def carried(wanted: Job) -> Work:
        return carry_through(wanted, traces, rail_of=lambda _, offset_mm: replace(rail, inline_offset_mm=offset_mm))

    words = r"the cylinder's swing the bottom plate has sides of .* an? (toe|in-line offset) of"
    with pytest.raises(Refusal, match=words) as refused:
        carried(job)
    assert refused.value.cure is not None
    assert [plate.name for plate in carried(changed(job, refused.value.cure.changes)).bracket.plates][2:] == [
        "closing_bottom"
    ]


def test_a_bottom_plate_is_built_for_the_swing_that_the_study_found() -> None:
    loaded = load_job(PROFILES / "orchard-sprayer-steering")
    found = study_of(loaded.job)
    assert found is not None
    job = corner_job(False, 60.0).replaced(
        swing=Swing(barrel_start_mm=80.0),
        closing=Closing(bottom=True, thickness_mm=8.0, leg_mm=5.0),
        rules=Rules(swing_rad=math.radians(20.0)),
    )
    by_rules = on_rail(job, flat_rail(0.0, 0.0))
    by_study = on_rail(job, flat_rail(0.0, 0.0), found)
    (swing,) = found.swings_about("fixed pin")
    assert by_study.design.motion.swing_rad == swing.in_plane_range_rad
    one, other = (-_plate(work.bracket, "closing_bottom").outline.bounds[1] for work in (by_rules, by_study))
    assert other > one
