"""What the page shows of a job, as plain values that the templates lay out; nothing of the look is known here."""

import math
import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from plategen.cause import KINDS, causes
from plategen.checks.finding import Finding, Verdict, stops, worst_first
from plategen.ground.cure import Cure
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.job.change import written
from plategen.job.toml_edit import held_at, path_of
from plategen.page.change_units import bare_lengths
from plategen.page.disk import differing, fingerprint
from plategen.page.draft import Draft, Drawn, named_files, plain
from plategen.page.form import Group, all_inputs, form_at, job_form, text_of
from plategen.page.trace_edit import Row, read_table
from plategen.page.trace_rows import units_of
from plategen.rail.trace import TENTHS, FittedTrace
from plategen.tell.cause import cause_words, kinds_of
from plategen.tell.finding_row import FindingRow, finding_row
from plategen.tell.picture.plate_features import tape
from plategen.tell.screen import stop_lines
from plategen.tell.table import off_fit

MOST_DIFFERENCES = 40
MOST_ROW_DIFFERENCES = 8
"""Lines of a comparison with what someone else wrote: of all, and of the readings of one trace."""

SHOWN_AT_ONCE = 6
"""Checks of different kinds that are shown without being asked for, though they hold."""

FULL_BAR = 1.25
"""A check's bar ends here, in shares of its limit; beyond it more is not told apart by eye."""

_LINE = re.compile(r"line (\d+)")


def form_of(draft: Draft) -> Group:
    """The draft's job file as a form."""
    return _form(draft.job, units_of(draft))


@lru_cache(maxsize=8)
def _form(job: str, units: Units) -> Group:
    """The form of a job file's text, which several parts of one redraw ask for, of the draft and of what is saved."""
    return job_form(plain(job), units)


