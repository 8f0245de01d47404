"""The figures that must hold, the machine's own noise allowed for; ``python -m tests.bench`` prints them."""

import time

import pytest

from plategen.rail.fit import fit_trace
from tests.bench import fit, processes, steering, variants

pytestmark = [pytest.mark.slow, pytest.mark.quiet]

NOISE = 1.25
"""Processor time on a shared machine scatters by so much."""

SLOW = 2.0
"""A rate has nothing beside it to be held to: the same commit has made 374 a second on one day and 190 on another."""


@pytest.mark.parametrize("pair", processes.PAIRS, ids=lambda pair: pair.name)
def test_whole_processes(pair: processes.Pair) -> None:
    own, base = processes.compare(pair, rounds=2, threads=processes.ONE_THREAD)
    assert own.processor_s <= NOISE * pair.most_by_one * base.processor_s


def test_variants_a_second() -> None:
    grid = variants.sweep()
    assert len(grid) >= 10_000
    assert variants.on_one_core(grid, share=0.1) * SLOW >= variants.LEAST


def test_a_scanners_trace_is_fitted_in_a_second() -> None:
    trace = fit.long_trace(100_000, seed=1)
    began = time.process_time()
    fit_trace(trace)
    assert time.process_time() - began <= 1.0 * NOISE


def test_closed_form_steering_against_a_root_finder() -> None:
    closed, stepwise = steering.times()
    assert closed <= steering.SHARE * stepwise
