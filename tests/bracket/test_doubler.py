"""A doubler under the ears: it lies on the rail and never in it, no bead of it runs across the rail, and it bends by
hand as by the program.
"""

import math
import os
import random
from typing import Any

import pytest

from plategen.bracket.doubler import BLUNT, TAPER_RAD
from plategen.bracket.feature import on_face
from plategen.checks.finding import stops
from plategen.flat.inside import simple
from plategen.ground.refusal import Refusal
from plategen.ground.space import dot, minus
from plategen.job import Job
from plategen.job.bracket import BracketEntry, Mount, Weld
from plategen.job.cylinder import Cylinder, CylinderEnd
from plategen.job.doubler import Doubler
from plategen.job.parse import parse_table
from plategen.job.rules import Rules
from plategen.job.style_tables import Closing
from plategen.make import Work, carry_through
from plategen.rules.plug import filled_mm, plug_hole_mm
from plategen.rules.weld import GAP_LARGEST_MM
from plategen.solid.bodies import plate_bodies, standing_body
from plategen.solid.clearance import clearances
from tests.support.every_example import loaded_of, work_of
from tests.support.web_rail import each_built, traced, web_entry

CASES = int(os.environ.get("PLATEGEN_CASES", "16"))


STRAIGHT = "quarry-straight-rail"


def with_doubler(name: str = STRAIGHT, **table: Any) -> Work:
    loaded = loaded_of(name)
    doubler = parse_table(Doubler, {"thickness": "14 mm", **table}, loaded.job.units)
    # the foot is short enough for the doubler's ends to lie on the trace
    mount = loaded.job.mount.replaced(foot_mm=(75.0, 225.0)) if name == STRAIGHT else loaded.job.mount
    return carry_through(loaded.job.replaced(doubler=doubler, mount=mount), loaded.traces)


def random_job(rng: random.Random) -> Job:
    return Job(
        title="Doubled",
        units="mm",
        rail=web_entry(rng.choice((5.0, 6.0, 8.0)), "S355"),
        cylinder=Cylinder(
            bore_mm=50.0, rod_mm=30.0, stroke_mm=200.0, closed_length_mm=420.0, body_diameter_mm=62.0,
            pressure_mpa=rng.uniform(6.0, 16.0),
            base=CylinderEnd(pin_mm=25.0, eye_width_mm=rng.choice((25.0, 35.0, 60.0)), eye_radius_mm=28.0),
        ),
        mount=Mount(inline_offset_mm=rng.uniform(30.0, 80.0), pin_station_mm=rng.uniform(190.0, 310.0)),
        bracket=BracketEntry(plane_mm=rng.uniform(-50.0, 20.0), thickness_mm=12.0, steel="S355"),
        doubler=Doubler(
            thickness_mm=rng.choice((8.0, 12.0, 16.0)), ends=rng.choice(("rounded", "tapered")),  # type: ignore[arg-type]
            plugs=rng.choice((0, 0, 2)), side_mm=rng.choice((None, 20.0, 35.0)),
        ),
        weld=Weld(leg_mm=6.0, electrode="G42"),
        rules=Rules(set="en-1993"),
    )  # fmt: skip


def test_random_doublers_lie_on_the_rail_or_one_thing_is_refused() -> None:
    for seed, _, work in each_built(CASES, random_job):
        doubler, plan = work.bracket.of_role("doubler"), work.design.doubler
        assert doubler is not None
        assert plan is not None
        assert simple(doubler.outline) is None
        assert 0.0 <= plan.gap_mm <= GAP_LARGEST_MM
        for edge in doubler.outline:
            for k in range(5):
                u, v, w = doubler.placement.point(edge.point(k / 4))
                face = on_face(work.rail, u, w).origin  # type: ignore[arg-type]
                off = -dot(doubler.placement.normal, minus(face, (u, v, w)))
                assert off >= -0.02, (seed, off)
        for run in (run for run in work.bracket.welds if run.joint == "rail"):
            assert run.plate == "doubler"
            along = run.placement.point(run.path.end)[2] - run.placement.point(run.path.start)[2]
            assert abs(along) < 0.12 * run.length_mm, "no bead across the rail"
        assert {run.other for run in work.bracket.welds if run.plate != "doubler"} == {"doubler"}


@pytest.mark.parametrize("ends", ["rounded", "tapered"])
def test_its_area_is_that_of_its_shape(ends: str) -> None:
    work = with_doubler(ends=ends)
    doubler, plan = work.bracket.of_role("doubler"), work.design.doubler
    assert doubler is not None
    assert plan is not None
    wide, long = plan.sides[1] - plan.sides[0], plan.straight[1] - plan.straight[0]
    tip = (1.0 - BLUNT) * wide / 2 / math.tan(TAPER_RAD)
    more = math.pi * wide**2 / 4 if ends == "rounded" else tip * wide * (1.0 + BLUNT)
    assert doubler.area_mm2 == pytest.approx(wide * long + more, rel=1e-12)


def test_solids_of_ears_doubler_and_rail_have_no_volume_in_common() -> None:
    work = with_doubler()
    bodies = (*plate_bodies(work.bracket), standing_body(work))
    assert len(bodies) == 4
    for clearance in clearances(bodies):
        assert clearance.overlap_mm3 < 1.0, clearance


