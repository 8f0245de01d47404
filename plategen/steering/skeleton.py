"""The linkage as bare lines: levers, rods, cylinder at three positions, axes, and the paths of the balls between
the locks. Drawings and the solid room both take these; nothing here knows how they are drawn.
"""

from dataclasses import dataclass
from typing import Literal

import numpy as np

from plategen.steering.study import SteeringStudy
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats, Point, array, as_point, dot, unit

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
    for where, i in positions:
        lines += _linkage(swept, where, i)
        if study.in_line is not None:
            pin = study.in_line.mount.fixed_mm
            moving = as_point(study.in_line.pins.moving_mm[i])
            lines.append(SkeletonLine("cylinder", "cylinder", where, (pin, moving)))
            foot = _carrier(swept, study.in_line.mount.pushes, study.in_line.pins.moving_mm[i], i)
            lines.append(SkeletonLine("moving pin's arm", "lever", where, (foot, moving)))
    return tuple(lines)


def _linkage(swept: Sweep, where: Where, i: int) -> list[SkeletonLine]:
    lines = []
    for lever in swept.linkage.levers:
        for ball in lever.balls:
            place = swept.motion.ball_mm((lever.name, ball))[i]
            ends = (as_point(lever.foot_mm(place)), as_point(place))
            lines.append(SkeletonLine(f"{lever.name}.{ball}", "lever", where, ends))
    for rod in swept.linkage.rods:
        start, end = swept.motion.rod_ends_mm(rod.name)
        lines.append(SkeletonLine(rod.name, "rod", where, (as_point(start[i]), as_point(end[i]))))
    return lines


def _carrier(swept: Sweep, pushes: str, moving: Floats, i: int) -> Point:
    """The point of the pushed rod's line, or of the pushed lever's axis, nearest to the moving pin."""
    if any(rod.name == pushes for rod in swept.linkage.rods):
        start, end = (ball[i] for ball in swept.motion.rod_ends_mm(pushes))
        along = unit(end - start)
        return as_point(start + along * dot(along, moving - start))
    return as_point(swept.linkage.lever(pushes).foot_mm(moving))


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
    picked = np.unique(np.linspace(0, len(path) - 1, PATH_POINTS).round().astype(int))
    return tuple(as_point(path[i]) for i in picked)
