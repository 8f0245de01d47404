"""What the page says of a job, as plain values that the templates lay out; nothing of the look is known here."""

import math
import re
from collections.abc import Iterator
from dataclasses import dataclass

from plategen.checks.finding import Finding, Verdict, worst_first
from plategen.ground.quantity import Show
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.page.disk import differing, fingerprint
from plategen.page.draft import Draft, named_files, plain
from plategen.page.form import Group, all_inputs, job_form
from plategen.page.redraw import Drawn
from plategen.page.trace_edit import MOST_ROWS, Row, read_table
from plategen.rail.trace import FittedTrace
from plategen.rail.trace_columns import units_in_file
from plategen.tell.picture.plate_words import tape

_EXAMPLE = "; write for example "
"""From here a refusal shows how numbers are written, and those stay as they are."""
_LINE = re.compile(r"(?:^|: )line (\d+)")


def units_of(draft: Draft) -> Units:
    """The units of a draft; inches while it says none."""
    return "mm" if plain(draft.job).get("units") == "mm" else "in"


def form_of(draft: Draft) -> Group:
    """The draft's job file as a form."""
    return job_form(plain(draft.job), units_of(draft))


@dataclass(frozen=True, slots=True)
class Trouble:
    """Why a draft cannot be carried through: what is wrong, which field to look at ("" if none), and where it is."""

    words: str
    field: str
    where: str = ""

    @property
    def unknown(self) -> str:
        """The key that no job file has, for it to be taken out; "" if that is not what is wrong."""
        return self.where if self.words.startswith("unknown key") else ""

    @property
    def line(self) -> str:
        """The words with the place before them."""
        return f"{self.where}: {self.words}" if self.where else self.words


def trouble_of(drawn: Drawn, job_file: str) -> Trouble | None:
    """The refusal of a draft, in the job's units."""
    refusal = drawn.refusal
    if refusal is None:
        return None
    show = Show(units_of(drawn.draft))
    what, example, rest = refusal.what.partition(_EXAMPLE)
    words = show.retold(what) + example + rest
    where = refusal.where.removeprefix(f"{job_file}: ").removeprefix(job_file)
    return Trouble(words, _field(drawn.draft, where), where)


def _field(draft: Draft, where: str) -> str:
    """The field that a refusal's place means: a reading's row, or the first field at or below a key."""
    for name in named_files(draft.job):
        if where.startswith(name):
            line = _LINE.search(where.removeprefix(name))
            return f"{name}#{line[1]}:1" if line else f"{name}#new:1"
    key = re.sub(r"\[(\d+)\]", lambda m: f"[{int(m[1]) - 1}]", where.split(":")[0].strip())
    if not key:
        return ""
    paths = [each.path for each in all_inputs(form_of(draft))]
    return next((p for p in paths if p == key or p.startswith((f"{key}.", f"{key}["))), "")


@dataclass(frozen=True, slots=True, kw_only=True)
class TraceRows:
    """A trace as a table to type in.

    Args:
        file: Its name.
        names: The two columns.
        rows: Its readings.
        unit: Unit of a bare number.
        next_station: Where the next reading is likely to be taken, "" if that cannot be told.
        too_long: True when it is too long to be laid out.
    """

    file: str
    names: tuple[str, str]
    rows: tuple[Row, ...]
    unit: str
    next_station: str
    too_long: bool


def traces_of(draft: Draft) -> Iterator[TraceRows]:
    """The traces that a draft names, as tables."""
    for name in named_files(draft.job):
        text = draft.files.get(name, "")
        if _is_notes(draft, name):
            continue
        table = read_table(text)
        unit = units_in_file(text, units_of(draft))
        long = len(table.rows) > MOST_ROWS
        rows = () if long else table.rows
        yield TraceRows(
            file=name, names=table.names, rows=rows, unit=unit, next_station=_next(rows, unit), too_long=long
        )


def _is_notes(draft: Draft, name: str) -> bool:
    revision = plain(draft.job).get("revision")
    return isinstance(revision, dict) and revision.get("notes") == name


def _next(rows: tuple[Row, ...], unit: str) -> str:
    """The last station and the step before it, once more."""
    from plategen.ground.quantity import LENGTH

    if len(rows) < 2:
        return ""
    try:
        last, before = (LENGTH.read(row.first, unit) for row in (rows[-1], rows[-2]))
    except Refusal:
        return ""
    return Show("in" if unit == "in" else "mm").short(2 * last - before).removesuffix(".0") if last > before else ""


@dataclass(frozen=True, slots=True)
class Doubt:
    """A doubtful reading, told so that it is read again without being told what to read."""

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


def residuals_of(fitted: FittedTrace, show: Show) -> dict[int, tuple[str, bool]]:
    """For each line of a trace: how far it lies off the fit, in words, and whether it is doubtful."""
    told = {}
    for i, (reading, off) in enumerate(zip(fitted.trace.readings, fitted.residuals_mm, strict=True)):
        words = f"{off / 25.4:+.3f}" if show.units == "in" else f"{off:+.2f}"
        told[reading.line] = (words, i in fitted.doubtful)
    return told


@dataclass(frozen=True, slots=True, kw_only=True)
class Check:
    """A finding as it is shown: the words in the job's units, and what it said of the job as saved."""

    verdict: Verdict
    name: str
    part: str
    asked: str
    there: str
    used: str
    share: float
    source: str
    assumed: str
    case: str
    cure: str
    was: str


def checks_of(drawn: Drawn, saved: Drawn) -> tuple[Check, ...]:
    """The findings that decide, the failing ones first, each with what it was as saved where that is another."""
    if drawn.work is None:
        return ()
    show = Show(drawn.work.job.units)
    before = {_key(f): f.verdict for f in saved.work.findings} if saved.work is not None else {}
    return tuple(_check(f, before, show) for f in worst_first(drawn.work.findings) if not f.opinion)


def _key(f: Finding) -> tuple[str, str, str, bool]:
    return f.check, f.part, f.source, f.opinion


def _check(f: Finding, before: dict[tuple[str, str, str, bool], Verdict], show: Show) -> Check:
    was = before.get(_key(f), f.verdict)
    cure = show.retold(f.cure)
    return Check(
        verdict=f.verdict,
        name=f.check,
        part=f.part.replace("_", " "),
        asked=show.finding(f.demand, f.unit),
        there=show.finding(f.capacity, f.unit),
        used=f"{100 * f.ratio:.0f} %" if f.ratio < 100 else "over 100 times",
        share=min(f.ratio, 1.25) if math.isfinite(f.ratio) else 1.25,
        source=f.source,
        assumed=f.assumed,
        case=f.case,
        cure=cure,
        was=was if was != f.verdict else "",
    )


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
        if name == job_file:
            continue
        ours, their = (read_table(d.files.get(name, "")).rows for d in (mine, theirs))
        apart = [(a, b) for a, b in zip(ours, their, strict=False) if a != b]
        lines += [(f"{name}, line {a.line}", f"{a.first}, {a.second}", f"{b.first}, {b.second}") for a, b in apart[:8]]
        if len(ours) != len(their):
            lines.append((name, f"{len(ours)} readings", f"{len(their)} readings"))
    if not lines:
        lines = [(job_file, "other remarks or order", "other remarks or order")]
    return Clash(fingerprint(theirs), tuple(lines[:40]))
