"""Plates out of the plane of the one trace: the rail that they see is that of a straight rail, turned in space."""

import math
import os
import random
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest

from plategen.bracket.notch import fit_notch, joint_angle
from plategen.design.foot import Foot
from plategen.flat.chain import Chain
from plategen.flat.inside import simple
from plategen.flat.segment import Line
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.parse import parse_job
from plategen.make import carry_through, fit_rail
from plategen.rail.turned import turned
from tests.bracket import test_crosshead, test_doubler, test_gusset
from tests.support.every_example import PROFILES, loaded_of
from tests.support.rails import KnownRail, flat_bend_flat
from tests.support.web_jobs import bolted_job
from tests.support.web_rail import traced

CASES = int(os.environ.get("PLATEGEN_CASES", "8"))
STATIONS = [7.5 * k for k in range(61)]
OFFSET_MM = 90.0
FOOT = Foot(110.0, 330.0)
STRAIGHT = "quarry-straight-rail"


def axes(tilt: float, turn: float) -> np.ndarray:
    """The plates' u, v and pin in the trace's frame: turned about v, then tilted about the new u; by matrices."""
    about_v = np.array([[math.cos(turn), 0, -math.sin(turn)], [0, 1, 0], [math.sin(turn), 0, math.cos(turn)]])
    about_u = np.array([[1, 0, 0], [0, math.cos(tilt), -math.sin(tilt)], [0, math.sin(tilt), math.cos(tilt)]])
    return np.asarray(about_v @ about_u)


def test_every_section_that_the_plates_see_lies_on_the_rail() -> None:
    rng = random.Random(3)
    profile = flat_bend_flat(190, math.radians(9), 60, 330, start=-60 + 60j)
    known = KnownRail(profile)
    for _ in range(12):
        tilt, turn = (math.radians(rng.uniform(-12, 12)) for _ in range(2))
        trace = turned(known.read(20.0, STATIONS), tilt, turn)
        rail = fit_rail((trace,), 0.0)
        matrix = axes(tilt, turn)
        for w in (-40.0, 20.0, 75.0):
            section = rail.traced_section(w)
            for share in np.linspace(0.02, 0.98, 25):
                index, t = section.at(float(share) * section.length)
                p = section.segments[index].point(t)
                there = matrix @ np.array([p.real, p.imag, w - 20.0])  # in the trace's own frame
                # a bend seen aslant is an ellipse, which its arc follows so closely
                assert abs(known.depth(complex(there[0], there[1]), 0.0)) < 0.05


def test_notch_clears_the_rail_at_every_depth_and_stands_off_by_the_tilt() -> None:
    tilt = math.radians(7.0)
    known = KnownRail(Chain((Line(-60 + 30j, 460 + 30j),)))
    rail = fit_rail((turned(known.read(0.0, STATIONS), tilt, 0.0),), OFFSET_MM)
    notch = fit_notch(rail, (10.0, 19.5), FOOT, 0.0)
    matrix = axes(tilt, 0.0)
    for w in np.linspace(10.0, 19.5, 5):
        for edge in notch.path:
            p = edge.point(0.5) - 1j * OFFSET_MM
            there = matrix @ np.array([p.real, p.imag, w])
            assert known.depth(complex(there[0], there[1]), 0.0) < 1e-6
    assert notch.fit.gap_near_mm == pytest.approx(0.0, abs=1e-6)
    # across the pin's direction the face recedes by the tangent; 9.5 mm of plate leave so much open
    assert notch.fit.gap_far_mm == pytest.approx(9.5 * math.tan(tilt), abs=1e-6)
    assert joint_angle(notch.slope[1], +1)[0] == pytest.approx(math.pi / 2 + tilt)
    assert joint_angle(notch.slope[0], -1)[0] == pytest.approx(math.pi / 2 - tilt)


def test_bend_that_a_turned_plate_meets_aslant_is_cleared() -> None:
    rng = random.Random(9)
    for _ in range(8):
        kick, turn, tilt = (math.radians(rng.uniform(*limits)) for limits in ((6, 20), (-10, 10), (-6, 6)))
        known = KnownRail(flat_bend_flat(280, kick, 60, 330, start=-60 + 60j))
        rail = fit_rail((turned(known.read(0.0, STATIONS), tilt, turn),), OFFSET_MM)
        notch = fit_notch(rail, (-30.0, -18.0), FOOT, 0.0)
        matrix = axes(tilt, turn)
        deepest = max(
            known.depth(complex(*(matrix @ np.array([p.real, p.imag - OFFSET_MM, w]))[:2]), 0.0)
            for w in np.linspace(-30.0, -18.0, 7)
            for edge in notch.path
            for p in (edge.point(k / 6) for k in range(7))
        )
        assert deepest < 0.05
        assert notch.fit.overlap_mm < 0.02


