"""One change to a job file's text: a key set, a key or table taken out, a table added; comments and order stay.

Every change is made twice, in the text and in the plain values that it means, and must come out alike. So no oddity of
the file's spelling can turn a change of one number into a change of another.
"""

import copy
import re
from collections.abc import Callable
from itertools import pairwise
from typing import Any, TypeAlias

import tomlkit
from tomlkit.exceptions import TOMLKitError
from tomlkit.items import AoT, InlineTable

from plategen.ground.refusal import Refusal
from plategen.job.toml_text import plain_values

Place: TypeAlias = tuple[str | int, ...]
"""Keys and, counted from 0, places in lists: ``("rail", "trace", 0, "plane")``."""

MOST_STEPS = 12
"""Keys and places of a path."""

_STEP = re.compile(r"([^.\[\]]+)|\[(\d{1,4})\]")
_WHOLE = re.compile(r"([^.\[\]]+)(\[\d{1,4}\])*(\.[^.\[\]]+(\[\d{1,4}\])*)*")
_HEADER = re.compile(r"(\[\[?)\s*([\w.-]+)\s*\]\]?\s*(?:#.*)?")
_TOKEN = re.compile(r""""(?:[^"\\]|\\.)*"|'[^']*'|[^\s,\[\]{}#"']+""")
_NUMBER = re.compile(r"[+-]?(?:0|[1-9]\d*)(?:\.\d+)?")


def path_of(text: str) -> Place:
    """The path that a dotted name means: ``"rail.trace[0].plane"``.

    Raises:
        Refusal: It is no such name.
    """
    if len(text) > 300 or not text.isprintable() or not _WHOLE.fullmatch(text):
        raise Refusal("the job file has no such place; `plategen keys` lists what there is", repr(text[:60]))
    steps = tuple(key or int(index) for key, index in _STEP.findall(text))
    if len(steps) > MOST_STEPS:
        raise Refusal("the job file has no such place; `plategen keys` lists what there is", repr(text[:60]))
    return steps


def path_text(path: Place) -> str:
    """The dotted name of a path."""
    return "".join(f"[{s}]" if isinstance(s, int) else f".{s}" for s in path).removeprefix(".")


def held_at(data: Any, path: Place) -> Any:
    """What plain TOML holds at a place; None where it holds nothing."""
    for step in path:
        inside = isinstance(data, dict) if isinstance(step, str) else isinstance(data, list) and step < len(data)
        if not inside or (isinstance(step, str) and step not in data):
            return None
        data = data[step]
    return data


def value_of(text: str) -> float | int | str:
    """What a user typed as the file holds it: a plain number bare, everything else in quotes."""
    text = text.strip()
    if not _NUMBER.fullmatch(text) or len(text) > 15:
        return text
    return float(text) if "." in text else int(text)


def set_value(text: str, path: Place, value: object) -> str:
    """The file's text with one value set; tables on the way are made if need be.

    Raises:
        Refusal: The file has no such place, or its spelling leaves no room for the change.
    """

    def put(table: Any, key: Any) -> None:
        _put(table, key, value)

    return _written_over(text, path, value, put) or _changed(text, path, put)


def _written_over(text: str, path: Place, value: object, put: Callable[[Any, Any], None]) -> str | None:
    """The text with one value written over another that stands on a line; None where that is not all of the change.

    It is the change that is asked for most, and a tenth of the time that reading the whole text with its remarks takes.
    """
    if isinstance(value, list) or (span := _span_of(text, path)) is None:
        return None
    try:
        expected = plain_values(text)
        put(_walked(expected, path), path[-1])
        changed = f"{text[: span[0]]}{tomlkit.item(value).as_string()}{text[span[1] :]}"
        return changed if plain_values(changed) == expected else None
    except (LookupError, TypeError, AttributeError, ValueError):
        return None


