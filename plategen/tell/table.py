"""A titled table of words: a command sets it in columns, the sheet in cells."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from plategen.ground.show import Show
from plategen.ground.unit import INCH_MM

Row: TypeAlias = tuple[str, ...]
"""Cells of a table."""

NARROW = 8
"""Signs in the longest cell of a narrow table, its first column apart."""

HAIR_DEG = 5e-3
"""An angle under this is nothing, not a row of zeros."""


def counted(count: int, thing: str) -> str:
    """How many of a thing.

    >>> counted(1, "piece"), counted(13, "reading")
    ('1 piece', '13 readings')
    """
    return f"{count} {thing}{'' if count == 1 else 's'}"


@dataclass(frozen=True, slots=True)
class Block:
    """A titled table: a heading row, or none, and rows of words."""

    title: str
    heading: Row
    rows: tuple[Row, ...]

    @property
    def narrow(self) -> bool:
        """True when it fits a telephone as it is: names and values, or a few columns of short words."""
        if not self.heading:
            return True
        return len(self.heading) <= 4 and all(len(cell) <= NARROW for row in self.rows for cell in row[1:])

    @property
    def lines(self) -> list[str]:
        """The table as plain text under its title."""
        return [
            self.title,
            *(f"  {line}" for line in columns([self.heading, *self.rows] if self.heading else self.rows)),
        ]


def columns(rows: Sequence[Row]) -> list[str]:
    """Rows set in columns of their own width, two spaces apart.

    >>> columns([("rod", "rise"), ("drag link", "4.0°")])
    ['rod        rise', 'drag link  4.0°']
    """
    widths = [max(len(row[i]) for row in rows) for i in range(len(rows[0]))]
    return ["  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip() for row in rows]


def angle(show: Show, deg: float) -> str:
    """An angle of so many degrees, and none of a hair.

    >>> angle(Show("in"), 12.345), angle(Show("in"), -1e-9)
    ('12.3°', '0.0°')
    """
    return show.finding(deg if abs(deg) > HAIR_DEG else 0.0, "deg")


_IN_UNIT: Mapping[str, Callable[[Show, float], str]] = {
    "mm": Show.length,
    "mm3": Show.volume,
    "deg": angle,
    "n": Show.force,
    "nmm": Show.moment,
    "mpa": Show.pressure,
    "kg": Show.mass,
}
"""How a value of a report is shown whose key ends on a unit."""


def cells(show: Show, report: object, *keys: str) -> Row:
    """Values of a report as words, each in the unit its key ends on; what is null is an empty cell."""
    return tuple(_cell(show, getattr(report, key), key.rpartition("_")[2]) for key in keys)


def _cell(show: Show, value: str | float | tuple[float, ...] | None, unit: str) -> str:
    match value:
        case None:
            return ""
        case str() | int():
            return str(value)
        case tuple():
            return " to ".join(_cell(show, each, unit) for each in value)
        case _:
            return _IN_UNIT[unit](show, value)


def off_fit(show: Show, mm: float) -> str:
    """How far a reading lies off the fit, finer than any rule reads, without its unit.

    >>> off_fit(Show("in"), 0.5), off_fit(Show("mm"), -0.001)
    ('+0.020', '+0.00')
    """
    value, decimals = (mm / float(INCH_MM), 3) if show.units == "in" else (mm, 2)
    return f"{round(value, decimals) + 0.0:+.{decimals}f}"  # adding 0.0 makes a plain zero of a negative one


def signed(value: float, decimals: int) -> str:
    """A change with its sign, and none on nothing.

    >>> signed(0.816, 2), signed(-0.001, 2)
    ('+0.82', '0')
    """
    text = f"{value:+.{decimals}f}"
    return "0" if float(text) == 0.0 else text


NO_GAP_MM = 0.02
"""Less than this is no gap that any feeler finds."""


def up_to(mm: float, show: Show) -> str:
    """A gap, a bind, or how far a thing is off.

    >>> up_to(1.5, Show("mm")), up_to(0.01, Show("mm"))
    ('up to 1.5 mm', 'none')
    """
    return "none" if mm < NO_GAP_MM else f"up to {show.bound(mm, up=True)}"
