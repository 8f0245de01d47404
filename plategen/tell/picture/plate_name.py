"""Where a plate's name stands in its drawing, and what is written under it: as much as there is room for."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import product

from plategen.bracket.model import Plate
from plategen.bracket.shape_mark import shape_mark
from plategen.flat.segment import Line
from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter
from plategen.tell.picture.place import Box, box_about
from plategen.tell.picture.plate_features import Datum, clear_place, clearances, facing, spoken, tape
from plategen.tell.picture.plate_foot import foot_lines
from plategen.work import Work

BOLD = 1.5
"""How much wider than its lettering the name itself is, being larger and bold."""

_CELLS = 24
"""Places tried along the plate, and across it."""


@dataclass(frozen=True, slots=True)
class NameBlock:
    """The name over its lines: the middle of four, the rows' step in mm, the lines, and the room they take."""

    at: complex
    row_mm: float
    lines: tuple[str, ...]
    box: Box

    def placed(self) -> Iterator[tuple[str, complex]]:
        """Each line under the name with its middle."""
        for number, words in enumerate(self.lines):
            yield words, self.at + self.row_mm * (0.5 - 1.3 * number) * 1j

    @property
    def name_at(self) -> complex:
        """The name's middle."""
        return self.at + 2.1j * self.row_mm


def name_block(
    work: Work, plate: Plate, datum: Datum | None, named: Sequence[Box], drafter: Drafter, show: Show
) -> NameBlock:
    """The name where the plate is widest, clear of edges, holes, the datum's lines and the words ``named``.

    Where there is no such room the rows come closer together, then the mark and the face are left to the tables.
    """
    h = drafter.height_mm
    thick = f"{tape(show, plate.thickness_mm)} {show.units} {plate.steel}"
    face = facing(work, plate).partition(",")[0].lower()
    rolled = (f"roll to R {tape(show, plate.rolled_mm)} inside",) if plate.rolled_mm else ()
    whole = (thick, f"mark {shape_mark(plate)}", *((face,) if face else ()), *rolled)
    fewer = (thick, *((face,) if face else ()), *rolled)
    u0, v0, u1, v1 = plate.outline.bounds
    lines_there = _clear_of(plate, datum)
    first = clear_place(plate, lines_there)
    steps = range(1, _CELLS)
    grid = [complex(u0 + (u1 - u0) * i / _CELLS, v0 + (v1 - v0) * j / _CELLS) for i, j in product(steps, repeat=2)]
    near = [first, *sorted(grid, key=lambda p: abs(p - first))]
    for lines, pitch in ((whole, 1.0), (whole, 0.85), (fewer, 1.0), (fewer, 0.85), (fewer[:1], 0.85)):
        for block in (_block(plate, lines, at, pitch * h, drafter) for at in near):
            over = any(map(block.box.meets, named)) or any(block.box.crossed(e.start, e.end) for e in lines_there)
            if not over and min(clearances(plate, tuple(block.box.spots()))) > 0.2 * h:
                return block
    return _block(plate, whole, first, 0.85 * h, drafter)


def _block(plate: Plate, lines: tuple[str, ...], at: complex, row_mm: float, drafter: Drafter) -> NameBlock:
    h = drafter.height_mm
    wide = max(BOLD * drafter.width(spoken(plate)), *map(drafter.width, lines)) + 0.4 * h
    high, low = 2.1 * row_mm + 0.7 * h, (0.5 - 1.3 * (len(lines) - 1)) * row_mm - 0.5 * h
    return NameBlock(at, row_mm, lines, box_about(at + 0.5j * (high + low), wide, high - low))


def _clear_of(plate: Plate, datum: Datum | None) -> list[Line]:
    """The lines that the name keeps clear of: feet, what is scribed, the datum's line and its square."""
    scribed = (edge for mark in plate.marks if not mark.foot for edge in mark.path)
    lines = [*foot_lines(plate), *(edge for edge in scribed if isinstance(edge, Line))]
    if datum is not None:
        (u0, v0, u1, v1), u, v = plate.outline.bounds, datum.at.real, datum.at.imag
        lines += [Line(complex(u, v0), complex(u, v1)), Line(complex(u0, v), complex(u1, v))]
    return lines
