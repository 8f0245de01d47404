"""The fit notes of a draft as the page shows them: a table for each plate that was held up, and what they came to."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import get_args

from plategen.bracket.style import style_of
from plategen.ground.in_words import in_words, name_of
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.page.draft import Draft, Drawn
from plategen.page.note_edit import NoteRow, notes_file, read_notes
from plategen.page.trace_rows import units_of
from plategen.rail.note.held import HowHeld
from plategen.rail.trace_columns import units_in_file

HELD = dict(zip(get_args(HowHeld), ("by its pin", "pushed home"), strict=True))
"""How a plate was held, in words."""


@dataclass(frozen=True, slots=True)
class NotesOf:
    """The notes of one plate."""

    plate: str
    words: str  # The plate as one says it.
    rows: tuple[NoteRow, ...]
    came_to: str  # What they moved, "" where nothing is drawn of them.
    last: NoteRow | None  # The one written last: the next is likely of its round, held like it.


@dataclass(frozen=True, slots=True)
class Notes:
    """All of them."""

    file: str
    unit: Units  # Of a bare number.
    plates: tuple[NotesOf, ...]
    unread: str  # Why the file is there and cannot be read, "" if it can.

    @property
    def count(self) -> int:
        """How many there are."""
        return sum(len(of.rows) for of in self.plates)


def rows_of(draft: Draft) -> tuple[str, tuple[NoteRow, ...]]:
    """The file of a draft's fit notes, and those."""
    file = notes_file(draft)
    return file, read_notes(draft.files.get(file, ""))


def notes_of(draft: Draft, drawn: Drawn) -> Notes | None:
    """The fit notes by plate; None where no plate is cut to a trace and there are none."""
    file, rows = rows_of(draft)
    work = drawn.work
    fitted = () if work is None else style_of(work.job.bracket.style).fitted(work.job, work.job.bracket.plane_mm)
    names = list(dict.fromkeys([*(place.name for place in fitted), *(_plate(row) for row in rows)]))
    if not names and file not in draft.unread:
        return None
    unit = units_in_file(draft.files.get(file, ""), units_of(draft))
    plates = tuple(_of(name, rows, drawn) for name in names)
    return Notes(file, unit, plates, draft.unread.get(file, ""))


def _plate(row: NoteRow) -> str:
    return name_of(row.cells.get("plate", ""))


def _of(name: str, rows: tuple[NoteRow, ...], drawn: Drawn) -> NotesOf:
    own = tuple(row for row in rows if _plate(row) == name)
    return NotesOf(name, in_words(name), own, "; ".join(_came_to(name, drawn)), own[-1] if own else None)


def _came_to(name: str, drawn: Drawn) -> Iterator[str]:
    if drawn.work is None or drawn.refusal is not None:
        return
    show = Show(drawn.work.job.units)
    for correction in drawn.work.corrections:
        if correction.plate == name:
            yield f"they move the rail by up to {show.bound(max(map(abs, correction.moved_mm)), up=True)}"
            if correction.doubtful:
                at = ", ".join(show.short(gap.station_mm) for gap in correction.doubtful)
                yield f"left out, measure again: station {at}"
