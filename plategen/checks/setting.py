"""What every check is given beside the part it looks at: the job's rules, the load cases, and how to speak of sizes."""

import math
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

from plategen.design.loads import LoadCase, rules_of
from plategen.ground.refusal import Refusal
from plategen.ground.shop_size import PART_SIZES
from plategen.ground.show import Show
from plategen.job import Job
from plategen.job.rules import Rules
from plategen.rules.hole_size import made_bolts_mm
from plategen.rules.safety import LOAD_FACTOR, RuleSet

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
        shock = self.rules.shock_factor
        return tuple(View(rules, LOAD_FACTOR[rules], rules != chosen, shock) for rules in order)

    def up(self, mm: float) -> str:
        """The next size a shop would call for, with its unit: sixteenths of an inch, or whole millimetres."""
        if not math.isfinite(mm):
            return "more than can be"
        return f"{self.show.short(self.next_up_mm(mm))} {self.job.units}"

    def next_up_mm(self, mm: float) -> float:
        """The next size up that a shop would call for."""
        return PART_SIZES.up(mm, self.job.units)

    @cached_property
    def step_mm(self) -> float:
        """From one size that a shop calls for to the next: a sixteenth of an inch, or a millimetre."""
        return PART_SIZES.step_mm(self.job.units)

    def size_that_holds(self, now_mm: float, holds: Callable[[float], bool], most_mm: float = math.inf) -> float | None:
        """The next size above ``now_mm`` that a shop would call for and that holds; None up to ten times it.

        Args:
            now_mm: The size that does not hold.
            holds: Whether a size does.
            most_mm: Sizes from here on cannot be.
        """
        sizes = PART_SIZES.above(now_mm, self.job.units, most_mm)
        return next((size for size in sizes if holds(size)), None)

    def bolts_that_hold(self, now_mm: float, holds: Callable[[float], bool]) -> str:
        """The cure of a bolt that is too small: the next size that is made in the job's units, or what else would do.

        Args:
            now_mm: The bolt that does not hold.
            holds: Whether a bolt of a diameter does; it may raise a Refusal for a size that its grade has not.
        """
        for size in made_bolts_mm(self.job.units):
            if size > now_mm + 1e-6 and _does(holds, size):
                return f"bolts to {self.show.short(size)} {self.job.units}"
        return "more bolts further apart, or a stronger grade"

    def __iter__(self) -> Iterator["View"]:
        return iter(self.views)


def _does(holds: Callable[[float], bool], size_mm: float) -> bool:
    try:
        return holds(size_mm)
    except Refusal:
        return False


@dataclass(frozen=True, slots=True)
class View:
    """One rule set's view: its load factor, whether it is only a second opinion, and the shock factor in the forces."""

    rules: RuleSet
    factor: float
    opinion: bool
    shock: float

    @property
    def loads(self) -> str:
        """What the load factor is, for the finding's assumptions."""
        shock = f"shock factor {self.shock:g} included"
        return f"forces as they are, {shock}" if self.factor == 1.0 else f"forces times {self.factor:g}, {shock}"
