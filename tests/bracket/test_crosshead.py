"""A crosshead between the ears: it lies on both and in neither, clear of the cylinder, and hands a side force on."""

import os
import random
from itertools import product
from typing import Any

import numpy as np
import pytest

from plategen.bracket.closing_room import ANGLES, cylinder_distances, kept_mm
from plategen.checks.crosshead import STRUT
from plategen.checks.finding import Finding
from plategen.checks.swept import Span, handed_on
from plategen.checks.tie import TIE
from plategen.flat.inside import inside
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.crosshead import Crosshead
from plategen.job.doubler import Doubler
from plategen.job.style_tables import Closing
from plategen.make import Work, carry_through
from plategen.rules.plate_section import Sections
from plategen.solid.bodies import plate_bodies, standing_body
from plategen.solid.clearance import clearances
from tests.bracket import test_gusset
from tests.support.every_example import loaded_of
from tests.support.web_rail import each_built

CASES = int(os.environ.get("PLATEGEN_CASES", "16"))
STRAIGHT = "quarry-straight-rail"


def with_crosshead(more: dict[str, Any] | None = None, **given: Any) -> Work:
    loaded = loaded_of(STRAIGHT)
    job = loaded.job.replaced(crosshead=Crosshead(**{"thickness_mm": 8.0, **given}), **more or {})
    return carry_through(job, loaded.traces)


def random_job(rng: random.Random) -> Job:
    """As those with gussets, with a crosshead instead and the pin farther off, some on a doubler."""
    job = test_gusset.random_job(rng)
    return job.replaced(
        gusset=None, doubler=rng.choice((None, None, Doubler(thickness_mm=12.0))),
        mount=job.mount.replaced(inline_offset_mm=rng.uniform(80.0, 200.0)),
        crosshead=Crosshead(
            thickness_mm=rng.choice((6.0, 8.0, 10.0)), height_mm=rng.choice((None, None, 30.0)),
            deep_mm=rng.choice((None, 40.0)), leg_mm=rng.choice((None, 4.0)),
        ),
    )  # fmt: skip


def test_random_crossheads_lie_on_both_ears_clear_of_the_cylinder_or_one_thing_is_refused() -> None:
    for _, job, work in each_built(CASES, random_job):
        plate = next(plate for plate in work.bracket.plates if plate.role == "crosshead")
        near, far = (each for each in work.bracket.plates if each.role == "ear")
        assert job.crosshead is not None
        corners = [
            plate.placement.point(edge.start, depth) for edge in plate.outline for depth in (0.0, plate.thickness_mm)
        ]
        for u, v, w in corners:
            assert inside(near.outline, complex(u, v))
            assert inside(far.outline, complex(u, v))
            off = min(w - near.placement.origin[2] - near.thickness_mm, far.placement.origin[2] - w)
            assert off == pytest.approx(job.crosshead.fit_mm)
        swept = np.array([complex(u, v) for u, v, _ in corners])
        assert cylinder_distances(work.design, swept, ANGLES).min() >= kept_mm(work.design) - 1e-9
        runs = [run for run in work.bracket.welds if run.plate == plate.name]
        assert {(run.other, run.side) for run in runs} == set(product((near.name, far.name), ("inside", "outside")))
        for run in runs:
            ear, inner = (near, near.thickness_mm) if run.other == near.name else (far, 0.0)
            ends = [run.placement.point(p)[2] for p in (run.path.start, run.path.end)]
            assert ends == pytest.approx([ear.placement.origin[2] + inner] * 2, abs=job.crosshead.fit_mm + 1e-9)
        assert any(finding.of == STRUT for finding in work.findings)


def test_solids_of_ears_crosshead_and_rail_have_no_volume_in_common() -> None:
    work = with_crosshead(fit_mm=0.0)
    touching = set()
    for each in clearances((*plate_bodies(work.bracket), standing_body(work))):
        assert each.overlap_mm3 < 1.0, each
        if each.gap_mm < 1e-6:
            touching.add((each.one, each.other))
    assert {("ear_near", "crosshead"), ("ear_far", "crosshead")} <= touching
    assert ("crosshead", "rail") not in touching


