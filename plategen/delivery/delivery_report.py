"""What a delivery did, for other programs; the numbers of the job itself lie in its ``report.json``."""

from pathlib import Path
from typing import Literal

from msgspec import UNSET, UnsetType

from plategen.checks.finding import must_stop
from plategen.delivery.deliver import Delivered
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.tell.report.encode import Level, mirrored
from plategen.tell.report.finding import FindingReport, finding_report
from plategen.tell.report.job import RevisionReport
from plategen.work import Work


class DeliveryReport(Level, frozen=True, kw_only=True):
    """What a delivery did.

    Args:
        format: Version of these keys.
        title: Title of the job.
        units: Its units.
        folder: Where the files lie.
        files: Names of the files.
        missing: What could not be made, and why.
        revision: The revision delivered.
        changes: What changed since the last one.
        earlier: Where the last one was put away.
        stop: True when a finding that decides says stop.
        findings: The findings that decide and do not simply hold.
        cautions: What to take care of.
        keep: Which welded parts stay, and why; only for a job that keeps its welds.
    """

    format: Literal[1]
    title: str
    units: Units
    folder: str
    files: tuple[str, ...]
    missing: tuple[str, ...]
    revision: RevisionReport
    changes: tuple[str, ...]
    earlier: str | None
    stop: bool
    findings: tuple[FindingReport, ...]
    cautions: tuple[str, ...]
    keep: str | UnsetType = UNSET


def delivery_report(work: Work, folder: Path, delivered: Delivered, keep: str = "") -> DeliveryReport:
    """Files, revision, what changed, and the findings that do not simply hold.

    Args:
        work: The job delivered.
        folder: Where to.
        delivered: What was done there.
        keep: Which welded parts stay, and why.
    """
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
