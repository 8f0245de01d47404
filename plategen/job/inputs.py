"""What a job is made from, as a list of keys and as a fingerprint.

Only what shapes the bracket counts. The title, the units a number was written in, the names of files, notes beside
readings and the order of anything are left out, so re-formatting or re-naming a job is no revision of it. The job's
units count only where a size is left to a rule: rules choose the next shop size, 1/8 in or 1 mm.
"""

import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import msgspec

from plategen.job.job import Job
from plategen.rail.trace import Trace

FIGURES = 9
"""Significant figures that count: an inch dimension and its millimetres agree in far more, no tool holds as many."""

RULED = {
    "mount.foot",
    "bracket.nose_radius",
    "bracket.toe",
    "closing.back_inset",
    "closing.bottom_inset",
    "closing.tab",
}
"""Sizes that a rule chooses where they are left out, and at a rail's corner the relief as well."""

_NO_INPUT = {"title", "units", "revision", "file"}
_UNITS = {"mm": "mm", "mpa": "MPa", "rad": "rad", "n": "N", "lpm": "L/min", "nmm": "N·mm", "mm3": "mm3", "kg": "kg"}


@dataclass(frozen=True, slots=True)
class Input:
    """One value of a job: its dotted key as the file writes it, the value computed with, and that value's unit."""

    key: str
    value: object
    unit: str

    @property
    def counted(self) -> str:
        """The value in the figures that count."""
        return counted(self.value)


def inputs_of(job: Job) -> dict[str, Input]:
    """Every value of a job that shapes the bracket, by key; traces by their planes, whatever their order."""
    return {given.key: given for given in _walk(job, "", "")}


def fingerprint(job: Job, traces: Sequence[Trace]) -> str:
    """SHA-256, in hex, over the values of a job and the points of its traces, all in the computed units."""
    ruled = RULED | ({"bracket.relief"} if any(trace.round_corner for trace in traces) else set())
    lines = sorted(
        f"{given.key}=next size in {job.units}"
        if given.value is None and given.key in ruled
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


def _walk(table: Any, prefix: str, unit: str) -> Iterator[Input]:
    """The values below a table, a row of tables, or a plain value."""
    if isinstance(table, msgspec.Struct):
        for field in msgspec.structs.fields(table):
            if field.encode_name not in _NO_INPUT:
                name = f"{prefix}.{field.encode_name}" if prefix else field.encode_name
                yield from _walk(getattr(table, field.name), name, _unit_of(field.name))
    elif isinstance(table, tuple):
        of_tables = any(isinstance(item, msgspec.Struct) for item in table)
        items = sorted(table, key=lambda item: (getattr(item, "plane_mm", 0.0), repr(item))) if of_tables else table
        for number, item in enumerate(items, 1):
            yield from _walk(item, f"{prefix} {number}", "" if of_tables else unit)
    else:
        yield Input(prefix, table, unit)


def _unit_of(field: str) -> str:
    return _UNITS.get(field.rpartition("_")[2], "1") if "_" in field else "1"
