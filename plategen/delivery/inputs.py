"""What a job was made from: told as a list of keys, as a fingerprint, as JSON, and as what differs from another.

Only what shapes the bracket counts. The title, the units a number was written in, the names of files, notes beside
readings and the order of anything are left out, so re-formatting or re-naming a job is no revision of it. The job's
units count only where a size is left to a rule: rules choose the next shop size, 1/8 in or 1 mm.
"""

import hashlib
import json
import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import msgspec

from plategen.delivery.stamp import SHOWN
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job import Job
from plategen.rail.trace import Reading, Trace

FIGURES = 9
"""Significant figures that count: an inch dimension and its millimetres agree in far more, no tool holds as many."""

SAME_MM = 1e-6
"""Readings nearer than this are one reading, written twice."""

RULED = {
    "mount.foot",
    "bracket.nose_radius",
    "bracket.toe",
    "closing.back_inset",
    "closing.bottom_inset",
    "closing.tab",
}
"""Sizes that a rule chooses where they are left out, and at a rail's corner the relief as well."""

_UNTOLD = {"title", "units", "revision", "file"}
_UNITS = {"mm": "mm", "mpa": "MPa", "rad": "rad", "n": "N", "lpm": "L/min", "nmm": "N·mm", "mm3": "mm3", "kg": "kg"}


@dataclass(frozen=True, slots=True)
class Input:
    """One value of a job: its dotted key as the file writes it, the value computed with, and that value's unit."""

    key: str
    value: object
    unit: str

    @property
    def told(self) -> str:
        """The value as the fingerprint takes it."""
        return _told(self.value)

    def shown(self, show: Show) -> str:
        """The value as people read it."""
        if self.value is None:
            return "left to the rule"
        return show.finding(self.value, self.unit) if isinstance(self.value, float) else str(self.value)


def inputs_of(job: Job) -> dict[str, Input]:
    """Every value of a job that shapes the bracket, by key; traces by their planes, whatever their order."""
    return {given.key: given for given in _walk(job, "", "")}


def fingerprint(job: Job, traces: Sequence[Trace]) -> str:
    """SHA-256, in hex, over the values of a job and the points of its traces, all in the computed units."""
    ruled = RULED | ({"bracket.relief"} if any(trace.round_corner for trace in traces) else set())
    told = sorted(
        f"{given.key}=next size in {job.units}"
        if given.value is None and given.key in ruled
        else f"{given.key}={given.told}"
        for given in inputs_of(job).values()
    )
    for trace in sorted(traces, key=lambda t: t.plane_mm):
        points = sorted((_told(p.real), _told(p.imag)) for p in (*(r.point for r in trace.readings), *trace.noted))
        told.append(f"trace {_told(trace.plane_mm)} {_told(trace.read_error_mm)}: {points}")
    return hashlib.sha256("\n".join(told).encode()).hexdigest()


def inputs_words(job: Job, traces: Sequence[Trace]) -> str:
    """``'inputs 3f9a12bc4d5e'``."""
    return f"inputs {fingerprint(job, traces)[:SHOWN]}"


def differences(old: tuple[Job, Sequence[Trace]], new: tuple[Job, Sequence[Trace]], show: Show) -> tuple[str, ...]:
    """A line for each input that is another one now: key, what it was and what it is."""
    before, after = inputs_of(old[0]), inputs_of(new[0])
    lines = []
    for key in sorted(before.keys() | after.keys()):
        was, now = before.get(key), after.get(key)
        if was is None or now is None:
            lines.append(
                f"{key}: {'not there' if was is None else was.shown(show)} → "
                f"{'not there' if now is None else now.shown(show)}"
            )
        elif was.told != now.told:
            lines.append(f"{key}: {was.shown(show)} → {now.shown(show)}")
    return (*lines, *_trace_differences(old[1], new[1], show))


def as_json(job: Job, traces: Sequence[Trace]) -> dict[str, Any]:
    """The inputs as plain values (mm, MPa, rad), from which :func:`from_json` makes the same job again."""
    return {
        "job": msgspec.to_builtins(job),
        "traces": [
            {
                "file": trace.file,
                "plane_mm": trace.plane_mm,
                "round_corner": trace.round_corner,
                "read_error_mm": trace.read_error_mm,
                "readings": [[r.point.real, r.point.imag, r.line, r.note] for r in trace.readings],
                "noted": [[p.real, p.imag] for p in trace.noted],
            }
            for trace in traces
        ],
    }


