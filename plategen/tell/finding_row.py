"""A finding in words, made once: the commands, the shop sheet and the page set the same row."""

import math
from dataclasses import dataclass

from plategen.checks.finding import OVER, Finding, Verdict
from plategen.ground.show import Show
from plategen.tell.table import angle

NO_STRENGTH = "cannot carry it at all"
"""What is said where there is nothing to carry the load with, so that no number would be one."""

LEAST, MOST, NONE = "at least ", "at most ", "none"
"""What stands before a limit, and what stands for one of 0."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FindingRow:
    """The words of one finding, in the job's units."""

    verdict: Verdict  # How it ends.
    mark: str  # The same as it is set: ``"STOP"``, ``"CAUTION"``, ``"ok"``, ``"2nd opinion"``.
    check: str  # Name of the check.
    part: str  # What it looks at.
    there: str  # What there is.
    limit: str  # What it may be: ``"at most 16.2 kN"``, ``"at least 1 1/4 in (1.250)"``, ``"none"``.
    used: str  # The share of the limit that is used: ``"63 %"``.
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
        return f"{self.mark}: {self.check}, {self.part}: {self.compared}{cure}"

    @property
    def compared(self) -> str:
        """What there is against what is allowed: ``"is 18 kN, limit 16.2 kN"``, ``"is 1 in, at least 2 in needed"``."""
        if self.there == NO_STRENGTH:
            return self.there
        if self.limit.startswith(LEAST):
            return f"is {self.there}, {self.limit} needed"
        return f"is {self.there}, {'none allowed' if self.limit == NONE else f'limit {self.limit.removeprefix(MOST)}'}"


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
        used=used(finding),
        source=finding.source,
        case=show.text(finding.case),
        assumed=show.text(finding.assumed),
        cure=show.text(finding.cure.advice) if finding.cure else "",
        opinion=finding.opinion,
    )


def used(finding: Finding, decimals: int = 0) -> str:
    """The share of the limit that is used, in words where there is no number for it."""
    ratio = finding.ratio
    if math.isfinite(ratio):
        shown = f"{100 * ratio:.{decimals}f} %"
        just = ratio > OVER and shown == f"{100:.{decimals}f} %"
        return f"just over {shown}" if just else shown if ratio < 100 else "over 100 times"
    if finding.of.limit == "at least":
        return "none there"
    return "none allowed" if finding.capacity == 0.0 and math.isfinite(finding.demand) else "no strength"


def _there(finding: Finding, show: Show) -> str:
    """What there is, or that there is nothing to carry the load with.

    A length that must not be larger is rounded up like all that is to be expected at worst; not so where that alone
    would set it past the limit that it keeps to.
    """
    if finding.of.limit == "at least":
        return _number(finding.capacity, finding.unit, show)
    there, limit = finding.demand, finding.capacity
    if not math.isfinite(there):
        return NO_STRENGTH
    if there == limit == 0.0:
        return NONE
    if finding.unit != "mm" or there <= limit < show.next_mark_mm(there):
        return _number(there, finding.unit, show)
    return show.bound(there, up=True)


def _limit(finding: Finding, show: Show) -> str:
    """The limit with the side that it stands on, a length rounded to the safe side."""
    least = finding.of.limit == "at least"
    value = finding.demand if least else finding.capacity
    if value == 0.0 and not least:
        return NONE
    words = show.bound(value, up=least) if finding.unit == "mm" else _number(value, finding.unit, show)
    return f"{LEAST if least else MOST}{words}"


def _number(value: float, unit: str, show: Show) -> str:
    return angle(show, value) if unit == "deg" else show.finding(value, unit)
