"""What a job is made from, as a list of keys, as a fingerprint, and as what differs from another job.

Only what shapes the bracket counts. The title, the shop's rates and its steel, what the paper shows besides, the units
a number was written in, the names of files, notes beside readings and the order of anything are left out, so
re-formatting or re-naming a job is no revision of it. The job's units count only where a size is left to a rule: rules
choose the next shop size, 1/8 in or 1 mm.
"""

import hashlib
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeAlias

from plategen.ground.message import Message, Quantity, Value, message, mm
from plategen.job.job import Job
from plategen.job.quantities import ByRule, Table
from plategen.job.schema import fields
from plategen.rail.trace import Trace

FIGURES = 9
"""Significant figures that count: an inch dimension and its millimetres agree in far more, no tool holds as many."""

_NO_INPUT = {"title", "units", "revision", "file", "front", "shop", "paper"}
_UNITS = {"mm": "mm", "mpa": "MPa", "rad": "rad", "n": "N", "lpm": "L/min", "nmm": "N·mm", "mm3": "mm3", "kg": "kg"}


@dataclass(frozen=True, slots=True)
class Input:
    """One value of a job."""

    key: str  # Its dotted key as the file writes it.
    value: object  # The value computed with.
    unit: str  # That value's unit.
    said: str  # The key in words: ``"steering, bar 2, first end, forward"``.
    by_rule: ByRule | None = None  # When a rule chooses it in the job's units where it is left out.

    def chosen_by_rule(self, *, at_corner: bool) -> bool:
        """Whether a rule chooses it, on a rail that is traced round its corner or along one face."""
        chosen = self.value is None or self.value is True
        return chosen and self.by_rule is not None and (at_corner or not self.by_rule.at_corner)


def inputs_of(job: Job) -> dict[str, Input]:
    """Every value of a job that shapes the bracket, by key; traces by their planes, whatever their order."""
    return {given.key: given for given in _walk(job, "", "", "")}


def fingerprint(job: Job, traces: Sequence[Trace]) -> str:
    """SHA-256, in hex, over the values of a job and the points of its traces, all in the computed units."""
    at_corner = any(trace.round_corner for trace in traces)
    lines = sorted(
        f"{given.key}=next size in {job.units}"
        if given.chosen_by_rule(at_corner=at_corner)
        else f"{given.key}={counted(given.value)}"
        for given in inputs_of(job).values()
    )
    for trace in sorted(traces, key=lambda t: t.plane_mm):
        read = [(r.point, r.mark) for r in trace.readings] + [(p, "") for p in trace.noted]
        points = sorted((counted(p.real), counted(p.imag), *([mark] if mark else ())) for p, mark in read)
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


_WAYS = ("forward", "to the left", "up")
"""The three numbers of a place or a direction in the vehicle frame."""

_SAID = {"from": "first end", "to": "other end"}
"""Keys that are no words of their own."""


def _walk(table: Any, prefix: str, said: str, unit: str, by_rule: ByRule | None = None) -> Iterator[Input]:
    """The values below a table, a row of tables, or a plain value."""
    if isinstance(table, Table):
        for field in fields(type(table)):
            if field.key not in _NO_INPUT:
                name = f"{prefix}.{field.key}" if prefix else field.key
                unit = _UNITS.get(field.name.rpartition("_")[2], "1")
                words = ", ".join(filter(None, (said, _SAID.get(field.key, field.label))))
                yield from _walk(getattr(table, field.name), name, words, unit, field.by_rule)
    elif isinstance(table, tuple):
        of_tables = any(isinstance(item, Table) for item in table)
        items = sorted(table, key=lambda item: (getattr(item, "plane_mm", 0.0), repr(item))) if of_tables else table
        for number, item in enumerate(items, 1):
            words = (
                f"{said}, {_WAYS[number - 1]}" if len(items) == 3 and isinstance(item, float) else f"{said} {number}"
            )
            yield from _walk(item, f"{prefix} {number}", words, "" if of_tables else unit)
    else:
        yield Input(prefix, table, unit, said, by_rule)


