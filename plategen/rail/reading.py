"""A trace file, as a table of readings: what a straightedge, a rule and a note beside each number give.

``station,offset`` readings are sorted along the straightedge; ``u,v`` points keep the order they are written in, since
they may go round a corner. Repeated readings stay apart: how far they differ tells how well the trace was read.
"""

import csv
import difflib
import re
from collections.abc import Callable
from dataclasses import dataclass, replace

from plategen.ground import quantity
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.rail.crossing import first_crossing
from plategen.rail.trace import Reading, Trace

FEWEST = 3
MOST_LINES = 1_000_000
FARTHEST_MM = 1e5
"""A reading farther than 100 m off is a slip of the keyboard."""

_PLAIN = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)", re.ASCII).fullmatch
_ONE_COMMA = re.compile(r"[+-]?\d*,\d+", re.ASCII).fullmatch
_COMMA_OR_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}", re.ASCII).fullmatch
_UNITS_NOTE = re.compile(r"#\s*units\s*[:=]\s*(.*?)\s*", re.IGNORECASE).fullmatch
_JUNK = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]").search
_COLUMNS = {"station": ("station", "offset"), "u": ("u", "v")}
_NAMES = ("station", "offset", "u", "v", "note")
_UNIT_NAMES: dict[str, Units] = {
    "in": "in", "inch": "in", "inches": "in", '"': "in",
    "mm": "mm", "millimetre": "mm", "millimetres": "mm", "millimeter": "mm", "millimeters": "mm",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Header:
    """Which column is which, and what parts them."""

    separator: str
    first: int
    second: int
    note: int | None
    round_corner: bool


def read_trace(text: str, file: str, units: Units, plane_mm: float = 0.0, read_error_mm: float | None = None) -> Trace:
    """The readings of one trace file, in mm in the straightedge's frame.

    Args:
        text: The file's text.
        file: Its name, for messages.
        units: What a bare number means, unless a ``# units: mm`` line of the file says otherwise.
        plane_mm: Where the trace was taken along the pin.
        read_error_mm: One standard deviation of a reading, when the user says it.

    Raises:
        Refusal: It is no such table, a number cannot be read, there are too few readings, or the points cross
            their own path; with the file's name and line.
    """
    try:
        header, readings = _read(text, units)
        if not header.round_corner:
            readings.sort(key=lambda reading: reading.point.real)
        _refuse_too_few(readings, header.round_corner)
        trace = Trace(
            file=file,
            plane_mm=plane_mm,
            readings=tuple(readings),
            round_corner=header.round_corner,
            read_error_mm=read_error_mm,
        )
        refuse_crossing(trace)
    except Refusal as refusal:
        raise refusal.at(file) from None
    return trace


def with_second_straightedge(first: Trace, second: Trace, at_mm: complex, along: complex) -> Trace:
    """Readings off two straightedges as one trace round the corner, in the first one's frame.

    Args:
        first: Readings off the first straightedge.
        second: Readings off the second one, in its own frame.
        at_mm: Where the second one's station 0 lies in the first one's frame.
        along: Unit vector of its stations there; its offsets lie to the left of that.

    Raises:
        Refusal: The two together cross their own path.
    """
    moved = tuple(
        # a line's number alone would not tell which of the two files it is in
        replace(reading, point=at_mm + reading.point * along, note=f"{second.file} {reading.note}".rstrip())
        for reading in second.readings
    )
    ends = (first.readings, moved)
    # both run with the rail on their left, so only which of them comes first is open: the one that joins more closely
    before, after = min(ends, ends[::-1], key=lambda pair: abs(pair[0][-1].point - pair[1][0].point))
    trace = replace(first, readings=before + after, round_corner=True)
    try:
        refuse_crossing(trace)
    except Refusal as refusal:
        raise refusal.at(f"{first.file} with {second.file}") from None
    return trace


def refuse_crossing(trace: Trace) -> None:
    """Refuse a trace round a corner whose points, joined in order, cross themselves.

    Raises:
        Refusal: They do; where and between which lines.
    """
    if not trace.round_corner:
        return
    crossing = first_crossing([reading.point for reading in trace.readings])
    if crossing is not None:
        one, other = (trace.readings[i].line for i in crossing)
        raise Refusal(
            f"the trace crosses itself after lines {one} and {other}; points in their order along the rail are right"
        )


def _read(text: str, units: Units) -> tuple[_Header, list[Reading]]:
    if (junk := _JUNK(text)) is not None:
        place = f"line {text.count(chr(10), 0, junk.start()) + 1}"
        raise Refusal("not a text file; a table with the columns station and offset is right", place=place)
    lines = text.splitlines()
    if len(lines) > MOST_LINES:
        raise Refusal(f"{len(lines)} lines are too many; at most {MOST_LINES} can be read, thin it out")
    header: _Header | None = None
    readings: list[Reading] = []
    number_of = _number_reader(units, ",")
    for number, line in enumerate(lines, start=1):
        stripped = line.strip()
        if not stripped.strip(",;"):
            continue
        try:
            if stripped[0] == "#":
                units = _noted_units(stripped, units, late=bool(readings))
            elif header is None:
                header = _read_header(line)
            else:
                if not readings:
                    number_of = _number_reader(units, header.separator)
                readings.append(_read_row(line, number, header, number_of))
        except Refusal as refusal:
            raise refusal.at(f"line {number}") from None
    if header is None:
        raise Refusal("empty; a first line `station,offset` or `u,v` and the readings below it are right")
    return header, readings


def _noted_units(note: str, units: Units, *, late: bool) -> Units:
    said = _UNITS_NOTE(note)
    if said is None:
        return units
    if late:
        raise Refusal("the units are said below readings already; move this line to the top")
    try:
        return _UNIT_NAMES[said[1].lower()]
    except KeyError:
        raise Refusal(f"{said[1][:40]!r} is no unit of a trace; `# units: in` or `# units: mm` is right") from None


def _read_header(line: str) -> _Header:
    separator = next((sign for sign in (";", "\t", ",") if sign in line), ",")
    names = [name.strip().lower() for name in _cells(line, separator)]
    while names and not names[-1]:
        names.pop()
    if names and names[0][:1].isdigit():
        raise Refusal("the columns have no names; a first line `station,offset` or `u,v` is right")
    for name in names:
        if name not in _NAMES:
            near = difflib.get_close_matches(name, _NAMES, n=1)
            hint = f"did you mean {near[0]}?" if near and " " not in name else "`station,offset` or `u,v` is right"
            raise Refusal(f"{name[:40]!r} is no column of a trace; {hint}")
    pair = next((pair for first, pair in _COLUMNS.items() if first in names), None)
    if pair is None or set(names) - {"note"} != set(pair) or len(set(names)) != len(names):
        raise Refusal(f"the columns are {', '.join(names)}; `station,offset` or `u,v`, and `note` if wanted, are right")
    note = names.index("note") if "note" in names else None
    return _Header(separator, names.index(pair[0]), names.index(pair[1]), note, round_corner=pair[0] == "u")


def _read_row(line: str, number: int, header: _Header, number_of: Callable[[str], float]) -> Reading:
    cells = _cells(line, header.separator) if '"' in line else line.split(header.separator)
    width = 1 + max(header.first, header.second, -1 if header.note is None else header.note)
    if len(cells) > width and any(cell.strip() for cell in cells[width:]):
        raise Refusal(f"{len(cells)} entries where {width} belong; a decimal comma or a comma in a note goes in quotes")
    if len(cells) <= max(header.first, header.second):
        raise Refusal(f"{len(cells)} entry where two numbers belong; {_right_row(header.separator)} is right")
    note = cells[header.note].strip() if header.note is not None and header.note < len(cells) else ""
    return Reading(complex(number_of(cells[header.first]), number_of(cells[header.second])), number, note)


def _cells(line: str, separator: str) -> list[str]:
    try:
        return next(csv.reader([line], delimiter=separator, skipinitialspace=True, strict=True))
    except csv.Error as error:
        said = str(error).replace("'\t'", "a tab")
        raise Refusal(f"not a row of a table ({said}); {_right_row(separator)} is right") from None


def _right_row(separator: str) -> str:
    return "1/2, a tab, 1 3/8" if separator == "\t" else f"a row like `1/2{separator}1 3/8`"


def _number_reader(units: Units, separator: str) -> Callable[[str], float]:
    """The reader of one cell; a plain decimal, which is what long files hold, takes the short way."""
    factor = quantity.LENGTH.factors[units]
    over, under = factor.as_integer_ratio()
    comma_is_decimal = separator != ","

    def number_of(cell: str) -> float:
        cell = cell.strip()
        if comma_is_decimal and "," in cell:
            if _COMMA_OR_THOUSANDS(cell):
                point, thousands = cell.replace(",", "."), cell.replace(",", "")
                raise Refusal(f"{cell} can mean {point} or {thousands}; write one of these")
            if _ONE_COMMA(cell):
                cell = cell.replace(",", ".")
        length_mm = float(cell) * over / under if _PLAIN(cell) else quantity.LENGTH.read(cell, units)
        if not -FARTHEST_MM <= length_mm <= FARTHEST_MM:
            raise Refusal(f"{cell[:40]!r} is more than 100 m off; check the number and its unit")
        return length_mm

    return number_of


def _refuse_too_few(readings: list[Reading], round_corner: bool) -> None:
    places = {reading.point if round_corner else reading.point.real for reading in readings}
    if len(places) < FEWEST:
        what = "points" if round_corner else "stations"
        raise Refusal(f"readings at {len(places)} {what}; at least {FEWEST} different {what} are right")
