"""The linkage as bare lines at n positions at once, on the frame or on an axle that moves; nothing here knows how they
are drawn.
"""

from collections.abc import Collection, Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from plategen.steering.motion import Motion
from plategen.steering.mount import Mount
from plategen.steering.roll import ON_LINE_MM
from plategen.steering.vector import Floats, array, as_point, dot, length

LineKind: TypeAlias = Literal["lever", "rod", "cylinder"]
"""What a line stands for."""


@dataclass(frozen=True, slots=True)
class MovingLine:
    """A straight part of the linkage at n positions: both its ends, (n, 3) each, in the vehicle frame."""

    part: str
    kind: LineKind
    start_mm: Floats
    end_mm: Floats


def moving_lines(
    motion: Motion, mounts: Mapping[str, Mount], *, without: Collection[str] = ()
) -> tuple[MovingLine, ...]:
    """Every lever from its axis to each of its balls, every rod, and each cylinder with the arm of its moving pin; but
    the levers ``without`` which it is asked.
    """
    lines = []
    for lever in (each for each in motion.linkage.levers if each.name not in without):
        for ball, drawn in lever.balls.items():
            foot = motion.carried_mm(lever.name, as_point(lever.foot_mm(drawn)))
            lines.append(MovingLine(f"{lever.name}.{ball}", "lever", foot, motion.ball_mm((lever.name, ball))))
    lines += [MovingLine(rod.name, "rod", *motion.rod_ends_mm(rod.name)) for rod in motion.linkage.rods]
    for name, mount in mounts.items():
        moving = mount.moving_path_mm(motion)
        fixed = np.broadcast_to(array(mount.fixed_mm), moving.shape)
        lines.append(MovingLine(name, "cylinder", fixed, moving))
        foot = _foot_mm(motion, mount, moving)
        if mount.pushes not in without and float(length(moving - foot).max()) > ON_LINE_MM:
            pin = "moving pin" if name == next(iter(mounts)) else f"{name}'s moving pin"
            lines.append(MovingLine(f"{pin}'s arm", "lever", foot, moving))
    return tuple(lines)


def _foot_mm(motion: Motion, mount: Mount, moving_mm: Floats) -> Floats:
    """The point of the pushed rod, ball to ball, or of the pushed lever's axis, nearest to the moving pin, (n, 3)."""
    if any(rod.name == mount.pushes for rod in motion.linkage.rods):
        start, end = motion.rod_ends_mm(mount.pushes)
        along = motion.rod_direction(mount.pushes)
        at = np.minimum(np.maximum(dot(along, moving_mm - start), 0.0), dot(along, end - start))
        return np.asarray(start + along * at[:, None])
    return motion.carried_mm(mount.pushes, as_point(motion.linkage.lever(mount.pushes).foot_mm(mount.moving_mm)))
