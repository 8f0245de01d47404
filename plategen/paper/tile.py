"""Cutting a true-scale drawing into sheets that overlap, with marks that meet where two sheets join.

Everything is in the plate's own coordinates, so a mark that lies in two windows is printed at the same place of the
plate on both sheets: laid over each other, they meet. Rows count from the top, as one reads.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import product

from plategen.paper.ink import Window
from plategen.paper.size import Sheet, sheets

OVERLAP_MM = 16.0
"""Shared by neighbouring sheets: wide enough for a mark and a strip of tape."""

CLEAR_MM, LEAST_CLEAR_MM = 12.0, 5.0
"""Distance kept from the outline to the window's edge, for words beside it; the least where it saves a sheet."""

TIGHT_CLEAR_MM = (LEAST_CLEAR_MM, 2.0)
"""The same where a whole plate just fits a sheet; the words beside it then stand on its steel."""

HOLE_CLEAR_MM = 30.0
"""Far enough from a hole's centre for a joining line."""

MARK_MM = 5.0
"""Half the height of a joining mark."""

MARK_CLEAR_MM = 12.0
"""Far enough from a line that is cut for a joining mark and its letter."""


@dataclass(frozen=True, slots=True)
class Joint:
    """A mark on a joining edge: the same letter is printed on every sheet that shows it."""

    label: str
    at: complex


@dataclass(frozen=True, slots=True)
class Tile:
    """One sheet's share: row and column from 1, and the window's lower left corner in the plate's coordinates."""

    row: int
    column: int
    corner: complex


@dataclass(frozen=True, slots=True)
class Tiling:
    """A plate's sheets in reading order, from the top left, row by row, with every joining mark.

    ``lines`` are joining lines, each from end to end: trim one sheet there and lay it on the other's.
    """

    sheet: Sheet
    rows: int
    columns: int
    tiles: tuple[Tile, ...]
    joints: tuple[Joint, ...]
    lines: tuple[tuple[complex, complex], ...]

    @property
    def windows(self) -> tuple[Window, ...]:
        """What each sheet shows of the plate."""
        _, _, width, height = self.sheet.window
        return tuple(Window(tile.corner, tile.corner + complex(width, height)) for tile in self.tiles)

    def seen(self, tile: Tile) -> tuple[Joint, ...]:
        """The marks that lie wholly in a tile's window."""
        _, _, width, height = self.sheet.window
        inside = complex(width - MARK_MM, height - MARK_MM)
        return tuple(
            joint
            for joint in self.joints
            if MARK_MM <= (at := joint.at - tile.corner).real <= inside.real and MARK_MM <= at.imag <= inside.imag
        )


def tiling(
    bounds: tuple[float, float, float, float], paper: str, holes: Sequence[complex] = (), edges: Sequence[complex] = ()
) -> Tiling:
    """The fewest sheets that show the whole of ``bounds`` (smallest u, v, largest u, v).

    The room to spare decides where the drawing lies on them: so that no joining line runs near a hole, else in the
    middle. Joining marks keep clear of ``edges``, points of the lines that are cut.

    Raises:
        Refusal: If there is no such paper.
    """
    u0, v0, _, _ = bounds
    ways = [(sheet, clear) for clear in (CLEAR_MM, LEAST_CLEAR_MM) for sheet in sheets(paper, *_size(bounds, clear))]
    # the bars leave no room for joining words beside them, so only a whole plate stands on a tight sheet
    tight = (
        (each, clear) for sheet, _ in ways[:2] for clear in TIGHT_CLEAR_MM if (each := sheet.tightened) is not None
    )
    ways += [way for way in tight if math.prod(_counts(bounds, *way)) == 1]
    sheet, clear = min(ways, key=lambda way: math.prod(_counts(bounds, *way)))
    width, height = _size(bounds, clear)
    _, _, wide, tall = sheet.window
    columns, rows = _counts(bounds, sheet, clear)
    step = complex(wide - OVERLAP_MM, tall - OVERLAP_MM)
    covered = complex(wide + (columns - 1) * step.real, tall + (rows - 1) * step.imag)
    spare = covered - complex(width, height)
    lower_left = complex(
        _begin(u0 - clear, spare.real, step.real, columns, [h.real for h in holes]),
        _begin(v0 - clear, spare.imag, step.imag, rows, [h.imag for h in holes]),
    )
    upper = lower_left.imag + (rows - 1) * step.imag
    tiles = tuple(
        Tile(row + 1, column + 1, complex(lower_left.real + column * step.real, upper - row * step.imag))
        for row in range(rows)
        for column in range(columns)
    )
    return Tiling(sheet, rows, columns, tiles, *_joints(lower_left, step, wide, tall, rows, columns, edges))


