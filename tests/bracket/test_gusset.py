"""Gussets behind the ears: they lie on ear and rail and in neither, pass the ear's bead, and hold a tall ear up."""

import os
import random
from typing import Any

import pytest

from plategen.bracket.closing_room import BESIDE_BEAD_MM
from plategen.checks.finding import Finding
from plategen.checks.tie import TIE
from plategen.flat.inside import simple
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.bracket import BracketEntry, Mount, Weld
from plategen.job.cylinder import Cylinder, CylinderEnd
from plategen.job.doubler import Doubler
from plategen.job.gusset import Gusset
from plategen.job.rules import Rules
from plategen.make import Work, carry_through
from plategen.solid.bodies import plate_bodies, standing_body
from plategen.solid.clearance import clearances
from tests.support.every_example import loaded_of
from tests.support.web_rail import each_built, web_entry

CASES = int(os.environ.get("PLATEGEN_CASES", "16"))
STRAIGHT = "quarry-straight-rail"


def with_gusset(**given: Any) -> Work:
    loaded = loaded_of(STRAIGHT)
    return carry_through(loaded.job.replaced(gusset=Gusset(**{"thickness_mm": 8.0, **given})), loaded.traces)


def random_job(rng: random.Random) -> Job:
    return Job(
        title="Ribbed",
        units="mm",
        rail=web_entry(10.0, "S355"),
        cylinder=Cylinder(
            bore_mm=50.0, rod_mm=30.0, stroke_mm=200.0, closed_length_mm=420.0, body_diameter_mm=62.0,
            pressure_mpa=rng.uniform(6.0, 16.0),
            base=CylinderEnd(pin_mm=25.0, eye_width_mm=rng.choice((25.0, 35.0)), eye_radius_mm=28.0),
        ),
        mount=Mount(inline_offset_mm=rng.uniform(40.0, 160.0), pin_station_mm=rng.uniform(190.0, 310.0)),
        bracket=BracketEntry(plane_mm=rng.uniform(-30.0, 10.0), thickness_mm=rng.choice((8.0, 12.0)), steel="S355"),
        gusset=Gusset(
            thickness_mm=rng.choice((6.0, 8.0, 10.0)), height_mm=rng.choice((None, None, 60.0)),
            reach_mm=rng.choice((None, 50.0)),
        ),
        weld=Weld(leg_mm=6.0, electrode="G42"),
        rules=Rules(set="en-1993"),
    )  # fmt: skip


def test_random_gussets_stand_or_one_thing_is_refused() -> None:
    for _, job, work in each_built(CASES, random_job):
        ribs = [plate for plate in work.bracket.plates if plate.role == "gusset"]
        ears = [plate for plate in work.bracket.plates if plate.role == "ear"]
        assert [rib.name for rib in ribs] == ["gusset_near", "gusset_far"]
        for rib, ear, outward in zip(ribs, ears, (-1.0, 1.0), strict=True):
            assert simple(rib.outline) is None
            assert rib.fit is not None
            assert rib.fit.overlap_mm <= 0.02
            face = ear.placement.origin[2] + (ear.thickness_mm if outward > 0 else 0.0)
            off = [outward * (rib.placement.point(e.start)[2] - face) for e in rib.outline]
            assert min(off) == pytest.approx(0.0, abs=1e-9)  # it touches the ear's outer face
            assert max(off) > 2.0 * BESIDE_BEAD_MM  # and reaches out from it
            on_ear = [run for run in work.bracket.welds if run.plate == rib.name and run.other == ear.name]
            for run in on_ear:
                ends = [run.placement.point(p)[2] for p in (run.path.start, run.path.end)]
                assert ends == pytest.approx([face, face])
            assert len(on_ear) == 2
            # its beads on the rail begin clear of the ear's own bead
            clear = job.weld.leg_mm + BESIDE_BEAD_MM
            for run in (r for r in work.bracket.welds if r.plate == rib.name and r.joint == "rail"):
                near = min(outward * (run.placement.point(p)[2] - face) for p in (run.path.start, run.path.end))
                assert near >= clear - 1e-6


