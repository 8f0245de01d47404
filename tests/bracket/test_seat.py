"""Seats on tubes: nothing overlaps, every weld lies on both its parts, and what must not be welded is not."""

import math

import pytest
from hypothesis import event, given, settings
from hypothesis import strategies as st

from plategen.bracket.measure import rolled_band
from plategen.bracket.seat import seat_notch
from plategen.ground.cure import Change
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.rail.tube import Tube
from plategen.solid.bodies import job_bodies
from plategen.solid.clearance import gap_mm
from plategen.solid.kernel import FLAT, Shape, kernel, location, plate_solid, point, volume_mm3
from plategen.work import Work
from tests.support.designs import built, tube_on
from tests.support.refused import is_one_line, outcome
from tests.support.style_jobs import CASES, assert_sound, carried, clamp, job, overlaps, pad, seat

SEATS = {
    "round": job("seat", seat=seat(), thickness_mm=8.0),
    "round, beside the axis": job("seat", seat=seat(axis_mm=20.0), thickness_mm=8.0),
    "round, leaning": job("seat", seat=seat(lean_rad=0.08), thickness_mm=8.0),
    "round, rolled pad": job("seat", seat=seat(across_mm=90.0, pad=pad()), thickness_mm=8.0),
    "round, leaning, rolled pad": job("seat", seat=seat(across_mm=90.0, pad=pad(), lean_rad=-0.1), thickness_mm=8.0),
    "round, across": job("seat", seat=seat(along="pin"), foot_mm=(125.0, 175.0), inline_offset_mm=110.0),
    "round, across, rolled pad": job(
        "seat", seat=seat(along="pin", pad=pad(width_mm=100.0)), foot_mm=(125.0, 175.0), inline_offset_mm=120.0
    ),
    "square": job("seat", seat=seat(tube="square", across_mm=90.0)),
    "square, over its corner": job("seat", seat=seat(tube="square", across_mm=80.0, corner_mm=20.0), thickness_mm=8.0),
    "square, flat pad": job("seat", seat=seat(tube="square", across_mm=120.0, pad=pad(width_mm=85.0)), thickness_mm=8.0,
                            inline_offset_mm=125.0),
    "square, across": job("seat", seat=seat(tube="square", along="pin"), foot_mm=(115.0, 185.0),
                          inline_offset_mm=110.0),
    "clamped, round": job("seat", seat=seat(made="forged", hold="clamp", clamp=clamp()), inline_offset_mm=140.0),
    "clamped, square": job(
        "seat", seat=seat(tube="square", made="heat-treated", hold="clamp", clamp=clamp()), inline_offset_mm=130.0
    ),
    "clamped, across": job("seat", seat=seat(made="forged", along="pin", hold="clamp", clamp=clamp()),
                           inline_offset_mm=140.0, foot_mm=(110.0, 190.0)),
    "clamped, leaning": job("seat", seat=seat(made="forged", hold="clamp", clamp=clamp(), lean_rad=0.1),
                            inline_offset_mm=145.0),
}  # fmt: skip


def _work(name: str) -> Work:
    return carried(SEATS[name], tube_on(SEATS[name]))


@pytest.mark.parametrize("name", SEATS)
def test_nothing_overlaps_in_the_solids(name: str) -> None:
    work = _work(name)
    assert_sound(work.bracket)
    bodies = [b for b in job_bodies(work) if b.name not in ("cylinder_envelope", "pin")]
    assert {"tube", "tab_near", "tab_far"} <= {b.name for b in bodies}
    assert overlaps(bodies) == []
    for plate in work.bracket.plates:
        assert volume_mm3(plate_solid(plate)) == pytest.approx(plate.area_mm2 * plate.thickness_mm, rel=1e-6)


def _distance(p: tuple[float, float, float], shape: Shape) -> float:
    vertex = kernel("BRepBuilderAPI").BRepBuilderAPI_MakeVertex(kernel("gp").gp_Pnt(*p)).Vertex()
    return gap_mm(vertex, shape)


@pytest.mark.parametrize("name", SEATS)
def test_every_run_lies_on_both_its_parts(name: str) -> None:
    work = _work(name)
    shapes = {b.name: b.shape.Located(location(b.placement)) for b in job_bodies(work)}
    assert work.bracket.welds
    for run in work.bracket.welds:
        for edge in run.path:
            for k in range(5):
                p = run.placement.point(edge.point(0.01 + 0.245 * k))
                assert _distance(p, shapes[run.plate]) < 0.05, run.name
                # the shortest way to the other part is no longer than the gap, which is taken in the plate's plane
                assert _distance(p, shapes[run.other]) < run.gap_mm + 0.05, run.name


