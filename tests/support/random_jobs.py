"""Random jobs of every style: the examples with some of their numbers changed, and jobs of the styles' own tables."""

import math
import os
import random
from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, NamedTuple

from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.crosshead import Crosshead
from plategen.job.doubler import Doubler
from plategen.job.gusset import Gusset
from plategen.job.load import read_text, read_traces, with_notes
from plategen.job.parse import parse_job
from plategen.job.schema import fields
from plategen.job.style_tables import Closing
from plategen.job.toml_edit import path_of, set_value
from plategen.rail.trace import Trace
from plategen.rail.turned import turned
from plategen.work import Work
from tests.support.brackets import corner_job
from tests.support.every_example import EXAMPLES, PROFILES
from tests.support.fitted import carried
from tests.support.rails import KnownRail, flat_bend_flat
from tests.support.style_jobs import clamp, job, pad, seat, split
from tests.support.web_jobs import bolted_job, set_and_sleeved
from tests.support.web_rail import traced

BATCH = int(os.environ.get("PLATEGEN_BATCH", "0"))
"""Which batch of random jobs: a long run is made in pieces, each of other jobs."""

NUMBERS: dict[str, tuple[float, float]] = {
    "cylinder.pressure": (0.5, 2.2),
    "cylinder.rod": (0.8, 1.1),
    "cylinder.stroke": (0.8, 1.1),
    "bracket.thickness": (0.7, 1.4),
    "bracket.plane": (0.8, 1.2),
    "weld.leg": (0.6, 1.2),
    "mount.inline_offset": (0.95, 1.08),
    "mount.pin_station": (0.98, 1.02),
    "rail.wall": (0.6, 1.4),
    "cylinder.base.eye_width": (0.95, 1.05),
    "cylinder.body_diameter": (0.9, 1.3),
}
"""Numbers of a job file that are changed, and by which factor, least and greatest."""

SWINGS_DEG = (None, (-2.0, 3.0), (-8.0, 4.0), (-20.0, 20.0))
"""Swings that are measured, or none."""

RAILS = (
    KnownRail(flat_bend_flat(200, math.radians(0.01), 5000, 330, start=-60 + 20j)),
    KnownRail(flat_bend_flat(200, math.radians(9), 60, 330, start=-60 + 20j), 0.05j),
    KnownRail(flat_bend_flat(200, math.radians(-6), 60, 330, start=-60 + 40j), 0.05 + 0.05j),
)


class RandomJob(NamedTuple):
    """A job with its traces, and the texts that it was read from where it was read."""

    style: str
    job: Job
    traces: tuple[Trace, ...]
    texts: tuple[str, Mapping[str, str]] | None = None


def example(name: str, rng: random.Random | None = None) -> RandomJob:
    """An example as it is, or with one to three of its numbers changed and perhaps its swing measured."""
    text = (PROFILES / name / "job.toml").read_text(encoding="utf-8")
    if rng is not None:
        text = _changed(text, rng)
    job = parse_job(text)
    traces = read_traces(job, lambda file: _file(name, file))
    texts = {path.name: _file(name, path.name) for path in sorted((PROFILES / name).glob("*.csv"))}
    job = with_notes(job, lambda file: _file(name, file))
    return RandomJob(_style(job, traces), job, traces, (text, texts))


def of_style(rng: random.Random) -> RandomJob:
    """A job of one of the styles' own tables, its numbers free."""
    make = rng.choice((_ears, _split, _seat, None))
    if make is None:
        traces, job = traced(rng), set_and_sleeved(bolted_job(rng), rng)
        return RandomJob(_style(job, traces), job, traces)
    job = make(rng)
    if job.bracket.style == "seat":
        return RandomJob(_style(job, ()), job, ())
    if make is _ears and job.gusset is None and rng.random() < 0.2:
        return _turned(job, rng)
    rail = rng.choice(RAILS)
    stations = [4.0 * k for k in range(85)]
    planes = (-40.0, 110.0) if job.gusset is None else (-90.0, 160.0)  # gussets reach out beyond the ears
    traces = tuple(rail.read(w, stations) for w in planes)
    entries = tuple(entry.replaced(plane_mm=w) for entry, w in zip(job.rail.trace * 2, planes, strict=False))
    return RandomJob(_style(job, traces), job.replaced(rail=job.rail.replaced(trace=entries[:2])), traces)


def _turned(job: Job, rng: random.Random) -> RandomJob:
    """A job read in one plane, with its plates out of that plane."""
    tilt, turn = (math.radians(rng.uniform(-6.0, 6.0)) for _ in range(2))
    trace = turned(RAILS[0].read(0.0, [4.0 * k for k in range(85)]), tilt, turn)
    entries = (job.rail.trace[0].replaced(plane_mm=0.0),)
    job = job.replaced(rail=job.rail.replaced(tilt_rad=tilt, turn_rad=turn, trace=entries))
    return RandomJob(f"{_style(job, (trace,))}, turned", job, (trace,))


