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
    there: str  # What there is.
    limit: str  # What it may be: ``"at most 16.2 kN"``, ``"at least 1 1/4 in (1.250)"``.
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
        return f"{self.mark}: {self.check}, {self.part}: {self.there}, {self.limit} allowed{cure}"


def finding_row(finding: Finding, show: Show) -> FindingRow:
    """The words of a finding."""
    verdict = finding.verdict
    return FindingRow(
        verdict=verdict,
        mark="2nd opinion" if finding.opinion else verdict.upper() if verdict != "ok" else "ok",
        check=finding.check,
        part=finding.part.spoken,
        there=_there(finding, show),
        limit=_limit(finding, show),
        ratio=f"{finding.ratio:.2f}" if math.isfinite(finding.ratio) else "∞",
        used=f"{100 * finding.ratio:.0f} %" if finding.ratio < 100 else "over 100 times",
        source=finding.source,
        case=show.text(finding.case),
        assumed=show.text(finding.assumed),
        cure=show.text(finding.cure.advice) if finding.cure else "",
        opinion=finding.opinion,
    )


def _there(finding: Finding, show: Show) -> str:
    """What there is; a length that must not be larger is rounded up like all that is to be expected at worst.

    Not so where that alone would set it past the limit that it keeps to.
    """
    if finding.of.limit == "at least":
        return _number(finding.capacity, finding.unit, show)
    there, limit = finding.demand, finding.capacity
    if finding.unit != "mm" or there <= limit < show.next_mark_mm(there):
        return _number(there, finding.unit, show)
    return show.bound(there, up=True)


def _limit(finding: Finding, show: Show) -> str:
    """The limit with the side that it stands on, a length rounded to the safe side."""
    least = finding.of.limit == "at least"
    value = finding.demand if least else finding.capacity
    words = show.bound(value, up=least) if finding.unit == "mm" else _number(value, finding.unit, show)
    return f"{'at least' if least else 'at most'} {words}"


def _number(value: float, unit: str, show: Show) -> str:
    return angle(show, value) if unit == "deg" else show.finding(value, unit)
