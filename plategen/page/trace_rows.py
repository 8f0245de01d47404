"""The traces of a draft as tables to type in, and the points that can be read of them so far."""

import contextlib
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from plategen.ground.quantity import LENGTH
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.page.draft import Draft, named_files, plain
from plategen.page.trace_edit import MOST_ROWS, Row, add_row, read_table
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
        station = next_station([row.first for row in rows], unit)
        yield TraceRows(name, table.names, rows, unit, station, long, draft.unread.get(name, ""))


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


def next_station(stations: Sequence[str], unit: Units) -> str:
    """The last station and the step before it, once more; "" where that cannot be told."""
    if len(stations) < 2:
        return ""
    try:
        last, before = (LENGTH.read(stations[k], unit) for k in (-1, -2))
    except Refusal:
        return ""
    return Show(unit).short(2 * last - before).removesuffix(".0") if last > before else ""


def with_rows(text: str, unit: Units, rows: Iterable[tuple[str, str, str]]) -> str:
    """The text of a trace with more readings, those without a station at the next one.

    Raises:
        Refusal: A next station cannot be told, or a cell is no single short line.
    """
    stations = [row.first for row in read_table(text).rows]
    for first, second, note in rows:
        station = first.strip() or next_station(stations, unit)
        if not station:
            raise Refusal(f"no station stands beside {second}, and none follows from those above; copy both columns")
        text = add_row(text, station, second, note)
        stations.append(station)
    return text