def built(seed: int, count: int) -> Iterator[tuple[RandomJob, Work]]:
    """So many random jobs that can be built, and what is made of them."""
    rng, found = random.Random(seed + 1000 * BATCH), 0
    for tried in range(6 * count):
        try:
            given = example(EXAMPLES[tried // 2 % len(EXAMPLES)], rng) if tried % 2 else of_style(rng)
            work = carried(given.job, given.traces)
        except Refusal:
            continue
        yield given, work
        found += 1
        if found == count:
            return


def _style(job: Job, traces: tuple[Trace, ...]) -> str:
    words = [job.bracket.style]
    words += ["closed"] if job.closing else []
    words += [name for name in ("gusset", "doubler", "crosshead") if getattr(job, name) is not None]
    words += [name for name in ("slot_mm", "fitted", "sleeve_mm", "formed") if getattr(job.bolted, name, None)]
    words += [job.split.adjust] if job.split else []
    words += [job.seat.tube, job.seat.hold] if job.seat else []
    words += ["round the corner"] if any(trace.round_corner for trace in traces) else []
    words += ["steering"] if job.steering else []
    return ", ".join(words)


@cache
def _file(name: str, file: str) -> str:
    return read_text(PROFILES / name / file, 1_000_000, file)


def _changed(text: str, rng: random.Random) -> str:
    job = parse_job(text)
    for key in rng.sample(sorted(NUMBERS), rng.randint(1, 3)):
        value, unit = _number(job, key)
        text = set_value(text, path_of(key), f"{value * rng.uniform(*NUMBERS[key]):.3f} {unit}")
    swing = rng.choice(SWINGS_DEG)
    if swing is not None and job.swing is None:
        text = set_value(text, path_of("swing.low"), f"{swing[0]} deg")
        text = set_value(text, path_of("swing.high"), f"{swing[1]} deg")
    return text


def _number(job: Job, key: str) -> tuple[float, str]:
    """A number of a job and the unit that it is written in."""
    table: object = job
    *tables, last = key.split(".")
    for name in tables:
        table = getattr(table, name)
    field = next(f for f in fields(type(table)) if f.key == last)  # type: ignore[arg-type]
    return getattr(table, field.name), "MPa" if field.name.endswith("_mpa") else "mm"


def _ears(rng: random.Random) -> Job:
    made = corner_job(round_corner=False, eye_width_mm=rng.uniform(40.0, 60.0), swing_rad=rng.uniform(0.02, 0.3))
    cylinder = made.cylinder.replaced(pressure_mpa=rng.uniform(5.0, 30.0), rod_mm=rng.uniform(30.0, 45.0))
    bracket = made.bracket.replaced(thickness_mm=rng.choice((8.0, 10.0, 12.0, 15.0, 20.0)))
    mount = made.mount.replaced(foot_mm=(60.0, 270.0), pin_station_mm=170.0, inline_offset_mm=rng.uniform(85.0, 130.0))
    stiffer: dict[str, Any] = rng.choice(
        (
            {},
            {},
            {"closing": Closing(back=True)},
            {"closing": Closing(bottom=True)},
            {"closing": Closing(back=True, bottom=True)},
            {"gusset": Gusset(thickness_mm=8.0, reach_mm=50.0)},
            {"doubler": Doubler(thickness_mm=15.0)},
            {"crosshead": Crosshead(thickness_mm=8.0)},
        )
    )
    if "doubler" in stiffer:
        mount = mount.replaced(foot_mm=(100.0, 240.0))  # it reaches beyond the foot, and the trace is no longer
    return made.replaced(
        cylinder=cylinder, bracket=bracket, mount=mount, **stiffer,
        weld=made.weld.replaced(leg_mm=rng.choice((4.0, 6.0, 8.0, 10.0))),
    )  # fmt: skip


def _split(rng: random.Random) -> Job:
    adjust = rng.choice(("slots", "recut", "ladder"))
    table = split(
        adjust=adjust, reach_mm=10.0, step_mm=16.0 if adjust == "ladder" else None,
        bolt_mm=12.0 if adjust == "ladder" else rng.choice((12.0, 16.0)),  # larger holes are farther apart than a step
        height_mm=rng.uniform(60.0, 68.0),
    )  # fmt: skip
    return job(
        "split", split=table, inline_offset_mm=rng.uniform(92.0, 108.0), thickness_mm=rng.choice((8.0, 12.0, 16.0)),
        wall_mm=rng.choice((5.0, 8.0, 12.0)), leg_mm=rng.choice((4.0, 6.0, 8.0)),
    )  # fmt: skip


def _seat(rng: random.Random) -> Job:
    hold = rng.choice(("weld", "clamp"))
    tube, made = rng.choice(("round", "square")), "forged" if hold == "clamp" else "plain"
    held = {"hold": "clamp", "clamp": clamp(bolt_mm=rng.choice((12.0, 16.0)))} if hold == "clamp" else {}
    under = {"pad": pad()} if hold == "weld" and tube == "round" and rng.random() < 0.3 else {}
    table = seat(tube=tube, across_mm=90.0 if under else rng.uniform(75.0, 95.0), made=made, **held, **under)
    offset_mm = rng.uniform(130.0, 160.0) if hold == "clamp" else rng.uniform(95.0, 120.0)
    return job("seat", seat=table, thickness_mm=rng.choice((8.0, 10.0)), inline_offset_mm=offset_mm,
               wall_mm=rng.choice((5.0, 8.0)), leg_mm=rng.choice((4.0, 6.0)))  # fmt: skip
