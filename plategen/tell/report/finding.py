"""A finding in the report: the numbers that were judged, and the words beside them in the job's units."""

from typing import Literal

from plategen.checks.finding import Finding
from plategen.ground.show import Show
from plategen.tell.finding_row import finding_row
from plategen.tell.report.encode import Part, mirrored


class FindingReport(Part, frozen=True, kw_only=True):
    """One check, judged.

    Args:
        check: Name of the check.
        part: The plate, hole, run or member it looks at.
        demand: What is asked of the part, in `unit`.
        capacity: What the part can take, in `unit`; null where nothing limits it.
        unit: Unit of demand and capacity.
        ratio: Demand over capacity; null when there is nothing to carry the demand.
        verdict: How it ends.
        source: Rule, edition and clause.
        case: The load case that governs.
        assumed: What was assumed and what is not covered.
        cure: The smallest change that would cure it, in words.
        opinion: True for a second opinion by another rule set, which decides nothing.
    """

    check: str
    part: str
    demand: float | None
    capacity: float | None
    unit: str
    ratio: float | None
    verdict: Literal["ok", "caution", "stop"]
    source: str
    case: str
    assumed: str
    cure: str
    opinion: bool


def finding_report(finding: Finding, show: Show) -> FindingReport:
    """A finding as it was judged, its words in the job's units."""
    row = finding_row(finding, show)
    return mirrored(FindingReport, finding, part=finding.part.words, case=row.case, assumed=row.assumed, cure=row.cure)