def from_json(told: Mapping[str, Any]) -> tuple[Job, tuple[Trace, ...]]:
    """The inputs that :func:`as_json` told.

    Raises:
        Refusal: They are not such inputs, or come from a version of the program with other keys.
    """
    try:
        job = msgspec.convert(told["job"], Job)
        traces = tuple(
            Trace(
                file=trace["file"],
                plane_mm=trace["plane_mm"],
                readings=tuple(Reading(complex(u, v), line, note) for u, v, line, note in trace["readings"]),
                round_corner=trace["round_corner"],
                read_error_mm=trace["read_error_mm"],
                noted=tuple(complex(u, v) for u, v in trace.get("noted", ())),
            )
            for trace in told["traces"]
        )
    except (msgspec.ValidationError, KeyError, TypeError, ValueError) as error:
        raise Refusal("does not hold the inputs of a delivery; make the job anew") from error
    return job, traces


def _walk(table: Any, prefix: str, unit: str) -> Iterator[Input]:
    """The values below a table, a row of tables, or a plain value."""
    if isinstance(table, msgspec.Struct):
        for field in msgspec.structs.fields(table):
            if field.encode_name not in _UNTOLD:
                name = f"{prefix}.{field.encode_name}" if prefix else field.encode_name
                yield from _walk(getattr(table, field.name), name, _unit_of(field.name))
    elif isinstance(table, tuple) and any(isinstance(item, msgspec.Struct) for item in table):
        items = sorted(table, key=lambda item: (getattr(item, "plane_mm", 0.0), repr(item)))
        for number, item in enumerate(items, 1):
            yield from _walk(item, f"{prefix} {number}", unit)
    elif isinstance(table, tuple):
        for number, item in enumerate(table, 1):
            yield from _walk(item, f"{prefix} {number}", unit)
    else:
        yield Input(prefix, table, unit)


def _unit_of(field: str) -> str:
    return _UNITS.get(field.rpartition("_")[2], "1") if "_" in field else "1"


def _told(value: object) -> str:
    """A value in the figures that count; minus zero is zero."""
    if isinstance(value, float):
        return f"{value if abs(value) > 1e-9 else 0.0:.{FIGURES}g}"
    return str(value)


def _trace_differences(old: Sequence[Trace], new: Sequence[Trace], show: Show) -> Iterator[str]:
    before, after = ({_told(t.plane_mm): t for t in traces} for traces in (old, new))
    for plane in sorted(before.keys() | after.keys(), key=float):
        was, now = before.get(plane), after.get(plane)
        at = f"trace at plane {show.length(float(plane))}"
        if now is None:
            yield f"{at}: left out"
        elif was is None:
            yield f"{at}: new, {len(now.readings)} readings"
        else:
            yield from (f"{at}: {line}" for line in _reading_differences(was, now, show))
            if _told(was.read_error_mm) != _told(now.read_error_mm):
                yield f"{at}: another reading error"


def _reading_differences(was: Trace, now: Trace, show: Show) -> Iterator[str]:
    pairs = list(zip(was.readings, now.readings, strict=False))
    same_stations = len(was.readings) == len(now.readings) and all(
        math.isclose(a.point.real, b.point.real, abs_tol=SAME_MM) for a, b in pairs
    )
    if not same_stations:
        if [r.point for r in was.readings] != [r.point for r in now.readings]:
            yield f"{len(was.readings)} readings → {len(now.readings)}, at other stations"
        return
    moved = [(a.point.imag, b.point.imag, b.point.real) for a, b in pairs if abs(b.point - a.point) > SAME_MM]
    if moved:
        from_v, to_v, at = max(moved, key=lambda m: abs(m[1] - m[0]))
        yield (
            f"{len(moved)} of {len(pairs)} readings moved, most at station {show.short(at)}: "
            f"offset {show.length(from_v)} → {show.length(to_v)}"
        )


def read_json(text: bytes) -> dict[str, Any]:
    """A JSON object from a file that another run wrote.

    Raises:
        Refusal: It is not one.
    """
    try:
        told = json.loads(text)
    except ValueError as error:
        raise Refusal("is damaged; move it away and make the job anew") from error
    if not isinstance(told, dict):
        raise Refusal("is damaged; move it away and make the job anew")
    return told
