"""A trace file, as a table of readings: what a straightedge, a rule and a note beside each number give.

``station,offset`` readings are sorted along the straightedge; ``u,v`` points keep the order they are written in, since
they may go round a corner. Repeated readings stay apart: how far they differ tells how well the trace was read.
"""

import re
from collections.abc import Callable, Sequence
from dataclasses import replace

import numpy as np

from plategen.ground import quantity
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.rail.slip import in_tenths, refuse_other_unit, refuse_swapped
from plategen.rail.trace import Reading, Trace, UnreadBend
from plategen.rail.trace_columns import (
    Columns,
    cells_of,
    columns_of,
    is_remark,
    mark_of,
    noted_error_mm,
    noted_units,
    right_row,
    units_in_file,
)

SPACING_MM = 2.0
"""Points closer than this are joined over: a dense scan's own noise loops below it, a hand's readings never do."""
MOST_EDGES = 800
"""Edges looked at pair by pair; of more, every so many."""


def first_crossing(points: Sequence[complex]) -> tuple[int, int] | None:
    """The indexes of the points after which the first two crossing edges begin, or None.

    Edges that only touch, as at a repeated reading or where a trace closes on its start, do not cross.

    Args:
        points: In order, mm.
    """
    spacing = SPACING_MM
    kept = _spaced(points, spacing)
    while len(kept) > MOST_EDGES:
        spacing *= len(kept) / MOST_EDGES * 1.25
        kept = _spaced(points, spacing)
    path = np.array([points[i] for i in kept])
    start, edge = path[:-1], np.diff(path)

    def side(p: np.ndarray) -> np.ndarray:
        """On which side of every edge (rows) each point (columns) lies, as a signed area."""
        return np.imag(np.conj(edge)[:, None] * (p[None, :] - start[:, None]))

    ends = side(path)
    parted = ends[:, :-1] * ends[:, 1:] < 0.0  # the edge's line parts the ends of the other edge
    crossing = np.triu(parted & parted.T, k=2)
    rows, columns = np.nonzero(crossing)
    return (kept[rows[0]], kept[columns[0]]) if rows.size else None


def _spaced(points: Sequence[complex], spacing_mm: float) -> list[int]:
    """Indexes of points that lie at least so far from the one kept before; the first always, and the last if far."""
    kept = [0] if points else []
    for index, point in enumerate(points):
        if abs(point - points[kept[-1]]) >= spacing_mm:
            kept.append(index)
    return kept


FEWEST = 3
MOST_LINES = 1_000_000
FARTHEST_MM = 1e5
"""A reading farther than 100 m off is a slip of the keyboard."""

_PLAIN = re.compile(r"[+-]?(?:\d+\.?\d*|\.\d+)", re.ASCII).fullmatch
_ONE_COMMA = re.compile(r"[+-]?\d*,\d+", re.ASCII).fullmatch
_COMMA_OR_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2},\d{3}", re.ASCII).fullmatch
_UNIT_OF_ITS_OWN = re.compile(r"""\d\s*(?:mm|cm|m\b|in|ft|'|")""", re.IGNORECASE).search
_JUNK = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]").search


def read_trace(
    text: str,
    file: str,
    units: Units,
    plane_mm: float = 0.0,
    read_error_mm: float | None = None,
    near_mm: tuple[float, float] | None = None,
) -> Trace:
    """The readings of one trace file, in mm in the straightedge's frame.

    Args:
        text: The file's text.
        file: Its name, for messages.
        units: What a bare number means, unless a ``# units: mm`` line of the file says otherwise.
        plane_mm: Where the trace was taken along the pin.
        read_error_mm: One standard deviation of a reading, when the job says it, whatever the file does.
        near_mm: First and last station that the job's bracket stands at, where they are known.

    Raises:
        Refusal: It is no such table, a number cannot be read, there are too few readings, the columns look swapped or
            the numbers like another unit's, or the points cross their own path; with the file's name and line.
    """
    try:
        columns, readings, said, noted_error = _read(text, units)
        if not columns.round_corner:
            refuse_swapped(readings)
            readings.sort(key=lambda reading: reading.point.real)
        _refuse_too_few(readings, columns.round_corner)
        bare = _bare(text, columns)
        if said is None:
            refuse_other_unit(readings, units, near_mm, bare)
        trace = Trace(
            file=file,
            plane_mm=plane_mm,
            readings=tuple(readings),
            round_corner=columns.round_corner,
            read_error_mm=read_error_mm or noted_error,
            in_tenths=said is None and units == "in" and bare[1] and in_tenths(readings, units),
        )
        refuse_crossing(trace)
    except Refusal as refusal:
        raise refusal.at(file).in_units(units_in_file(text, units)) from None
    return trace


