"""The inputs of a delivery as JSON, from which the same job is made again."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

import msgspec

from plategen.delivery.stamp import SHOWN
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.inputs import fingerprint
from plategen.rail.trace import Reading, Trace


def inputs_words(job: Job, traces: Sequence[Trace]) -> str:
    """``'inputs 3f9a12bc4d5e'``."""
    return f"inputs {fingerprint(job, traces)[:SHOWN]}"


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


def from_json(stored: Mapping[str, Any]) -> tuple[Job, tuple[Trace, ...]]:
    """The inputs that :func:`as_json` wrote.

    Raises:
        Refusal: They are not such inputs, or come from a version of the program with other keys.
    """
    try:
        job = msgspec.convert(stored["job"], Job)
        traces = tuple(
            Trace(
                file=trace["file"],
                plane_mm=trace["plane_mm"],
                readings=tuple(Reading(complex(u, v), line, note) for u, v, line, note in trace["readings"]),
                round_corner=trace["round_corner"],
                read_error_mm=trace["read_error_mm"],
                noted=tuple(complex(u, v) for u, v in trace.get("noted", ())),
            )
            for trace in stored["traces"]
        )
    except (msgspec.ValidationError, KeyError, TypeError, ValueError) as error:
        raise Refusal("does not hold the inputs of a delivery; make the job anew") from error
    return job, traces


def read_json(text: bytes) -> dict[str, Any]:
    """A JSON object from a file that another run wrote.

    Raises:
        Refusal: It is not one.
    """
    try:
        stored = json.loads(text)
    except ValueError as error:
        raise Refusal("is damaged; move it away and make the job anew") from error
    if not isinstance(stored, dict):
        raise Refusal("is damaged; move it away and make the job anew")
    return stored
