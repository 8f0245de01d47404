"""Every cure that sets a key of the job file is tried: put into the job, the finding that asked for it passes.

Random jobs on the examples' rails, made to fail in many ways at once. A cure may be refused by the rest of the job, a
foot that is longer than the rail was read, say; it is never refused for the number that it named.
"""

import math
import os
import random
from collections import Counter
from collections.abc import Callable
from functools import cache
from pathlib import Path

import pytest

from plategen.checks.finding import Finding, stops
from plategen.ground.cure import Cure
from plategen.ground.message import Quantity
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.change import changed
from plategen.job.doubler import Doubler
from plategen.job.gusset import Gusset
from plategen.job.load import load_job
from plategen.job.rules import Driven, Rules
from plategen.make import on_rail, rebuilt
from plategen.rail.tube import Surface
from plategen.work import Work
from tests.support.designs import tube_on
from tests.support.fitted import carried, rail_of
from tests.support.random_jobs import BATCH, of_style

CASES = int(os.environ.get("PLATEGEN_CASES", "4"))
"""Random jobs of a kind; 500 before a release."""

PROFILES = Path(__file__).parents[2] / "profiles"
NAMES = (
    "sprayer-kicked-rail",
    "quarry-straight-rail",
    "forwarder-split-mount",
    "vineyard-drag-link-seat",
    "quarry-clamped-seat",
    "quarry-screen-corner",
    "forwarder-rolled-channel",
    "forestry-bolted-channel",
    "hay-rake-formed-bracket",
    "orchard-sprayer-both-ends",
    "quarry-loader-cylinder-pair",
    "skidder-photographed-rail",
)
STIFFENED = ("doubler", "gusset")
"""Tables that are put into the job of a straight rail."""


@cache
def _example(name: str) -> Work:
    """An example, or the straight rail's with a doubler or gussets, carried through."""
    loaded = load_job(PROFILES / ("quarry-straight-rail" if name in STIFFENED else name))
    job = loaded.job
    if name == "doubler":  # the foot is short enough for its ends to lie on the trace
        job = job.replaced(doubler=Doubler(thickness_mm=14.0), mount=job.mount.replaced(foot_mm=(75.0, 225.0)))
    elif name == "gusset":
        job = job.replaced(gusset=Gusset(thickness_mm=8.0))
    return carried(job, loaded.traces)


def _random_job(job: Job, chance: random.Random) -> Job:
    """The job with loads, sizes, steels and rules drawn anew, many of them too weak."""
    pick, between = chance.choice, chance.uniform
    pin = pick([10.0, 12.7, 16.0, 19.05, 25.0, 30.0, 40.0])
    cylinder = job.cylinder
    base = cylinder.base.replaced(pin_mm=pin, eye_width_mm=pick([15.0, 30.0, 50.0]), eye_radius_mm=1.1 * pin)
    chosen, tight = pick(["aisc-asd", "aisc-lrfd", "en-1993"]), pick([True, True, False])
    grades = ["Grade 5", "A490", "8.8"] if not tight else ["8.8", "10.9"] if chosen == "en-1993" else ["A325", "A490"]
    rules = (job.rules or Rules()).replaced(
        set=chosen,
        shock_factor=between(1.0, 2.5),
        swing_rad=pick([0.0, 0.05, 0.2]),
        skew_rad=pick([0.0, 0.035, 0.08]),
        pin_steel=pick(["1018-CD", "42CrMo4"]),
        bolt_grade=pick(grades),
        pretensioned=tight,
    )
    tube = Driven(diameter_mm=between(20.0, 45.0), bore_mm=pick([0.0, 10.0]), length_mm=between(400.0, 1500.0),
                  arm_mm=between(0.0, 60.0), at_mm=100.0)  # fmt: skip
    given = {
        "units": pick(["in", "mm"]),
        "rules": rules,
        "cylinder": cylinder.replaced(
            pressure_mpa=cylinder.pressure_mpa * pick([0.5, 1.0, 2.0, 3.0, 5.0]),
            rod_mm=cylinder.rod_mm * between(0.5, 1.05),
            base=base,
        ),
        "bracket": job.bracket.replaced(
            thickness_mm=pick([3.0, 4.7625, 6.35, 8.0, 9.525, 12.7]),
            steel=pick(["A36", "S355", "A572-50"]),
            nose_radius_mm=pick([None, None, pin * between(0.7, 1.6)]),
        ),
        "weld": job.weld.replaced(leg_mm=pick([2.0, 3.0, 4.7625, 6.35, 8.0]), electrode=pick(["E60", "E70"])),
        "driven": pick([None, tube]),
    }
    if job.bracket.style != "seat":
        given["rail"] = job.rail.replaced(wall_mm=pick([2.0, 3.0, 5.0, 8.0]))
    if job.split is not None:
        given["split"] = job.split.replaced(bolt_mm=pick([9.525, 12.7, 15.875, 19.05]))
    if job.seat is not None and job.seat.clamp is not None:
        clamp = job.seat.clamp.replaced(bolt_mm=pick([10.0, 12.0, 16.0]), thickness_mm=pick([8.0, 12.0, 16.0, 25.0]))
        given["seat"] = job.seat.replaced(clamp=clamp)
    if job.mount.foot_mm is not None and len(job.mount.foot_mm) == 2:
        first, last = job.mount.foot_mm
        in_by = between(0.0, 0.3) * (last - first)
        given["mount"] = job.mount.replaced(foot_mm=(first + in_by, last - in_by))
    return job.replaced(**given)