@pytest.mark.parametrize("name", [name for name in SEATS if "clamped" not in name and "pad" not in name])
def test_gaps_are_those_of_the_surface_at_both_faces(name: str) -> None:
    wanted = SEATS[name]
    tube = tube_on(wanted)
    for plate in built(wanted).plates:
        low = plate.placement.origin[2]
        assert plate.fit is not None
        for w, gap in ((low, plate.fit.gap_near_mm), (low + plate.thickness_mm, plate.fit.gap_far_mm)):
            section = tube.section(w)
            largest = max(section.distance(e.point(k / 8)) for e in plate.notch for k in range(9))
            assert largest == pytest.approx(gap, abs=1e-9)


def test_the_notch_keeps_to_the_crown_when_the_plate_lies_over_the_axis() -> None:
    wanted = job("seat", seat=seat(axis_mm=-4.0), thickness_mm=12.0)
    tube = tube_on(wanted)
    notch = seat_notch(tube, (-12.0, 0.0), (100.0, 200.0), 0.0)
    assert notch.path.start.imag == pytest.approx(100.0 - 40.0)
    assert notch.fit.gap_near_mm == pytest.approx(40.0 - math.sqrt(40.0**2 - 8.0**2))
    assert notch.fit.gap_far_mm == pytest.approx(40.0 - math.sqrt(40.0**2 - 4.0**2))


def test_a_rolled_pad_has_the_volume_of_its_blank() -> None:
    # Pappus: a band of mean radius R + t/2 turned through width / (R + t/2) holds width x thickness for each mm along
    plate = next(p for p in _work("round, rolled pad").bracket.plates if p.name == "pad")
    band, _, length = rolled_band(plate, FLAT)
    assert plate.rolled_mm == 45.0
    assert band.area * length == pytest.approx(plate.area_mm2 * plate.thickness_mm, rel=1e-12)
    assert point(0j, FLAT).X() == 0.0


@pytest.mark.parametrize("made", ["forged", "heat-treated"])
def test_forged_and_heat_treated_parts_are_not_welded(made: str) -> None:
    with pytest.raises(Refusal, match=f"a {made} steering part is not welded"):
        seat(made=made)


def test_a_clamp_puts_no_weld_on_the_tube() -> None:
    for name in SEATS:
        bracket = _work(name).bracket
        on_tube = [run for run in bracket.welds if run.other == "tube"]
        assert (on_tube == []) == ("clamped" in name)
        assert any("forged or heat-treated" in str(words) for words in bracket.cautions)


