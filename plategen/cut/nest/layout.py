"""Plates laid out on a sheet or an off-cut: none overlaps, spacing and margin are kept, and the yield is told.

Each part is laid as far to the left, then as far down, as it goes without coming too near to those already laid, by
its convex hull, in several orders; a plain shelf packing of bounding boxes is laid out as well, and the better layout
is kept. Limits, honestly: a hull does not let a part lie in another's hollow or hole, parts are not turned by other
than the angles tried and never turned over, and the best of some orders is not the best of all.
"""

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from plategen.cut.nest.packing import Laid, Way, hull_of, lay_left, lay_shelves, way_of
from plategen.cut.part import CutPart
from plategen.flat.convex import Polygon
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.job.cutting import SheetStock


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """Parts on sheets."""

    sheet: SheetStock  # What they are laid on, its length along x; as many alike as are needed.
    laid: tuple[Laid, ...]  # One for each part, in the order of the parts.
    used_mm: tuple[float, ...]  # Length used of each sheet, margins included; the rest is an off-cut.
    parts_mm2: float  # Area of all parts.

    @property
    def sheets(self) -> int:
        """How many sheets it takes."""
        return len(self.used_mm)

    @property
    def yield_share(self) -> float:
        """Area of the parts against the area of sheet used up, the off-cut's full width not counted."""
        return self.parts_mm2 / (sum(self.used_mm) * self.sheet.width_mm)

    def placed(self, parts: Sequence[CutPart], sheet: int = 0) -> tuple[CutPart, ...]:
        """The parts of one sheet where they lie."""
        return tuple(parts[one.part].moved(one.turn, one.shift) for one in self.laid if one.sheet == sheet)


def nest(parts: Sequence[CutPart], sheet: SheetStock) -> Layout:
    """Parts, each as often as it is cut, laid out on as few sheets, and as little of the last one, as this finds.

    Raises:
        Refusal: There are no parts, or one does not fit on the sheet any way round that the grain allows.
    """
    if not parts:
        raise Refusal("there is nothing to lay out")
    ways = [_ways(part, sheet) for part in parts]
    for part, choices in zip(parts, ways, strict=True):
        _refuse_too_large(part, choices, sheet)
    layouts = [lay_shelves(ways, *_room(sheet)), *(lay_left(ways, order, *_room(sheet)) for order in _orders(ways))]
    best = min(layouts, key=lambda laid: _used(laid, sheet))
    return Layout(
        sheet=sheet,
        laid=tuple(sorted(best, key=lambda laid: laid.part)),
        used_mm=tuple(_used(best, sheet)[1]),
        parts_mm2=sum(part.area_mm2 for part in parts),
    )


def fits(part: CutPart, sheet: SheetStock) -> bool:
    """True when a part alone goes on a sheet in some way round that the grain allows."""
    return _fits(_ways(part, sheet), sheet)


def _ways(part: CutPart, sheet: SheetStock) -> list[Way]:
    """A part in every way round that is tried."""
    return [way_of(part, turn) for turn in _turns(hull_of(part), sheet.grain)]


def _fits(ways: Sequence[Way], sheet: SheetStock) -> bool:
    low, high, _ = _room(sheet)
    return any(way.fits(high - low) for way in ways)


def _room(sheet: SheetStock) -> tuple[complex, complex, float]:
    """Lower left and upper right corner of what parts may cover, and the spacing."""
    corner = complex(sheet.margin_mm, sheet.margin_mm)
    return corner, complex(sheet.length_mm, sheet.width_mm) - corner, sheet.spacing_mm


def _turns(hull: Polygon, grain: str) -> Iterator[complex]:
    """The ways round that are tried: square ones, and its two longest edges along the sheet, each both ways up."""
    if grain != "any":
        along = 1 + 0j if grain == "along" else -1j
        yield from (along, -along)
        return
    yield from (1 + 0j, 1j, -1 + 0j, -1j)
    sides = sorted((complex(b - a) for a, b in zip(hull, [*hull[1:], hull[0]], strict=True)), key=abs, reverse=True)
    for side in sides[:2]:
        turn = side.conjugate() / abs(side)
        if abs(math.sin(2 * cmath.phase(turn))) > 1e-6:
            yield from (turn, -turn)


def _orders(ways: Sequence[Sequence[Way]]) -> Iterator[list[int]]:
    """Orders of laying: by area, by the longer side, by the shorter side, the largest first."""
    first = [choices[0] for choices in ways]
    areas = (float((way.hull.conjugate() * np.roll(way.hull, -1)).imag.sum()) / 2 for way in first)
    measures = [(area, *sorted((way.size.real, way.size.imag))) for area, way in zip(areas, first, strict=True)]
    seen = []
    for which in (0, 2, 1):
        order = sorted(range(len(ways)), key=lambda i: (-measures[i][which], i))
        if order not in seen:
            seen.append(order)
            yield order


def _used(placed: Sequence[Laid], sheet: SheetStock) -> tuple[int, list[float]]:
    """How many sheets, and how much of each along its length."""
    sheets = 1 + max(laid.sheet for laid in placed)
    last = max(laid.right_mm for laid in placed if laid.sheet == sheets - 1) + sheet.margin_mm
    # only the last sheet leaves an off-cut that counts; of the others nothing is kept
    return sheets, [sheet.length_mm] * (sheets - 1) + [last]


def _refuse_too_large(part: CutPart, ways: Sequence[Way], sheet: SheetStock) -> None:
    if not _fits(ways, sheet):
        size = ways[0].size
        words = "{} is {} by {} and does not fit on a sheet of {} by {} with its margins; give a larger sheet"
        raise Refusal(
            message(words, part.spoken, mm(size.real), mm(size.imag), mm(sheet.length_mm), mm(sheet.width_mm)),
            "sheet_stock",
        )
