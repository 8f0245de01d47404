"""One rule set's view of a strength: its load factor, and the finding that names its rule."""

from dataclasses import dataclass
from functools import cached_property
from typing import Unpack

from plategen.checks.finding import Check, Finding, Given, Part
from plategen.ground.message import Message, message, number
from plategen.rules.safety import RuleSet

RULE_SETS: tuple[RuleSet, ...] = ("aisc-asd", "aisc-lrfd", "en-1993")
"""In the order in which they are shown."""


@dataclass(frozen=True)
class View:
    """One rule set's view: its load factor, whether it is only a second opinion, and the shock factor in the forces."""

    rules: RuleSet
    factor: float
    opinion: bool
    shock: float

    @cached_property
    def en(self) -> bool:
        """True for EN 1993."""
        return self.rules == "en-1993"

    @cached_property
    def loads(self) -> Message:
        """What the load factor is, for the finding's assumptions."""
        shock = number(self.shock, "size")
        if self.factor == 1.0:
            return message("forces as they are, shock factor {} included", shock)
        return message("forces times {}, shock factor {} included", number(self.factor, "size"), shock)

    def strength(self, check: Check, about: Part, demand: float, capacity: float, **given: Unpack[Given]) -> Finding:
        """A finding about a strength in this view, with its rule and load factor; see :meth:`Check.strength`."""
        assumed = given.get("assumed")
        given["assumed"] = Message("{}; {}", (assumed, self.loads)) if assumed else self.loads
        given["opinion"] = self.opinion
        if self.en and check.en_source:
            given["source"] = check.en_source
        return check.strength(about, demand, capacity, **given)
