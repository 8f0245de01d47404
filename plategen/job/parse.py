"""From the text of a job file to a :class:`~plategen.job.job.Job`, or to one line that says what is wrong with it."""

import math
import re
from collections.abc import Callable, Iterable, Mapping
from typing import Annotated, Any, TypeVar, cast, get_args, get_origin

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.cylinder import Cylinder
from plategen.job.example import right_line
from plategen.job.job import Job
from plategen.job.quantities import Length, Table
from plategen.job.rail import TraceEntry
from plategen.job.rules import Driven, Rules
from plategen.job.schema import Form, allowed_of, choices_of, fields, kind_of, one_of, tables
from plategen.job.steering import Steering
from plategen.job.toml_text import plain_values

MOST_KEY = 60
"""Of a key that is longer than any known one, so much is shown: written out as codes it still is a line to read."""

MOST_TEXT = 200
MOST_ROWS = 1000
MOST_LINE = 1000
MOST_DOTS = 40
"""More than a job ever needs: signs of a text, rows of a list, signs of a line, tables in one another."""

_UNITS: tuple[Units, ...] = ("in", "mm")
_UNREADABLE = 'this line cannot be read; write `key = value`, a fraction or a unit in quotes: bore = "1 3/4"'
_DOT = re.compile(r"""\.[ \t]*[\w"'-]""")
_PLACE = re.compile(r"\s*\(at (line \d+, column \d+|end of document)\)$")

AnyTable = TypeVar("AnyTable", bound=Table)
"""The table that is parsed, or a part of it."""


def parse_job(text: str, name: str = "job.toml") -> Job:
    """The job that a job file's text describes; ``name`` is the file's, for messages.

    Raises:
        Refusal: It is not TOML, a key is missing, unknown or wrong, or values contradict each other.
    """
    return _parse_file(Job, text, name)


def _parse_file(
    table: type[AnyTable], text: str, name: str, pick: Callable[[dict[str, Any]], None] = lambda _: None
) -> AnyTable:
    """A whole job file's text as one table, once ``pick`` has taken out the keys that are left for others."""
    units = None
    try:
        data = parse_document(text)
        units = parse_units(data)
        pick(data)
        return parse_table(table, data, units)
    except Refusal as refusal:
        raise refusal.in_units(units).at(name) from None


def parse_table(table: type[AnyTable], data: Mapping[str, Any], units: Units, path: str = "") -> AnyTable:
    """One table of the file, every key checked.

    Args:
        table: What the table must hold.
        data: What the file holds.
        units: The job's units.
        path: Where the table stands in the file: ``"cylinder.base"``; "" for the whole file.

    Raises:
        Refusal: A key is missing, unknown or wrong, or two of them contradict each other.
    """
    known = {field.key: field for field in fields(table)}
    for key in data:
        if key not in known:
            hint = _meant(path, key, known) or f"known here: {', '.join(known)}"
            raise Refusal(f"unknown key; {hint}", _join(path, key))
    values = {}
    for field in known.values():
        where = _join(path, field.key)
        if field.key in data:
            value = data[field.key]
            auto = field.may_be_auto and value == "auto"
            values[field.name] = None if auto else _parse_value(field.form, value, units, where)
        elif field.required:
            doc = re.split(r"[;.:]( |$)", field.doc[:1].lower() + field.doc[1:])[0]
            raise Refusal(f"missing: {doc}; write {right_line(where, field.form, units)}", where)
    try:
        return table(**values)
    except Refusal as refusal:
        raise refusal.under(path) from None


_MEANT = {
    ("revision", "fit_notes"): "notes",
    ("revision", "fitnotes"): "notes",
    ("cylinder", "diameter"): "bore",
    ("cylinder", "travel"): "stroke",
    ("cylinder", "relief"): "pressure",
    ("weld", "size"): "leg",
    ("", "name"): "title",
}
"""Keys that people write where the nearest in letters is not the one they mean, each in its table."""


def _meant(path: str, key: str, known: Iterable[str]) -> str:
    """The question whether a known key was meant by an unknown one; "" where none is near."""
    for (table, typed), right in _MEANT.items():
        if typed == key and table == path:
            return f"did you mean `{right}`?"
    from difflib import get_close_matches  # few jobs have a key that is not known

    known = tuple(known)
    parts = [part for part in key.split("_") if part in known]  # rod_diameter is the rod, and no other diameter
    slips = get_close_matches(key, known, n=1, cutoff=0.9)  # pin_statoin has a part, but is a slip
    near = slips or parts or get_close_matches(key, known, n=1, cutoff=0.6)
    if near:
        return f"did you mean `{near[0]}`?"
    table, right = next(
        ((table, right) for (table, typed), right in _MEANT.items() if typed == key and table), ("", "")
    )
    own = f"`{right}` under [{table}]" if table else ""
    return f"did you mean {own}?" if own else _elsewhere(key, known)