def _span_of(text: str, path: Place) -> tuple[int, int] | None:
    """Where the value at a path seems to stand in the text, under its table's header; None where it is not found."""
    *table, last = path
    item, key = (last, table.pop()) if isinstance(last, int) and table else (None, last)
    here: Place = ()
    many: dict[Place, int] = {}
    begin = 0
    for line in text.splitlines(keepends=True):
        if header := _HEADER.fullmatch(line.strip()):
            here = ()
            for name in header[2].split("."):
                here = (*here, *((many[here] - 1,) if here in many else ()), name)
            if header[1] == "[[":
                many[here] = many.get(here, 0) + 1
            here = (*here, many[here] - 1) if here in many else here
        elif here == tuple(table) and line.partition("=")[0].strip() == key:
            after = line.index("=") + 1
            found = list(_TOKEN.finditer(line, after))
            listed = line[after:].lstrip().startswith("[")
            if listed != (item is not None) or len(found) <= (item or 0):
                return None
            at = found[item or 0]
            return begin + at.start(), begin + at.end()
        begin += len(line)
    return None


def add_table(text: str, path: Place, *, listed: bool, content: dict[str, Any] | None = None) -> str:
    """The file's text with a new table: at its path, or at the end of the list of tables there.

    Raises:
        Refusal: As :func:`set_value`.
    """
    content = content or {}

    def add(table: Any, key: Any) -> None:
        own = _is_document(table)
        fresh = tomlkit.item(content) if own else copy.deepcopy(content)
        if not listed:
            table[key] = fresh
        elif key in table:
            table[key].append(fresh)
        elif own and not isinstance(table, InlineTable):
            rows = tomlkit.aot()
            rows.append(fresh)
            table[key] = rows
        else:
            table[key] = [fresh]

    return _changed(text, path, add)


def remove(text: str, path: Place) -> str:
    """The file's text without a key, a table, or one of a list.

    Raises:
        Refusal: As :func:`set_value`.
    """

    def take_out(table: Any, key: Any) -> None:
        if isinstance(key, int):
            del table[key]
        else:
            table.pop(key, None)

    return _prune(_changed(text, path, take_out), path)


def _prune(text: str, path: Place) -> str:
    """Without a list of tables that has lost its last."""
    if not isinstance(path[-1], int):
        return text
    return remove(text, path[:-1]) if held_at(plain_values(text), path[:-1]) == [] else text


def _changed(text: str, path: Place, change: Callable[[Any, Any], None]) -> str:
    where = path_text(path)
    try:
        document = tomlkit.parse(text)
        expected = plain_values(text)
        for table in (expected, document):
            change(_walked(table, path), path[-1])
        changed = tomlkit.dumps(document)
        alike = plain_values(changed) == expected
    except (KeyError, IndexError, TypeError, AttributeError):
        raise Refusal("there is no such place in this job file; it may have changed meanwhile", where) from None
    except (TOMLKitError, ValueError):
        alike = False
    if not alike:
        raise Refusal("this line cannot be changed from here; change it in job.toml", where)
    return changed


def _walked(table: Any, path: Place) -> Any:
    """The table or list that holds the last step of a path; missing tables are made on the way."""
    for step, following in pairwise(path):
        if isinstance(step, str) and step not in table and isinstance(following, str):
            table[step] = tomlkit.table() if _is_document(table) and not isinstance(table, InlineTable) else {}
        table = table[step]
    if isinstance(path[-1], int) != isinstance(table, (list, AoT)):
        raise KeyError(path[-1])
    return table


def _is_document(table: Any) -> bool:
    """Whether a table is one of the text's, with its remarks, and not one of the plain values."""
    return hasattr(table, "unwrap")


def _put(table: Any, key: Any, value: object) -> None:
    """Set a value; the remark behind the old one stays where it is."""
    if isinstance(table, list) and isinstance(key, int) and key == len(table):
        table.append(value)
    else:
        table[key] = value
