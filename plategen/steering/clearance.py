"""Tyre against frame or radius arm over the sweep: the least gap, with an allowance for the tyre's own deflection."""

from dataclasses import dataclass

import numpy as np

from plategen.job.steering_equipment import BarEntry
from plategen.steering.motion import Motion
from plategen.steering.vector import Floats, Point, array, dot, turned, unit

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
