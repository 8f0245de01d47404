"""Many variants of one job: chosen numbers run over a grid, every variant built and judged by itself.

The rail is fitted once, for none of the numbers that can run changes what was read; only fit notes, which speak of
plates, can make a variant need a fit of its own. A variant's answer depends on its numbers alone, so it is the same in
any order and in any number of processes.
"""

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Literal, cast

from plategen.bracket.measure import mass_kg
from plategen.bracket.unfold import cut_of
from plategen.checks.finding import VERDICTS, Finding, Verdict
from plategen.cost import cost_of
from plategen.design.on_tube import tube_of
from plategen.design.places import PinPlace, pin_place, written_place
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.quantities import Allowed, Table
from plategen.job.schema import fields, table_of
from plategen.make import fit_rail, on_rail, study_of
from plategen.noted import corrections_at, held_up
from plategen.rail.note.correction import Correction, corrected
from plategen.rail.surface import Rail
from plategen.rail.trace import Trace
from plategen.rail.tube import Surface
from plategen.work import Work

if TYPE_CHECKING:
    from plategen.steering.study import SteeringStudy

MOST_AXES = 3
MOST_VARIANTS = 1_000_000
"""More is no study any more."""


@dataclass(frozen=True, slots=True)
class Axis:
    """One number of the job that runs."""

    key: str  # Its key in the job file: ``"mount.inline_offset"``.
    path: tuple[str, ...]  # The attributes that lead to it.
    allowed: Allowed  # What kind of number it is.
    values: tuple[float, ...]  # What it runs through, in the unit that is computed in.


@dataclass(frozen=True, slots=True)
class Sweep:
    """A job and the grid its numbers run over; the last axis runs fastest."""

    job: Job  # The job as written; what does not run is taken from it.
    traces: tuple[Trace, ...]  # Its traces as read.
    axes: tuple[Axis, ...]  # What runs, one to three.
    rail: Rail | None  # The rail fitted to the traces; None for a bracket that stands on none.
    noted: tuple[Correction, ...] = ()  # What fit notes corrected in the traces before.

    def __len__(self) -> int:
        return math.prod(len(axis.values) for axis in self.axes)

    def numbers(self, index: int) -> tuple[float, ...]:
        """The numbers of a variant, one for each axis."""
        numbers: list[float] = []
        for axis in reversed(self.axes):
            index, place = divmod(index, len(axis.values))
            numbers.append(axis.values[place])
        return tuple(reversed(numbers))


@dataclass(frozen=True, slots=True, kw_only=True)
class Variant:
    """What one variant comes to."""

    numbers: tuple[float, ...]  # Its number for each axis.
    verdict: Verdict | Literal["refused"]  # The worst verdict of those that decide, or ``"refused"``.
    # The finding that decides: the worst verdict, of those the highest ratio, of strength first; None when refused.
    finding: Finding | None = None
    most_used: Finding | None = None  # The strength of whose limit the largest share is used; None when refused.
    gap_mm: float = math.nan  # Largest gap between a notch and the rail that is to be expected; 0 without a notch.
    weld_mm: float = math.nan  # Length of all weld runs.
    mass_kg: float = math.nan  # Mass of all plates.
    cost: float | None = None  # What it costs by the shop's rates; None without any.
    refused: str = ""  # Why it cannot be built.


def sweep_of(job: Job, traces: tuple[Trace, ...], axes: tuple[Axis, ...]) -> Sweep:
    """The sweep of a job over its axes, its rail fitted.

    Raises:
        Refusal: A trace cannot be fitted.
    """
    if job.style.stands_on == "tube":
        return Sweep(job, traces, axes, None)
    pin = written_place(job)
    noted = corrections_at(job, traces, held_up(job, pin, traces))
    return Sweep(job, traces, axes, fit_rail(corrected(traces, noted), pin.inline_offset_mm), noted)


def read_axes(job: Job, words: Iterable[str]) -> tuple[Axis, ...]:
    """What a user asks to run: ``"KEY=FROM:TO:STEP"`` in shop notation, one for each number that runs.

    Raises:
        Refusal: A key is no number of this job, its range makes no sense, or there is too much of it.
    """
    axes = tuple(_axis(job, word) for word in words)
    if not 1 <= len(axes) <= MOST_AXES:
        raise Refusal(f"{len(axes)} numbers are varied; 1 to {MOST_AXES} is right", "--vary")
    if len({axis.path for axis in axes}) < len(axes):
        raise Refusal("one number is varied twice; each once is right", "--vary")
    count = math.prod(len(axis.values) for axis in axes)
    if count > MOST_VARIANTS:
        raise Refusal(f"this makes {count} brackets; {MOST_VARIANTS} or fewer, by larger steps, is right", "--vary")
    return axes


def _axis(job: Job, word: str) -> Axis:
    key, equals, ranged = word.partition("=")
    key, parts = key.strip(), ranged.split(":")
    if not equals or len(parts) != 3:
        words = "does not say what is varied, from, to and by what step"
        raise Refusal(f"{word[:60]!r} {words}; one like bracket.thickness=1/4:1/2:1/16 is right", "--vary")
    path, allowed = _number_of(job, key)
    try:
        return Axis(key, path, allowed, _values(allowed, parts, job.units))
    except Refusal as refusal:
        raise refusal.at(f"--vary {key}") from None