def test_solids_of_ears_gussets_and_rail_have_no_volume_in_common() -> None:
    work = with_gusset()
    touching = set()
    for each in clearances((*plate_bodies(work.bracket), standing_body(work))):
        assert each.overlap_mm3 < 1.0, each
        if each.gap_mm < 1e-6:
            touching.add((each.one, each.other))
    assert {("ear_near", "gusset_near"), ("ear_far", "gusset_far"), ("gusset_near", "rail")} <= touching


def named(work: Work, check: str, about: str) -> Finding:
    return next(f for f in work.findings if f.check == check and f.part.words == about and f.decides)


def test_a_tall_ear_leans_less_and_is_bent_less_with_a_gusset() -> None:
    loaded = loaded_of(STRAIGHT)
    tall = loaded.job.replaced(
        mount=loaded.job.mount.replaced(inline_offset_mm=160.0),
        bracket=loaded.job.bracket.replaced(thickness_mm=8.0),
    )
    without = carry_through(tall, loaded.traces)
    ribbed = carry_through(tall.replaced(gusset=Gusset(thickness_mm=8.0)), loaded.traces)
    for check in ("movement at the pin, sideways", "plate section"):
        assert named(ribbed, check, "ear_near").demand < 0.65 * named(without, check, "ear_near").demand
    assert (
        named(without, "plate section", "ear_near").verdict,
        named(ribbed, "plate section", "ear_near").verdict,
    ) == (
        "stop",
        "ok",
    )
    caution = named(without, "movement at the pin, sideways", "ear_near")
    assert caution.verdict == "caution"
    assert "a gusset of 8.0 mm behind each ear" in str(caution.cure.advice)  # type: ignore[union-attr]
    assert named(ribbed, "movement at the pin, sideways", "ear_near").verdict == "ok"


def test_foot_and_ear_weld_by_hand() -> None:
    """The side force S on one ear, a couple S h / a about it, on a foot of d by t and on each bead of l."""
    work = with_gusset()
    rib = next(plate for plate in work.bracket.plates if plate.name == "gusset_near")
    ear = next(plate for plate in work.bracket.plates if plate.name == "ear_near")
    side = max(abs(case.force_n[2]) for case in work.design.motion.cases)
    assert rib.notch is not None
    h = -min(rib.outline.bounds[1], 0.0)
    d, t = rib.notch.length, rib.thickness_mm
    middle = rib.placement.point((rib.notch.start + rib.notch.end) / 2)[2]
    a = abs(middle - (ear.placement.origin[2] + ear.thickness_mm / 2))
    direct = side * h / a / (d * t) + 6 * (side * h / 2) / (t * d**2)
    stress = (direct**2 + 3 * (1.5 * side / (d * t)) ** 2) ** 0.5
    assert named(work, "gusset at its foot", "gusset_near").demand == pytest.approx(1.5 * stress, rel=0.03)
    run = next(r for r in work.bracket.welds if r.plate == "gusset_near" and r.other == "ear_near")
    load = side * (1 + (h / a) ** 2) ** 0.5 / run.length_mm
    found = next(f for f in work.findings if f.of.row == TIE.row and run.name in f.part.names and f.decides)
    assert found.demand == pytest.approx(1.5 * load / (run.leg_mm * 0.5**0.5), rel=0.03)


def test_what_cannot_stand_is_refused() -> None:
    with pytest.raises(Refusal, match=r"is not worth its welds"):
        with_gusset(height_mm=20.0)
    with pytest.raises(Refusal, match=r"past the ear's own bead"):
        with_gusset(reach_mm=10.0)
    with pytest.raises(Refusal, match=r"would stand beyond the foot; a station between"):
        with_gusset(station_mm=40.0)
    with pytest.raises(Refusal, match=r"its side would reach beyond ear near"):
        with_gusset(station_mm=70.0, height_mm=90.0)
    job = loaded_of(STRAIGHT).job
    with pytest.raises(Refusal, match="gussets stand on the rail itself"):
        job.replaced(gusset=Gusset(thickness_mm=8.0), doubler=Doubler(thickness_mm=12.0))