def _size(bounds: tuple[float, float, float, float], clear: float) -> tuple[float, float]:
    u0, v0, u1, v1 = bounds
    return u1 - u0 + 2 * clear, v1 - v0 + 2 * clear


def _counts(bounds: tuple[float, float, float, float], sheet: Sheet, clear: float) -> tuple[int, int]:
    """How many sheets side by side, and one above the other."""
    reach = zip(_size(bounds, clear), sheet.window[2:], strict=True)
    across, up = (max(1, math.ceil((x - OVERLAP_MM) / (window - OVERLAP_MM) - 1e-9)) for x, window in reach)
    return across, up


def _begin(low: float, spare: float, step: float, count: int, holes: Sequence[float]) -> float:
    """Where the first window begins along one axis: as far from holes as helps, then as near the middle as can be."""
    shares = [0.5 + sign * i / 20 for i in range(11) for sign in (1, -1)]

    def away(share: float) -> float:
        begin = low - spare * share
        joins = [begin + i * step + OVERLAP_MM / 2 for i in range(1, count)]
        return min(HOLE_CLEAR_MM, *(abs(join - hole) for join in joins for hole in holes), HOLE_CLEAR_MM)

    return low - spare * max(shares, key=away)


def _joints(
    lower_left: complex, step: complex, wide: float, tall: float, rows: int, columns: int, edges: Sequence[complex]
) -> tuple[tuple[Joint, ...], tuple[tuple[complex, complex], ...]]:
    """Two marks on every joining edge, about a quarter of the window from its ends, and the joining lines."""
    left, bottom = lower_left.real, lower_left.imag
    right, top = left + wide + (columns - 1) * step.real, bottom + tall + (rows - 1) * step.imag
    uprights = [left + c * step.real + OVERLAP_MM / 2 for c in range(1, columns)]
    levels = [bottom + r * step.imag + OVERLAP_MM / 2 for r in range(rows - 1, 0, -1)]
    places = [
        _clear(complex(u, bottom + (rows - 1 - row) * step.imag), share, tall * 1j, edges)
        for u, row, share in product(uprights, range(rows), (0.75, 0.25))
    ] + [
        _clear(complex(left + column * step.real, v), share, wide + 0j, edges)
        for v, column, share in product(levels, range(columns), (0.25, 0.75))
    ]
    lines = [(complex(u, bottom), complex(u, top)) for u in uprights]
    lines += [(complex(left, v), complex(right, v)) for v in levels]
    return tuple(Joint(_letters(i), at) for i, at in enumerate(places)), tuple(lines)


def _clear(start: complex, share: float, along: complex, edges: Sequence[complex]) -> complex:
    """The place nearest to ``share`` of an edge that is clear of cut lines, or the clearest."""
    shifts = [sign * i / 50 for i in range(9) for sign in (1, -1)]

    def away(shift: float) -> float:
        at = start + along * (share + shift)
        return min(MARK_CLEAR_MM, *(abs(at - p) for p in edges), MARK_CLEAR_MM)

    return start + along * (share + max(shifts, key=away))


def _letters(index: int) -> str:
    """A, B, ... Z, AA, AB, ..."""
    text, left = "", index + 1
    while left:
        left, digit = divmod(left - 1, 26)
        text = chr(65 + digit) + text
    return text
