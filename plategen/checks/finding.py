"""What every check answers with: demand, capacity, their ratio, a verdict, and where the rule comes from."""

import math
from collections.abc import Iterable
from typing import Literal

import msgspec

Verdict = Literal["ok", "caution", "stop"]
"""How a check ends."""

CAUTION_FROM = 0.90
"""Share of the capacity from which a check is a caution: a tenth in hand is less than a shop's own scatter."""


class Finding(msgspec.Struct, frozen=True, kw_only=True):
    """One check, judged.

    A frozen struct: a hundred are made for each of the thousands of variants that may be judged in a row.

    Args:
        check: Stable name of the check, e.g. ``"weld throat stress"``.
        part: The plate, hole, run or member it looks at.
        demand: What is asked of the part, in ``unit``; for distances the least that the rule asks.
        capacity: What the part can take, in ``unit``; for distances what the part has.
        unit: ``"mm"``, ``"N"``, ``"MPa"``, ``"N/mm"``, ``"deg"``, ``"1"`` ...
        source: Rule, edition and clause, or ``"common practice, no source"``.
        assumed: What was assumed and what is not covered.
        case: The load case that governs, e.g. ``"push, cylinder at +6 deg"``.
        cure: The smallest change that would cure it, in the shop's words; empty when none is needed.
        opinion: True for a second opinion by another rule set: shown, but it decides nothing.
        most: For advisory checks, the worst verdict that may be given.
    """

    check: str
    part: str
    demand: float
    capacity: float
    unit: str
    source: str
    assumed: str = ""
    case: str = ""
    cure: str = ""
    opinion: bool = False
    most: Verdict = "stop"

    @property
    def ratio(self) -> float:
        """Demand over capacity; infinite when there is nothing to carry the demand, and never NaN."""
        if math.isnan(self.demand) or math.isnan(self.capacity):
            return math.inf
        if self.capacity <= 0.0:
            return math.inf if self.demand > 0.0 else 0.0
        return self.demand / self.capacity

    @property
    def verdict(self) -> Verdict:
        """``stop`` above the capacity, ``caution`` in its last tenth, else ``ok``; no worse than ``most``."""
        if self.ratio > 1.0 + 1e-9:
            return self.most
        if self.ratio > CAUTION_FROM and self.most != "ok" and self.unit != "mm":
            return "caution"
        return "ok"


def without_idle_cures(findings: Iterable[Finding]) -> tuple[Finding, ...]:
    """The findings, with no cure told for what holds."""
    return tuple(msgspec.structs.replace(f, cure="") if f.cure and f.verdict == "ok" else f for f in findings)


_ORDER: dict[Verdict, int] = {"stop": 0, "caution": 1, "ok": 2}


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """Stops first, then cautions, then what holds; within each the highest ratio first; opinions after the rest."""
    return sorted(findings, key=lambda f: (f.opinion, _ORDER[f.verdict], -f.ratio))


def must_stop(findings: Iterable[Finding]) -> bool:
    """True when a finding that decides says stop."""
    return any(f.verdict == "stop" and not f.opinion for f in findings)
