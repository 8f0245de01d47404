"""How a trace file is laid out: its column names, what parts its cells, the words of a mark, the line of the units."""

import csv
import re
from dataclasses import dataclass
from typing import cast

from plategen.ground import quantity
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.rail.trace import Mark

_UNITS_NOTE = re.compile(r"#\s*units\s*[:=]\s*(.*?)\s*", re.IGNORECASE).fullmatch
_ERROR_NOTE = re.compile(r"#\s*read[ _]error\s*[:=]\s*(.*?)\s*", re.IGNORECASE).fullmatch
_UNIT_NAMES: dict[str, Units] = {
    "in": "in", "inch": "in", "inches": "in", '"': "in",
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
}  # fmt: skip

_ERROR_CELL = re.compile(r"#(?:[A-Z]+[!?]|N/A|NV|DIV/0!)", re.IGNORECASE).match
"""What a spreadsheet writes where a formula of its own fails: ``#REF!``, ``#NAME?``, ``#N/A``."""

_PAIRS = (("station", "offset"), ("u", "v"))
_BESIDE = ("mark", "note")
_KNOWN = (*_PAIRS[0], *_PAIRS[1], *_BESIDE)
_OFFERED = (*_PAIRS[0], *_BESIDE)  # points by u and v are read, and written by programs
_SEPARATORS = (";", "\t", ",")


@dataclass(frozen=True, slots=True)
class Columns:
    """Which column is which, and what parts them."""

    separator: str  # The sign between cells.
    names: tuple[str, str]  # What the two numbers are called: station and offset, or u and v.
    first: int  # Index of station or u.
    second: int  # Index of offset or v.
    mark: int | None  # Index of the mark beside them; None without one.
    note: int | None  # Index of the note beside them; None without one.
    width: int  # How many columns have a name.

    @property
    def round_corner(self) -> bool:
        """Whether the rows are (u, v) points, which may go round a corner."""
        return self.names == ("u", "v")


def is_remark(line: str) -> bool:
    """Whether a line holds no row: it is blank, or begins with ``#`` and not with a spreadsheet's error.

    >>> is_remark(" , ,"), is_remark("# units: mm"), is_remark("0,1 3/8"), is_remark("#N/A,1 3/8")
    (True, True, False, False)
    """
    text = line.strip(" \t\r\n\f\v,;")
    return not text or (line.lstrip().startswith("#") and not _ERROR_CELL(text))


def cells_of(line: str, separator: str) -> list[str]:
    """The cells of a row; one in quotes may hold the separator.

    Raises:
        Refusal: A quote is not closed.
    """
    try:
        return next(csv.reader([line], delimiter=separator, skipinitialspace=True, strict=True), [])
    except csv.Error as error:
        open_quote = "end of data" in str(error)
        wrong = "a quote mark is open; close it" if open_quote else "its quote marks do not go together; pair them"
        raise Refusal(f"this line cannot be read: {wrong} or take {'it' if open_quote else 'them'} out") from None


def separator_of(heading: str) -> str:
    """The sign between the cells of a table, by its first line.

    >>> separator_of("plate;station;gap"), separator_of("station")
    (';', ',')
    """
    return next((sign for sign in _SEPARATORS if sign in heading), ",")


def right_row(separator: str) -> str:
    """A row written right, for messages."""
    return "1/2, a tab, 1 3/8" if separator == "\t" else f"a row like `1/2{separator}1 3/8`"


def columns_of(line: str) -> Columns:
    """The columns that the first line of a table names.

    >>> columns_of("u;v;note")
    Columns(separator=';', names=('u', 'v'), first=0, second=1, mark=None, note=2, width=3)

    Raises:
        Refusal: It names none, an unknown one, or not a pair that goes together.
    """
    separator = separator_of(line)
    names = [name.strip().lower() for name in cells_of(line, separator)]
    while names and not names[-1]:
        names.pop()
    if names and names[0][:1].isdigit():
        raise Refusal("the columns have no names; the first line must be `station,offset`")
    for name in names:
        if name not in _KNOWN:
            from difflib import get_close_matches

            near = get_close_matches(name, _OFFERED, n=1)
            hint = f"did you mean {near[0]}?" if near and " " not in name else "write `station,offset`"
            raise Refusal(f"{name[:40]!r} is not known as a heading; {hint}")
    pair = next((pair for pair in _PAIRS if pair[0] in names), None)
    if pair is None or set(names) - set(_BESIDE) != set(pair) or len(set(names)) != len(names):
        right = "`station,offset`, and `mark` and `note` if wanted, are right"
        raise Refusal(f"the columns are {', '.join(names)}; {right}")
    mark, note = (names.index(name) if name in names else None for name in _BESIDE)
    return Columns(separator, pair, names.index(pair[0]), names.index(pair[1]), mark, note, len(names))


