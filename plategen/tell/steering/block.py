"""A titled table of words: what the command prints and the sheet sets."""

from dataclasses import dataclass
from typing import TypeAlias

from plategen.ground.show import Show

Row: TypeAlias = tuple[str, ...]
"""Cells of a table."""


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


NARROW = 8
"""Signs in the longest cell of a narrow table, its first column apart."""


def angle(show: Show, rad: float) -> str:
    """An angle as the job shows it; what is under a two-hundredth of a degree is nothing, not a row of zeros."""
    return show.angle(rad if abs(rad) > 1e-4 else 0.0)


def signed(value: float, decimals: int) -> str:
    """A change with its sign, and none on nothing: ``'+0.82'``, ``'-1.17'``, ``'0'``."""
    text = f"{value:+.{decimals}f}"
    return "0" if float(text) == 0.0 else text
