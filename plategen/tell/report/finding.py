"""A finding in the report: the numbers that were judged, and the words beside them in the job's units."""

from __future__ import annotations

from typing import Annotated

from plategen.checks.finding import Finding, Limit, Verdict
from plategen.ground.cure import Change
from plategen.ground.message import Quantity
from plategen.ground.show import Show
from plategen.tell.finding_row import finding_row
from plategen.tell.report.encode import Level, Maybe, about, mirrored


class ChangeReport(Level, frozen=True, kw_only=True):
    """A key of the job file and what a cure sets it to."""

    key: Annotated[str, about("The key, with its tables before it.")]
    value: Annotated[float | tuple[float, ...] | str | bool, about("Its new value, in `unit`; several for a list.")]
    unit: Annotated[str, about('The unit of that value; "" for words, and for true and false.')]


class FindingReport(Level, frozen=True, kw_only=True):
    """One check, judged."""

    check: Annotated[str, about("Name of the check.")]
    part: Annotated[str, about("The plate, hole, run or member it looks at.")]
    demand: Annotated[Maybe, about("What is asked of the part, in `unit`.")]
    capacity: Annotated[Maybe, about("What the part can take, in `unit`; null where nothing limits it.")]
    unit: Annotated[str, about("Unit of demand and capacity.")]
    limit: Annotated[Limit, about("A strength that carries the demand, a least that is there, or a most that may be.")]
    ratio: Annotated[Maybe, about("Demand over capacity; null when there is nothing to carry the demand.")]
    verdict: Annotated[Verdict, about("How it ends.")]
    source: Annotated[str, about("Rule, edition and clause.")]
    case: Annotated[str, about("The load case that governs.")]
    assumed: Annotated[str, about("What was assumed and what is not covered.")]
    cure: Annotated[str, about("The smallest change that would cure it, in words.")]
    changes: Annotated[tuple[ChangeReport, ...], about("The same as keys of the job file; empty where none does it.")]
    opinion: Annotated[bool, about("True for a second opinion by another rule set, which decides nothing.")]


def finding_report(finding: Finding, show: Show) -> FindingReport:
    """A finding as it was judged, its words in the job's units."""
    row = finding_row(finding, show)
    return mirrored(
        FindingReport,
        finding,
        part=finding.part.words,
        limit=finding.of.limit,
        case=row.case,
        assumed=row.assumed,
        cure=row.cure,
        changes=tuple(map(change_report, finding.cure.changes)) if finding.cure else (),
    )


def change_report(change: Change) -> ChangeReport:
    """A change as the job file would have it."""
    match change.to:
        case Quantity(value, unit):
            return ChangeReport(key=change.key, value=value, unit=unit)
        case tuple() as several:
            units = {quantity.unit for quantity in several}
            return ChangeReport(key=change.key, value=tuple(q.value for q in several), unit="".join(units))
        case None:
            return ChangeReport(key=change.key, value="", unit="")
        case words:
            return ChangeReport(key=change.key, value=words, unit="")
