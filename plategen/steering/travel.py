"""How far points go and how rods lie over a sweep."""

from dataclasses import dataclass

import numpy as np

from plategen.steering.motion import Motion
from plategen.steering.rates import spin_mm
from plategen.steering.vector import Floats, array, as_point, bearing_rad, dot, length, unwrapped


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
    plan = unwrapped(bearing_rad(along))
    size = length(along)
    rise = np.arcsin(np.clip(along[:, 2] / size, -1.0, 1.0))
    tilts, leverages = [], []
    for (name, where), ball in ((ends.start, start), (ends.end, end)):
        lever = motion.linkage.lever(name)
        axis = array(lever.axis)
        tilts.append(np.abs(dot(along, axis) / size).max())
        leverages.append((np.abs(dot(spin_mm(lever, ball), along)) / size).min() / lever.arm_mm(where))
    tilt, least = (float(np.arcsin(np.clip(each, 0.0, 1.0))) for each in (max(tilts), min(leverages)))
    return RodAngles(rod, plan, rise, tilt, least)
