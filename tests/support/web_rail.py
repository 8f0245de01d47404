"""The web of a rail, read in two planes."""

import random
from collections.abc import Callable, Iterator, Sequence

from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.rail import RailEntry, TraceEntry
from plategen.job.rail_feature import FeatureEntry
from plategen.make import carry_through
from plategen.rail.trace import Reading, Trace
from plategen.work import Work

PLANES = (-120.0, 120.0)


def web_entry(wall_mm: float, steel: str, features: Sequence[FeatureEntry] = ()) -> RailEntry:
    """A job's table of such a rail: the web of a wide channel."""
    return RailEntry(
        wall_mm=wall_mm,
        steel=steel,
        section="channel",
        face="web",
        face_from_mm=-150.0,
        face_to_mm=150.0,
        trace=tuple(TraceEntry(file=f"{w:g}.csv", plane_mm=w) for w in PLANES),
        feature=tuple(features),
    )


def web(rng: random.Random) -> Callable[[float, float], float]:
    """How far off a web lies at a station and a place along the pin: sloped, leaning, twisted, some with a kick."""
    slope, lean, twist = rng.uniform(-0.12, 0.12), rng.uniform(-0.06, 0.06), rng.uniform(-2e-4, 2e-4)
    kick, at = rng.choice((0.0, 0.0, 0.0, 0.03, -0.03)), rng.uniform(100.0, 400.0)

    def height(u: float, w: float) -> float:
        return 40.0 + slope * (u - 250.0) + lean * w + twist * w * (u - 250.0) + kick * max(0.0, u - at)

    return height


def traced(rng: random.Random) -> tuple[Trace, ...]:
    """Two traces of such a web, read in steps of 20 mm to 0.1 mm, 0.2 mm off or so."""
    return read(web(rng), rng)


def read(height: Callable[[float, float], float], rng: random.Random) -> tuple[Trace, ...]:
    """What is read of a web."""
    return tuple(
        Trace(
            file=f"{w:g}.csv",
            plane_mm=w,
            readings=tuple(
                Reading(complex(u, round(height(u, w) + rng.gauss(0.0, 0.2), 1)), line)
                for line, u in enumerate((20.0 * k for k in range(26)), 1)
            ),
        )
        for w in PLANES
    )


def built_or_refused(
    seed: int, count: int, random_job: Callable[[random.Random], Job]
) -> tuple[tuple[Job, Work | str], ...]:
    """Random jobs on such a web, each with its work or with why it was refused."""
    rng, made = random.Random(seed), []
    for _ in range(count):
        traces, job = traced(rng), random_job(rng)
        try:
            made.append((job, carry_through(job, traces)))
        except Refusal as refusal:
            made.append((job, str(refusal)))
    return tuple(made)


def assert_clearly_refused(made: Sequence[tuple[Job, Work | str]], share: float) -> None:
    """More than this share were built, and each of the others says in one line what would be right."""
    refused = [work for _, work in made if isinstance(work, str)]
    assert len(made) - len(refused) > len(made) * share
    assert all(("\n" not in words and " is right" in words) or "read it" in words for words in refused), refused


def each_built(cases: int, random_job: Callable[[random.Random], Job]) -> Iterator[tuple[int, Job, Work]]:
    """So many random jobs on such a web, those that can be built, by their seeds.

    In the end more than a third must have been built, and every refusal have named its key.
    """
    built, refused = 0, []
    for seed in range(cases):
        rng = random.Random(seed)
        job, traces = random_job(rng), traced(rng)
        try:
            work = carry_through(job, traces)
        except Refusal as refusal:
            refused.append(refusal.key)
            continue
        built += 1
        yield seed, job, work
    assert all(refused)
    assert built > cases // 3
