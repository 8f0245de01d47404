"""A doubler, gussets, and sawn plates: the same findings of the mirror image, and of the job in the other unit."""

import os
import random
from collections.abc import Iterator
from dataclasses import replace

import msgspec
import pytest

from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import ShopSizes
from plategen.job import Job
from plategen.job.parse import parse_table
from plategen.job.rules import Rules
from plategen.make import carry_through
from plategen.rail.trace import Trace
from tests.bracket import test_crosshead, test_doubler, test_gusset
from tests.support.random_jobs import RandomJob
from tests.support.web_rail import traced
from tests.support.written import written
from tests.test_same_job import NEARLY, _told, assert_the_same, mirrored

OF_THE_FIT = {"rail as traced, between readings": 0.01, "bind to expect": 0.01}
"""Rounded readings in the other unit fit by a hair otherwise, which these two feel."""

CASES = int(os.environ.get("PLATEGEN_CASES", "3"))


def jobs() -> Iterator[tuple[str, Job, tuple[Trace, ...]]]:
    """Random jobs that can be built, as many of each kind."""
    for kind, drawn in (
        ("doubler", test_doubler.random_job),
        ("gusset", test_gusset.random_job),
        ("crosshead", test_crosshead.random_job),
    ):
        found, seed = 0, 0
        while found < CASES:
            seed += 1
            rng = random.Random(1000 + seed)
            job, traces = drawn(rng), traced(rng)
            if seed % 2:
                job = job.replaced(cutting=msgspec.structs.replace(job.cutting, process="saw and drill"))
            try:
                carry_through(job, traces)
            except Refusal:
                continue
            found += 1
            yield kind, job, traces


def test_the_mirror_image() -> None:
    for kind, job, traces in jobs():
        other = carry_through(
            mirrored(RandomJob("ears", job, traces)), tuple(replace(t, plane_mm=-t.plane_mm) for t in traces)
        )
        assert_the_same(carry_through(job, traces), other, kind, NEARLY)


def test_the_other_unit(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(ShopSizes, "step_mm", lambda sizes, _: sizes.metric_step_mm)
    for kind, job, traces in jobs():
        if kind == "doubler" and job.doubler is not None and job.doubler.plugs:
            continue  # a plug's hole goes by the unit's own drills
        told = job.replaced(rules=(job.rules or Rules()).replaced(tables="mm"))
        one, other = (
            carry_through(
                parse_table(Job, {**written(told, units), "units": units}, units),
                tuple(_told(trace, units) for trace in traces),
            )
            for units in ("in", "mm")
        )
        assert_the_same(one, other, kind, {**NEARLY, **OF_THE_FIT})
