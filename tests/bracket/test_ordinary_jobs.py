"""Ordinary jobs of every style are built, and no plate of them has an edge that no table follows.

A sample of what ``python -m tests.bench ordinary`` runs a thousand of.
"""

import pytest

from plategen.flat.segment import SHORTEST_EDGE_MM
from tests.bench.ordinary import job_of, shortest_mm, tried
from tests.support.ordinary_jobs import KINDS

OF_EACH = 5


@pytest.mark.parametrize("kind", KINDS)
def test_an_ordinary_job_is_built(kind: str) -> None:
    for run in range(KINDS.index(kind), OF_EACH * len(KINDS), len(KINDS)):
        work, refusal, _ = tried(job_of(run))
        assert work is not None, refusal
        assert shortest_mm(work) >= SHORTEST_EDGE_MM
