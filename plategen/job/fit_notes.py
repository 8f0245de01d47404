"""A file of fit notes, as a table: what was seen when the last plates were held up."""

from plategen.ground.quantity import refuse_dated
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.parse import parse_table
from plategen.job.revision import FiledNote, FitNote
from plategen.rail.note.gap import MOST_NOTES
from plategen.rail.trace_columns import cells_of, is_remark, noted_units, separator_of

_NOTE_NEEDS = ("plate", "station", "gap")
NOTE_COLUMNS = (*_NOTE_NEEDS, "round", "held", "pin_off", "note")
"""The columns of a file of fit notes; the first three are in every one."""


def read_fit_notes(text: str, file: str, units: Units) -> tuple[FiledNote, ...]:
    """The notes of one file; each row is what a ``[[revision.fit_note]]`` of the job file would hold.

    Args:
        text: The file's text: columns ``plate,station,gap`` and, if wanted, ``round,held,pin_off,note``.
        file: Its name, for messages.
        units: What a bare number means, unless a ``# units: mm`` line of the file says otherwise.

    Raises:
        Refusal: It is no such table or a note cannot be; with the file's name and line.
    """
    header: list[str] = []
    separator = ","
    notes: list[FiledNote] = []
    for number, line in enumerate(text.splitlines(), 1):
        try:
            if is_remark(line):
                units = noted_units(line, late=bool(notes)) or units
                continue
            separator = separator if header else separator_of(line)
            cells = [cell.strip() for cell in cells_of(line, separator)]
            if not header:
                header = _note_header(cells)
            elif len(notes) == MOST_NOTES:
                raise Refusal(f"more than {MOST_NOTES} notes; a dozen for each plate are plenty")
            else:
                row = {key: cell for key, cell in zip(header, cells, strict=False) if cell and key != "note"}
                if "held" in row:
                    row["held"] = row["held"].lower()
                if lacking := [name for name in _NOTE_NEEDS if name not in row]:
                    right = "plate, station and gap belong in every line, like `ear near,6 1/2,1/16`"
                    raise Refusal(f"{' and '.join(lacking)} missing; {right}")
                for key in row.keys() - {"plate", "held"}:
                    _refuse_dated(row[key], key, units)
                note = parse_table(FitNote, row, units)
                own = {name: getattr(note, name) for name in note.__struct_fields__}
                notes.append(FiledNote(**own, place=f"{file}: line {number}"))
        except Refusal as refusal:
            raise refusal.at(f"line {number}").at(file) from None
    if not notes:
        raise Refusal("holds no notes; a first line `plate,station,gap` and the notes below it are right", place=file)
    return tuple(notes)


def _refuse_dated(cell: str, key: str, units: Units) -> None:
    try:
        refuse_dated(cell, units)
    except Refusal as refusal:
        raise refusal.under(key) from None


def _note_header(cells: list[str]) -> list[str]:
    names = [cell.lower() for cell in cells]
    strange = [name for name in names if name not in NOTE_COLUMNS]
    if strange or any(name not in names for name in _NOTE_NEEDS) or len(set(names)) != len(names):
        wrong = f"{strange[0][:40]!r} is no column of fit notes" if strange else f"the columns are {', '.join(names)}"
        raise Refusal(f"{wrong}; `plate,station,gap`, and `round`, `held`, `pin_off`, `note` if wanted, are right")
    return names
