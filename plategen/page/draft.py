"""A job as the texts of its files, and what it comes to.

From texts to the bracket is the same way as every other command's, with what did not change passed on. A trace is
fitted once: the fitted trace of an equal trace is passed on from the redraw before, and so is the steering study of an
equal steering. They are plain values compared by what they hold, so nothing here can be out of date.

A quick redraw has the bracket and every verdict; what decides nothing and takes longest follows by :func:`thorough`,
once nothing newer is wanted: cures that were tried, what other rule sets say, the nearest size that can be built.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import lru_cache, partial
from types import MappingProxyType
from typing import Any

from plategen.ground.ended import open_end
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.load import read_traces, with_notes
from plategen.job.parse import parse_document, parse_job
from plategen.make import carry_through, fit_rail, study_of, thoroughly_judged
from plategen.rail.fit import fit_trace
from plategen.rail.surface import Rail
from plategen.rail.trace import FittedTrace, Trace
from plategen.steering.study import SteeringStudy
from plategen.work import Work

NO_FILES: Mapping[str, str] = MappingProxyType({})
"""No files."""


@dataclass(frozen=True, slots=True)
class Draft:
    """The texts of one job: its TOML, and those files that it names which are there, by the name it gives them.

    A file that is there and is no text of ours stands under ``unread`` with the reason, and is never written over.
    """

    job: str
    files: Mapping[str, str] = field(default_factory=lambda: NO_FILES)
    unread: Mapping[str, str] = field(default_factory=lambda: NO_FILES)

    def with_file(self, name: str, text: str) -> "Draft":
        """The same with another text for one of its files.

        Raises:
            Refusal: There is such a file, and it cannot be read.
        """
        if name in self.unread:
            raise Refusal(self.unread[name], name)
        return replace(self, files=MappingProxyType({**self.files, name: text}))

    def text_of(self, name: str) -> str:
        """The text of a file that the job names.

        Raises:
            Refusal: There is none.
        """
        try:
            return self.files[name]
        except KeyError:
            if name in self.unread:
                raise Refusal(self.unread[name], name) from None
            raise Refusal("there is no such file; check the name, or take its readings here", name) from None


def named_files(job_text: str) -> tuple[str, ...]:
    """The files that a job file names, as far as it can be read: traces, second straightedges and fit notes.

    Raises:
        Refusal: It is not TOML.
    """
    data = plain(job_text)
    listed = _table(data.get("rail")).get("trace")
    entries = [entry for entry in listed if isinstance(entry, dict)] if isinstance(listed, list) else []
    seconds = [entry["second"] for entry in entries if isinstance(entry.get("second"), dict)]
    names = [entry.get("file") for entry in (*entries, *seconds)] + [_table(data.get("revision")).get("notes")]
    return tuple(dict.fromkeys(name for name in names if isinstance(name, str) and name.strip()))


@lru_cache(maxsize=8)
def plain(job_text: str) -> Mapping[str, Any]:
    """The job file as plain values, to be read alone: a text that is asked for again is not read again.

    Raises:
        Refusal: It is not TOML.
    """
    return parse_document(job_text)


def _table(value: object) -> dict[str, Any]:
    return value if isinstance(value, dict) else {}


READ_BY_STUDY = ("title", "units", "cylinder", "steering")
"""The tables of a job that a steering study reads."""

NO_FITS: Mapping[Trace, FittedTrace] = MappingProxyType({})
"""None made yet."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What a draft comes to."""

    draft: Draft
    work: Work | None  # The finished job; of the last draft that could be carried through, when this one could not.
    refusal: Refusal | None = None  # Why this draft could not, None if it could.
    fits: Mapping[Trace, FittedTrace] = field(default_factory=lambda: NO_FITS)  # Of each trace, its plane left out.
    sought: bool = False  # True while the nearest size of what was refused is still to be looked for.

    @property
    def quick(self) -> bool:
        """Whether something is still to follow by :func:`thorough`."""
        return self.sought or (self.work is not None and not self.work.tried)

    @property
    def study(self) -> SteeringStudy | None:
        """The steering study, when the job has one."""
        return None if self.work is None else self.work.steering


def redraw(draft: Draft, before: Drawn | None = None, job_file: str = "job.toml", *, quick: bool = False) -> Drawn:
    """The draft carried through; never raises for what a user can type.

    Fits and study of the redraw ``before`` are passed on where they still hold; ``job_file`` is for messages. ``quick``
    leaves out what :func:`thorough` adds.
    """
    fits: dict[Trace, FittedTrace] = {}
    known = before.fits if before is not None else NO_FITS
    sought = False
    try:
        job = parse_job(draft.job, job_file)
        try:
            work = _carried(job, draft, known, fits, before, quick=quick)
        except Refusal as refusal:
            sought = quick and open_end(refusal)
            own = refusal.where.startswith((*draft.files, *draft.unread))  # it stands in a trace, which says so itself
            raise (refusal if own else refusal.at(job_file)).in_units(job.units) from None
    except Refusal as refusal:
        last = None if before is None else before.work
        known = MappingProxyType({**known, **fits})
        return Drawn(draft=draft, work=last, refusal=refusal, fits=known, sought=sought)
    return Drawn(draft=draft, work=work, fits=MappingProxyType(fits))


def thorough(drawn: Drawn, job_file: str = "job.toml") -> Drawn:
    """What was drawn quickly, with what that left out; never raises for what a user can type."""
    work = drawn.work
    if work is not None and not work.tried:
        drawn = replace(drawn, work=thoroughly_judged(work))
    return redraw(drawn.draft, drawn, job_file) if drawn.sought else drawn


def _carried(
    job: Job,
    draft: Draft,
    known: Mapping[Trace, FittedTrace],
    fits: dict[Trace, FittedTrace],
    before: Drawn | None,
    *,
    quick: bool,
) -> Work:
    """The job carried through, with fits, rail and study of the redraw before passed on; ``fits`` takes up the fits."""

    def fit(trace: Trace) -> FittedTrace:
        same = replace(trace, plane_mm=0.0)  # where it was read along the pin is nothing to its fit
        if same not in fits:
            fits[same] = known.get(same) or fit_trace(trace)
        return replace(fits[same], trace=trace)

    def rail_of(traces: tuple[Trace, ...], inline_offset_mm: float) -> Rail:
        return _same_or(fit_rail(traces, inline_offset_mm, fit), before)

    study_for = partial(_studied, before=before)
    if job.style.stands_on == "tube":
        return carry_through(job, (), quick=quick, study_for=study_for)
    traces = read_traces(job, draft.text_of)
    for trace in traces:
        fit(trace)  # before fit notes move it: the table of readings shows each as it was read
    noted = with_notes(job, draft.text_of)
    return carry_through(noted, traces, quick=quick, rail_of=rail_of, study_for=study_for, fit=fit)


def _same_or(rail: Rail, before: Drawn | None) -> Rail:
    """The rail; the very one of the redraw before when it is the same, with what is remembered of it."""
    last = None if before is None or before.work is None else before.work.rail
    if isinstance(last, Rail) and (last.traces, last.inline_offset_mm) == (rail.traces, rail.inline_offset_mm):
        return last
    return rail


def _studied(job: Job, before: Drawn | None) -> SteeringStudy | None:
    """The steering study, passed on while nothing that it reads has changed."""
    last = None if before is None else before.work
    if last is not None and all(getattr(job, name) == getattr(last.job, name) for name in READ_BY_STUDY):
        return last.steering
    return study_of(job)
