"""How the time of a fit grows with the readings: ``python -m tests.bench fit``.

Each line is the median processor time of a few fits of a rail with two bends, read with 0.3 mm error and one wild
reading in fifty, and its growth against the line before: the exponent e of time ~ n^e. Up to 200 readings every
reading is fitted and every run of readings tried as a line and as an arc, so the time grows about as n;
beyond, readings are grouped, and only the grouping and the residuals grow, as n.
"""

import math
import statistics
import time

import numpy as np

from plategen.rail.fit import fit_trace
from plategen.rail.trace import Trace
from tests.rail.fit_rails import a_rail, trace_of

COUNTS = (10, 30, 100, 200, 400, 1000, 10_000, 100_000)
REPEATS = 5


def long_trace(count: int, seed: int) -> Trace:
    """So many readings of a rail with two bends."""
    rng = np.random.default_rng(seed)
    rail = a_rail("two bends", rng)
    stations = np.linspace(0.0, rail.span_mm, count)
    points = stations + 1j * (rail.offsets(stations) + rng.normal(0.0, 0.3, count))
    points[rng.choice(count, count // 50, replace=False)] += 12j
    return trace_of(points)


def main() -> None:
    """Print the table."""
    before: tuple[int, float] | None = None
    print("\nreadings   fit, ms   growth")
    for count in COUNTS:
        times = []
        for seed in range(REPEATS):
            trace = long_trace(count, seed)
            began = time.process_time()
            fit_trace(trace)
            times.append(time.process_time() - began)
        took = statistics.median(times)
        growth = f"n^{math.log(took / before[1]) / math.log(count / before[0]):.2f}" if before else ""
        print(f"{count:8d} {1e3 * took:10.1f}   {growth}")
        before = count, took
