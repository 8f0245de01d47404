"""A file of fit notes as a table to type in: its rows as they are written, one changed, added or taken out.

Lines that are not touched stay as they are. What a note is of, its plate and how that was held, is chosen for several
at once; the station, the gap and a remark are typed.
"""

import csv
import io
from collections.abc import Mapping
from dataclasses import dataclass, replace

from plategen.ground.refusal import Refusal
from plategen.job.fit_notes import NOTE_COLUMNS
from plategen.job.toml_edit import held_at, remove, set_value
from plategen.page.draft import Draft, plain
from plategen.page.request import AddReading, RemoveReading, SetReading
from plategen.page.trace_edit import MOST_CELL, Moved
from plategen.rail.trace_columns import cells_of, is_remark, separator_of

NOTES_FILE = "fit_notes.csv"
"""What the file is called where the job names none yet."""

EMPTY = ",".join(NOTE_COLUMNS) + "\n"
"""A file without notes."""

TYPED = ("station", "gap", "note")
"""The columns that are typed row by row."""

CHOSEN = ("plate", "round", "held", "pin_off")
"""Those that are chosen for several rows."""


@dataclass(frozen=True, slots=True)
class NoteRow:
    """One note as it is written: the line it stands on, from 1, and its cells by their columns."""

    line: int
    cells: Mapping[str, str]

    @property
    def typed(self) -> tuple[str, str, str]:
        """Station, gap and remark."""
        station, gap, note = (self.cells.get(name, "") for name in TYPED)
        return station, gap, note

    @property
    def round(self) -> str:
        """Which time plates were held up, as written; 1 where nothing is."""
        return self.cells.get("round", "") or "1"

    @property
    def held(self) -> str:
        """How the plate was held, as written."""
        return self.cells.get("held", "").lower()


def notes_file(draft: Draft) -> str:
    """The name of the draft's file of fit notes."""
    named = held_at(plain(draft.job), ("revision", "notes"))
    return named if isinstance(named, str) and named.strip() else NOTES_FILE


def read_notes(text: str) -> tuple[NoteRow, ...]:
    """The notes of a file, whatever they say."""
    head, separator, names = _head(text)
    return tuple(
        NoteRow(number, dict(zip(names, _cells(line, separator), strict=False)))
        for number, line in enumerate(text.splitlines(), 1)
        if number > head and not is_remark(line)
    )


def noted(draft: Draft, edit: AddReading | SetReading | RemoveReading) -> Draft:
    """The draft with a note added, changed or taken out; the job names its file as long as that holds notes.

    Raises:
        Moved: There is no such note, or it says something else by now.
        Refusal: A cell is no single short line, or the file cannot be read.
    """
    file = edit.file
    text = draft.text_of(file) if file in draft.unread else draft.files.get(file, EMPTY)
    if isinstance(edit, AddReading):
        cells = {**dict(zip(TYPED, edit.cells, strict=True)), **{k: v for k, v in edit.of.items() if k in CHOSEN}}
        text = _added(text, cells)
    else:
        row = next((row for row in read_notes(text) if row.line == edit.line), None)
        if row is None or (edit.was is not None and edit.was != row.typed):
            raise Moved(f"line {edit.line}: this note was changed or moved meanwhile; look at the table again")
        lines = text.splitlines(keepends=True)
        if isinstance(edit, RemoveReading):
            del lines[row.line - 1]
            text = "".join(lines)
        else:
            text = _set(text, row, dict(zip(TYPED, edit.cells, strict=True)))
    draft = draft.with_file(file, text)
    if not read_notes(text):
        return replace(draft, job=remove(draft.job, ("revision", "notes")))
    return replace(draft, job=set_value(draft.job, ("revision", "notes"), file))


def _added(text: str, cells: Mapping[str, str]) -> str:
    text = _with_columns(text, cells)
    _, separator, names = _head(text)
    if text and not text.endswith(("\n", "\r")):
        text += "\n"
    return text + _row(cells, names, separator) + "\n"


def _set(text: str, row: NoteRow, typed: Mapping[str, str]) -> str:
    text = _with_columns(text, typed)
    _, separator, names = _head(text)
    lines = text.splitlines(keepends=True)
    ending = lines[row.line - 1][len(lines[row.line - 1].rstrip("\r\n")) :] or "\n"
    lines[row.line - 1] = _row({**row.cells, **typed}, names, separator) + ending
    return "".join(lines)


def _with_columns(text: str, cells: Mapping[str, str]) -> str:
    """The text with a column for every cell that holds something."""
    if not text.strip():
        return EMPTY
    head, separator, names = _head(text)
    if not head:
        return EMPTY + text if all(map(is_remark, text.splitlines())) else text
    lacking = [name for name in NOTE_COLUMNS if cells.get(name, "").strip() and name not in names]
    lines = text.splitlines(keepends=True)
    kept = lines[head - 1].rstrip("\r\n")
    lines[head - 1] = separator.join((kept, *lacking)) + lines[head - 1][len(kept) :]
    return "".join(lines)


def _head(text: str) -> tuple[int, str, tuple[str, ...]]:
    """The line that names the columns, from 1, the sign between cells, and the columns; 0 where no line does."""
    for number, line in enumerate(text.splitlines(), 1):
        if not is_remark(line):
            separator = separator_of(line)
            return number, separator, tuple(cell.strip().lower() for cell in _cells(line, separator))
    return 0, ",", NOTE_COLUMNS


def _cells(line: str, separator: str) -> list[str]:
    try:
        cells = cells_of(line.rstrip("\r\n"), separator)
    except Refusal:
        cells = line.rstrip("\r\n").split(separator)
    return [cell.strip() for cell in cells]


def _row(cells: Mapping[str, str], names: tuple[str, ...], separator: str) -> str:
    row = [cells.get(name, "").strip() for name in names]
    for cell in row:
        if len(cell) > MOST_CELL or not cell.isprintable():
            raise Refusal(f"no single line of at most {MOST_CELL} signs; shorten it", "the note")
    while len(row) > len(TYPED) and not row[-1]:
        row.pop()
    written = io.StringIO()
    csv.writer(written, delimiter=separator, lineterminator="").writerow(row)
    return written.getvalue()
