"""How far points go, how rods lie and what the tyres clear over a sweep."""

from dataclasses import dataclass

import numpy as np

from plategen.job.steering_equipment import BarEntry
from plategen.steering.motion import Motion
from plategen.steering.vector import Floats, Point, array, as_point, cross, dot, length, turned, unit


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


DEFLECTION_MM = (12.7, 25.4)
"""How far a tyre's side moves under load: half an inch to an inch (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TyreSize:
    """A tyre as a plain ring, drawn straight ahead."""

    lever: str  # The spindle that carries it.
    centre_mm: Point  # Middle of the tyre.
    radius_mm: float  # Outside radius.
    width_mm: float  # Section width.
    axle: Point = (0.0, 1.0, 0.0)  # Direction of the wheel's spindle; level and to the left when left out.


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """Least gap of one tyre to one bar along the sweep (n,), and what is left of the least with the tyre deflected."""

    tyre: str
    bar: str
    gap_mm: Floats

    @property
    def least_mm(self) -> float:
        """The least gap of the sweep, tyre undeflected."""
        return float(self.gap_mm.min())

    def left_mm(self, deflection_mm: float) -> float:
        """What is left of it with the tyre deflected by so much."""
        return self.least_mm - deflection_mm


def clearance(motion: Motion, tyre: TyreSize, bar: BarEntry, *, along: int = 129) -> Clearance:
    """Gap between a tyre and a bar at every position.

    The bar is taken as points along its middle, the tyre as a solid ring of rectangular section: the distance from a
    point to it is exact, so the gap is too but for the spacing of the points (``along``): never off the true one
    by more than half that spacing.
    """
    lever = motion.linkage.lever(tyre.lever)
    angles = motion.angles_rad[tyre.lever]
    centre = motion.carried_mm(tyre.lever, tyre.centre_mm)
    axle = turned(unit(array(tyre.axle)), array(lever.axis), angles)
    points = array(bar.start_mm) + np.linspace(0.0, 1.0, along)[:, None] * (array(bar.end_mm) - array(bar.start_mm))
    offset = points[None, :, :] - centre[:, None, :]
    sideways = np.abs(dot(offset, axle[:, None, :]))
    outward = np.sqrt(np.maximum(dot(offset, offset) - sideways**2, 0.0))
    beside = sideways - tyre.width_mm / 2.0
    beyond = outward - tyre.radius_mm
    gap = np.where((beside > 0.0) & (beyond > 0.0), np.hypot(beside, beyond), np.maximum(beside, beyond))
    return Clearance(tyre=tyre.lever, bar=bar.name, gap_mm=gap.min(axis=1) - bar.diameter_mm / 2.0)
