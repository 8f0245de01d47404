"""Which piece of the shop's rack each plate is cut from.

The smallest piece that takes all of them is used; where none does, the piece that takes most steel first, and so on
with what is left. So an off-cut goes before a whole sheet, and no more pieces are begun than are needed.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import NamedTuple

from plategen.cut.nest.layout import Layout, fits, nest
from plategen.cut.part import CutPart
from plategen.job.shop import StockPiece


class Taken(NamedTuple):
    """A piece of the rack with the parts that are cut from it: where they lie, and their places in the list."""

    piece: StockPiece
    layout: Layout
    which: tuple[int, ...]


def from_rack(parts: Sequence[CutPart], stock: Sequence[StockPiece]) -> tuple[tuple[Taken, ...], tuple[int, ...]]:
    """The pieces that parts are cut from, and the places in the list of those that no piece takes.

    ``stock`` are the pieces of the parts' own thickness and steel.
    """
    rack = sorted((piece for piece in stock for _ in range(piece.count)), key=lambda p: p.length_mm * p.width_mm)
    left, taken = list(range(len(parts))), []
    while left and rack:
        tried = [(at, _laid_on(parts, left, piece)) for at, piece in enumerate(rack)]
        held = [(at, one) for at, one in tried if one is not None]
        if not held:
            break
        whole = [(at, one) for at, one in held if len(one.which) == len(left)]
        # the rack is sorted by size: the first that takes all is the smallest, and of two alike the smaller stays first
        at, best = whole[0] if whole else max(held, key=lambda pair: sum(parts[i].area_mm2 for i in pair[1].which))
        taken.append(best)
        left = [i for i in left if i not in best.which]
        del rack[at]
    return tuple(taken), tuple(left)


def _laid_on(parts: Sequence[CutPart], left: Sequence[int], piece: StockPiece) -> Taken | None:
    """As many of the parts that are left as one piece takes; None if it takes none."""
    fit = [i for i in left if fits(parts[i], piece.sheet)]
    if not fit:
        return None
    layout = nest([parts[i] for i in fit], piece.sheet)
    on_first = [(fit[one.part], one) for one in layout.laid if one.sheet == 0]
    laid = tuple(replace(one, part=number) for number, (_, one) in enumerate(on_first))
    used = layout.used_mm[0] if layout.sheets == 1 else piece.length_mm
    which = tuple(i for i, _ in on_first)
    area_mm2 = sum(parts[i].area_mm2 for i in which)
    return Taken(piece, replace(layout, laid=laid, used_mm=(used,), parts_mm2=area_mm2), which)
