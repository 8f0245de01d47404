"""Every check as tables of words, a table for each subject, read off the registry."""

from plategen.checks.finding import Check
from plategen.checks.judge import every_check
from plategen.tell.table import Block, Row

HEADING = ("check", "needs", "compares", "at worst", "rule")
"""Heads of a subject's columns."""

_LIMITS = {"strength": "against a strength", "at least": "against a least value", "at most": "against a greatest value"}


def check_tables() -> tuple[Block, ...]:
    """A table of checks for each subject, in the registry's order."""
    subjects: dict[str, list[Row]] = {}
    for check in every_check():
        subjects.setdefault(check.subject, []).append(_row(check))
    return tuple(Block(subject, HEADING, tuple(rows)) for subject, rows in subjects.items())


def _row(check: Check) -> Row:
    worst = "second opinion" if check.opinion else check.most
    unit = "a share" if check.unit == "1" else check.unit
    return check.name, check.needs, f"{unit} {_LIMITS[check.limit]}", worst, check.sources
