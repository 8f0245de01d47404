"""What a check is and what it answers with: demand, capacity, their ratio, a verdict, and where the rule comes from."""

import math
from collections.abc import Callable, Iterable
from dataclasses import KW_ONLY, dataclass, replace
from typing import Literal, TypeAlias, TypedDict, TypeVar, Unpack

import msgspec

from plategen.ground.cure import Cure, advise
from plategen.ground.in_words import in_words
from plategen.ground.message import NOTHING, Message, as_message
from plategen.rules.safety import PRACTICE

Verdict: TypeAlias = Literal["ok", "caution", "stop"]
"""How a check ends."""

Limit: TypeAlias = Literal["strength", "at least", "at most"]
"""What the capacity is to the demand: a strength that carries it, what must be there at least, or at most."""

CAUTION_FROM = 0.90
"""Share of the capacity from which a check of strength is a caution: a tenth in hand is less than a shop's scatter."""

OVER = 1.0 + 1e-9
"""Ratio from which the capacity is passed: rounding alone passes nothing."""

Item = TypeVar("Item")
"""What is compared."""

ALIKE = 1e-9
"""Shares of a strength closer to each other than this are one, so that rounding never names another load case."""

VERDICTS: tuple[Verdict, ...] = ("ok", "caution", "stop")
"""The mildest first."""


class Part(msgspec.Struct, frozen=True):
    """What a finding is about: names of plates, holes, runs or members, and the words that join them."""

    names: tuple[str, ...]  # As the bracket has them, for those who light the part up: ``("W1", "ear_near")``.
    words: str  # ``"W1, ear_near to rail"``.
    run: str = ""  # The weld run's own name, where it is one: ``"W1"``.

    @property
    def spoken(self) -> str:
        """The words as one says them: ``"W1, ear near to rail"``."""
        return in_words(self.words) if self.names else self.words

    @property
    def short(self) -> str:
        """What names it among its like, as one says it: ``"W1"``, ``"ear near, pin"``."""
        return self.run or self.spoken

    def __str__(self) -> str:
        return self.words


def part(*names: str) -> Part:
    """A plate, or a hole of it, or a member, by name."""
    return Part(names, ", ".join(names))


def between(one: str, other: str, *under: str) -> Part:
    """What lies between two parts: ``"W1, ear_near to rail"`` for a run under its own name, ``"upper to lower"``."""
    return Part((*under, one, other), ", ".join((*under, f"{one} to {other}")))


class Finding(msgspec.Struct, frozen=True, kw_only=True):
    """One check, judged; made by the builders of :class:`Check`.

    A frozen struct: a hundred are made for each of the thousands of variants that may be judged in a row.
    """

    of: "Check"  # The check in the registry.
    part: Part  # The plate, hole, run or member it looks at.
    # What is asked of the part, in ``unit``; for a limit "at least" that least, for "at most" what there is.
    demand: float
    # What the part can take, in ``unit``; for a limit "at least" what there is, for "at most" that most.
    capacity: float
    source: str  # Rule, edition and clause, or :data:`PRACTICE`.
    assumed: Message = NOTHING  # What was assumed and what is not covered.
    case: Message = NOTHING  # The load case that governs, empty where none does.
    cure: Cure | None = None  # The smallest change that would cure it; None when none is needed.
    opinion: bool = False  # True for a second opinion by another rule set: shown, but it decides nothing.

    @property
    def check(self) -> str:
        """Name of the check: ``"weld throat stress"``."""
        return self.of.name

    @property
    def unit(self) -> str:
        """Unit of demand and capacity."""
        return self.of.unit

    @property
    def judged(self) -> tuple[str, str]:
        """What is judged of what: check and part, whichever rule governs, which may change with a number of the job."""
        return self.of.name, self.part.words

    @property
    def key(self) -> tuple[str, str, str]:
        """What it is about, whatever its numbers: check, part, and the rule that judged."""
        return self.of.name, self.part.words, self.source

    @property
    def ratio(self) -> float:
        """Demand over capacity; infinite when there is nothing to carry the demand, and never NaN."""
        return ratio(self.demand, self.capacity)

    @property
    def verdict(self) -> Verdict:
        """``stop`` above the capacity, ``caution`` in its last tenth, else ``ok``; no worse than the check allows."""
        return self.of.verdict(self.ratio)

    @property
    def decides(self) -> bool:
        """False for a second opinion."""
        return not self.opinion


class Given(TypedDict, total=False):
    """What a finding may be given beside its numbers.

    Args:
        source: Rule, edition and clause, where it is not the check's own.
        assumed: What was assumed and what is not covered.
        case: The load case that governs.
        cure: Makes the cure, only called where the capacity is passed; or the words of one that changes no key.
        opinion: True for a second opinion by another rule set.
    """

    source: str
    assumed: Message | str
    case: Message | str
    cure: Callable[[], Cure | None] | str | None
    opinion: bool


