"""A trace file's text as a table to type in: its rows as they are written, one changed, added or taken out.

Lines that are not touched stay as they are, notes and all; a row that cannot be read yet is shown as it stands.
"""

import csv
import io
from dataclasses import dataclass
from functools import lru_cache

from plategen.ground.refusal import Refusal
from plategen.rail.trace_columns import Columns, cells_of, columns_of, is_remark

EMPTY = "station,offset,note\n"
"""A trace that has no readings yet."""

MOST_ROWS = 400
"""More readings than these no hand has typed; they are fitted and drawn, but not laid out as a table."""

REMEMBERED = 8
"""Texts whose tables are remembered: every part of the page asks for those of the job's traces."""

MOST_CELL = 120
"""Signs of a cell."""


class Moved(Exception):
    """The row that was meant is another one by now; ``str()`` says which."""


@dataclass(frozen=True, slots=True)
class Row:
    """One reading as it is written: the line it stands on, from 1, and its cells."""

    line: int
    first: str
    second: str
    note: str


@dataclass(frozen=True, slots=True)
class TraceTable:
    """A trace file taken apart: what its two columns are called (station and offset, or u and v), and its readings."""

    names: tuple[str, str]
    rows: tuple[Row, ...]


@lru_cache(maxsize=REMEMBERED)
def read_table(text: str) -> TraceTable:
    """The rows of a trace file; columns other than its two numbers and the note are left alone."""
    head, columns = _columns(text)
    rows = []
    for number, line in enumerate(text.splitlines(), 1):
        if number <= head or is_remark(line):
            continue
        cells = _cells(line, columns.separator)
        first, second, note = (
            cells[i].strip() if i is not None and i < len(cells) else ""
            for i in (columns.first, columns.second, columns.note)
        )
        rows.append(Row(number, first, second, note))
    return TraceTable(columns.names, tuple(rows))


def set_row(text: str, line: int, first: str, second: str, note: str, was: tuple[str, str, str] | None = None) -> str:
    """The text with one row's cells changed: station or u, offset or v, and the note beside it.

    ``line`` counts from 1; ``was`` is what the row is believed to hold, None if that does not matter.

    Raises:
        Moved: There is no such row, or it holds something else by now.
        Refusal: A cell is no single short line.
    """
    (_, columns), row = _columns(text), _row(text, line, was)
    lines = text.splitlines(keepends=True)
    cells = _cells(lines[row.line - 1], columns.separator)
    lines[row.line - 1] = _written(columns, cells, first, second, note) + _ending(lines[row.line - 1], text)
    return "".join(lines)


def add_row(text: str, first: str, second: str, note: str = "", *, below: int | None = None) -> str:
    """The text with one more row: at its end, or below a line, as a second reading of a station stands.

    Raises:
        Refusal: A cell is no single short line.
    """
    if not text.strip():
        text = EMPTY
    head, columns = _columns(text)
    fresh = _written(columns, [], first, second, note) + _ending("", text)
    lines = text.splitlines(keepends=True)
    at = len(lines) if below is None else min(max(below, head), len(lines))
    if at and not lines[at - 1].endswith(("\n", "\r")):
        lines[at - 1] += _ending("", text)
    return "".join([*lines[:at], fresh, *lines[at:]])


def remove_row(text: str, line: int, was: tuple[str, str, str] | None = None) -> str:
    """The text without one row.

    Raises:
        Moved: There is no such row, or it holds something else by now.
    """
    row = _row(text, line, was)
    lines = text.splitlines(keepends=True)
    return "".join(lines[: row.line - 1] + lines[row.line :])


def clear_rows(text: str) -> str:
    """The text with its notes at the top and its column names, and no reading."""
    table = read_table(text)
    gone = {row.line for row in table.rows}
    kept = [line for number, line in enumerate(text.splitlines(keepends=True), 1) if number not in gone]
    return "".join(kept) if text.strip() else EMPTY


_NONE = Columns(",", ("station", "offset"), 0, 1, None, 2, 3)
"""Of a text that names no columns yet."""


def _columns(text: str) -> tuple[int, Columns]:
    """The line that names the columns, from 1, and what it names; 0 where no line does."""
    for number, line in enumerate(text.splitlines(), 1):
        if not is_remark(line):
            try:
                return number, columns_of(line)
            except Refusal:
                break
    return 0, _NONE


def _row(text: str, line: int, was: tuple[str, str, str] | None) -> Row:
    row = next((row for row in read_table(text).rows if row.line == line), None)
    if row is None or (was is not None and was != (row.first, row.second, row.note)):
        raise Moved(f"line {line}: this reading was changed or moved meanwhile; look at the table again")
    return row


def _written(columns: Columns, cells: list[str], first: str, second: str, note: str) -> str:
    for cell in (first, second, note):
        if len(cell) > MOST_CELL or not cell.isprintable():
            raise Refusal(f"no single line of at most {MOST_CELL} signs; shorten it", "the reading")
    if note.strip() and columns.note is None:
        raise Refusal("this trace has no column for notes; add `note` to its first line in an editor", "the reading")
    cells = cells + [""] * (columns.width - len(cells))
    cells[columns.first], cells[columns.second] = first.strip(), second.strip()
    if columns.note is not None:
        cells[columns.note] = note.strip()
    least = 1 + max(columns.first, columns.second, columns.note or 0)
    while len(cells) > least and not cells[-1].strip():
        cells.pop()
    written = io.StringIO()
    csv.writer(written, delimiter=columns.separator, lineterminator="").writerow([cell.strip() for cell in cells])
    line = written.getvalue()
    return f'"{first.strip()}"' + line[len(first.strip()) :] if line.startswith("#") else line


def _cells(line: str, separator: str) -> list[str]:
    try:
        return cells_of(line.rstrip("\r\n"), separator)
    except Refusal:
        return line.rstrip("\r\n").split(separator)


def _ending(line: str, text: str) -> str:
    """The line's own ending, or the one that the file uses."""
    for ending in ("\r\n", "\n", "\r"):
        if line.endswith(ending):
            return ending
    return "\r\n" if "\r\n" in text else "\n"
