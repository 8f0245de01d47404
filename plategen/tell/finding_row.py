"""A finding in words, made once: the commands, the shop sheet and the page set the same row."""

import math
from dataclasses import dataclass

from plategen.checks.finding import Finding, Verdict
from plategen.ground.show import Show
from plategen.tell.table import angle


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingRow:
    """The words of one finding, in the job's units."""

    verdict: Verdict  # How it ends.
    mark: str  # The same as it is set: ``"STOP"``, ``"CAUTION"``, ``"ok"``, ``"2nd opinion"``.
    check: str  # Name of the check.
    part: str  # What it looks at.
    asked: str  # The demand.
    there: str  # The capacity.
    ratio: str  # Demand over capacity: ``"0.63"``.
    used: str  # The same as a share: ``"63 %"``.
    source: str  # Rule, edition and clause.
    case: str  # The load case that governs; "" where none does.
    assumed: str  # What was assumed and what is not covered.
    cure: str  # The smallest change that would cure it; "" when none is needed.
    opinion: bool  # True for a second opinion, which decides nothing.

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
    """The words of a finding."""
    verdict = finding.verdict
    return FindingRow(
        verdict=verdict,
        mark="2nd opinion" if finding.opinion else verdict.upper() if verdict != "ok" else "ok",
        check=finding.check,
        part=finding.part.words.replace("_", " ") if finding.part.names else finding.part.words,
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
