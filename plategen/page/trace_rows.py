"""The traces of a draft as tables to type in, and the points that can be read of them so far."""

import contextlib
from collections.abc import Iterator
from dataclasses import dataclass

from plategen.ground.quantity import LENGTH
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.page.draft import Draft, named_files, plain
from plategen.page.trace_edit import MOST_ROWS, Row, read_table
from plategen.rail.trace_columns import units_in_file


def units_of(draft: Draft) -> Units:
    """The units of a draft; inches while it says none."""
    return "mm" if plain(draft.job).get("units") == "mm" else "in"


@dataclass(frozen=True, slots=True)
class TraceRows:
    """A trace as a table to type in."""

    file: str
    names: tuple[str, str]  # Of its two columns.
    rows: tuple[Row, ...]
    unit: Units  # Of a bare number.
    next_station: str  # Where the next reading is likely to be taken, "" if that cannot be told.
    too_long: bool  # To be laid out.
    unread: str = ""  # Why it is there and cannot be read, "" if it can.


def traces_of(draft: Draft) -> Iterator[TraceRows]:
    """The traces that a draft names, as tables."""
    revision = plain(draft.job).get("revision")
    for name in named_files(draft.job):
        if isinstance(revision, dict) and revision.get("notes") == name:
            continue
        text = draft.files.get(name, "")
        table, unit = read_table(text), units_in_file(text, units_of(draft))
        long = len(table.rows) > MOST_ROWS
        rows = () if long else table.rows
        yield TraceRows(name, table.names, rows, unit, _next(rows, unit), long, draft.unread.get(name, ""))


def typed_points(draft: Draft, file: str) -> tuple[complex, ...]:
    """The readings of a trace that can be read so far, of the first trace that has any if none is named."""
    for trace in traces_of(draft):
        if file in ("", trace.file) and (points := tuple(_points(trace))):
            return points
    return ()


def _points(trace: TraceRows) -> Iterator[complex]:
    for row in trace.rows:
        with contextlib.suppress(Refusal):
            yield complex(LENGTH.read(row.first, trace.unit), LENGTH.read(row.second, trace.unit))


def _next(rows: tuple[Row, ...], unit: Units) -> str:
    """The last station and the step before it, once more."""
    if len(rows) < 2:
        return ""
    try:
        last, before = (LENGTH.read(row.first, unit) for row in (rows[-1], rows[-2]))
    except Refusal:
        return ""
    return Show(unit).short(2 * last - before).removesuffix(".0") if last > before else ""
