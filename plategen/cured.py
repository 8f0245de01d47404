"""A job file with the cures of its stops written into it, and judged again after every one.

What counts is the text: each cure is written as a shop writes it, the text is read as any job file is, and the bracket
is built and judged anew. So a number that was rounded for the file, or a cure that brings another stop, shows.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import cache

from plategen.cause import Cause, causes
from plategen.checks.finding import Finding
from plategen.ground.cure import Change, Cure
from plategen.ground.message import NOTHING, Message, as_message, message
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.change import FileValue, written
from plategen.job.load import LoadedJob, read_traces, with_notes
from plategen.job.parse import parse_document, parse_job
from plategen.job.toml_edit import held_at, path_of, remove, set_value
from plategen.make import carry_through, fit_rail
from plategen.rail.fit import fit_trace
from plategen.work import Work

MOST_TRIED = 60
"""Cures that are tried: more than any job has stops."""


@dataclass(frozen=True, slots=True)
class Written:
    """One key that was changed: what it held (None: left out), what it holds now, and what the shop promises by it."""

    key: str
    was: FileValue | None
    now: FileValue | None
    promise: Message | None


@dataclass(frozen=True, slots=True)
class Open:
    """A finding that still stops, and what is known of its cure."""

    finding: Finding
    why: Message


@dataclass(frozen=True, slots=True, kw_only=True)
class Cured:
    """A job file as far as its cures lead."""

    text: str  # The job file, its remarks as they were.
    work: Work  # The job that it describes, judged.
    changes: tuple[Written, ...]  # Every key that differs from the original, in the order of the cures.
    still: tuple[Open, ...]  # What stops all the same.
    causes: tuple[Cause, ...] = ()  # Numbers that were plainly read wrong, and what of it follows from each.


@dataclass(frozen=True, slots=True)
class _Step:
    """A text on the way, what it comes to, and the keys written so far, each with what was promised of it."""

    text: str
    work: Work
    promises: Mapping[str, Message | None] = field(default_factory=dict)

    @property
    def stops(self) -> tuple[Finding, ...]:
        return tuple(f for f in self.work.findings if f.verdict == "stop" and f.decides)


@dataclass(slots=True)
class _Trials:
    """The cures that were tried, each with what came of it."""

    carried: Callable[[str], Work]
    units: Units
    outcome: dict[tuple[Change, ...], Message] = field(default_factory=dict)

    def step(self, now: _Step, stop: Finding) -> _Step | None:
        """The text with one stop's cure in it; None if it is refused or does not make the finding pass."""
        after = self.written_in(now, stop.cure or Cure(NOTHING))
        if after is None:
            return None
        changes = stop.cure.changes if stop.cure else ()
        if any((stop.check, stop.part) == (other.check, other.part) for other in after.stops):
            self.outcome[changes] = as_message("its cure was tried and is not enough by itself")
            return None
        self.outcome[changes] = as_message("with its cure other checks stop")
        return after

    def written_in(self, now: _Step, cure: Cure) -> _Step | None:
        """The text with a cure in it; None if it is refused."""
        try:
            text = now.text
            for change in cure.changes:
                place = path_of(change.key)
                if change.to is None:
                    text = remove(text, place)
                else:
                    text = set_value(text, place, written(change.to, self.units))
            promises = {**now.promises, **{change.key: cure.promise for change in cure.changes}}
            return _Step(text, self.carried(text), promises)
        except Refusal as refusal:
            self.outcome[cure.changes] = message(
                "its cure was tried and is refused: {}{}", f"{refusal.key}: " if refusal.key else "", refusal.message
            )
            return None

    def why(self, stop: Finding) -> Message:
        """What is known of the cure of a finding that stops in the end."""
        changes = stop.cure.changes if stop.cure else ()
        if not changes:
            return as_message("no single number cures it")
        return self.outcome.get(changes, as_message("its cure was not tried"))


def cured(loaded: LoadedJob) -> Cured:
    """The job file with every cure in it that leads on, and what still stops.

    What many stops have in common is cured first, then each stop by its own cure; what follows from a number that was
    plainly read wrong, as where the pin is, is left and told. Each cure is tried once. Of all texts on the way the one
    with the fewest stops is kept, and of those the first.

    Raises:
        Refusal: The job cannot be built as it stands.
    """
    text = loaded.texts[loaded.file]
    trials = _Trials(_carrier(loaded), loaded.job.units)
    best = now = _without_causes(trials, _Step(text, trials.carried(text)))
    misread = tuple(cause for cause in causes(now.work) if cause.misread)
    told = {(f.check, f.part): cause for cause in misread for f in cause.followers}
    while len(trials.outcome) < MOST_TRIED:
        own = (s for s in now.stops if s.cure and s.cure.changes and (s.check, s.part) not in told)
        stop = next((s for s in own if s.cure and s.cure.changes not in trials.outcome), None)
        if stop is None:
            break
        now = trials.step(now, stop) or now
        best = min(best, now, key=lambda step: len(step.stops))
    return Cured(
        text=best.text,
        work=best.work,
        changes=_written(text, best),
        still=tuple(Open(stop, _follows(told.get((stop.check, stop.part))) or trials.why(stop)) for stop in best.stops),
        causes=tuple(_still(cause, best.stops) for cause in misread),
    )


def _follows(cause: Cause | None) -> Message:
    return NOTHING if cause is None else message("it follows from {}", cause.what)


def _still(cause: Cause, stopping: tuple[Finding, ...]) -> Cause:
    """A cause with those of its followers that stop in the end, as they are then."""
    named = {(f.check, f.part) for f in cause.followers}
    return replace(cause, followers=tuple(f for f in stopping if (f.check, f.part) in named))


def _without_causes(trials: _Trials, now: _Step) -> _Step:
    """The text with the cures of what many stops have in common, as long as fewer stop with each."""
    while len(trials.outcome) < MOST_TRIED:
        cure = next((c.cure for c in causes(now.work) if c.cure.changes and c.cure.changes not in trials.outcome), None)
        after = trials.written_in(now, cure) if cure else None
        if cure is None or after is None or len(after.stops) >= len(now.stops):
            break
        trials.outcome[cure.changes] = as_message("with its cure other checks stop")
        now = after
    return now


def _carrier(loaded: LoadedJob) -> Callable[[str], Work]:
    """Carries a text of this job's file through; every trace is fitted once."""
    once = cache(fit_trace)

    def carried(text: str) -> Work:
        job = with_notes(parse_job(text, loaded.file), loaded.texts.__getitem__)
        traces = loaded.traces if job.rail == loaded.job.rail else read_traces(job, loaded.texts.__getitem__)
        return carry_through(job, traces, rail_of=lambda read, offset_mm: fit_rail(read, offset_mm, once))

    return carried


def _written(text: str, best: _Step) -> tuple[Written, ...]:
    """Every key that was written, once, with what it held at first and holds at last."""
    before, after = parse_document(text), parse_document(best.text)
    changes = (
        Written(key, held_at(before, path_of(key)), held_at(after, path_of(key)), promise)
        for key, promise in best.promises.items()
    )
    return tuple(change for change in changes if change.was != change.now)