def _random_parts(job: Job, chance: random.Random) -> Job:
    """The job with the sizes of its own tables drawn anew."""
    pick = chance.choice
    given: dict[str, object] = {}
    if job.bolted is not None:
        bolted = job.bolted.replaced(bolt_mm=pick([12.0, 15.875, 20.0]))
        given["bolted"] = bolted if bolted.base_mm is None else bolted.replaced(base_mm=pick([10.0, 15.0, 20.0]))
    if job.doubler is not None:
        given["doubler"] = job.doubler.replaced(thickness_mm=pick([5.0, 8.0, 16.0]))
    if job.gusset is not None:
        given["gusset"] = job.gusset.replaced(thickness_mm=pick([4.0, 6.0, 10.0]))
    if job.rod_end is not None:
        tabs = job.rod_end.bracket.replaced(thickness_mm=pick([4.0, 6.35, 8.0, 12.0]))
        given["rod_end"] = job.rod_end.replaced(bracket=tabs)
    return job.replaced(**given)


@pytest.mark.parametrize("name", [*NAMES, *STIFFENED])
def test_what_a_cure_asks_for_cures(name: str) -> None:
    seed = f"{name}, batch {BATCH}" if BATCH else name
    work, chance, parts = _example(name), random.Random(seed), random.Random(f"{seed}, parts")

    def drawn() -> tuple[Work, Job]:
        job = _random_parts(_random_job(work.job, chance), parts)
        if job.bolted is not None and job.bolted.formed is not None:  # its bends leave no room for another eye or nose
            nose = job.bracket.replaced(nose_radius_mm=work.job.bracket.nose_radius_mm)
            job = job.replaced(cylinder=job.cylinder.replaced(base=work.job.cylinder.base), bracket=nose)
        return work, job

    _prove_each(drawn)


def test_what_a_cure_asks_for_cures_in_jobs_of_the_styles_own_tables() -> None:
    chance = random.Random(2611 + BATCH)

    def drawn() -> tuple[Work, Job]:
        given = of_style(chance)
        seat = given.job.bracket.style == "seat"
        rail: Surface = tube_on(given.job) if seat else rail_of(given.traces, given.job.mount.inline_offset_mm)
        job = _random_job(given.job, chance)
        job = job.replaced(cylinder=job.cylinder.replaced(base=given.job.cylinder.base))
        return on_rail(given.job, rail, opinions=False), job

    _prove_each(drawn)


def _prove_each(drawn: Callable[[], tuple[Work, Job]]) -> None:
    """Try the cures of so many jobs that can be built, of five times as many at most."""
    proved, built = Counter[str](), 0
    for _ in range(5 * CASES):
        try:
            work, job = drawn()
            now = rebuilt(work, job, opinions=True)
        except Refusal:
            continue
        _prove(now, proved)
        built += 1
        if built == CASES:
            break
    assert len(proved) >= 2, proved


def _prove(now: Work, proved: Counter[str]) -> None:
    """Try the cure of the first stop of every check."""
    first = {f.check: f for f in reversed(now.findings) if f.verdict == "stop" and f.decides}
    for finding in first.values():
        assert finding.cure
        assert all(map(math.isfinite, _numbers(finding.cure))), finding.cure
        _try(now, finding, proved)


@pytest.mark.parametrize(
    ("name", "which"),
    [
        ("quarry-screen-corner", 21),  # a larger leg has the rule cut the rail's bend away, which parts the run
        ("quarry-screen-corner", 81),  # a thicker plate shortens the closing plate, and its weld carries more
        ("quarry-screen-corner", 106),
        ("quarry-clamped-seat", 67),  # a thicker tab stands higher on its clamp, and its nose shrinks
    ],
)
def test_what_once_did_not_cure_does(name: str, which: int) -> None:
    chance, proved = random.Random(name), Counter[str]()
    *_, job = (_random_job(_example(name).job, chance) for _ in range(which + 1))
    now = rebuilt(_example(name), job, opinions=True)
    assert stops(now.findings)
    _prove(now, proved)


def _numbers(cure: Cure) -> list[float]:
    """Every number of a cure, of its words and of what it sets."""
    set_to = [to for change in cure.changes for to in (change.to if isinstance(change.to, tuple) else (change.to,))]
    return [q.value for q in (*cure.advice.quantities, *set_to) if isinstance(q, Quantity)]


def _try(now: Work, finding: Finding, proved: Counter[str]) -> None:
    assert finding.cure is not None
    keys = tuple(change.key for change in finding.cure.changes)
    if "cylinder.rod" in keys:  # the job itself refuses a rod as thick as its bore
        assert float(now.job.cylinder.bore_mm) > now.job.cylinder.rod_mm
    if not keys:
        return
    try:
        again, refused = rebuilt(now, changed(now.job, finding.cure.changes)).findings, ""
    except Refusal as refusal:
        again, refused = (), refusal.where or str(refusal)
    if refused:
        own = [key for key in keys if key != "mount.foot"]  # where the rail bends, a longer foot may meet its corner
        assert not any(key in refused for key in own), f"{finding.check}: {finding.cure}: refused at {refused}"
        return
    alike = [f for f in again if f.check == finding.check and f.decides]
    same = [f for f in alike if f.part == finding.part] or alike  # one that is named by its worst bolt may be another
    for f in same:
        assert f.verdict != "stop", f"{finding.check}, {finding.part}: {finding.cure}; then {f.ratio}: {f.cure}"
        assert math.isfinite(f.ratio)
    proved[keys[0]] += 1
