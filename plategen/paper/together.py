"""Which plates stand beside each other on one page: small ones have equal parts of a sheet, each with its own words."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from plategen.bracket.shape_mark import shape_mark
from plategen.cut.by_hand import torch_line_mm
from plategen.paper.ink import Ink, Room, Stroke, Window, Words
from plategen.paper.plate_ink import ink_of
from plategen.paper.share import Sharing
from plategen.paper.size import ROLL, Sheet, sheets
from plategen.paper.tile import CLEAR_MM, Tile, Tiling
from plategen.work import Work

PARTS: tuple[tuple[int, int], ...] = ((1, 1), (1, 2), (2, 2), (2, 3), (3, 3))
"""Parts across and along an upright sheet, each row's inside those of the row before; on its side it is turned too."""


@dataclass(frozen=True, slots=True)
class Shown:
    """What a page shows of plates that share a drawing: a tile of theirs, and their ink, of which it shows a window."""

    plates: Sharing
    tiles: Tiling
    tile: Tile
    ink: tuple[Ink, ...]


def together(work: Work, small: Sequence[Sharing], paper: str) -> list[tuple[Shown, ...]]:
    """The pages that hold several of the plates which take a sheet each, so that the fewest pages are left."""
    ways = [list(_pages(work, small, sheet)) for sheet in sheets(paper, 0.0, 0.0) if sheet.name != ROLL]
    return max(ways, key=lambda pages: sum(len(page) - 1 for page in pages), default=[])


def _pages(work: Work, small: Sequence[Sharing], sheet: Sheet) -> Iterator[tuple[Shown, ...]]:
    """Pages of a sheet, those of the largest plates first; smaller ones take the parts that are left over."""
    parts = {i: _most_parts(work, plates, sheet) for i, plates in enumerate(small)}
    shapes = [(plates[0].role, shape_mark(plates[0])) for plates in small]
    while parts := {i: row for i, row in parts.items() if row}:
        row, page = min(parts.values()), list[Shown]()
        places = _places(row, sheet)
        for i in sorted(parts, key=parts.__getitem__):
            if len(page) == len(places):
                break
            if parts[i] < row:
                continue
            if shown := _in_part(work, small[i], places[len(page)]):
                page.append(shown)
                parts[i] = 0
            else:  # words that have no room there, nor those of its like, ask for a larger part
                parts |= {k: min(most, row - 1) for k, most in parts.items() if shapes[k] == shapes[i]}
        if len(page) > 1:
            yield tuple(page)


def _places(row: int, sheet: Sheet) -> list[Sheet]:
    """The parts of a sheet in reading order."""
    across, along = PARTS[row] if sheet.height_mm >= sheet.width_mm else PARTS[row][::-1]
    left, bottom, width, height = sheet.window
    wide, tall = width / across, height / along
    return [
        replace(sheet, part=(left + i * wide, bottom + (along - 1 - j) * tall, wide, tall))
        for j in range(along)
        for i in range(across)
    ]


def _size(work: Work, plates: Sharing) -> tuple[complex, complex]:
    """Middle and size of a plate with its torch line and the room about it."""
    u0, v0, u1, v1 = plates[0].outline.bounds
    more = 2.0 * (CLEAR_MM + torch_line_mm(work.job, plates[0]))
    return complex(u0 + u1, v0 + v1) / 2.0, complex(u1 - u0 + more, v1 - v0 + more)


def _most_parts(work: Work, plates: Sharing, sheet: Sheet) -> int:
    """The row of :data:`PARTS` with the most parts that take the plate; 0 where it wants the whole sheet."""
    size = _size(work, plates)[1]

    def takes(row: int) -> bool:
        _, _, wide, tall = _places(row, sheet)[0].window
        return size.real <= wide and size.imag <= tall

    return max((row for row in range(1, len(PARTS)) if takes(row)), default=0)


def _in_part(work: Work, plates: Sharing, part: Sheet) -> Shown | None:
    """A plate in the middle of a part of a sheet, or over it where its name goes under; None for want of room."""
    middle, size = _size(work, plates)
    _, _, wide, tall = part.window
    for low in (0.0, (tall - size.imag) / 2.0):
        tile = Tile(1, 1, middle - complex(wide, tall + low) / 2.0)
        tiles = Tiling(part, 1, 1, (tile,), (), ())
        ink = ink_of(work.of(plates[0]), plates[0], tiles.windows, (), plates[1:])
        if _clear(ink, tiles.windows[0]):
            return Shown(plates, tiles, tile, ink)
    return None


def _clear(ink: Sequence[Ink], window: Window) -> bool:
    """Whether every word stands whole in the window, off the lines that are cut and off other words."""
    room = Room((window,))
    room.take(item for item in ink if isinstance(item, Stroke) and item.weight == "cut")
    for words in (item for item in ink if isinstance(item, Words)):
        if room.cost(words) > 0.0:
            return False
        room.take((words,))
    return True