@dataclass(frozen=True, slots=True)
class Check:
    """A check as the registry lists it, and the builders of its findings."""

    name: str  # Stable name, e.g. ``"weld throat stress"``; a row whose findings fill in a part of it has ``*`` there.
    subject: str  # What it looks at: ``"pin"``, ``"weld"``, ``"steering"`` ...; checks of one subject stand together.
    unit: str  # Unit of what it compares.
    limit: Limit = "strength"  # What the capacity is to the demand.
    _: KW_ONLY
    source: str = PRACTICE  # Rule, edition and clause.
    en_source: str = ""  # That of EN 1993, where its view has another.
    # What must be there for it to be asked, in words: ``"bolts"``, ``"a steering study"``; "" for nothing.
    needs: str = ""
    most: Verdict = "stop"  # The worst verdict that it may give.
    near: bool = True  # False where the last tenth of the capacity is as good as the rest.
    opinion: bool = False  # True where it never decides, whichever rule set does.
    # What it leaves out, for the sheet's list of what is not covered; "" where it leaves nothing to say.
    not_covered: str = ""
    row: str = ""  # Name of the registry's row that this one is a variant of; its own name for the row itself.

    def __post_init__(self) -> None:
        if not self.row:
            object.__setattr__(self, "row", self.name)

    def variant(
        self,
        *,
        name: str = "",
        unit: str = "",
        most: Verdict | None = None,
        near: bool = True,
        not_covered: str | None = None,
    ) -> "Check":
        """The same check of the registry under a fuller name, in another unit, with another worst verdict, or leaving
        out something else.

        >>> Check("boss to *", "swing", "mm").variant(name="boss to rail").row
        'boss to *'
        """
        left_out = self.not_covered if not_covered is None else not_covered
        return replace(
            self,
            name=name or self.name,
            unit=unit or self.unit,
            most=most or self.most,
            near=near,
            not_covered=left_out,
        )

    @property
    def sources(self) -> str:
        """The rules of all views: ``"AISC 360-22 J4.3 with B4.3b; EN 1993-1-8:2005 3.10.2"``."""
        return f"{self.source}; {self.en_source}" if self.en_source else self.source

    @property
    def warns_near(self) -> bool:
        """True where the last tenth of the capacity is a caution; a length that is there is there."""
        return self.near and self.unit != "mm"

    def verdict(self, ratio: float) -> Verdict:
        """``stop`` above the capacity, ``caution`` in its last tenth, else ``ok``; no worse than the check allows."""
        if ratio > OVER:
            return self.most
        return "caution" if ratio > CAUTION_FROM and self.most != "ok" and self.warns_near else "ok"

    def strength(
        self,
        about: Part,
        demand: float,
        capacity: float,
        *,
        source: str = "",
        assumed: Message | str = NOTHING,
        case: Message | str = NOTHING,
        cure: Callable[[], Cure | None] | str | None = None,
        opinion: bool = False,
    ) -> Finding:
        """What is asked of a part against what it can take."""
        return Finding(
            of=self,
            part=about,
            demand=demand,
            capacity=capacity,
            source=source or self.source,
            assumed=as_message(assumed),
            case=as_message(case),
            cure=_cure(cure) if cure is not None and ratio(demand, capacity) > OVER else None,
            opinion=self.opinion or opinion,
        )

    def at_least(self, about: Part, least: float, there: float, **given: Unpack[Given]) -> Finding:
        """What there is against the least that is asked."""
        assert self.limit == "at least", self.name
        return self.strength(about, least, there, **given)

    def at_most(self, about: Part, most: float, there: float, **given: Unpack[Given]) -> Finding:
        """What there is against the most that is allowed."""
        assert self.limit == "at most", self.name
        return self.strength(about, there, most, **given)


def _cure(cure: Callable[[], Cure | None] | str) -> Cure | None:
    return advise(cure) if isinstance(cure, str) else cure()


def ratio(demand: float, capacity: float) -> float:
    """Demand over capacity; infinite when there is nothing to carry the demand, and never NaN."""
    if capacity > 0.0:
        share = demand / capacity
        return math.inf if math.isnan(share) else share
    return 0.0 if demand <= 0.0 and capacity <= 0.0 else math.inf


def worst_first(findings: Iterable[Finding]) -> list[Finding]:
    """Stops first, then cautions, then what holds; within each the highest ratio first; opinions after the rest.

    Ratios that differ by rounding alone keep the order of the checks.
    """
    return sorted(findings, key=lambda f: (f.opinion, -VERDICTS.index(f.verdict), -round(f.ratio, 9)))


def failing_parts(findings: Iterable["Finding"]) -> frozenset[str]:
    """Names of all parts that something stops."""
    return frozenset(name for finding in stops(findings) for name in finding.part.names)


def stops(findings: Iterable[Finding]) -> list[Finding]:
    """The findings that decide and say stop, the worst first."""
    return worst_first(f for f in findings if f.decides and f.verdict == "stop")


def must_stop(findings: Iterable[Finding]) -> bool:
    """True when a finding that decides says stop."""
    return any(f.verdict == "stop" and f.decides for f in findings)


def first_worst(items: Iterable[Item], used: Callable[[Item], float]) -> Item:
    """The item that uses most of its strength; of several alike the first.

    >>> first_worst(["one", "two", "six"], len)
    'one'

    Raises:
        ValueError: There is none.
    """
    items = tuple(items)
    shares = [used(item) for item in items]
    most = max(shares)
    return next(item for share, item in zip(shares, items, strict=True) if share * (1.0 + ALIKE) >= most)
