"""What a job is made from, as a list of keys and as a fingerprint.

Only what shapes the bracket counts. The title, the units a number was written in, the names of files, notes beside
readings and the order of anything are left out, so re-formatting or re-naming a job is no revision of it. The job's
units count only where a size is left to a rule: rules choose the next shop size, 1/8 in or 1 mm.
"""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from plategen.job.job import Job
from plategen.job.quantities import ByRule, Table
from plategen.job.schema import fields
from plategen.rail.trace import Trace

FIGURES = 9
"""Significant figures that count: an inch dimension and its millimetres agree in far more, no tool holds as many."""

_NO_INPUT = {"title", "units", "revision", "file"}
_UNITS = {"mm": "mm", "mpa": "MPa", "rad": "rad", "n": "N", "lpm": "L/min", "nmm": "N·mm", "mm3": "mm3", "kg": "kg"}


@dataclass(frozen=True, slots=True)
class Input:
    """One value of a job.

    Args:
        key: Its dotted key as the file writes it.
        value: The value computed with.
        unit: That value's unit.
        by_rule: When a rule chooses it in the job's units where it is left out.
    """

    key: str
    value: object
    unit: str
    by_rule: ByRule | None = None

    def chosen_by_rule(self, *, at_corner: bool) -> bool:
        """Whether a rule chooses it, on a rail that is traced round its corner or along one face."""
        chosen = self.value is None or self.value is True
        return chosen and self.by_rule is not None and (at_corner or not self.by_rule.at_corner)

    @property
    def counted(self) -> str:
        """The value in the figures that count."""
        return counted(self.value)


def inputs_of(job: Job) -> dict[str, Input]:
    """Every value of a job that shapes the bracket, by key; traces by their planes, whatever their order."""
    return {given.key: given for given in _walk(job, "", "")}


def fingerprint(job: Job, traces: Sequence[Trace]) -> str:
    """SHA-256, in hex, over the values of a job and the points of its traces, all in the computed units."""
    at_corner = any(trace.round_corner for trace in traces)
    lines = sorted(
        f"{given.key}=next size in {job.units}"
        if given.chosen_by_rule(at_corner=at_corner)
        else f"{given.key}={given.counted}"
        for given in inputs_of(job).values()
    )
    for trace in sorted(traces, key=lambda t: t.plane_mm):
        points = sorted((counted(p.real), counted(p.imag)) for p in (*(r.point for r in trace.readings), *trace.noted))
        lines.append(f"trace {counted(trace.plane_mm)} {counted(trace.read_error_mm)}: {points}")
    return hashlib.sha256("\n".join(lines).encode()).hexdigest()


def counted(value: object) -> str:
    """A value in the figures that count; minus zero is zero.

    >>> counted(25.4), counted(25.400000000001), counted(-0.0), counted("A36")
    ('25.4', '25.4', '0', 'A36')
    """
    if isinstance(value, float):
        return f"{value if abs(value) > 1e-9 else 0.0:.{FIGURES}g}"
    return str(value)


def _walk(table: Any, prefix: str, unit: str, by_rule: ByRule | None = None) -> Iterator[Input]:
    """The values below a table, a row of tables, or a plain value."""
    if isinstance(table, Table):
        for field in fields(type(table)):
            if field.key not in _NO_INPUT:
                name = f"{prefix}.{field.key}" if prefix else field.key
                yield from _walk(getattr(table, field.name), name, _unit_of(field.name), field.by_rule)
    elif isinstance(table, tuple):
        of_tables = any(isinstance(item, Table) for item in table)
        items = sorted(table, key=lambda item: (getattr(item, "plane_mm", 0.0), repr(item))) if of_tables else table
        for number, item in enumerate(items, 1):
            yield from _walk(item, f"{prefix} {number}", "" if of_tables else unit)
    else:
        yield Input(prefix, table, unit, by_rule)


def _unit_of(field: str) -> str:
    return _UNITS.get(field.rpartition("_")[2], "1") if "_" in field else "1"