def judged(sweep: Sweep, indexes: Iterable[int]) -> Iterator[Variant]:
    """Build and judge variants, in the order asked for."""
    at = _Ground(sweep)
    for index in indexes:
        numbers = sweep.numbers(index)
        try:
            job = sweep.job
            for axis, number in zip(sweep.axes, numbers, strict=True):
                job = cast(Job, _with(job, axis.path, number))
            steering = at.steering(job)
            surface = at.surface(job, pin_place(job, steering))
            yield measured(numbers, on_rail(job, surface, steering, opinions=False))
        except Refusal as refusal:
            yield Variant(numbers=numbers, verdict="refused", refused=str(refusal.in_units(sweep.job.units)))


class _Ground:
    """What variants have in common: the rail moved to each in-line offset, and the steering study.

    Both are held with the values they were made from and used only where a variant has the same.
    """

    def __init__(self, sweep: Sweep) -> None:
        self._sweep = sweep
        self._rails: dict[float, Rail] = {}
        self._noted: dict[object, tuple[Correction, ...]] = {}
        self._studied: tuple[object, SteeringStudy | None] | None = None

    def surface(self, job: Job, pin: PinPlace) -> Surface:
        """What the variant's bracket stands on, its pin at a place."""
        sweep, offset_mm = self._sweep, pin.inline_offset_mm
        if sweep.rail is None:
            return tube_of(job, pin)
        places = held_up(job, pin, sweep.traces)
        key = tuple(places.items())
        if key not in self._noted:
            self._noted[key] = corrections_at(job, sweep.traces, places)
        noted = self._noted[key]
        if noted != sweep.noted:
            return fit_rail(corrected(sweep.traces, noted), offset_mm)
        if offset_mm not in self._rails:
            self._rails[offset_mm] = replace(sweep.rail, inline_offset_mm=offset_mm)
        return self._rails[offset_mm]

    def steering(self, job: Job) -> "SteeringStudy | None":
        """The variant's steering study, which looks at its steering and its cylinder alone."""
        looked_at = (job.steering, job.cylinder)
        if self._studied is None or self._studied[0] != looked_at:
            self._studied = (looked_at, study_of(job))
        return self._studied[1]


def measured(numbers: tuple[float, ...], work: Work) -> Variant:
    """What a finished job comes to, as the variant of these numbers."""
    # the worst verdict, and of those strength before sizes: a size is had or not, a share of it says little
    decided = [f for f in work.findings if not f.opinion]
    ratios = [f.ratio for f in decided]
    verdicts = [f.of.verdict(ratio) for f, ratio in zip(decided, ratios, strict=True)]
    strong = [f.unit not in ("mm", "deg") for f in decided]
    worst = max(verdicts, key=VERDICTS.index)
    worst_ones = (i for i, verdict in enumerate(verdicts) if verdict == worst)
    decisive = max(worst_ones, key=lambda i: (strong[i], ratios[i]))
    strengths = (i for i, ratio in enumerate(ratios) if strong[i] and math.isfinite(ratio))
    most_used = max(strengths, key=ratios.__getitem__, default=None)
    plates, cost = [plate for end in work.ends for plate in cut_of(end.bracket)], cost_of(work)
    return Variant(
        numbers=numbers,
        verdict=worst,
        finding=decided[decisive],
        most_used=None if most_used is None else decided[most_used],
        gap_mm=max((plate.fit.expected_gap_mm for plate in plates if plate.fit), default=0.0),
        weld_mm=sum(run.length_mm for run in work.runs),
        mass_kg=sum(mass_kg(plate) * plate.count for plate in plates),
        cost=None if cost is None else cost.total,
    )


def _number_of(job: Job, key: str) -> tuple[tuple[str, ...], Allowed]:
    """Where in the job a number stands, and its kind."""
    table: Table = job
    path: list[str] = []
    names = key.split(".")
    for depth, name in enumerate(names, start=1):
        known = {field.key: field for field in fields(type(table))}
        field = known.get(name)
        if field is None:
            shown = (f.key for f in known.values() if f.allowed is not None or table_of(f.form) is not None)
            raise Refusal(f"there is no number of that name; those there are {', '.join(shown)}", key)
        path.append(field.name)
        if depth == len(names):
            if field.allowed is None:
                numbers = ", ".join(f.key for f in known.values() if f.allowed is not None)
                raise Refusal(f"is not a number but the {field.kind}; numbers here are {numbers}", key)
            return tuple(path), field.allowed
        inner = getattr(table, field.name)
        if not isinstance(inner, Table):
            missing = inner is None and table_of(field.form) is not None
            raise Refusal(f"this job has no [{'.'.join(names[:depth])}]" if missing else "is no single number", key)
        table = inner
    raise AssertionError("a key has at least one part")


def _values(allowed: Allowed, parts: list[str], units: Units) -> tuple[float, ...]:
    """From the first to the last, both included when the step meets it."""
    first, last = (allowed.read(part.strip(), units) for part in parts[:2])
    step = allowed.kind.read(parts[2].strip(), allowed.bare(units))
    if step <= 0.0:
        raise Refusal("a step of zero or less; more than zero is right, and the numbers may still run up or down")
    count = math.floor(abs(last - first) / step + 1e-9)
    if count >= MOST_VARIANTS:
        raise Refusal(f"this makes {count + 1} numbers; fewer than {MOST_VARIANTS}, by a larger step, is right")
    signed = math.copysign(step, last - first)
    values = [first + signed * number for number in range(count + 1)]
    if abs(values[-1] - last) <= 1e-9 * step:
        values[-1] = last
    return tuple(values)


def _with(table: Table, path: tuple[str, ...], number: float) -> Table:
    """The table with one number in it, or in a table within, replaced."""
    name, *rest = path
    return table.replaced(**{name: _with(getattr(table, name), tuple(rest), number) if rest else number})