def with_second_straightedge(
    first: Trace,
    second: Trace,
    at_mm: complex,
    along: complex,
    bend_radius_mm: float | None = None,
    bend_point_mm: complex | None = None,
) -> Trace:
    """Readings off two straightedges as one trace round the corner, in the first one's frame.

    Args:
        first: Readings off the first straightedge.
        second: Readings off the second one, in its own frame.
        at_mm: Where the second one's station 0 lies in the first one's frame.
        along: Unit vector of its stations there; its offsets lie to the left of that.
        bend_radius_mm: Radius of the bend between them, if it was measured.
        bend_point_mm: A point of that bend in the first one's frame, if one was read.

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
    bend = UnreadBend(beside=(before[-1].point, after[0].point), radius_mm=bend_radius_mm, point=bend_point_mm)
    trace = replace(first, readings=before + after, round_corner=True, bend=bend)
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


def refuse_no_trace(trace: Trace) -> None:
    """Refuse a trace, got from elsewhere than a trace file, that no trace file could have given.

    Raises:
        Refusal: It has too few readings, they lie too far off or in no order, or they cross their own path.
    """
    _refuse_too_few(list(trace.readings), trace.round_corner)
    points = [reading.point for reading in trace.readings]
    stations = [point.real for point in points]
    beside = (*trace.bend.beside, trace.bend.point or 0j, complex(trace.bend.radius_mm or 0.0)) if trace.bend else ()
    everywhere = (*points, *trace.noted, *beside, complex(trace.plane_mm))
    far = any(not max(abs(p.real), abs(p.imag)) <= FARTHEST_MM for p in everywhere)
    error = trace.read_error_mm
    wild = error is not None and not 0.0 < error <= FARTHEST_MM
    if far or wild or not (trace.round_corner or stations == sorted(stations)) or len(points) > MOST_LINES:
        words = "readings in their order, none more than {} off, are right"
        raise Refusal(message(words, mm(FARTHEST_MM, "most")), place=trace.file[:60])
    refuse_crossing(trace)


def _read(text: str, units: Units) -> tuple[Columns, list[Reading], Units | None, float | None]:
    """The columns, the readings in the file's order, and the units and the reading error that the file itself says."""
    if (junk := _JUNK(text)) is not None:
        place = f"line {text.count(chr(10), 0, junk.start()) + 1}"
        raise Refusal("not a text file; a table with the columns station and offset is right", place=place)
    lines = text.splitlines()
    if len(lines) > MOST_LINES:
        raise Refusal(f"{len(lines)} lines are too many; at most {MOST_LINES} can be read, thin it out")
    columns: Columns | None = None
    said: Units | None = None
    noted: float | None = None
    readings: list[Reading] = []
    number_of = _number_reader(units, ",")
    for number, line in enumerate(lines, start=1):
        try:
            if is_remark(line):
                said = noted_units(line, late=bool(readings)) or said
                noted = noted_error_mm(line, said or units) or noted
            elif columns is None:
                columns = columns_of(line)
            else:
                if not readings:
                    number_of = _number_reader(said or units, columns.separator)
                readings.append(_read_row(line, number, columns, number_of))
        except Refusal as refusal:
            raise refusal.at(f"line {number}") from None
    if columns is None:
        raise Refusal("empty; a first line `station,offset` and the readings below it are right")
    return columns, readings, said, noted


def _bare(text: str, columns: Columns) -> tuple[bool, bool]:
    """Whether no cell of the first column has a unit of its own, and whether none of the second has."""
    if not _UNIT_OF_ITS_OWN(text):
        return True, True
    _, *rows = (cells_of(line, columns.separator) for line in text.splitlines() if not is_remark(line))
    stations, offsets = (all(not _UNIT_OF_ITS_OWN(row[i]) for row in rows) for i in (columns.first, columns.second))
    return stations, offsets


def _read_row(line: str, number: int, columns: Columns, number_of: Callable[[str], float]) -> Reading:
    cells = cells_of(line, columns.separator) if '"' in line else line.split(columns.separator)
    width = 1 + max(i for i in (columns.first, columns.second, columns.mark, columns.note) if i is not None)
    if len(cells) > width and any(cell.strip() for cell in cells[width:]):
        raise Refusal(f"{len(cells)} entries where {width} belong; a decimal comma or a comma in a note goes in quotes")
    if len(cells) <= max(columns.first, columns.second):
        entries = "one number" if len(cells) == 1 else f"{len(cells)} entries"
        both = "two numbers" if columns.round_corner else "a station and an offset"
        raise Refusal(f"this line has {entries}; {both} are right: {right_row(columns.separator)}")
    point = complex(number_of(cells[columns.first]), number_of(cells[columns.second]))
    if columns.mark is None and columns.note is None:
        return Reading(point, number)
    mark, note = (cells[i].strip() if i is not None and i < len(cells) else "" for i in (columns.mark, columns.note))
    return Reading(point, number, note, mark_of(mark, note))


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
        if not _PLAIN(cell):
            quantity.refuse_dated(cell, units)
        length_mm = float(cell) * over / under if _PLAIN(cell) else quantity.LENGTH.of(units).read(cell, units)
        if not -FARTHEST_MM <= length_mm <= FARTHEST_MM:
            words = "{} is more than {} off; check the number and its unit"
            raise Refusal(message(words, repr(cell[:40]), mm(FARTHEST_MM, "most")))
        return length_mm

    return number_of


def _refuse_too_few(readings: list[Reading], round_corner: bool) -> None:
    places = {reading.point if round_corner else reading.point.real for reading in readings}
    if len(places) < FEWEST:
        what = "point" if round_corner else "station"
        there = ("no readings", f"readings at one {what} only")[len(places)] if len(places) < 2 else ""
        raise Refusal(f"{there or f'readings at {len(places)} {what}s only'}; read at {FEWEST} {what}s or more")
