"""What the sheet's tables are made of: cells of words, rows of them, a table with its heads."""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Cell:
    """Words in a cell; ``kind`` is how they stand out, ``small`` what stands under them in small type."""

    words: str
    kind: str = ""
    small: tuple[str, ...] = ()

    @property
    def room(self) -> str:
        """What the cell asks for on a small screen: all of a card's width, two thirds of it, or one."""
        if self.small or len(self.words) > 30:
            return "full"
        return "broad" if len(self.words) > 14 else ""


@dataclass(frozen=True, slots=True)
class Table:
    """A table: its caption, its columns' heads, its rows; the first cell of a row names it.

    ``slim`` tables stay tables on a small screen, where the rows of others become cards.
    """

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    slim: bool = False


def row(*words: "str | Cell") -> tuple[Cell, ...]:
    """Cells from plain words."""
    return tuple(w if isinstance(w, Cell) else Cell(w) for w in words)