def test_it_bends_as_a_strip_by_hand() -> None:
    """One load case by hand: a pull P on ears h over the doubler, a foot of L: lines of P/2 L and 6 M / L^2."""
    work = with_doubler()
    found = next(f for f in work.findings if f.check == "doubler in bending" and f.decides)
    plan = work.design.doubler
    assert plan is not None
    case = next(case for case in work.design.motion.cases if case.name == found.case)
    begin, end = work.design.foot.foot.stations
    length, t = end - begin, 14.0
    height = plan.placement.origin[1] - t
    # the eye hard against one ear: its share, and all of what leans sideways on it
    share = next(c for c in _carriers(work))
    middle = share.plate.placement.origin[2] + share.plate.thickness_mm / 2
    fu, fv, fw = (f * s for f, s in zip(case.force_n, (share.share, share.share, 1.0), strict=True))
    ecc = work.design.pin.station_mm - (begin + end) / 2
    line = abs(fv) / length + 6.0 * abs(fv * ecc - fu * -height) / length**2
    arm = min(abs(plan.placement.point(complex(0, v))[2] - middle) for v in plan.sides)
    moment = line * arm + abs(fw) * height / length
    factor = found.demand / (moment / (_fy(work) * t**2 / 4))
    assert factor == pytest.approx(1.5, rel=0.01)  # the load factor of EN 1990 for a variable action


def _carriers(work: Work) -> Any:
    from plategen.checks.load_path import carriers

    return carriers(work.bracket)


def _fy(work: Work) -> float:
    from plategen.checks.setting import Setting

    return Setting(work.design, work.bracket, work.rail).steels["doubler"].fy_mpa


def test_plugs_have_the_sizes_and_the_room_of_the_code() -> None:
    """AISC 360-22 J2.3b: thickness + 5/16 in, four diameters apart; the next odd sixteenth is from memory."""
    inches = {3 / 16: 9 / 16, 1 / 4: 9 / 16, 5 / 16: 11 / 16, 3 / 8: 11 / 16, 7 / 16: 13 / 16, 1 / 2: 13 / 16}
    for thick, hole in inches.items():
        assert plug_hole_mm(thick * 25.4, "in") == pytest.approx(hole * 25.4)
    assert [filled_mm(t) for t in (12.0, 16.0, 25.0, 40.0)] == [12.0, 16.0, 16.0, 20.0]
    loaded = loaded_of(STRAIGHT)
    base = loaded.job.cylinder.base.replaced(eye_width_mm=40.0)
    doubler = Doubler(thickness_mm=10.0, plugs=2)
    mount = loaded.job.mount.replaced(foot_mm=(75.0, 225.0))
    job = loaded.job.replaced(doubler=doubler, mount=mount, cylinder=loaded.job.cylinder.replaced(base=base))
    plate = carry_through(job, loaded.traces).bracket.of_role("doubler")
    assert plate is not None
    plugs = [hole for hole in plate.holes if hole.purpose == "plug"]
    assert [2 * hole.circle.radius for hole in plugs] == [18.0, 18.0]
    assert abs(plugs[1].circle.centre - plugs[0].circle.centre) >= 4 * 18.0
    with pytest.raises(Refusal, match="there is room for"):
        carry_through(job.replaced(doubler=doubler.replaced(plugs=12)), loaded.traces)
    with pytest.raises(Refusal, match=r"they stand .* apart; plugs = 0 is right"):
        with_doubler(plugs=2)


def test_it_is_refused_where_it_cannot_lie() -> None:
    with pytest.raises(Refusal, match="a doubler is flat and the rail is not"):
        with_doubler("skidder-photographed-rail")
    with pytest.raises(Refusal, match=r"the doubler reaches .* beyond the traced planes"):
        with_doubler("bale-trailer-second")
    job = loaded_of(STRAIGHT).job
    with pytest.raises(Refusal, match="leave one of the two out"):
        job.replaced(doubler=Doubler(thickness_mm=10.0), closing=Closing(back=True))
    bolted = loaded_of("forestry-bolted-channel").job
    with pytest.raises(Refusal, match='only a bracket of style "ears" has it'):
        bolted.replaced(doubler=Doubler(thickness_mm=10.0))


def test_a_thin_wall_is_used_less_with_it() -> None:
    rng = random.Random(3)
    job, traces = random_job(rng), traced(rng)
    mount = job.mount.replaced(foot_mm=(120.0, 360.0))
    job = job.replaced(doubler=Doubler(thickness_mm=16.0, side_mm=30.0), mount=mount)
    used = []
    for each in (job.replaced(doubler=None), job):
        work = carry_through(each, traces)
        used.append(max(f.ratio for f in work.findings if f.check == "rail wall in bending" and f.decides))
    assert used[1] < used[0]


def test_a_bracket_on_a_thick_doubler_holds() -> None:
    loaded = loaded_of(STRAIGHT)
    job = loaded.job.replaced(
        doubler=Doubler(thickness_mm=15.0),
        mount=loaded.job.mount.replaced(foot_mm=(70.0, 230.0)),
        weld=loaded.job.weld.replaced(leg_mm=9.0),
    )
    work = carry_through(job, loaded.traces)
    assert not stops(work.findings)
    assert len(work.cut_plates) == len(work_of(STRAIGHT).cut_plates) + 1