@pytest.mark.parametrize("across", [0.25, 0.5, 0.9])
def test_what_is_handed_on_is_that_of_two_cantilevers(across: float) -> None:
    """Ears of one width: S at the pin, H from the rail; at h the other takes S (3 H - h) / (4 h), by beam tables.

    A cantilever's deflection at h for a load at its end, S h^2 (3 H - h) / (6 E I), and for one at h, R h^3 / (3 E I).
    """
    tall, at = 200.0, np.linspace(0.0, 200.0, 13)
    cuts = Sections(
        at_mm=at, width_mm=np.full(13, 90.0), area_mm2=np.full(13, 720.0), inertia_mm4=np.full(13, 486_000.0),
        centroid_mm=np.zeros(13), first_mm=np.full(13, -45.0), last_mm=np.full(13, 45.0), thickness_mm=8.0,
    )  # fmt: skip
    h = across * tall
    span = Span(0j, 1j, tall, tall, float("inf"), cross_mm=tall - h)
    assert handed_on(span, cuts) == pytest.approx((3.0 * tall - h) / (4.0 * h), rel=2e-3)


def named(work: Work, check: str, about: str) -> Finding:
    return next(f for f in work.findings if f.check == check and f.part.words == about and f.decides)


def test_tall_ears_lean_less_and_are_bent_less_with_a_crosshead() -> None:
    loaded = loaded_of(STRAIGHT)
    tall = {
        "mount": loaded.job.mount.replaced(inline_offset_mm=160.0),
        "bracket": loaded.job.bracket.replaced(thickness_mm=8.0),
    }
    without, tied = carry_through(loaded.job.replaced(**tall), loaded.traces), with_crosshead(tall)
    check = "movement at the pin, sideways"
    assert named(tied, check, "ear_near").demand < 0.6 * named(without, check, "ear_near").demand
    assert named(tied, "plate section", "ear_near").demand < 0.8 * named(without, "plate section", "ear_near").demand
    # the welds on the rail are those of ears that stand alone
    for finding in (f for f in without.findings if f.check == "weld throat stress" and f.decides):
        assert named(tied, finding.check, finding.part.words).demand == pytest.approx(finding.demand)


def test_its_bead_and_itself_by_hand() -> None:
    work = with_crosshead()
    plate = next(plate for plate in work.bracket.plates if plate.role == "crosshead")
    u0, _, u1, _ = plate.outline.bounds
    found = next(f for f in work.findings if f.of.row == STRUT.row and f.decides)
    side = max(abs(case.force_n[2]) for case in work.design.motion.cases)
    share = found.demand * (u1 - u0) * plate.thickness_mm / (1.5 * side)
    assert 0.6 < share < 1.3
    run = next(run for run in work.bracket.welds if run.plate == "crosshead")
    tie = next(f for f in work.findings if f.of.row == TIE.row and run.name in f.part.names and f.decides)
    assert tie.demand == pytest.approx(1.5 * share * side / run.length_mm / (run.leg_mm * 0.5**0.5), rel=1e-3)


def test_a_caution_about_a_leaning_ear_sets_a_gusset_that_keeps_it_still() -> None:
    loaded = loaded_of(STRAIGHT)
    tall = loaded.job.replaced(
        mount=loaded.job.mount.replaced(inline_offset_mm=160.0),
        bracket=loaded.job.bracket.replaced(thickness_mm=8.0),
    )
    caution = named(carry_through(tall, loaded.traces), "movement at the pin, sideways", "ear_near")
    assert caution.verdict == "caution"
    assert caution.cure is not None
    assert [change.key for change in caution.cure.changes] == ["gusset.thickness"]
    cured = carry_through(tall.replaced(gusset=test_gusset.Gusset(thickness_mm=8.0)), loaded.traces)
    assert named(cured, "movement at the pin, sideways", "ear_near").verdict == "ok"


def test_what_cannot_stand_is_refused() -> None:
    with pytest.raises(Refusal, match=r"has no room between the ears' edges"):
        with_crosshead(height_mm=80.0)
    with pytest.raises(Refusal, match=r"would stand beyond the foot; a station between"):
        with_crosshead(station_mm=20.0)
    with pytest.raises(Refusal, match=r"a crosshead with its beads has no room"):
        with_crosshead(deep_mm=250.0)
    with pytest.raises(Refusal, match=r"tie them already"):
        with_crosshead({"closing": Closing(back=True)})
    with pytest.raises(Refusal, match=r"gussets hold both ears already"):
        with_crosshead({"gusset": test_gusset.Gusset(thickness_mm=8.0)})
