"""The one place where the published tables beside this file are read: CSV files whose last column names the source.

A length in a table stays as its source prints it (``1 1/8`` with the unit ``in``) and becomes millimetres here.
"""

from collections.abc import Mapping
from fractions import Fraction
from functools import cache
from pathlib import Path

from plategen.ground.message import message, size
from plategen.ground.printed import Row, rows
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units

TABLES = Path(__file__).parent / "tables"
"""Where the tables lie."""

MM_PER = {"mm": 1.0, "in": 25.4}
MPA_PER = {"MPa": 1.0, "ksi": 6.894757293168361}
"""Of the units that tables are printed in."""


def read(name: str) -> tuple[Row, ...]:
    """The rows of table ``name``."""
    return rows(TABLES / f"{name}.csv")


@cache
def number(text: str) -> float:
    """A number as tables print it.

    >>> number("1 1/8"), number("0.226"), number("inf")
    (1.125, 0.226, inf)
    """
    return sum(float(Fraction(word)) if "/" in word else float(word) for word in text.split())


def length_mm(row: Row, column: str) -> float:
    """The length in ``column``, mm, by the row's ``unit``.

    >>> length_mm({"d": "1 1/8", "unit": "in"}, "d")
    28.575
    """
    return number(row[column]) * MM_PER[row["unit"]]


def stress_mpa(row: Row, column: str) -> float:
    """The stress in ``column``, MPa, by the row's ``unit``.

    >>> round(stress_mpa({"fy": "50", "unit": "ksi"}, "fy"), 1)
    344.7
    """
    return number(row[column]) * MPA_PER[row["unit"]]


def unit_of_size(size_mm: float) -> Units:
    """The unit a size was made in: ``"in"`` for a whole number of 1/64 in, else ``"mm"``.

    A table printed in both units is read by the part's own size, so that the units a job is written in change nothing.

    >>> unit_of_size(9.525), unit_of_size(10.0)
    ('in', 'mm')
    """
    parts = size_mm / 25.4 * 64.0
    return "in" if abs(parts - round(parts)) < 1e-4 else "mm"


def by_name(name: str, wanted: str, size_mm: float = 0.0) -> Row:
    """The first row of table ``name`` called ``wanted`` that reaches up to ``size_mm``.

    Case, spaces, dashes and the words of the ``also`` column are all accepted.

    Raises:
        Refusal: No row is called so, or none goes up to that size.
    """
    rows = _named(name).get(_plain(wanted), ())
    if not rows:
        known = ", ".join(names(name))
        raise Refusal(f'"{wanted}" is not in the table of {name}; known are {known}')
    for row in rows:
        if size_mm <= number(row.get("upto_mm") or "inf") + 1e-9:
            return row
    words = '"{}" is listed up to {}, not for {}; {} is right'
    most = size(number(rows[-1]["upto_mm"]))
    raise Refusal(message(words, wanted, most, size(size_mm), _SMALLER.get(name, "a smaller size")))


_SMALLER = {"steels": "a thinner plate or another steel", "bolts": "a thinner bolt or another grade"}
"""What is right where a table does not go up to a size, by the table."""


@cache
def names(name: str) -> tuple[str, ...]:
    """What the rows of table ``name`` are called, each once, in its order."""
    return tuple(dict.fromkeys(row["name"] for row in read(name)))


@cache
def _named(name: str) -> Mapping[str, tuple[Row, ...]]:
    """The rows of table ``name`` by every name they go by."""
    named: dict[str, tuple[Row, ...]] = {}
    for row in read(name):
        for called in {_plain(word) for word in (row["name"], *row["also"].split(";")) if word}:
            named[called] = (*named.get(called, ()), row)
    return named


def _plain(name: str) -> str:
    return "".join(letter for letter in name.casefold() if letter.isalnum() or letter == ".")
