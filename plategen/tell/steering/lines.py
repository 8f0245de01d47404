"""The study as plain text for the command line: its tables one after another, then what was judged."""

from collections.abc import Iterable

from plategen.checks.finding import Finding, Verdict
from plategen.checks.steering import findings
from plategen.ground.show import Show
from plategen.steering.study import SteeringStudy
from plategen.tell.steering.block import Block, Row, told
from plategen.tell.steering.words import blocks

_ORDER: dict[Verdict, int] = {"stop": 0, "caution": 1, "ok": 2}


def steer_lines(study: SteeringStudy, show: Show) -> list[str]:
    """Every table of the study, in the job's units."""
    lines = [study.title]
    for block in blocks(study, show):
        lines += ["", block.title, *_columns(block)]
    judged = sorted(findings(study), key=lambda f: (_ORDER[f.verdict], -f.ratio))
    lines += ["", "Judged", *_columns(judged_block(judged, show))]
    return lines + [f"{f.verdict.upper()}: {cure}" for f, cure in cures(judged, show)]


def cures(judged: Iterable[Finding], show: Show) -> list[tuple[Finding, str]]:
    """What failed, with the check, the part and what would cure it in words."""
    return [(f, f"{f.check}, {f.part}: {told(show, f.cure)}") for f in judged if f.verdict != "ok" and f.cure]


def judged_block(judged: Iterable[Finding], show: Show) -> Block:
    """Findings as a table, in the order given."""
    rows = tuple(
        (
            f.verdict if f.verdict == "ok" else f.verdict.upper(),
            f.check,
            f.part,
            _value(show, f.demand, f.unit),
            _value(show, f.capacity, f.unit),
            f.source,
        )
        for f in judged
    )
    return Block("Judged", ("", "check", "part", "asked", "there is", "rule"), rows)


def _value(show: Show, value: float, unit: str) -> str:
    """A finding's number; a hair of a degree is nothing, not a row of zeros."""
    return show.finding(0.0 if unit == "deg" and abs(value) < 5e-3 else value, unit)


def _columns(block: Block) -> list[str]:
    """A table set in columns of their own width, two spaces apart."""
    rows: list[Row] = [block.heading] if block.heading else []
    rows += block.rows
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return ["  " + "  ".join(cell.ljust(w) for cell, w in zip(row, widths, strict=True)).rstrip() for row in rows]
