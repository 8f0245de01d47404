"""The linkage as bare lines: levers, rods, cylinder at three positions, axes, and the paths of the balls between
the locks. Drawings and the solid room both take these; nothing here knows how they are drawn.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from plategen.ground.order import distinct
from plategen.steering.moving import moving_lines
from plategen.steering.study import SteeringStudy
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats, Point, array, as_point, dot

Where = Literal["right lock", "straight ahead", "left lock", "all"]
Kind = Literal["lever", "rod", "cylinder", "axis", "path"]
"""Where the steering stands, and what a line of it is."""

AXIS_HALF_MM = 60.0
PATH_POINTS = 41
"""Half of an axis as drawn, and points of a path."""


@dataclass(frozen=True, slots=True)
class SkeletonLine:
    """A polyline in the vehicle frame."""

    part: str  # What the shop calls it: ``"tie rod"``, ``"left spindle.drag"``.
    kind: Kind  # What it stands for.
    where: Where  # At which position of the sweep, or ``all`` for what does not move and for paths.
    points_mm: tuple[Point, ...]  # Two or more points.

    @property
    def name(self) -> str:
        """Its part with its position, or with its kind where it has none: ``"tie rod, left lock"``."""
        return f"{self.part}, {self.kind if self.where == 'all' else self.where}"


def skeleton(study: SteeringStudy) -> tuple[SkeletonLine, ...]:
    """All lines of a study's linkage; empty when only a travel was measured."""
    swept = study.sweep
    if swept is None:
        return ()
    positions: tuple[tuple[Where, int], ...] = (
        ("right lock", 0),
        ("straight ahead", swept.straight),
        ("left lock", len(swept) - 1),
    )
    lines = [*_axes(swept), *_paths(study, swept)]
    moving = moving_lines(swept.motion, study.mounts)
    for where, i in positions:
        for line in moving:
            ends = (as_point(line.start_mm[i]), as_point(line.end_mm[i]))
            lines.append(SkeletonLine(line.part, line.kind, where, ends))
    return tuple(lines)


def _axes(swept: Sweep) -> list[SkeletonLine]:
    lines = []
    for lever in swept.linkage.levers:
        axis, pivot = array(lever.axis), array(lever.pivot_mm)
        along = [float(dot(axis, array(p) - pivot)) for p in lever.balls.values()]
        low, high = min(along) - AXIS_HALF_MM, max(along) + AXIS_HALF_MM
        ends = (as_point(pivot + axis * low), as_point(pivot + axis * high))
        lines.append(SkeletonLine(lever.name, "axis", "all", ends))
    return lines


def _paths(study: SteeringStudy, swept: Sweep) -> list[SkeletonLine]:
    lines = [
        SkeletonLine(f"{lever.name}.{ball}", "path", "all", _thinned(swept.motion.ball_mm((lever.name, ball))))
        for lever in swept.linkage.levers
        for ball in lever.balls
    ]
    if study.in_line is not None:
        lines.append(SkeletonLine("moving pin", "path", "all", _thinned(study.in_line.pins.moving_mm)))
    return lines


def _thinned(path: Floats) -> tuple[Point, ...]:
    picked = distinct(np.linspace(0, len(path) - 1, PATH_POINTS).round().astype(int))
    return tuple(as_point(path[i]) for i in picked)
