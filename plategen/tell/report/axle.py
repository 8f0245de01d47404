"""The moving axle's part of the steering study in the report."""

import math
from typing import TYPE_CHECKING, Annotated

import numpy as np

from plategen.steering.vector import Floats
from plategen.tell.report.encode import Level, Maybe, Pair, about
from plategen.tell.report.linkage import range_deg

if TYPE_CHECKING:
    from plategen.steering.axle import AxleTravel
    from plategen.steering.study import SteeringStudy


class AxlePlaceReport(Level, frozen=True, kw_only=True):
    """The steering at one place of the axle."""

    rise_mm: Annotated[float, about("Height of the axle's middle over where it is drawn.")]
    roll_deg: Annotated[float, about("Roll, left side up positive.")]
    bump_steer_deg: Annotated[float, about("Mean turn of the wheels with the steering wheel held, left positive.")]
    toe_in_deg: Annotated[Maybe, about("Change of toe-in.")]
    shortest_mm: Annotated[Maybe, about("Least pin to pin from lock to lock there.")]
    longest_mm: Annotated[Maybe, about("Greatest pin to pin.")]
    left_closing_mm: Annotated[Maybe, about("Stroke left at the closed end; negative where it bottoms.")]
    left_opening_mm: Annotated[Maybe, about("Stroke left at the open end.")]
    swing_deg: Annotated[Pair | None, about("Least and greatest swing in the plates' plane, lock to lock.")]
    out_of_plane_deg: Annotated[Pair | None, about("The same out of it.")]
    box_deg: Annotated[Pair, about("Turn of the box's arm to the right and to the left lock.")]
    clears_mm: Annotated[Maybe, about("Least gap of the pair `clears`; null where no tyre is followed.")]


class RodTiltReport(Level, frozen=True, kw_only=True):
    """A rod's ball joints over the axle's travel."""

    rod: Annotated[str, about("The rod's name.")]
    tilt_deg: Annotated[float, about("Largest tilt of its ball joints.")]


class AxleReport(Level, frozen=True, kw_only=True):
    """The steering with its axle moved."""

    bump_steer_deg_per_m: Annotated[Maybe, about("Bump steer next to ride height, for a metre of travel.")]
    places: Annotated[tuple[AxlePlaceReport, ...], about("Every place of the axle, ride height first.")]
    clears: Annotated[
        str | None, about("Tyre and part of the linkage that come nearest to each other; null where none is followed.")
    ]
    joint_tilts: Annotated[tuple[RodTiltReport, ...], about("Every rod with the largest tilt of its ball joints.")]
    swing_deg: Annotated[tuple[float, float] | None, about("Swing at the fixed pin over all of it.")]
    out_of_plane_deg: Annotated[tuple[float, float] | None, about("The same out of the plates' plane.")]


def axle_report(study: "SteeringStudy") -> AxleReport | None:
    """The axle's travel; None where the job does not ask for it."""
    axle = study.axle
    if axle is None:
        return None
    rate, lies = axle.rate_rad_per_mm, axle.swing
    moved = [each for each in study.clearances if each.axle_moved]
    nearest = min(moved, key=lambda each: each.least_mm, default=None)
    every = np.arange(len(axle.motion))
    gaps = None if nearest is None else nearest.gaps_mm(every).reshape(len(axle.rise_mm), -1).min(axis=1)
    return AxleReport(
        bump_steer_deg_per_m=None if rate is None else math.degrees(rate) * 1000.0,
        places=tuple(_place(study, axle, i, gaps) for i in range(len(axle.rise_mm))),
        clears=None if nearest is None else f"{nearest.tyre} to {nearest.bar}",
        joint_tilts=tuple(RodTiltReport(rod=rod, tilt_deg=math.degrees(t)) for rod, t in axle.joint_rad.items()),
        swing_deg=None if lies is None else range_deg(lies.in_plane_rad),
        out_of_plane_deg=None if lies is None else range_deg(lies.out_of_plane_rad),
    )


def _place(study: "SteeringStudy", axle: "AxleTravel", i: int, gaps_mm: Floats | None) -> AxlePlaceReport:
    lies, (right, left) = axle.swing_rad, axle.lock_driver_rad
    toe, reach = axle.toe_rad, axle.cylinder_mm
    shortest, longest = (None, None) if reach is None else (float(reach[0][i]), float(reach[1][i]))
    ends = None if study.stroke is None or study.size is None else study.stroke.ends_mm
    return AxlePlaceReport(
        rise_mm=float(axle.rise_mm[i]),
        roll_deg=math.degrees(float(axle.roll_rad[i])),
        bump_steer_deg=math.degrees(float(axle.heading_rad[i])),
        toe_in_deg=None if toe is None else math.degrees(float(toe[i])),
        shortest_mm=shortest,
        longest_mm=longest,
        left_closing_mm=None if ends is None or shortest is None else shortest - ends[0],
        left_opening_mm=None if ends is None or longest is None else ends[1] - longest,
        swing_deg=None if lies is None else range_deg(lies[0][i]),
        out_of_plane_deg=None if lies is None else range_deg(lies[1][i]),
        box_deg=(math.degrees(float(right[i])), math.degrees(float(left[i]))),
        clears_mm=None if gaps_mm is None else float(gaps_mm[i]),
    )
