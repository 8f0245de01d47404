"""A finding in the report: the numbers that were judged, and the words beside them in the job's units."""

from typing import Literal

from plategen.checks.finding import Finding
from plategen.ground.cure import Change
from plategen.ground.message import Quantity
from plategen.ground.show import Show
from plategen.tell.finding_row import finding_row
from plategen.tell.report.encode import Level, mirrored


class ChangeReport(Level, frozen=True, kw_only=True):
    """A key of the job file and what a cure sets it to.

    Args:
        key: The key, with its tables before it.
        value: Its new value, in `unit`; several for a key that holds a list.
        unit: The unit of that value; "" for words, and for true and false.
    """

    key: str
    value: float | tuple[float, ...] | str | bool
    unit: str


class FindingReport(Level, frozen=True, kw_only=True):
    """One check, judged.

    Args:
        check: Name of the check.
        part: The plate, hole, run or member it looks at.
        demand: What is asked of the part, in `unit`.
        capacity: What the part can take, in `unit`; null where nothing limits it.
        unit: Unit of demand and capacity.
        limit: What the capacity is: a strength that carries the demand; what there is, of which the demand must be
            there at least; or what the demand may be at most.
        ratio: Demand over capacity; null when there is nothing to carry the demand.
        verdict: How it ends.
        source: Rule, edition and clause.
        case: The load case that governs.
        assumed: What was assumed and what is not covered.
        cure: The smallest change that would cure it, in words.
        changes: The same as keys of the job file; empty where no key would do it alone.
        opinion: True for a second opinion by another rule set, which decides nothing.
    """

    check: str
    part: str
    demand: float | None
    capacity: float | None
    unit: str
    limit: Literal["strength", "at least", "at most"]
    ratio: float | None
    verdict: Literal["ok", "caution", "stop"]
    source: str
    case: str
    assumed: str
    cure: str
    changes: tuple[ChangeReport, ...]
    opinion: bool


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
        changes=tuple(map(_change, finding.cure.changes)) if finding.cure else (),
    )


def _change(change: Change) -> ChangeReport:
    match change.to:
        case Quantity(value, unit):
            return ChangeReport(key=change.key, value=value, unit=unit)
        case tuple() as several:
            units = {quantity.unit for quantity in several}
            return ChangeReport(key=change.key, value=tuple(q.value for q in several), unit="".join(units))
        case words:
            return ChangeReport(key=change.key, value=words, unit="")
