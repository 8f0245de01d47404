"""Peak memory of reading and fitting long traces."""

import sys
from pathlib import Path

from tests.bench.processes import cost_of

ROOT = Path(__file__).parents[2]

FIT = """
import sys
sys.path.insert(0, {root!r})
import numpy as np
from plategen.rail.fit import fit_trace
from tests.rail.fit_rails import a_rail, trace_of
rng = np.random.default_rng(1)
rail = a_rail("two bends", rng)
stations = np.linspace(0.0, rail.span_mm, {count})
trace = trace_of(stations + 1j * (rail.offsets(stations) + rng.normal(0.0, 0.3, {count})))
if {fits}:
    fit_trace(trace)
"""


def main() -> None:
    """Print the table."""
    print("\nPeak memory of a fit, over that of the same readings unfitted")
    for count in (10, 1_000, 100_000):
        peaks = [
            cost_of([sys.executable, "-c", FIT.format(root=str(ROOT), count=count, fits=fits)]).peak_mb
            for fits in (True, False)
        ]
        print(f"{count:8d} readings {peaks[0]:6.0f} MB, {peaks[0] - peaks[1]:.0f} more")