def bare_example(draft: Draft) -> tuple[str, str, Units] | None:
    """A length that stands in the job file without a unit: its label, its text, and the unit it is read in."""
    first = next(bare_lengths(form_of(draft)), None)
    return None if first is None else (first.path.replace(".", " "), first.text, units_of(draft))


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a draft cannot be carried through."""

    words: str  # What is wrong, with its place before it.
    field: str  # The field to look at, "" if there is none.
    unknown: str = ""  # A key that no job file has, for it to be taken out; "" if that is not what is wrong.


def problem_of(drawn: Drawn, job_file: str) -> Problem | None:
    """Why a draft was refused; None if it was not."""
    refusal = drawn.refusal
    if refusal is None:
        return None
    words = str(refusal).removeprefix(f"{job_file}: ")
    for name in named_files(drawn.draft.job):
        if refusal.place.startswith(name):
            if name in drawn.draft.unread:
                return Problem(words, "")
            line = _LINE.search(refusal.place.removeprefix(name))
            return Problem(words, f"{name}#{line[1]}:1" if line else f"{name}#new:1")
    key = re.sub(r"\[(\d+)\]", lambda m: f"[{int(m[1]) - 1}]", refusal.key)  # people count from 1, places from 0
    return Problem(words, _field(drawn.draft, key), key if _is_unknown(key) else "")


def _field(draft: Draft, key: str) -> str:
    """The first field at or below a key; "" if there is none."""
    paths = [each.path for each in all_inputs(form_of(draft))] if key else []
    return next((p for p in paths if p == key or p.startswith((f"{key}.", f"{key}["))), "")


def _is_unknown(key: str) -> bool:
    try:
        return key != "" and form_at(path_of(key)) is None
    except Refusal:
        return False


@dataclass(frozen=True, slots=True)
class Doubt:
    """A doubtful reading in words that ask for it to be read again without suggesting what to read."""

    file: str
    line: int
    station: str
    read: str
    off: str


def doubts_of(drawn: Drawn) -> Iterator[Doubt]:
    """The doubtful readings of a drawn job."""
    if drawn.work is None:
        return
    show = Show(drawn.work.job.units)
    for fitted in drawn.work.rail.traces:
        for i in fitted.doubtful:
            reading = fitted.trace.readings[i]
            yield Doubt(
                fitted.trace.file,
                reading.line,
                f"{tape(show, reading.point.real)} {show.units}",
                f"{tape(show, reading.point.imag)} {show.units}",
                show.length(abs(fitted.residuals_mm[i])),
            )


def questions_of(drawn: Drawn) -> Iterator[str]:
    """What else the fits of a drawn job leave open, a sentence each."""
    if drawn.work is None:
        return
    show = Show(drawn.work.job.units)
    for fitted in drawn.work.rail.traces:
        if fitted.trace.in_tenths:
            yield f"{fitted.trace.file}: {TENTHS}."
        said = (question for question in fitted.questions if question.heard and question.cause != "left out")
        yield from (f"{fitted.trace.file}: {show.text(question.words)}." for question in said)


def residuals_of(fitted: FittedTrace, show: Show) -> dict[int, tuple[str, bool]]:
    """For each line of a trace: how far it lies off the fit, in words, and whether it is doubtful."""
    return {
        reading.line: (off_fit(show, off), i in fitted.doubtful)
        for i, (reading, off) in enumerate(zip(fitted.trace.readings, fitted.residuals_mm, strict=True))
    }


@dataclass(frozen=True, slots=True)
class CheckView:
    """A finding as it is shown."""

    row: FindingRow
    share: float  # Length of its bar, in shares of the limit.
    was: str  # What it says of the job as saved, where that is another verdict; else "".
    edits: tuple[tuple[str, str], ...]  # What its cure writes as typed, and where; none where no key would do it.
    promise: str  # What the shop must do for that to be true; "" where it changes the bracket.


class Judged(NamedTuple):
    """A finding that decides, its verdict, and what that is as saved."""

    finding: Finding
    verdict: Verdict
    was: Verdict


def judged_of(drawn: Drawn, saved: Drawn) -> tuple[Judged, ...]:
    """The findings that decide, the failing ones first."""
    if drawn.work is None:
        return ()
    before = {f.key: f.verdict for f in saved.work.findings if f.decides} if saved.work is not None else {}
    deciding = worst_first(finding for finding in drawn.work.findings if finding.decides)
    found = ((finding, finding.verdict) for finding in deciding)
    return tuple(Judged(finding, verdict, before.get(finding.key, verdict)) for finding, verdict in found)


def at_once(judged: Sequence[Judged]) -> list[Judged]:
    """Those that are shown without being asked for: what fails, what changed, and of what holds the nearest to it."""
    # of alike checks that hold the one nearest its limit
    nearest = {each.finding.check: each for each in reversed(judged) if each.verdict == "ok"}
    holding = [each for each in judged if nearest.get(each.finding.check) is each][:SHOWN_AT_ONCE]
    return [each for each in judged if each.verdict != "ok" or each.was != each.verdict or each in holding]


def checks_of(drawn: Drawn, judged: Iterable[Judged]) -> tuple[CheckView, ...]:
    """Findings as they are shown, each with what it was as saved where that is another."""
    if drawn.work is None:
        return ()
    show = Show(drawn.work.job.units)
    return tuple(_check(each, drawn, show) for each in judged)


def _check(judged: Judged, drawn: Drawn, show: Show) -> CheckView:
    finding, cure = judged.finding, judged.finding.cure
    return CheckView(
        row=finding_row(finding, show),
        share=min(finding.ratio, FULL_BAR) if math.isfinite(finding.ratio) else FULL_BAR,
        was=judged.was if judged.was != judged.verdict else "",
        edits=tuple(_edits(cure, drawn, show.units)) if cure else (),
        promise=show.text(cure.promise) if cure and cure.promise else "",
    )


def _edits(cure: Cure, drawn: Drawn, units: Units) -> Iterator[tuple[str, str]]:
    """What a cure writes into which fields; a list that is taken out is emptied number by number, the last first."""
    for change in cure.changes:
        if change.to is None:
            now = held_at(plain(drawn.draft.job), path_of(change.key))
            numbers = [f"{change.key}[{i}]" for i in reversed(range(len(now)))] if isinstance(now, list) else None
            yield from ((key, "") for key in numbers or (change.key,))
            continue
        value = written(change.to, units)
        if isinstance(value, list):
            yield from ((f"{change.key}[{i}]", text_of(item)) for i, item in enumerate(value))
        else:
            yield change.key, text_of(value)


@dataclass(frozen=True, slots=True)
class CauseView:
    """A cause of stops, and the worst of each kind that follows from it."""

    words: str
    rows: tuple[FindingRow, ...]
    edits: tuple[tuple[str, str], ...]  # As of a check; none where only a person knows whether the number is a fact.


def causes_of(drawn: Drawn) -> tuple[tuple[CauseView, ...], list[str]]:
    """What the stops of a drawn job have in common, and a line for each kind that stops besides."""
    if drawn.work is None:
        return (), []
    show, found = Show(drawn.work.job.units), causes(drawn.work)
    groups = tuple(
        CauseView(
            cause_words(c, show),
            tuple(finding_row(kind[0], show) for kind in kinds_of(c.followers)),
            tuple(_edits(c.cure, drawn, show.units)),
        )
        for c in found
    )
    return groups, stop_lines(drawn.work.findings, show, found)


def in_common(findings: Iterable[Finding]) -> bool:
    """True where so many kinds stop that a cause is looked for."""
    return len({f.check for f in stops(findings)}) >= KINDS


@dataclass(frozen=True, slots=True)
class Clash:
    """What someone else wrote, beside what stands here: a line for each difference."""

    fingerprint: str
    lines: tuple[tuple[str, str, str], ...]


def clash_of(mine: Draft, theirs: Draft, job_file: str) -> Clash:
    """Both, side by side: where, what stands here, and what stands in the file."""
    here, there = ({i.path: i.text for i in all_inputs(form_of(d))} for d in (mine, theirs))
    lines = [
        (path, here.get(path, "not there") or "empty", there.get(path, "not there") or "empty")
        for path in (*here, *(p for p in there if p not in here))
        if here.get(path) != there.get(path)
    ]
    for name in differing(mine, theirs, job_file, (*named_files(mine.job), *named_files(theirs.job))):
        if name != job_file:
            lines += _row_differences(name, *(read_table(d.files.get(name, "")).rows for d in (mine, theirs)))
    if not lines:
        lines = [(job_file, "other remarks or order", "other remarks or order")]
    return Clash(fingerprint(theirs), tuple(lines[:MOST_DIFFERENCES]))


def _row_differences(file: str, ours: tuple[Row, ...], their: tuple[Row, ...]) -> Iterator[tuple[str, str, str]]:
    apart = [(a, b) for a, b in zip(ours, their, strict=False) if a != b]
    for a, b in apart[:MOST_ROW_DIFFERENCES]:
        yield f"{file}, line {a.line}", f"{a.first}, {a.second}", f"{b.first}, {b.second}"
    if len(ours) != len(their):
        yield file, f"{len(ours)} readings", f"{len(their)} readings"