SAME_MM = 1e-6
"""Readings nearer than this are one reading, written twice."""

Inputs: TypeAlias = tuple[Job, Sequence[Trace]]
"""A job with its traces."""


def input_changes(old: Inputs, new: Inputs) -> tuple[Message, ...]:
    """A message for each input that is another one now, what it was and what it is, and for each trace read anew."""
    before, after = inputs_of(old[0]), inputs_of(new[0])
    changes: list[Message] = []
    for key in sorted(before.keys() | after.keys()):
        was, now = before.get(key), after.get(key)
        if counted(_written(was)) != counted(_written(now)):  # left out is as good as not there
            said = next(given.said for given in (now, was) if given)
            changes += _changes_of(said, was, now)
    return (*changes, *_trace_changes(old[1], new[1]))


def _changes_of(said: str, was: Input | None, now: Input | None) -> Iterator[Message]:
    """What changed at one key; of points by their names, each number of a point."""
    before, after = (given.value if given is not None else None for given in (was, now))
    if not isinstance(before, Mapping) and not isinstance(after, Mapping):
        yield message("{}: was {}, now {}", said, _value(was), _value(now))
        return
    old, new = (points if isinstance(points, Mapping) else {} for points in (before, after))
    for name in sorted(old.keys() | new.keys()):
        for way, *ends in zip(_WAYS, old.get(name, (None,) * 3), new.get(name, (None,) * 3), strict=True):
            if counted(ends[0]) != counted(ends[1]):
                shown = ("left out" if end is None else mm(end) for end in ends)
                yield message("{}, {}, {}: was {}, now {}", said, name, way, *shown)


def _written(given: Input | None) -> object:
    """What is written there; None where it is left out, as no name is."""
    return None if given is None or given.value == "" else given.value


def _value(given: Input | None) -> Value:
    if given is None or _written(given) is None:
        return "left to the rule" if given is not None and given.by_rule is not None else "left out"
    if isinstance(given.value, bool):
        return str(given.value).lower()
    return Quantity(given.value, given.unit) if isinstance(given.value, float) else str(given.value)


def _trace_changes(old: Sequence[Trace], new: Sequence[Trace]) -> Iterator[Message]:
    before, after = ({counted(t.plane_mm): t for t in traces} for traces in (old, new))
    for plane in sorted(before.keys() | after.keys(), key=float):
        was, now = before.get(plane), after.get(plane)
        at = message("trace at plane {}", mm(float(plane)))
        if now is None:
            yield message("{}: left out", at)
        elif was is None:
            yield message("{}: new, {} readings", at, len(now.readings))
        else:
            yield from (message("{}: {}", at, change) for change in _reading_changes(was, now))
            if counted(was.read_error_mm) != counted(now.read_error_mm):
                yield message("{}: another reading error", at)


def _reading_changes(was: Trace, now: Trace) -> Iterator[Message]:
    pairs = list(zip(was.readings, now.readings, strict=False))
    near = all(math.isclose(a.point.real, b.point.real, abs_tol=SAME_MM) for a, b in pairs)
    if not near or len(was.readings) != len(now.readings):
        if [r.point for r in was.readings] != [r.point for r in now.readings]:
            yield message("{} readings → {}, at other stations", len(was.readings), len(now.readings))
        return
    moved = [(a.point.imag, b.point.imag, b.point.real) for a, b in pairs if abs(b.point - a.point) > SAME_MM]
    if [r.mark for r in was.readings] != [r.mark for r in now.readings]:
        yield message("other marks beside its readings")
    if moved:
        from_v, to_v, at = max(moved, key=lambda m: abs(m[1] - m[0]))
        yield message(
            "{} of {} readings moved, most at station {}: offset {} → {}",
            len(moved), len(pairs), mm(at), mm(from_v), mm(to_v),
        )  # fmt: skip
