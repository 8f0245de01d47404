"""Ordinary jobs of every style are built, and no plate of them has an edge that no table follows.

A sample of what ``python -m tests.bench ordinary`` runs a thousand of.
"""

import random

import pytest

from plategen.flat.segment import SHORTEST_EDGE_MM
from plategen.make import carry_through
from tests.bench.ordinary import job_of, shortest_mm, tried
from tests.support.ordinary_jobs import KINDS, ordinary

OF_EACH = 5


@pytest.mark.parametrize("kind", KINDS)
def test_an_ordinary_job_is_built(kind: str) -> None:
    for run in range(KINDS.index(kind), OF_EACH * len(KINDS), len(KINDS)):
        work, refusal, _ = tried(job_of(run))
        assert work is not None, refusal
        assert shortest_mm(work) >= SHORTEST_EDGE_MM


def test_toes_as_high_as_the_nose_stands_leave_one_flank() -> None:
    """A clamped seat's toes of 110 mm reach to the lowest point of its nose, of which no arc is left."""
    given = ordinary(random.Random("3/6"), "seat")
    job = given.job.replaced(bracket=given.job.bracket.replaced(toe_mm=110.0))
    tab, *_ = carry_through(job, given.traces).bracket.plates
    lowest = min(edge.start.imag for edge in tab.outline)
    assert sum(abs(edge.start.imag - lowest) < 1e-9 for edge in tab.outline) == 3
    assert all(edge.length >= SHORTEST_EDGE_MM for edge in tab.outline)


def test_a_toe_by_rule_is_raised_until_closing_plates_have_room() -> None:
    """Job 339 of the bench closes its ears behind, where the usual toe leaves sides of 10 mm and 12 are asked for."""
    work, refusal, _ = tried(job_of(339))
    assert work is not None, refusal
    assert "closing plates" in str(work.design.toe.why)