@pytest.mark.parametrize(
    ("table", "given_job", "says"),
    [
        ({"across_mm": 46.0}, {}, "what carries them reaches 23.0 mm"),
        ({"across_mm": 16.0}, {}, "the wall fills the tube"),
        ({"along": "pin"}, {"foot_mm": (100.0, 200.0)}, "the tube lies between 110.0 mm and 190.0 mm"),
        ({"across_mm": 90.0, "pad": pad(width_mm=150.0)}, {}, "goes too far round the tube; .* wide or less is right"),
        ({"across_mm": 90.0, "pad": pad(width_mm=50.0)}, {}, "wide is right"),
        ({"tube": "square", "across_mm": 120.0, "pad": pad(width_mm=115.0)}, {}, "wider than the tube's flat"),
        ({"tube": "square", "across_mm": 30.0}, {}, "give the tube's own `corner`"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line(table: dict, given_job: dict, says: str) -> None:
    with pytest.raises(Refusal, match=says) as refused:
        built(job("seat", seat=seat(**table), **{"thickness_mm": 8.0, **given_job}))
    assert is_one_line(refused.value)


def test_a_clamps_findings_can_say_stop() -> None:
    def stops(**given: object) -> set[str]:
        wanted = job("seat", seat=seat(made="forged", hold="clamp", clamp=clamp(**given)), inline_offset_mm=140.0)  # type: ignore[arg-type]
        return {f.check for f in carried(wanted, tube_on(wanted)).findings if f.verdict == "stop" and not f.opinion}

    assert stops(bolt_mm=16.0, thickness_mm=30.0) == set()
    assert "clamp slip on the tube" in stops(bolt_mm=10.0)
    assert "clamp plate bending" in stops(bolt_mm=20.0, thickness_mm=10.0)


def test_a_clamp_without_pretension_holds_nothing() -> None:
    wanted = SEATS["clamped, round"]
    assert wanted.rules is not None
    loose = wanted.replaced(rules=wanted.rules.replaced(pretensioned=False))
    findings = carried(loose, tube_on(loose)).findings
    (found,) = (f for f in findings if f.check == "clamp slip on the tube" and not f.opinion)
    assert found.verdict == "stop"
    assert found.cure is not None
    assert Change("rules.pretensioned", True) in found.cure.changes


def test_tabs_on_a_pad_are_judged_where_they_stand() -> None:
    found = _work("round, rolled pad").findings
    parts = {f.part.words for f in found if f.check == "weld throat stress"}
    assert {"W1, tab_near to pad", "W5, pad to tube"} <= parts


RANDOM = st.fixed_dictionaries(
    {
        "inline_offset_mm": st.floats(60, 200),
        "foot_mm": st.none() | st.tuples(st.floats(60, 130), st.floats(170, 240)),
        "thickness_mm": st.sampled_from([6.0, 8.0, 12.0]),
        "eye_width_mm": st.floats(16, 45),
        "wall_mm": st.floats(3, 12),
        "leg_mm": st.floats(3, 8),
        "toe_mm": st.one_of(st.none(), st.floats(8, 25)),
        "corner_radius_mm": st.floats(0, 10),
        "root_gap_mm": st.sampled_from([0.0, 1.0]),
        "units": st.sampled_from(["in", "mm"]),
    }
)
RANDOM_SEAT = st.fixed_dictionaries(
    {
        "tube": st.sampled_from(["round", "square"]),
        "across_mm": st.floats(40, 140),
        "along": st.sampled_from(["cylinder", "pin"]),
        "lean_rad": st.sampled_from([0.0, 0.0, 0.07, -0.15]),
        "axis_mm": st.one_of(st.none(), st.floats(-10, 40), st.floats(140, 160)),
    }
)
HELD = st.one_of(
    st.just({}),
    st.builds(lambda t, w: {"pad": pad(t, w)}, st.floats(4, 12), st.floats(40, 160)),
    st.builds(
        lambda b, t: {"made": "forged", "hold": "clamp", "clamp": clamp(b, t)},
        st.sampled_from([10.0, 12.0, 16.0, 20.0]),
        st.floats(8, 30),
    ),
)


@settings(max_examples=4 * CASES, deadline=None)
@given(given_job=RANDOM, table=RANDOM_SEAT, held=HELD)
def test_a_sound_seat_or_one_line(given_job: dict, table: dict, held: dict) -> None:
    def made() -> Job:
        return job("seat", seat=seat(**{**table, **held}), **given_job)

    wanted = outcome(made)
    found = wanted if isinstance(wanted, Refusal) else outcome(lambda: built(wanted))
    event("refused" if isinstance(found, Refusal) else "built")
    if isinstance(found, Refusal):
        assert is_one_line(found)
        return
    assert_sound(found)
    assert isinstance(wanted, Job)
    tube = tube_on(wanted)
    for plate in found.plates:
        if plate.notch is None:
            continue
        for w in (0.0, plate.thickness_mm / 2, plate.thickness_mm):
            for edge in plate.notch:
                for k in range(5):
                    q = plate.placement.point(edge.point(k / 4), w)
                    # the standing gap is taken in the plate's plane; square to the surface it is less
                    assert _off_surface(wanted, tube, q) >= -1e-6
                    if not held:
                        assert tube.section(q[2]).distance(complex(q[0], q[1])) >= given_job["root_gap_mm"] - 1e-6


def _off_surface(wanted: Job, tube: Tube, q: tuple[float, float, float]) -> float:
    """How far a point of a tab's edge lies off what the tab stands on, by closed forms."""
    assert wanted.seat is not None
    radius, beside = tube.across_mm / 2, tube.across(0.0).flat(q)
    height = -beside.imag
    if wanted.seat.hold == "clamp":
        assert wanted.seat.clamp is not None
        thick = wanted.seat.clamp.thickness_mm
        return height - radius - thick - (thick if tube.round else 0.0)
    pad_mm = wanted.seat.pad.thickness_mm if wanted.seat.pad else 0.0
    if tube.round:
        return abs(beside) - radius - pad_mm
    flat = radius - tube.corner_mm
    if pad_mm or abs(beside.real) <= flat:
        return height - radius - pad_mm
    return math.hypot(abs(beside.real) - flat, height - flat) - tube.corner_mm
