"""What differs between the inputs of two jobs: a message for each key and each trace."""

import math
from collections.abc import Iterator, Sequence
from typing import TypeAlias

from plategen.ground.message import Message, Quantity, Value, message, mm
from plategen.job.inputs import Input, counted, inputs_of
from plategen.job.job import Job
from plategen.rail.trace import Trace

SAME_MM = 1e-6
"""Readings nearer than this are one reading, written twice."""

Inputs: TypeAlias = tuple[Job, Sequence[Trace]]
"""A job with its traces."""


def input_changes(old: Inputs, new: Inputs) -> tuple[Message, ...]:
    """A message for each input that is another one now, what it was and what it is, and for each trace read anew."""
    before, after = inputs_of(old[0]), inputs_of(new[0])
    changes = []
    for key in sorted(before.keys() | after.keys()):
        was, now = before.get(key), after.get(key)
        if was is None or now is None or was.counted != now.counted:
            changes.append(message("{}: {} → {}", key, _value(was), _value(now)))
    return (*changes, *_trace_changes(old[1], new[1]))


def _value(given: Input | None) -> Value:
    if given is None:
        return "not there"
    if given.value is None:
        return "left to the rule"
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
    same_stations = len(was.readings) == len(now.readings) and all(
        math.isclose(a.point.real, b.point.real, abs_tol=SAME_MM) for a, b in pairs
    )
    if not same_stations:
        if [r.point for r in was.readings] != [r.point for r in now.readings]:
            yield message("{} readings → {}, at other stations", len(was.readings), len(now.readings))
        return
    moved = [(a.point.imag, b.point.imag, b.point.real) for a, b in pairs if abs(b.point - a.point) > SAME_MM]
    if moved:
        from_v, to_v, at = max(moved, key=lambda m: abs(m[1] - m[0]))
        yield message(
            "{} of {} readings moved, most at station {}: offset {} → {}",
            len(moved), len(pairs), mm(at), mm(from_v), mm(to_v),
        )  # fmt: skip
