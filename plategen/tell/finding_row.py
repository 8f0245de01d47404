"""A finding in words, made once: the commands, the shop sheet and the page set the same row."""

import math
from dataclasses import dataclass

from plategen.checks.finding import Finding, Verdict
from plategen.ground.show import Show
from plategen.tell.table import angle


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingRow:
    """The words of one finding, in the job's units.

    Args:
        verdict: How it ends.
        mark: The same as it is set: ``"STOP"``, ``"CAUTION"``, ``"ok"``, ``"2nd opinion"``.
        check: Name of the check.
        part: What it looks at.
        asked: The demand.
        there: The capacity.
        ratio: Demand over capacity: ``"0.63"``.
        used: The same as a share: ``"63 %"``.
        source: Rule, edition and clause.
        case: The load case that governs; "" where none does.
        assumed: What was assumed and what is not covered.
        cure: The smallest change that would cure it; "" when none is needed.
        opinion: True for a second opinion, which decides nothing.
    """

    verdict: Verdict
    mark: str
    check: str
    part: str
    asked: str
    there: str
    ratio: str
    used: str
    source: str
    case: str
    assumed: str
    cure: str
    opinion: bool

    @property
    def cure_line(self) -> str:
        """The cure with what it is for, as a line of its own; "" without a cure."""
        return f"{self.mark}: {self.check}, {self.part}: {self.cure}" if self.cure else ""

    @property
    def stop_line(self) -> str:
        """The whole finding on one line."""
        cure = f"; {self.cure}" if self.cure else ""
        return f"{self.mark}: {self.check}, {self.part}: {self.asked} asked, {self.there} there{cure}"


def finding_row(finding: Finding, show: Show) -> FindingRow:
    """The words of a finding.

    Args:
        finding: What was judged.
        show: The job's units.
    """
    verdict = finding.verdict
    return FindingRow(
        verdict=verdict,
        mark="2nd opinion" if finding.opinion else verdict.upper() if verdict != "ok" else "ok",
        check=finding.check,
        part=finding.part.words.replace("_", " "),
        asked=_number(finding.demand, finding.unit, show),
        there=_number(finding.capacity, finding.unit, show),
        ratio=f"{finding.ratio:.2f}" if math.isfinite(finding.ratio) else "∞",
        used=f"{100 * finding.ratio:.0f} %" if finding.ratio < 100 else "over 100 times",
        source=finding.source,
        case=show.text(finding.case),
        assumed=show.text(finding.assumed),
        cure=show.text(finding.cure.advice) if finding.cure else "",
        opinion=finding.opinion,
    )


def _number(value: float, unit: str, show: Show) -> str:
    return angle(show, value) if unit == "deg" else show.finding(value, unit)
