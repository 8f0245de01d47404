"""Where parts stand on a plate that they are welded to: the outline of each one's foot, as a mark of that plate.

A foot is what the root lines of a part's runs go round on the plate's face. A part that is welded there along a single
line, as an ear is to a plate that closes it, stands on nothing.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from plategen.bracket.model import Bracket, Mark, Plate, WeldRun
from plategen.flat.chain import Chain
from plategen.flat.convex import convex_hull
from plategen.flat.loop import polygon
from plategen.ground.space import Vector, dot, minus

WITHIN_MM = 0.05
"""Corners of a foot nearer to a straight line than this are on it."""

LEAST_MM = 1.0
"""A foot narrower than this is a line."""


def with_feet(bracket: Bracket) -> Bracket:
    """The bracket, each flat plate marked with the feet of the parts that stand on it."""
    under = {run.other for run in bracket.welds}
    plates = (
        replace(plate, marks=(*plate.marks, *_feet(plate, bracket.welds)))
        if plate.name in under and not plate.rolled_mm
        else plate
        for plate in bracket.plates
    )
    return replace(bracket, plates=tuple(plates))


def _feet(plate: Plate, welds: tuple[WeldRun, ...]) -> Iterator[Mark]:
    points: defaultdict[str, list[Vector]] = defaultdict(list)
    for run in welds:
        if run.other == plate.name:
            ends = (run.path.start, *(segment.end for segment in run.path))
            points[run.plate] += [run.placement.point(p) for p in ends]
    for part, roots in points.items():
        foot = convex_hull([plate.placement.flat(p) for p in roots], WITHIN_MM).tolist()
        loop = polygon(foot) if len(foot) > 2 else None
        if loop is None or abs(loop.area) < LEAST_MM * loop.length / 2.0:
            continue
        heights = [dot(minus(p, plate.placement.origin), plate.placement.normal) for p in roots]
        behind = sum(heights) / len(heights) < plate.thickness_mm / 2.0
        yield Mark(name=part, path=Chain(loop.segments), foot=True, behind=behind)
