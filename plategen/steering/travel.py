"""How far points go and how rods lie over a sweep."""

from dataclasses import dataclass

import numpy as np

from plategen.steering.motion import Motion
from plategen.steering.vector import Floats, array, as_point, cross, dot, length


@dataclass(frozen=True, slots=True)
class Travel:
    """How far a point goes between the locks: along its path, from lock to lock, each way, and the box it stays in."""

    path_mm: float
    chord_mm: float
    to_left_mm: float
    to_right_mm: float
    low_mm: tuple[float, float, float]
    high_mm: tuple[float, float, float]

    @classmethod
    def of(cls, path_mm: Floats, straight: int) -> "Travel":
        """From the places (n, 3), right lock first, straight ahead at index ``straight``."""
        pieces = length(np.diff(path_mm, axis=0))
        return cls(
            float(pieces.sum()),
            float(length(path_mm[-1] - path_mm[0])),
            float(length(path_mm[-1] - path_mm[straight])),
            float(length(path_mm[0] - path_mm[straight])),
            as_point(path_mm.min(axis=0)),
            as_point(path_mm.max(axis=0)),
        )


@dataclass(frozen=True, slots=True)
class RodAngles:
    """How a rod lies over the sweep."""

    rod: str  # Its name.
    plan_rad: Floats  # Direction seen from above, (n,).
    rise_rad: Floats  # Rise above level, (n,).
    # Largest tilt of its ball joints out of the plane square to their lever's axis (studs taken to stand along
    # the axes).
    largest_tilt_rad: float
    # Smallest transmission angle at either end: the angle whose sine is the rod's moment arm over the lever's
    # arm. 90 deg is best, 0 a dead point.
    least_transmission_rad: float


def rod_angles(motion: Motion, rod: str) -> RodAngles:
    """How a rod lies and how far its joints tilt, over the sweep."""
    start, end = motion.rod_ends_mm(rod)
    along = end - start
    ends = motion.linkage.rod(rod)
    plan = np.unwrap(np.arctan2(along[:, 1], along[:, 0]))
    rise = np.arcsin(np.clip(along[:, 2] / length(along), -1.0, 1.0))
    tilts, leverages = [], []
    for name, ball in ((ends.start[0], start), (ends.end[0], end)):
        lever = motion.linkage.lever(name)
        axis = array(lever.axis)
        tilts.append(np.abs(np.arcsin(np.clip(dot(along, axis) / length(along), -1.0, 1.0))))
        radius = cross(axis, ball - array(lever.pivot_mm))
        leverages.append(np.abs(dot(radius, along)) / (length(radius) * length(along)))
    least = float(np.arcsin(np.clip(np.min(leverages), 0.0, 1.0)))
    return RodAngles(rod, plan, rise, float(np.max(tilts)), least)
