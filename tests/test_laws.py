"""Laws that the findings about any job obey, on random jobs of every style: less force is never worse.

More steel is another matter: a thicker plate lies over more of a sloping rail and its gap grows, a larger leg shortens
a closing plate, so these are held where nothing else moves (``tests/checks/test_more_is_never_worse.py``).
"""

import os
import re
from collections import Counter
from collections.abc import Iterator

import pytest

from plategen.checks.finding import Finding
from plategen.job import Job
from plategen.work import Work
from tests.support.fitted import carried
from tests.support.random_jobs import RandomJob, built, on_its_foot

CASES = int(os.environ.get("PLATEGEN_CASES", "10"))
"""Random jobs; 500 before a release."""

LESS = 0.8
"""Of the pressure."""

WEAKER_WITH_LESS = {"force at the rim, rolling", "turns the tyres standing"}
"""A cylinder that pushes less turns the tyres less: the one thing that force is good for."""

LINEAR = {"weld throat stress", "plate shear", "bearing on the pin", "pin bending", "plate beside the weld"}
"""Checks whose demand is a force, or a stress that a force makes."""

WORST_BOLT = re.compile(r"^bolt \d+, ")

Key = tuple[str, str, str, bool]


def at_pressure(job: Job, times: float) -> Job:
    cylinder, use = job.cylinder, job.use
    job = job.replaced(cylinder=cylinder.replaced(pressure_mpa=times * cylinder.pressure_mpa))
    if use is not None and use.pressure_mpa is not None:
        job = job.replaced(use=use.replaced(pressure_mpa=times * use.pressure_mpa))
    return job


def by_key(work: Work) -> dict[Key, Finding]:
    # what is named by its worst bolt may have another at another force
    return {(f.check, WORST_BOLT.sub("", f.part.words), f.source, f.opinion): f for f in work.findings}


def random_jobs(seed: int, count: int) -> Iterator[tuple[RandomJob, dict[Key, Finding], dict[Key, Finding]]]:
    """Jobs that can be built, with their findings at full and at less pressure."""
    for given, work in built(seed, count):
        yield given, by_key(work), by_key(carried(at_pressure(on_its_foot(given.job, work), LESS), given.traces))


def test_less_pressure_is_never_worse_and_asks_the_same() -> None:
    count = 0
    for given, full, less in random_jobs(29, CASES):
        count += 1
        assert full.keys() == less.keys(), given.style
        for key, finding in full.items():
            if finding.check not in WEAKER_WITH_LESS:
                assert less[key].ratio <= finding.ratio * (1.0 + 1e-9) + 1e-9, (given.style, key)
    assert count == CASES


def test_demand_is_in_proportion_to_pressure() -> None:
    compared = Counter[str]()
    for given, full, less in random_jobs(31, max(6, CASES // 4)):
        for key, finding in full.items():
            if finding.check in LINEAR and finding.demand > 0.0 and "bottomed" not in str(finding.case):
                compared[finding.check] += 1
                assert less[key].demand == pytest.approx(LESS * finding.demand, rel=1e-9), (given.style, key)
    assert compared.keys() == LINEAR
