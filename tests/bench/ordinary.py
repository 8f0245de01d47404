"""Random ordinary jobs of every style: how many are refused and why, and whether each refusal's cure cures it.

``python -m tests.bench ordinary`` runs a thousand. At most one in a hundred is refused, each by a refusal that names a
key and knows a cure; with the cure in the job, the job is built. No plate has an edge that is too short to cut.
"""

import random
from collections import Counter
from typing import NamedTuple

from plategen.flat.segment import SHORTEST_EDGE_MM
from plategen.ground.refusal import Refusal
from plategen.job.change import changed
from plategen.make import carry_through
from plategen.work import Work
from tests.support.ordinary_jobs import KINDS, OrdinaryJob, ordinary

RUNS = 1000
MOST_REFUSED = 0.01
SEED = 1409


class Tried(NamedTuple):
    """What came of one job."""

    work: Work | None  # None where it was refused.
    refusal: Refusal | None = None
    cured: bool = False  # Whether the refusal's cure lets it be built.


def job_of(run: int, seed: int = SEED) -> OrdinaryJob:
    """One of the jobs, every kind in turn."""
    return ordinary(random.Random(f"{seed}/{run}"), KINDS[run % len(KINDS)])


def tried(given: OrdinaryJob) -> Tried:
    """Carry a job through; where it is refused, once more with its cure in it."""
    try:
        return Tried(carry_through(given.job, given.traces))
    except Refusal as refusal:
        return Tried(None, refusal, _cures(refusal, given))


def _cures(refusal: Refusal, given: OrdinaryJob) -> bool:
    if refusal.cure is None or not refusal.cure.changes or not refusal.key:
        return False
    try:
        carry_through(changed(given.job, refusal.cure.changes), given.traces)
    except Refusal:
        return False
    return True


def shortest_mm(work: Work) -> float:
    """The shortest edge that is cut."""
    loops = (loop for plate in work.bracket.plates for loop in (plate.outline, *plate.openings))
    return min(edge.length for loop in loops for edge in loop)


def main() -> None:
    """Print the table."""
    counts: dict[str, Counter[str]] = {kind: Counter() for kind in KINDS}
    refused, uncured, least = 0, 0, float("inf")
    for run in range(RUNS):
        given = job_of(run)
        work, refusal, cured = tried(given)
        if refusal is not None:
            refused, uncured = refused + 1, uncured + (not cured)
            counts[given.kind]["refused"] += 1
            print(f"job {run}, {given.kind}: {refusal}{'' if cured else '  NOT CURED'}")
        if work is not None:
            stops = any(finding.verdict == "stop" and finding.decides for finding in work.findings)
            counts[given.kind]["stops" if stops else "passes"] += 1
            least = min(least, shortest_mm(work))
    print(f"\n{'kind':<14}{'passes':>8}{'stops':>8}{'refused':>8}")
    for kind, of in counts.items():
        print(f"{kind:<14}{of['passes']:>8}{of['stops']:>8}{of['refused']:>8}")
    verdict = "ok" if refused <= MOST_REFUSED * RUNS and not uncured else "TOO MANY"
    print(f"{refused} of {RUNS} refused, at most {MOST_REFUSED:.0%}; {uncured} without a cure that cures  {verdict}")
    verdict = "ok" if least >= SHORTEST_EDGE_MM else "TOO SHORT"
    print(f"shortest edge {least:.3f} mm, at least {SHORTEST_EDGE_MM:g}  {verdict}")
