"""What a shop without a table does to a plate: where a hand torch runs, and which corners are drilled before a saw."""

from collections.abc import Iterator
from itertools import pairwise

from plategen.bracket.model import Plate
from plategen.flat.loop import Circle, Loop
from plategen.flat.segment import Arc, cross, dot
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.rules.cutting_feed import feed

LEAVE_MM = 1.5
"""What a torch led by hand leaves outside the line, to be ground off (common practice, no source)."""

CORNER_DRILL_MM: dict[Units, float] = {"in": 25.4 * 5 / 16, "mm": 8.0}
"""Drill for an inner corner, which a saw's blade turns in (common practice, no source)."""

LEAST_TURN = 0.1
"""Sine of the least turn of an inner corner that is drilled; two saw cuts meet in a flatter one."""

_SAME_MM = 1e-6


def kerf_mm(job: Job, plate: Plate) -> float:
    """Width of the cut: the job's, else what is usual for a hand torch in plate of that thickness; 0 for a table."""
    if job.cutting.kerf_mm or not job.cutting.by_hand:
        return job.cutting.kerf_mm
    try:
        return feed(job.cutting.process, plate.thickness_mm).kerf_mm
    except Refusal:  # thicker than the table goes
        return 0.0


def torch_line_mm(job: Job, plate: Plate) -> float:
    """Width of the line outside every edge in which a hand torch runs; 0 where there is none.

    It is the paper's, else for a hand torch the width of its cut and what is left to grind.
    """
    if job.paper.torch_line_mm or job.cutting.process != "hand torch":
        return job.paper.torch_line_mm
    return kerf_mm(job, plate) + LEAVE_MM


def drilled_corners(job: Job, plate: Plate) -> tuple[Circle, ...]:
    """What is drilled before a plate is sawn: reliefs, ends of slots, and a hole in the waste at every inner corner.

    None for another process, or where two cuts meet in a corner too flat to turn a blade in, or without room for it.
    """
    if not job.cutting.straight or plate.role == "wall":
        return ()
    radius = CORNER_DRILL_MM[job.units] / 2
    found: list[Circle] = []
    for loop in (plate.outline, *plate.openings):
        steel_left = loop if (loop.area > 0.0) == (loop is plate.outline) else loop.reversed()
        for circle in _hollows(steel_left, radius):
            if all(abs(circle.centre - other.centre) > _SAME_MM for other in found):
                found.append(circle)
    return tuple(found)


def _hollows(loop: Loop, radius: float) -> Iterator[Circle]:
    """Circles in the waste, right of a loop with the steel on its left."""
    edges = loop.segments
    for before, edge in pairwise((edges[-1], *edges)):
        if isinstance(edge, Arc) and edge.sweep_rad < 0.0:
            yield Circle(edge.centre, edge.radius)
        into, out = before.end_tangent, edge.start_tangent
        if cross(into, out) < -LEAST_TURN:
            at = edge.start + (into + out) * -1j * radius / (1.0 + dot(into, out))
            if loop.distance(at) >= radius - _SAME_MM:
                yield Circle(at, radius)
