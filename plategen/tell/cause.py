"""What stops have in common, in words made once: the cause, how many follow from it, and the worst of each kind."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from plategen.checks.finding import Finding, stops
from plategen.ground.show import Show

if TYPE_CHECKING:
    from plategen.cause import Cause


def kinds_of(findings: Iterable[Finding]) -> list[list[Finding]]:
    """Findings of one check by one rule together, in the order of their first."""
    kinds: dict[tuple[str, str, str], list[Finding]] = {}
    for finding in findings:
        kinds.setdefault((finding.check, finding.unit, finding.source), []).append(finding)
    return list(kinds.values())


def besides(findings: Iterable[Finding], found: "Sequence[Cause]") -> list[Finding]:
    """The findings that follow from no cause, in their order."""
    folded = {follower.key for cause in found for follower in cause.followers}
    return [finding for finding in findings if finding.opinion or finding.key not in folded]


def cause_words(cause: "Cause", show: Show) -> str:
    """The cause with how many stop because of it, and what would take them away."""
    count, what, advice = len(cause.followers), show.text(cause.what), show.text(cause.cure.advice)
    return f"{count} checks stop because of {what}; {advice}"


def cause_line(cause: "Cause", show: Show) -> str:
    """The cause and the names of the checks that follow from it, on one line."""
    names = "; ".join(dict.fromkeys(follower.check for follower in cause.followers))
    return f"STOP: {cause_words(cause, show)}. They are: {names}"


def cause_lines(found: "Sequence[Cause]", findings: Iterable[Finding], show: Show) -> list[str]:
    """A line for every cause, and one that says how many stop besides; none without a cause."""
    if not found:
        return []
    more = len(stops(besides(findings, found)))
    rest = "nothing stops besides" if not more else f"{more} {'stops' if more == 1 else 'stop'} besides"
    return [*(cause_line(cause, show) for cause in found), f"mend that first, before any other size: {rest}"]
