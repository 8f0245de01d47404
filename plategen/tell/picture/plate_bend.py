"""The bends of a plate in its drawing: where each begins and ends, and what is done there."""

import math
from collections.abc import Iterator

from plategen.bracket.model import Plate
from plategen.bracket.unfold import bend_limits, bend_line, bends_in
from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter
from plategen.tell.picture.place import Box, box_about
from plategen.tell.picture.plate_features import tape
from plategen.work import Work

SHARE, OVER = 0.32, 0.85
"""Where along a bend its words stand, and how far outside its line, in letterings."""


def named_bends(work: Work, plate: Plate, drafter: Drafter, show: Show) -> Iterator[tuple[str, complex, Box]]:
    """What is done at each bend, the middle of those words, and the room that they take with the bend's lines."""
    h = drafter.height_mm
    for number, bend in enumerate(bends_in(work.bracket, plate), start=1):
        line = bend_line(bend)
        words = f"bend {number}: up {math.degrees(bend.turn_rad):.1f}°, R {tape(show, bend.inside_mm)}"
        at = line.point(line.length * SHARE) + bend.side * OVER * 1j * h
        yield words, at, box_about(line.point(line.length / 2.0), line.length, bend.allowance_mm + h)


def drawn_bends(work: Work, plate: Plate, drafter: Drafter, show: Show) -> Iterator[str]:
    """Where each begins and ends, and its words; its middle is a mark of the plate."""
    for bend in bends_in(work.bracket, plate):
        yield from (drafter.line(limit.start, limit.end, "bend-line") for limit in bend_limits(bend))
    for words, at, _ in named_bends(work, plate, drafter, show):
        yield drafter.words(words, at, kind="on-steel", size=0.92)