def _elsewhere(key: str, known: Iterable[str]) -> str:
    """Which table a key belongs in that stands in another; "" where there is none, or more than one alike."""
    holding = [path for path, table in tables(Job) if path and any(field.key == key for field in fields(table))]
    places = [path for path in holding if "." not in path] or holding
    return f"it belongs under [{places[0]}]; known here: {', '.join(known)}" if len(places) == 1 else ""


def parse_document(text: str) -> dict[str, Any]:
    """The TOML of a job file as it stands, nothing checked but its form.

    Raises:
        Refusal: It is not TOML, or nested or long beyond reason.
    """
    for number, line in enumerate(text.splitlines(), start=1):
        # a key of thousands of parts would cost the parser gigabytes
        if len(line) > MOST_LINE or len(_DOT.findall(line)) > MOST_DOTS:
            raise Refusal("this line is too long; one key and its value to a line", place=f"line {number}")
    try:
        return plain_values(text)
    except RecursionError:
        raise Refusal("a bracket or table too many; write one key and its value on a line") from None
    except ValueError as error:
        place = _PLACE.search(str(error))
        what = _PLACE.sub("", str(error)).splitlines()[0]
        words = _UNREADABLE
        if place is None:  # from below the parser: a year 0, a number of thousands of digits
            words = 'a date or a number in it is impossible; lengths like 4.125 or "1 3/8" are right'
        elif "twice" in what or "verwrite" in what:
            words = "this key or table stands there twice; give each once"
        raise Refusal(words, place=place[1] if place else "") from None


def _parse_value(form: Form, value: object, units: Units, where: str) -> object:
    allowed = allowed_of(form)
    if allowed is not None:
        try:
            return allowed.read(value, units)
        except Refusal as refusal:
            raise refusal.under(where) from None
    if choices := choices_of(form):
        if value not in choices:
            quoted = one_of(tuple(f'"{word}"' for word in choices))
            raise Refusal(f"{_shown(value)} is not a choice here; write {quoted}", where)
        return value
    if form is bool or form is int:
        if type(value) is not form:
            raise Refusal(f"{_shown(value)} is not {_a(form)}; {_plainly(form, value)}", where)
        return value
    if form is str:
        return _parse_text(value, where, units)
    if get_origin(form) is tuple:
        return _parse_list(form, value, units, where)
    return _parse_keys(form, value, units, where)


def _a(form: Form) -> str:
    return "true or false" if form is bool else "a whole number"


def _plainly(form: Form, value: object) -> str:
    """What to write for one that is not true, false or a whole number."""
    if isinstance(value, float) and form is int and abs(value) < 1e9:
        return f"{math.floor(value)} or {math.floor(value) + 1} is right"
    return f"write {'true or false' if form is bool else 'one like 3'}{' without quotes' * isinstance(value, str)}"


def _parse_text(value: object, where: str, units: Units) -> str:
    if not isinstance(value, str):
        own = isinstance(value, int | float) and not isinstance(value, bool)
        line = f'{where.rpartition(".")[2]} = "{_shown(value)}"' if own else right_line(where, str, units)
        raise Refusal(f"{_shown(value)} is no text; write it in quotes: {line}", where)
    if len(value) > MOST_TEXT or not value.isprintable():
        raise Refusal(f"{_shown(value)} is no single line of at most {MOST_TEXT} characters; shorten it", where)
    return value


def _parse_keys(form: Form, value: object, units: Units, where: str) -> object:
    """A table, or a table of values by names that the user gives."""
    if not isinstance(value, Mapping):
        raise Refusal(f"{_shown(value)} cannot stand there; write {right_line(where, form, units)}", where)
    if get_origin(form) is dict:
        each = get_args(form)[1]
        return {key: _parse_value(each, item, units, _join(where, key)) for key, item in value.items()}
    return parse_table(cast(type[Table], form), value, units, where)