_MARKS: tuple[tuple[Mark, str], ...] = (
    ("step", r"step"),
    ("bead", r"(?:weld(?:ing)? )?(?:bead|spatter)"),
    ("hole", r"(?:(?:bolt|rivet|drilled) )?hole"),
    ("edge", r"edge(?: of (?:the )?plate)?"),
)
_MARK_SAID = re.compile(
    rf"(?:(?:on|at|over|in)\s+)?(?:an?\s+|the\s+)?(?:{'|'.join(f'(?P<{mark}>{words})' for mark, words in _MARKS)})"
    r"(?:\s+here)?"
    r"(?:[\s,;(]+(?:(?:to|will) be (?:ground|scraped) off(?: later)?|(?:ground|scraped) off later)\)?)?[.!]?",
    re.IGNORECASE,
).fullmatch


def mark_of(cell: str, note: str = "") -> Mark:
    """What a mark's cell says is at a reading, or else its note, where that says nothing but the one thing.

    A note alone never marks an edge: it may be that of a plate laid on the rail, which is a step.

    >>> mark_of("edge of plate"), mark_of("", "weld bead, ground off later"), mark_of("", "spatter scraped off")
    ('edge', 'bead', '')

    Raises:
        Refusal: The cell holds another word.
    """
    said = _MARK_SAID(cell or note)
    mark = "" if said is None else cast(Mark, said.lastgroup)
    if cell and not mark:
        raise Refusal(f"{cell[:40]!r} is no mark; {', '.join(f'`{mark}`' for mark, _ in _MARKS)} or none is right")
    return mark if cell or mark != "edge" else ""


def noted_units(line: str, *, late: bool = False) -> Units | None:
    """The units that a remark ``# units: mm`` gives the bare numbers of a file; None for any other line.

    >>> noted_units("# units: inches"), noted_units("# taken on a wet day")
    ('in', None)

    Args:
        line: A line of the file.
        late: Whether numbers stand above it.

    Raises:
        Refusal: It names a unit that no file may be in, or comes late.
    """
    note = _UNITS_NOTE(line.strip())
    if note is None:
        return None
    if late:
        raise Refusal("the units are said below readings already; move this line to the top")
    units = _UNIT_NAMES.get(note[1].lower())
    if units is None:
        raise Refusal(f"{note[1][:40]!r} is no unit to read in; `# units: in` or `# units: mm` is right")
    return units


def noted_error_mm(line: str, units: Units) -> float | None:
    """One standard deviation of a reading, in mm, that a remark ``# read_error: 0.12 mm`` gives; None for another line.

    >>> noted_error_mm("# read_error: 0.005", "in"), noted_error_mm("# units: mm", "in")
    (0.127, None)

    Raises:
        Refusal: It is no length above 0.
    """
    note = _ERROR_NOTE(line.strip())
    if note is None:
        return None
    error_mm = quantity.LENGTH.of(units).read(note[1], units)
    if not error_mm > 0.0:
        right = "`# read_error: 1/64 in` or `# read_error: 0.4 mm`"
        raise Refusal(f"{note[1][:40]!r} is no reading error; a length above 0 is right, as {right}")
    return error_mm


def units_in_file(text: str, otherwise: Units) -> Units:
    """The units of the bare numbers of a file: those its remark names, else the job's."""
    for line in text.splitlines():
        if not is_remark(line):
            break
        try:
            units = noted_units(line)
        except Refusal:
            return otherwise
        if units is not None:
            return units
    return otherwise