def job_text(*more: str) -> str:
    text = (PROFILES / STRAIGHT / "job.toml").read_text(encoding="utf-8")
    return text.replace("[rail]\n", "[rail]\n" + "".join(f"{line}\n" for line in more), 1)


def test_a_whole_bracket_on_a_rail_that_the_cylinder_leaves() -> None:
    """Solids of plates and rail meet and have no volume in common; the weld's angles are those of the tilt."""
    pytest.importorskip("cadquery")
    from plategen.solid.bodies import plate_bodies, standing_body
    from plategen.solid.clearance import clearances

    job = parse_job(job_text('tilt = "5 deg"', 'turn = "-4 deg"'))
    traces = tuple(turned(trace, job.rail.tilt_rad, job.rail.turn_rad) for trace in loaded_of(STRAIGHT).traces)
    work = carry_through(job, traces)
    for each in clearances((*plate_bodies(work.bracket), standing_body(work))):
        assert each.overlap_mm3 < 1.0, each
        if "rail" in (each.one, each.other):
            assert each.gap_mm < 0.01
    turn = math.radians(5.0)
    outside = {run.plate: run for run in work.bracket.welds if run.side == "outside"}
    assert outside["ear_far"].joint_angle_rad[0] == pytest.approx(math.pi / 2 + turn, abs=2e-3)
    assert outside["ear_near"].joint_angle_rad[0] == pytest.approx(math.pi / 2 - turn, abs=2e-3)
    assert any("tilted 5.0° and turned -4.0°" in str(caution) for caution in work.cautions)


def test_no_angle_changes_nothing_and_what_cannot_be_known_is_refused() -> None:
    trace = loaded_of(STRAIGHT).traces[0]
    assert turned(trace, 0.0, 0.0) is trace
    flat = turned(trace, 0.0, math.radians(1e-6))
    assert abs(flat.readings[-1].point - trace.readings[-1].point) < 1e-6
    with pytest.raises(Refusal, match="so far out of the trace's plane"):
        parse_job(job_text('tilt = "31 deg"'))
    two = (PROFILES / "sprayer-kicked-rail" / "job.toml").read_text(encoding="utf-8")
    with pytest.raises(Refusal, match="read in one plane by one straightedge"):
        parse_job(two.replace("[rail]\n", '[rail]\nturn = "3 deg"\n', 1))


def test_mirror_image() -> None:
    """Planes counted the other way with both angles the other way: the same section at the mirrored plane."""
    known = KnownRail(flat_bend_flat(190, math.radians(9), 60, 330, start=-60 + 60j))
    one = fit_rail((turned(known.read(20.0, STATIONS), 0.1, 0.07),), 0.0)
    other = fit_rail((turned(replace(known.read(20.0, STATIONS), plane_mm=-20.0), -0.1, -0.07),), 0.0)
    for a, b in zip(one.section(50.0), other.section(-50.0), strict=True):
        assert abs(a.start - b.start) < 1e-9


@pytest.mark.parametrize(
    "random_job",
    [test_gusset.random_job, test_doubler.random_job, test_crosshead.random_job, bolted_job],
    ids=["gusset", "doubler", "crosshead", "bolted"],
)
def test_random_brackets_out_of_the_traces_plane_stand_or_one_is_refused(
    random_job: Callable[[random.Random], Job],
) -> None:
    built, refused = 0, []
    for seed in range(CASES):
        rng = random.Random(seed)
        job, trace = random_job(rng), replace(traced(rng)[0], plane_mm=0.0)
        tilt, turn = (math.radians(rng.uniform(-7.0, 7.0)) for _ in range(2))
        entry = job.rail.trace[0].replaced(file=trace.file, plane_mm=0.0)
        job = job.replaced(rail=job.rail.replaced(trace=(entry,), tilt_rad=tilt, turn_rad=turn))
        try:
            work = carry_through(job, (turned(trace, tilt, turn),))
        except Refusal as refusal:
            refused.append(refusal.key)
            continue
        built += 1
        for plate in work.bracket.plates:
            assert simple(plate.outline) is None
            assert plate.fit is None or plate.fit.overlap_mm < 0.02
        if job.bracket.style == "bolted":  # the base lies on the face, and that leans as the plates do
            leans = next(p for p in work.bracket.plates if p.role == "base").placement.normal
            assert leans[2] / leans[1] == pytest.approx(-math.tan(tilt), abs=0.05)
        for run in (r for r in work.bracket.welds if r.joint == "rail" and r.plate.startswith("ear")):
            off = run.joint_angle_rad[0] - math.pi / 2
            assert abs(off) == pytest.approx(abs(tilt), abs=0.03)
    assert all(refused)
    assert built > CASES // 4
