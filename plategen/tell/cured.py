"""A job file's cures in words: each key that was written, and what still stops."""

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Annotated

from plategen.cured import Cured, Written
from plategen.ground.show import Show
from plategen.job.change import FileValue
from plategen.tell.cause import besides, cause_lines, kinds_of
from plategen.tell.finding_row import finding_row
from plategen.tell.report.encode import Level, about
from plategen.tell.report.finding import FindingReport, finding_report
from plategen.tell.table import counted


class WrittenReport(Level, frozen=True, kw_only=True):
    """One key that was changed."""

    key: Annotated[str, about("The key of the job file.")]
    was: Annotated[FileValue | None, about("What it held; null if it was left out.")]
    now: Annotated[FileValue | None, about("What it holds in the copy; null if it is left out.")]
    promise: Annotated[str | None, about("What the shop must do for it to be true; null if it changes the bracket.")]


class OpenReport(Level, frozen=True, kw_only=True):
    """One finding that still stops."""

    finding: Annotated[FindingReport, about("The finding.")]
    why: Annotated[str, about("Why its cure did not do.")]


class CuredReport(Level, frozen=True, kw_only=True):
    """What `plategen judge JOB --apply --json` says."""

    format: Annotated[int, about("Changes when a key changes meaning.")] = 1
    file: Annotated[str | None, about("The copy; null if there is none.")]
    changes: Annotated[tuple[WrittenReport, ...], about("Every key that differs from the original.")]
    open: Annotated[tuple[OpenReport, ...], about("What still stops.")]


def cured_report(cured: Cured, show: Show, file: Path | None) -> CuredReport:
    """The same for other programs; ``file`` is where the copy lies."""
    changes = ((c, show.text(c.promise) if c.promise else None) for c in cured.changes)
    return CuredReport(
        file=None if file is None else str(file),
        changes=tuple(WrittenReport(key=c.key, was=c.was, now=c.now, promise=promise) for c, promise in changes),
        open=tuple(OpenReport(finding=finding_report(o.finding, show), why=show.text(o.why)) for o in cured.still),
    )


def cured_lines(cured: Cured, show: Show, file: Path | None) -> list[str]:
    """What the copy holds, line by line; ``file`` is where it lies."""
    lines = [f"{file}: {counted(len(cured.changes), 'key')} changed"] if file else []
    for change in cured.changes:
        lines.append(f"  {written_line(change)}")
        if change.promise:
            lines.append(f"    a promise, no change of the bracket: {show.text(change.promise)}")
    lines += cause_lines(cured.causes, cured.work.findings, show)
    lines += _open_lines(cured, show)
    if file:
        left = f"{counted(len(cured.still), 'finding')} still open" if cured.still else "nothing stops any more"
        return [*lines, f"{left}; read every change before anything is cut"]
    return [*lines, "no key of the job cures a stop, so there is no copy" if cured.still else "nothing stops: no copy"]


_NOT_THE_PLATES = {
    "rules": "an assumption of the judgement: the machine must be built so",
    "use": "another use of the machine than was told",
    "cylinder": "another cylinder, or another end of it",
    "steering": "another part of the linkage",
    "driven": "another rod than the one that is there",
}
"""What a change means in those tables of the job file that do not describe what is cut and welded."""


def written_line(change: Written) -> str:
    """One key as the file has it: ``'weld.leg = "3/16" → "1/4"'``, and what it means where it is none of the plates."""
    was, now = ("left out" if held is None else _toml(held) for held in (change.was, change.now))
    note = _NOT_THE_PLATES.get(change.key.partition(".")[0], "")
    return f"{change.key} = {was} → {now}{f' ({note})' if note else ''}"


def _open_lines(cured: Cured, show: Show) -> Iterator[str]:
    """A line for each kind that still stops and follows from no cause: its worst, and why its cure did not do."""
    why = {id(still.finding): still.why for still in cured.still}
    for worst, *others in kinds_of(besides((still.finding for still in cured.still), cured.causes)):
        more = f"; the same on {'; '.join(f.part.spoken for f in others)}" if others else ""
        yield f"{finding_row(worst, show).stop_line}{more} (open: {show.text(why[id(worst)])})"


def _toml(value: object) -> str:
    return json.dumps(value, ensure_ascii=False)
