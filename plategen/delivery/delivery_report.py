"""What a delivery did, for other programs; the numbers of the job itself lie in its ``report.json``."""

from pathlib import Path
from typing import Annotated, Literal

from msgspec import UNSET, UnsetType

from plategen.checks.finding import must_stop
from plategen.delivery.deliver import Delivered
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.tell.report.encode import Level, about, mirrored
from plategen.tell.report.finding import FindingReport, finding_report
from plategen.tell.report.job import RevisionReport
from plategen.work import Work


class DeliveryReport(Level, frozen=True, kw_only=True):
    """What a delivery did."""

    format: Annotated[Literal[1], about("Version of these keys.")]
    title: Annotated[str, about("Title of the job.")]
    units: Annotated[Units, about("Its units.")]
    folder: Annotated[str, about("Where the files lie.")]
    files: Annotated[tuple[str, ...], about("Names of the files.")]
    missing: Annotated[tuple[str, ...], about("What could not be made, and why.")]
    revision: Annotated[RevisionReport, about("The revision delivered.")]
    changes: Annotated[tuple[str, ...], about("What changed since the last one.")]
    earlier: Annotated[str | None, about("Where the last one was put away.")]
    stop: Annotated[bool, about("True when a finding that decides says stop.")]
    findings: Annotated[tuple[FindingReport, ...], about("The findings that decide and do not simply hold.")]
    cautions: Annotated[tuple[str, ...], about("What to take care of.")]
    keep: Annotated[
        str | UnsetType, about("Which welded parts stay, and why; only for a job that keeps its welds.")
    ] = UNSET


def delivery_report(work: Work, folder: Path, delivered: Delivered, keep: str = "") -> DeliveryReport:
    """Files, revision, changes, and the findings that do not simply hold; ``keep`` says which welded parts stay."""
    show, stamp = Show(work.job.units), delivered.stamp
    return DeliveryReport(
        format=1,
        title=work.job.title,
        units=work.job.units,
        folder=str(folder),
        files=tuple(path.name for path in delivered.files),
        missing=tuple(delivered.missing),
        revision=mirrored(RevisionReport, stamp),
        changes=tuple(delivered.changes),
        earlier=str(delivered.earlier) if delivered.earlier else None,
        stop=must_stop(work.findings),
        findings=tuple(finding_report(f, show) for f in work.findings if f.verdict != "ok" and not f.opinion),
        cautions=tuple(map(show.text, work.cautions)),
        keep=keep or UNSET,
    )
