"""Plain shelf packing: bounding boxes in columns from the left, the longest first."""

from collections.abc import Sequence

from plategen.cut.nest.hull import Laid, Spot, Way

HAIR_MM = 1e-9
"""What adding up lengths may lose."""


def lay_shelves(ways: Sequence[Sequence[Way]], low: complex, high: complex, spacing_mm: float) -> list[Spot]:
    """Every part in the first column that has room for it, turned so that its box is least long along the sheet."""
    room = high - low
    chosen = [min((w for w in choices if w.fits(room)), key=lambda w: (w.size.real, w.size.imag)) for choices in ways]
    order = sorted(range(len(chosen)), key=lambda i: (-chosen[i].size.real, -chosen[i].size.imag, i))
    columns: list[_Column] = []
    spots = []
    for i in order:
        way = chosen[i]
        column = next((c for c in columns if c.top + way.size.imag <= high.imag + HAIR_MM), None)
        if column is None:
            column = _following(columns, way.size.real, low, high, spacing_mm)
            columns.append(column)
        at = complex(column.left, column.top)
        spots.append(Spot(Laid(i, way.turn, at - way.low, column.sheet), column.left + way.size.real))
        column.top += way.size.imag + spacing_mm
    return spots


class _Column:
    """A column that is being filled from below."""

    def __init__(self, sheet: int, left: float, length: float, top: float) -> None:
        self.sheet, self.left, self.length, self.top = sheet, left, length, top


def _following(columns: list[_Column], length: float, low: complex, high: complex, spacing_mm: float) -> _Column:
    """An empty column beside the last one, or at the left of a new sheet."""
    if not columns:
        return _Column(0, low.real, length, low.imag)
    last = columns[-1]
    left = last.left + last.length + spacing_mm
    if left + length <= high.real + HAIR_MM:
        return _Column(last.sheet, left, length, low.imag)
    return _Column(last.sheet + 1, low.real, length, low.imag)
