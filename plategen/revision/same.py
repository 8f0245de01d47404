"""When two outlines or runs are the same, and where they lie on the rail, which stands still."""

from plategen.flat.segment import Segment
from plategen.work import Work

SAME_MM = 0.05
"""Outlines, holes and runs that differ by less are the same: a tenth of a good cut's own scatter."""


def on_rail(work: Work) -> complex:
    """What carries the plate frame into the straightedge's, where the rail stands still."""
    return complex(0.0, -work.rail.inline_offset_mm)


def same_run(a: tuple[Segment, ...], b: tuple[Segment, ...]) -> bool:
    """True when no point of either lies off the other."""
    return runs_along(a, b) and runs_along(b, a)


def runs_along(these: tuple[Segment, ...], others: tuple[Segment, ...]) -> bool:
    """True when these edges run along the others, and nowhere off them."""
    there = [s for s in others if s.start != s.end]
    return all(min(abs(s.point(s.nearest(p)) - p) for s in there) <= SAME_MM for p in points_along(these))


def points_along(segments: tuple[Segment, ...]) -> list[complex]:
    """Nine points of every edge, its ends among them."""
    return [segment.point(i / 8) for segment in segments for i in range(9)]
