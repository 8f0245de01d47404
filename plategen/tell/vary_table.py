"""Variants as rows: for people in the job's own notation, for programs as plain numbers, the units in the head."""

from collections.abc import Iterable, Sequence
from typing import Annotated, Literal

from plategen.ground.show import Show, money
from plategen.ground.unit import DEGREE_RAD, INCH_MM, POUND_KG
from plategen.tell.finding_row import used
from plategen.tell.report.encode import Level, about, mirrored
from plategen.tell.table import cells
from plategen.vary import Axis, Sweep, Variant

_COUNTED = ("ok", "caution", "stop", "refused")


def head(sweep: Sweep) -> tuple[str, ...]:
    """The columns, for people."""
    keys = (axis.key for axis in sweep.axes)
    return (*keys, "", "used", "decided by", "part", "gap to expect", "weld", "plates", *_costs(sweep, "cost"), "")


def _costs(sweep: Sweep, words: str) -> tuple[str, ...]:
    """A cell for what a variant costs, where the shop gives rates."""
    return (words,) if sweep.job.shop is not None and sweep.job.shop.has_rates else ()


def _cost(sweep: Sweep, variant: Variant) -> tuple[str, ...]:
    shop = sweep.job.shop
    return _costs(sweep, "" if variant.cost is None or shop is None else money(variant.cost, shop.money))


def row(sweep: Sweep, variant: Variant) -> tuple[str, ...]:
    """One variant, for people."""
    show = Show(sweep.job.units)
    numbers = (number_words(axis, number, show) for axis, number in zip(sweep.axes, variant.numbers, strict=True))
    verdict = variant.verdict if variant.verdict == "ok" else variant.verdict.upper()
    finding = variant.finding
    if finding is None:
        return (*numbers, verdict, "", "", "", "", "", "", *_costs(sweep, ""), variant.refused)
    measures = cells(show, variant, "gap_mm", "weld_mm", "mass_kg")
    return (
        *numbers,
        verdict,
        used(finding, decimals=1),
        finding.check,
        finding.part.words,
        *measures,
        *_cost(sweep, variant),
        "",
    )


def plain_head(sweep: Sweep) -> tuple[str, ...]:
    """The columns, for programs."""
    length, mass = sweep.job.units, "lb" if sweep.job.units == "in" else "kg"
    keys = (f"{axis.key} ({_plain_unit(axis, length)})" for axis in sweep.axes)
    measures = (f"gap to expect ({length})", f"weld ({length})", f"plates ({mass})")
    return (*keys, "verdict", "ratio", "check", "part", *measures, *_costs(sweep, "cost"), "refused")


def plain_row(sweep: Sweep, variant: Variant) -> tuple[str, ...]:
    """One variant, for programs."""
    inches = sweep.job.units == "in"
    numbers = (_plain(axis, number, inches) for axis, number in zip(sweep.axes, variant.numbers, strict=True))
    finding = variant.finding
    if finding is None:
        return (*numbers, variant.verdict, "", "", "", "", "", "", *_costs(sweep, ""), variant.refused)
    lengths = (mm / float(INCH_MM) if inches else mm for mm in (variant.gap_mm, variant.weld_mm))
    mass = variant.mass_kg / float(POUND_KG) if inches else variant.mass_kg
    measures = (f"{number:.10g}" for number in (*lengths, mass))
    cost = _costs(sweep, "" if variant.cost is None else f"{variant.cost:.2f}")
    decided = (variant.verdict, f"{finding.ratio:.10g}", finding.check, finding.part.words)
    return (*numbers, *decided, *measures, *cost, "")


class AxisReport(Level, frozen=True, kw_only=True):
    """A number that runs."""

    key: Annotated[str, about("Its key in the job file.")]
    unit: Annotated[str, about("The unit of its numbers below.")]


class VariantReport(Level, frozen=True, kw_only=True):
    """One variant; null where it was refused."""

    numbers: Annotated[tuple[float, ...], about("Its number for each key.")]
    verdict: Annotated[
        Literal["ok", "caution", "stop", "refused"], about("The worst verdict of those that decide, or refused.")
    ]
    ratio: Annotated[float | None, about("Demand over capacity of the finding that decides.")]
    check: Annotated[str | None, about("Its check.")]
    part: Annotated[str | None, about("What it looks at.")]
    gap_mm: Annotated[float | None, about("Largest gap to expect between a notch and the rail.")]
    weld_mm: Annotated[float | None, about("Length of all weld runs.")]
    mass_kg: Annotated[float | None, about("Mass of all plates.")]
    cost: Annotated[float | None, about("What it costs by the shop's rates; null without any.")]
    refused: Annotated[str | None, about("Why it cannot be built.")]


class VariantsReport(Level, frozen=True, kw_only=True):
    """The variants of a job, what ran in the unit its key names, measures in mm and kg."""

    format: Annotated[Literal[1], about("Version of these keys.")]
    asked: Annotated[int, about("How many variants were asked for.")]
    keys: Annotated[tuple[AxisReport, ...], about("What ran.")]
    variants: Annotated[tuple[VariantReport, ...], about("Those that were judged.")]


def variants_report(sweep: Sweep, variants: Sequence[Variant]) -> VariantsReport:
    """The variants for programs that read JSON."""
    return VariantsReport(
        format=1,
        asked=len(sweep),
        keys=tuple(AxisReport(key=axis.key, unit=_plain_unit(axis, sweep.job.units)) for axis in sweep.axes),
        variants=tuple(_variant(sweep, variant) for variant in variants),
    )


def _variant(sweep: Sweep, variant: Variant) -> VariantReport:
    inches = sweep.job.units == "in"
    numbers = (float(_plain(a, n, inches)) for a, n in zip(sweep.axes, variant.numbers, strict=True))
    return mirrored(VariantReport, variant, variant.finding, numbers=tuple(numbers), refused=variant.refused or None)


def summary(variants: Iterable[Variant], asked: int) -> str:
    """How many there are of each verdict."""
    counts = dict.fromkeys(_COUNTED, 0)
    for variant in variants:
        counts[variant.verdict] += 1
    verdicts = ", ".join(f"{count} {verdict}" for verdict, count in counts.items() if count)
    return f"{sum(counts.values())} of {asked} variants: {verdicts or 'none judged'}"


def number_words(axis: Axis, number: float, show: Show) -> str:
    """A number that ran, in the job's notation."""
    return show.short(number) if axis.allowed.unit == "mm" else show.quantity(axis.allowed.quantity(number))


def _plain(axis: Axis, number: float, inches: bool) -> str:
    shown = axis.allowed.unit
    factor = float(INCH_MM) if shown == "mm" and inches else DEGREE_RAD if shown == "rad" else 1.0
    return f"{number / factor:.10g}"


def _plain_unit(axis: Axis, length: str) -> str:
    return {"mm": length, "rad": "deg"}.get(axis.allowed.unit, axis.allowed.unit)
