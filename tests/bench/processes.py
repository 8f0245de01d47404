"""Whole commands against what they cannot do without: the import of the libraries they use.

Each pair is run turn by turn in one go, so that whatever else the machine does falls on both. Processor time is
compared: on a shared machine it says what wall time says on an idle one.

Both run as from a user's shell (:data:`NOT_A_USERS`). There numpy starts a thread for every core as it is imported,
and on two idle cores the second one's wait for work is 0.05 s of the 0.13 s that the import takes; the commands start
none. With one thread in both, a judge takes 3.5 times the import.
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parents[2]
JOB = str(ROOT / "profiles" / "sprayer-kicked-rail")
ROUNDS = 5

SOLID_IMPORT = "import cadquery"
OTHER_IMPORTS = "import numpy, ezdxf, reportlab.pdfgen.canvas"


@dataclass(frozen=True)
class Pair:
    """A command, what it is measured against, and the most that it may take of that."""

    name: str
    command: Sequence[str]
    against: str
    most: float  # As from a user's shell, where numpy starts a thread for every core; with nothing else to do.
    most_by_one: float  # With one thread in both, which hangs less on what else the machine does: for the tests.


def plategen(*words: str) -> list[str]:
    """The command line, in a process of its own."""
    return [sys.executable, "-c", "from plategen.cli import main; main()", *words]


PAIRS = (
    Pair("make", plategen("make", JOB), SOLID_IMPORT, 1.3, 1.3),
    Pair("make --no-solid", plategen("make", JOB, "--no-solid"), OTHER_IMPORTS, 2.2, 3.0),
    Pair("judge", plategen("judge", JOB), "import numpy", 2.2, 4.0),
    Pair("--help", plategen("--help"), "import click", 2.0, 2.0),
)
NOT_A_USERS = ("PYTHONDONTWRITEBYTECODE", "OPENBLAS_NUM_THREADS", "OMP_NUM_THREADS")
"""What those who test may have set and a user's shell has not: compiled modules are kept from one run to the next, and
nothing says how many threads numpy may start."""


@dataclass(frozen=True)
class Cost:
    """What a process took, s and MB."""

    wall_s: float
    processor_s: float
    peak_mb: float


ONE_THREAD = {"OPENBLAS_NUM_THREADS": "1", "OMP_NUM_THREADS": "1"}
"""What has numpy start none beside the one that is there."""


def cost_of(command: Sequence[str], threads: Mapping[str, str]) -> Cost:
    """Run a command in a fresh folder, once; it must do its work."""
    environment = {name: value for name, value in os.environ.items() if name not in NOT_A_USERS} | dict(threads)
    with tempfile.TemporaryDirectory() as folder:
        began = time.perf_counter()
        process = subprocess.Popen(
            command, cwd=folder, env=environment, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE
        )
        assert process.stderr is not None
        told = process.stderr.read()
        _, status, used = os.wait4(process.pid, 0)
        process.returncode = os.waitstatus_to_exitcode(status)
        wall = time.perf_counter() - began
    if process.returncode not in (0, 1):
        raise RuntimeError(f"{command}: {told.decode()}")
    return Cost(wall, used.ru_utime + used.ru_stime, peak_mb(used))


def peak_mb(used: resource.struct_rusage) -> float:
    """Peak memory of a process, MB; the system counts in kilobytes, but for one that counts in bytes."""
    return used.ru_maxrss / (1e6 if sys.platform == "darwin" else 1e3)


def median(costs: Sequence[Cost]) -> Cost:
    """The median of each."""
    return Cost(
        *(statistics.median(getattr(cost, name) for cost in costs) for name in ("wall_s", "processor_s", "peak_mb"))
    )


def compare(pair: Pair, rounds: int = ROUNDS, threads: Mapping[str, str] | None = None) -> tuple[Cost, Cost]:
    """The command's cost and that of what it is measured against, medians of turns."""
    both = (pair.command, [sys.executable, "-c", pair.against])
    turns = [[cost_of(command, threads or {}) for command in both] for _ in range(rounds + 1)]
    own, base = (median(costs) for costs in zip(*turns[1:], strict=True))  # the first fills the disk's cache
    return own, base


def main() -> None:
    """Print the table."""
    print(f"\nWhole processes, medians of {ROUNDS} turns: processor time, wall time in brackets, peak memory")
    for pair in PAIRS:
        own, base = compare(pair)
        ratio = own.processor_s / base.processor_s
        print(
            f"{pair.name:16s} {own.processor_s:6.2f} s ({own.wall_s:.2f})  {own.peak_mb:5.0f} MB   against "
            f"{pair.against!r} {base.processor_s:.2f} s ({base.wall_s:.2f}): {ratio:.2f}, wall "
            f"{own.wall_s / base.wall_s:.2f}, at most {pair.most:g}  {'ok' if ratio <= pair.most else 'TOO SLOW'}"
        )
