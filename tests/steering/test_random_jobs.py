"""Random steering jobs: every cure that sets a key of the job, put into it, cures.

So does a fixed pin put where the cure of a cylinder out of line tells. A thousand jobs with ``PLATEGEN_CASES=1000``.
"""

import math
import random
from collections import Counter

import pytest

from plategen.checks.finding import OVER, Finding
from plategen.checks.steering import findings
from plategen.checks.steering_cylinder import IN_LINE
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.change import changed
from plategen.job.parse import parse_job
from plategen.steering.study import SteeringStudy, study
from plategen.steering.tried import pin_tried
from tests.support.every_example import PROFILES
from tests.support.style_jobs import CASES

NAMES = (
    "orchard-sprayer-steering",
    "orchard-sprayer-rolling-rod",
    "bowser-leaf-axle",
    "peat-carrier-two-relays",
    "quarry-loader-cylinder-pair",
)


def _random_job(job: Job, chance: random.Random) -> Job:
    """The job with its cylinder, its pins, its levers' balls, locks and hands drawn anew."""
    between, cylinder, steering = chance.uniform, job.cylinder, job.steering
    assert steering is not None
    entry, sweep = steering.cylinder_mount, steering.sweep
    assert entry is not None
    assert sweep is not None

    def off(place: tuple[float, ...], by_mm: float) -> tuple[float, ...]:
        return tuple(x + between(-by_mm, by_mm) for x in place)

    levers = tuple(
        lever.replaced(balls={name: off(at, 15.0) for name, at in lever.balls.items()}) for lever in steering.lever
    )
    stroke = cylinder.stroke_mm * between(0.3, 1.2)
    return job.replaced(
        units=chance.choice(["in", "mm"]),
        cylinder=cylinder.replaced(
            stroke_mm=stroke,
            closed_length_mm=max(cylinder.closed_length_mm * between(0.9, 1.1), stroke + 100.0),
            bore_mm=cylinder.bore_mm * between(1.0, 1.4),
            rod_mm=cylinder.rod_mm * between(0.7, 1.0),
            pressure_mpa=cylinder.pressure_mpa * between(0.4, 1.6),
        ),
        steering=steering.replaced(
            lever=levers,
            cylinder_mount=entry.replaced(fixed_pin_mm=off(entry.fixed_pin_mm, 60.0)),
            sweep=sweep.replaced(left_rad=sweep.left_rad * between(0.5, 1.2)),
        ),
    )


def _stops(job: Job) -> tuple[SteeringStudy, dict[str, Finding]]:
    found = study(job)
    return found, {f"{f.check}, {f.part}": f for f in findings(found) if f.ratio > OVER}


@pytest.mark.parametrize("name", NAMES)
def test_every_cure_of_a_random_steering_cures(name: str) -> None:
    drawn = parse_job((PROFILES / name / "job.toml").read_text(encoding="utf-8"))
    chance, count = random.Random(name), Counter[str]()
    for _ in range(max(8, CASES // len(NAMES))):
        try:
            job = _random_job(drawn, chance)
            found, failing = _stops(job)
        except Refusal:
            count["refused"] += 1
            continue
        for which, finding in failing.items():
            assert finding.cure, which
            if finding.cure.changes:
                _, then = _stops(changed(job, finding.cure.changes))
                assert which not in then, f"{which}: {finding.cure}; then {then[which].ratio}"
                count["set"] += 1
        lies = found.in_line
        if lies is not None and any(which.startswith(IN_LINE.name) for which in failing):
            rolls = (0.0, *(each.roll_rad for each in found.rolled))
            tried = pin_tried(found.steering, found.sweep, lies, found.size, found.series, rolls)
            worst = max(each.aligned.worst_rad for each in (lies, *found.rolled))
            if tried is not None and tried.worst_rad < worst:
                assert job.steering is not None
                mount = job.steering.cylinder_mount.replaced(fixed_pin_mm=tried.fixed_mm)
                then_there = study(job.replaced(steering=job.steering.replaced(cylinder_mount=mount)))
                assert then_there.in_line is not None
                each = (then_there.in_line, *then_there.rolled)
                assert math.isclose(max(e.aligned.worst_rad for e in each), tried.worst_rad, abs_tol=1e-9)
                count["moved"] += 1
    assert count["set"] + count["moved"] > 0, count
