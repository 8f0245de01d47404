"""What trials come to, as plain values that the template lays out: charts of a number that ran, columns of jobs."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from plategen.checks.finding import Finding, Verdict
from plategen.cost import cost_of, cutting_minutes
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show, money
from plategen.page.chart import Chart, Mark, chart_svg
from plategen.page.view import FULL_BAR
from plategen.tell.finding_row import used
from plategen.tell.table import cells
from plategen.tell.vary_table import number_words
from plategen.vary import Sweep, Variant, measured
from plategen.work import Work

SHARE = "largest share of a strength that is used"
"""What the first chart shows."""


def charts(sweep: Sweep, done: Sequence[Variant], now: Variant | None) -> Iterator[tuple[str, str]]:
    """Title and picture of a chart of each measure over the number that ran.

    ``now`` is the job as it is, None where a rule chose its number.
    """
    axis, show = sweep.axes[0], Show(sweep.job.units)

    def word(number: float) -> str:
        return number_words(axis, number, show)

    here = None if now is None else (now.numbers[0], f"now {word(now.numbers[0])}")
    ends = word(axis.values[0]), word(axis.values[-1])
    ends = ends if axis.values[0] <= axis.values[-1] else (ends[1], ends[0])

    def share(v: Variant) -> float:
        return 0.0 if v.most_used is None else min(v.most_used.ratio, FULL_BAR)

    yield _chart(SHARE, done, share, lambda v: used(v.most_used) if v.most_used else "", word, ends, here, limit=1.0)
    measures: list[tuple[str, Callable[[Variant], float], Callable[[Variant], str]]] = [
        ("mass of all plates", lambda v: v.mass_kg, lambda v: cells(show, v, "mass_kg")[0]),
        ("length of all weld runs", lambda v: v.weld_mm, lambda v: cells(show, v, "weld_mm")[0]),
        ("largest gap to expect at a notch", lambda v: v.gap_mm, lambda v: cells(show, v, "gap_mm")[0]),
    ]
    if sweep.job.shop is not None and sweep.job.shop.has_rates:
        sign = sweep.job.shop.money
        measures.append(("cost", lambda v: v.cost or 0.0, lambda v: money(v.cost or 0.0, sign)))
    for title, value, words in measures:
        if max((value(v) for v in done if v.finding), default=0.0) > 0.0:
            yield _chart(title, done, value, words, word, ends, here)


def _chart(
    title: str,
    done: Sequence[Variant],
    value: Callable[[Variant], float],
    words: Callable[[Variant], str],
    word: Callable[[float], str],
    ends: tuple[str, str],
    here: tuple[float, str] | None,
    limit: float | None = None,
) -> tuple[str, str]:
    marks = [
        Mark(v.numbers[0], value(v) if v.finding else None, v.verdict, _mark_words(v, words(v), word)) for v in done
    ]
    there = sorted((v for v in done if v.finding), key=value)
    ends_of_values = (_short(words(there[0])), _short(words(there[-1]))) if there else ("", "")
    return title, chart_svg(Chart(title=title, marks=marks, ends=ends, here=here, values=ends_of_values, limit=limit))


def _short(words: str) -> str:
    """A length for the axis without what stands in brackets behind it."""
    return words.partition(" (")[0]


def _mark_words(variant: Variant, value: str, word: Callable[[float], str]) -> str:
    if variant.finding is None:
        return f"{word(variant.numbers[0])}: {variant.refused}"
    return f"{word(variant.numbers[0])}: {value}; decided by {_used(variant.finding)}"


def _used(finding: Finding | None) -> str:
    return "" if finding is None else f"{finding.check}, {finding.part.spoken}: {used(finding)}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A job of a comparison."""

    name: str
    verdict: Verdict | str  # ``"refused"`` where it cannot be built.
    refused: str = ""  # Why.
    worst: str = ""  # The check that decides, what it looks at, and how much of its limit is used.
    most_used: str = ""  # The same of the strength of which most is used.
    weld: str = ""
    mass: str = ""
    cost: str = ""
    cutting: str = ""  # Time of the torch.
    gap: str = ""


def columns(works: Sequence[tuple[str, Work | Refusal]], show: Show) -> list[Column]:
    """Jobs beside each other, all in the same units."""
    return [_column(name, work, show) for name, work in works]


def _column(name: str, work: Work | Refusal, show: Show) -> Column:
    if isinstance(work, Refusal):
        return Column(name=name, verdict="refused", refused=str(work))
    of, cost = measured((), work), cost_of(work)
    minutes = cutting_minutes(work.cut_plates, work.job.cutting)
    gap, weld, mass = cells(show, of, "gap_mm", "weld_mm", "mass_kg")
    return Column(
        name=name,
        verdict=of.verdict,
        worst=_used(of.finding),
        most_used=_used(of.most_used),
        weld=weld,
        mass=mass,
        cost="no rates given" if cost is None else money(cost.total, cost.money),
        cutting="not known" if minutes is None else f"about {minutes:.0f} min" if minutes >= 1 else "under 1 min",
        gap=gap if of.gap_mm else "no notch",
    )