def _parse_list(form: Form, value: object, units: Units, where: str) -> tuple[object, ...]:
    parts = get_args(form)
    if not isinstance(value, list):
        raise Refusal(f"{_shown(value)} is no list; write {right_line(where, form, units)}", where)
    if Ellipsis in parts:
        if len(value) > MOST_ROWS:
            raise Refusal(f"{len(value)} entries are too many; at most {MOST_ROWS} is right", where)
        parts = (parts[0],) * len(value)
    if len(value) != len(parts):
        raise Refusal(f"{len(value)} entries where {len(parts)} belong; {kind_of(form)} is right", where)
    return tuple(
        _parse_value(part, item, units, f"{where}[{number}]")
        for number, (part, item) in enumerate(zip(parts, value, strict=True), start=1)
    )


def parse_units(data: Mapping[str, Any]) -> Units:
    """The ``units`` of a job file.

    Raises:
        Refusal: They are missing, or neither "in" nor "mm".
    """
    right = 'units = "in" or units = "mm" is right, before the first table'
    if "units" not in data:
        raise Refusal(f"missing; {right}", "units")
    for units in _UNITS:
        if data["units"] == units:
            return units
    raise Refusal(f"{_shown(data['units'])} is no unit to work in; {right}", "units")


def _join(path: str, key: str) -> str:
    short = key if len(key) <= MOST_KEY else f"{key[:MOST_KEY]}..."
    shown = short if short.isprintable() else f"{short!a}"
    return f"{path}.{shown}" if path else shown


def _shown(value: object) -> str:
    """A value as TOML writes it, on one short line."""
    match value:
        case bool():
            return str(value).lower()
        case str():
            return f'"{value[:40]}"' if value.isprintable() else f"{value[:40]!a}"
        case int() | float():
            return f"{value:.12g}" if abs(value) < 1e300 else "a number beyond reason"
        case list():
            return "a list"
        case Mapping():
            return "a table"
        case _:
            return "a date or time"


class SteeringJob(Table, frozen=True, kw_only=True):
    """A job as far as its steering goes."""

    title: Annotated[str, "One line that names the job."]
    units: Annotated[Units, "What a bare length means, and how lengths are shown."]
    steering: Annotated[Steering, "The linkage and what is asked about it."]
    cylinder: Annotated[Cylinder | None, "The cylinder, when it is chosen."] = None
    rules: Annotated[Rules | None, "What decides whether the pushed rod holds; the usual rules when left out."] = None
    driven: Annotated[
        Driven | None, "The rod that the cylinder pushes, where its sizes are given apart from the linkage."
    ] = None


def parse_steering(text: str, name: str = "job.toml") -> SteeringJob:
    """The steering that a job file describes; its other known tables are left for the other commands.

    Raises:
        Refusal: It is not TOML, or a key is missing, unknown or wrong.
    """
    own = {field.key for field in fields(SteeringJob)}
    others = {field.key for field in fields(Job)} - own

    def leave_out(data: dict[str, Any]) -> None:
        if "steering" not in data:
            raise Refusal("there is no [steering] in this job; add it, with its levers or a travel", "steering")
        for key in others & data.keys():
            del data[key]

    return _parse_file(SteeringJob, text, name, leave_out)


class TracedMount(Table, frozen=True, kw_only=True):
    """Where a job's bracket stands beside its straightedge, as far as it is filled in."""

    inline_offset_mm: Annotated[Length | None, "From the straightedge to the cylinder's centre line."] = None
    pin_station_mm: Annotated[Length | None, "Station of the pin's centre."] = None


class TracedRail(Table, frozen=True, kw_only=True):
    """A job's traces."""

    trace: Annotated[tuple[TraceEntry, ...], "The traces."] = ()


class TracedJob(Table, frozen=True, kw_only=True):
    """A job as far as one of its traces, read by itself, asks for it."""

    units: Annotated[Units, "What a bare length means, and how lengths are shown."]
    rail: Annotated[TracedRail | None, "Its traces."] = None
    mount: Annotated[TracedMount | None, "Where the bracket stands beside them."] = None


def parse_traced(text: str, name: str = "job.toml") -> TracedJob:
    """What a job file, however far it is filled in, says of its traces; all else of it is left unread.

    Raises:
        Refusal: It is not TOML, says no units, or one of the keys that are read is wrong.
    """

    def pick(data: dict[str, Any]) -> None:
        for table, within in ((data, TracedJob), (data.get("rail"), TracedRail), (data.get("mount"), TracedMount)):
            if isinstance(table, dict):
                for key in table.keys() - {field.key for field in fields(within)}:
                    del table[key]

    return _parse_file(TracedJob, text, name, pick)
