"""Variants judged a second: in-line offset x thickness x leg over ten thousand, on one core and on all of them."""

import os
import statistics
import time
from pathlib import Path

from plategen.commands.judge import variants_of
from plategen.job.load import load_job
from plategen.vary import Sweep, Variant, judged, read_axes, sweep_of

JOB = Path(__file__).parents[2] / "profiles" / "sprayer-kicked-rail"
AXES = ("mount.inline_offset=1 1/2:2 3/4:1/16", "bracket.thickness=1/4:1/2:1/96", "weld.leg=3/16:5/16:1/152")
LEAST = 500.0
PARTS = 10


def sweep() -> Sweep:
    """Ten thousand variants and a few: 21 x 25 x 20."""
    loaded = load_job(JOB)
    return sweep_of(loaded.job, loaded.traces, read_axes(loaded.job, AXES))


def on_one_core(grid: Sweep, share: float = 1.0) -> float:
    """Variants a second of processor time, the median over parts of the grid, or over so much of each part."""
    rates = []
    size = len(grid) // PARTS
    for part in range(PARTS):
        began, indexes = time.thread_time(), range(part * size, part * size + round(share * size))
        count = sum(1 for _ in judged(grid, indexes))
        rates.append(count / (time.thread_time() - began))
    return statistics.median(rates)


def main() -> None:
    """Print the rates."""
    grid = sweep()
    rate = on_one_core(grid)
    verdict = "ok" if rate >= LEAST else "TOO SLOW"
    print(f"\n{len(grid)} variants of in-line offset x thickness x leg")
    print(f"one core     {rate:6.0f} a second of processor time, at least {LEAST:g}  {verdict}")
    cores = os.cpu_count() or 1
    one, alone = _timed(grid, 1)
    every, together = _timed(grid, cores)
    assert one == every
    print(f"one process  {len(grid) / alone:6.0f} a second of wall time")
    share = f"{alone / together:.2f} times one; same answers"
    print(f"{cores} processes  {len(grid) / together:6.0f} a second of wall time, {share}")


def _timed(grid: Sweep, jobs: int) -> tuple[list[Variant], float]:
    began = time.perf_counter()
    found = list(variants_of(grid, jobs))
    return found, time.perf_counter() - began
