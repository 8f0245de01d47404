"""What every check is given beside the part it looks at: the job's rules, the load cases, and how to speak of sizes."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

from plategen.job import Job
from plategen.job.rules import Rules
from plategen.show import Show
from plategen.strength.loads import LoadCase, rules_of
from plategen.strength.safety import LOAD_FACTOR, RuleSet

RULE_SETS: tuple[RuleSet, ...] = ("aisc-asd", "aisc-lrfd", "en-1993")
"""In the order in which they are told."""


@dataclass(frozen=True)
class Setting:
    """A job under judgement.

    Args:
        job: The job.
        cases: Its load cases, shock included, load factors not.
        opinions: Ask the other rule sets for theirs as well.
    """

    job: Job
    cases: tuple[LoadCase, ...]
    opinions: bool = True

    @cached_property
    def rules(self) -> Rules:
        """The job's rules."""
        return rules_of(self.job)

    @cached_property
    def show(self) -> Show:
        """How the job's numbers are shown."""
        return Show(self.job.units)

    @cached_property
    def views(self) -> tuple["View", ...]:
        """The rule set that decides, then the others if they are asked."""
        chosen = self.rules.set
        order = (chosen, *(rules for rules in RULE_SETS if rules != chosen and self.opinions))
        return tuple(View(rules, LOAD_FACTOR[rules], rules != chosen) for rules in order)

    def up(self, mm: float) -> str:
        """The next size a shop would call for, with its unit: sixteenths of an inch, or whole millimetres."""
        step = 25.4 / 16.0 if self.job.units == "in" else 1.0
        if not math.isfinite(mm):
            return "more than can be"
        return f"{self.show.short(math.ceil(mm / step - 1e-9) * step)} {self.job.units}"

    def __iter__(self) -> Iterator["View"]:
        return iter(self.views)


@dataclass(frozen=True, slots=True)
class View:
    """One rule set's view: its load factor, and whether it is only a second opinion."""

    rules: RuleSet
    factor: float
    opinion: bool

    @property
    def loads(self) -> str:
        """What the load factor is, for the finding's assumptions."""
        return "forces as they are, shock included" if self.factor == 1.0 else f"forces times {self.factor:g}"
