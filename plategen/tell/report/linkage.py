"""The linkage's part of the steering study in the report: locks, rods, travel, what changes of it do."""

import math
from typing import TYPE_CHECKING, Annotated, Literal

import numpy as np

from plategen.ground.order import distinct
from plategen.steering.vector import Floats
from plategen.tell.report.encode import Level, Maybe, Pair, Triple, about, degrees, finite, mirrored

if TYPE_CHECKING:
    from plategen.steering.study import SteeringStudy
    from plategen.steering.sweep import Sweep
    from plategen.steering.what_if import Attachment, Sensitivity

SWEEP_ROWS = 41
"""Positions of the sweep that the report lists; every one of them is computed, and the study holds them all."""


class LockReport(Level, frozen=True, kw_only=True):
    """The linkage at one of three positions; null where the job does not give enough for it."""

    at: Annotated[Literal["left lock", "straight ahead", "right lock"], about("Which position.")]
    driver_deg: Annotated[float, about("Angle of the steering box's arm, left positive.")]
    wheels_deg: Annotated[dict[str, float], about("Steer angle of each wheel.")]
    toe_error_deg: Annotated[Maybe, about("Toe-out beyond free rolling.")]
    ackermann_percent: Annotated[Maybe, about("Share of the ideal difference between the wheels.")]
    ratio: Annotated[Maybe, about("Degrees of the box for one of the mean wheel.")]
    wheel_turns: Annotated[Maybe, about("Turns of the steering wheel from straight ahead.")]


class SweepReport(Level, frozen=True, kw_only=True):
    """The linkage from the right lock to the left, at 41 positions."""

    driver: Annotated[str, about("The steering box's arm.")]
    positions: Annotated[int, about("How many positions were computed.")]
    driver_deg: Annotated[tuple[float | None, ...], about("Its angle at each position listed, left positive.")]
    wheels_deg: Annotated[dict[str, tuple[float | None, ...]], about("Steer angle of each wheel there.")]
    lock_right_deg: Annotated[dict[str, float], about("Steer angles at the right lock.")]
    lock_left_deg: Annotated[dict[str, float], about("Steer angles at the left lock.")]
    locks: Annotated[tuple[LockReport, ...], about("The same three positions as the sheet's table has them.")]
    ratio: Annotated[tuple[float | None, ...] | None, about("Degrees of the box for one of the mean wheel.")]
    toe_error_deg: Annotated[tuple[float | None, ...] | None, about("Toe-out beyond free rolling.")]
    straight_toe_deg: Annotated[Maybe, about("Toe-in straight ahead, as the rods are set.")]
    ackermann_percent_at_locks: Annotated[
        tuple[float | None, ...] | None,
        about("Share of the ideal difference between the wheels at the right and left lock."),
    ]
    kingpins_mm: Annotated[Maybe, about("Distance of the kingpins at the ground.")]
    wheel_turns: Annotated[Maybe, about("Turns of the steering wheel from lock to lock.")]


class RodReport(Level, frozen=True, kw_only=True):
    """A rod over the sweep."""

    name: Annotated[str, about("The rod.")]
    plan_deg: Annotated[Pair, about("Least and greatest direction seen from above.")]
    rise_deg: Annotated[Pair, about("Least and greatest rise above level.")]
    largest_tilt_deg: Annotated[float, about("Largest tilt of its ball joints.")]
    least_transmission_deg: Annotated[float, about("Least angle between rod and lever, at either end.")]
    closure_error: Annotated[Maybe, about("Largest miss of its length over the sweep, as a share of it.")]


class TravelReport(Level, frozen=True, kw_only=True):
    """How far a point goes."""

    point: Annotated[str, about("Which.")]
    path_mm: Annotated[float, about("Along its path.")]
    chord_mm: Annotated[float, about("From lock to lock.")]
    to_left_mm: Annotated[float, about("From straight ahead to the left lock.")]
    to_right_mm: Annotated[float, about("From straight ahead to the right lock.")]
    low_mm: Annotated[Triple, about("Corner of the box it stays in with the smaller x, y and z.")]
    high_mm: Annotated[Triple, about("The corner with the larger ones.")]


class WhatIfReport(Level, frozen=True, kw_only=True):
    """What a millimetre of one change does."""

    part: Annotated[str, about("Lever or rod.")]
    change: Annotated[str, about("What is changed.")]
    wheel_deg_per_mm: Annotated[float, about("Mean wheel angle from lock to lock, positive quickens.")]
    toe_deg_per_mm: Annotated[float, about("Toe straight ahead, toe-in positive.")]
    travel_mm_per_mm: Annotated[Maybe, about("Travel of the cylinder.")]


class AttachmentReport(Level, frozen=True, kw_only=True):
    """A place where the cylinder could push."""

    place: Annotated[str, about("Which.")]
    travel_mm: Annotated[float, about("Stroke it needs.")]
    arm_mm: Annotated[float, about("Arm straight ahead.")]
    least_arm_mm: Annotated[float, about("Least arm of the sweep.")]
    moment_nmm: Annotated[Maybe, about("Least moment, pulling.")]
    dead_deg: Annotated[Maybe, about("The box's angle at a dead point; null for none.")]


def sweep_report(sweep: "Sweep") -> SweepReport:
    """The linkage from lock to lock."""
    picked = distinct(np.linspace(0, len(sweep) - 1, SWEEP_ROWS).round()).astype(int)
    percent = sweep.ackermann_percent
    return SweepReport(
        driver=sweep.motion.driver,
        positions=len(sweep),
        driver_deg=_degrees(sweep.driver_rad[picked]),
        wheels_deg={side: _degrees(values[picked]) for side, values in sweep.steer_rad.items()},
        lock_right_deg={side: degrees(angle) for side, angle in sweep.lock_steer_rad(0).items()},
        lock_left_deg={side: degrees(angle) for side, angle in sweep.lock_steer_rad(-1).items()},
        locks=(
            _lock(sweep, "left lock", -1),
            _lock(sweep, "straight ahead", sweep.straight),
            _lock(sweep, "right lock", 0),
        ),
        ratio=None if sweep.ratio is None else _finite(sweep.ratio[picked]),
        toe_error_deg=None if sweep.toe_error_rad is None else _degrees(sweep.toe_error_rad[picked]),
        straight_toe_deg=degrees(sweep.straight_toe_rad),
        ackermann_percent_at_locks=None if percent is None else _finite(percent[[0, -1]]),
        kingpins_mm=sweep.kingpins_mm,
        wheel_turns=sweep.wheel_turns,
    )


def rod_reports(study: "SteeringStudy") -> tuple[RodReport, ...]:
    """Every rod over the sweep."""
    return tuple(
        mirrored(
            RodReport,
            rod,
            name=rod.rod,
            plan_deg=range_deg(rod.plan_rad),
            rise_deg=range_deg(rod.rise_rad),
            closure_error=None if study.sweep is None else study.sweep.motion.closure_error(rod.rod),
        )
        for rod in study.rods
    )


def what_if_report(change: "Sensitivity") -> WhatIfReport:
    """What a millimetre of one change does."""
    arm = f"arm to '{change.which}' longer"
    words = {"arm": arm, "pivot": f"pivot {change.which}", "rod": "rod longer"}[change.what]
    return mirrored(WhatIfReport, change, change=words)


def attachment_report(tried: "Attachment") -> AttachmentReport:
    """A place where the cylinder could push."""
    share = {0.5: "half of ", 0.75: "3/4 of ", 1.0: "", 1.25: "5/4 of "}[tried.share]
    return mirrored(AttachmentReport, tried, place=f"{share}{tried.lever}.{tried.ball}")


def range_deg(angle_rad: Floats) -> Pair:
    """Least and greatest of angles, in degrees."""
    return math.degrees(float(angle_rad.min())), math.degrees(float(angle_rad.max()))


def _lock(sweep: "Sweep", at: Literal["left lock", "straight ahead", "right lock"], i: int) -> LockReport:
    def value(values: Floats | None) -> float | None:
        return None if values is None else finite(float(values[i]))

    ratio, driver_rad = sweep.column_ratio, float(sweep.driver_rad[i])
    return LockReport(
        at=at,
        driver_deg=math.degrees(driver_rad),
        wheels_deg={side: math.degrees(float(values[i])) for side, values in sweep.steer_rad.items()},
        toe_error_deg=degrees(value(sweep.toe_error_rad)),
        ackermann_percent=None if i == sweep.straight else value(sweep.ackermann_percent),
        ratio=value(sweep.ratio),
        wheel_turns=None if ratio is None else abs(driver_rad) * ratio / (2.0 * math.pi),
    )


def _degrees(values_rad: Floats) -> tuple[float | None, ...]:
    return _finite(np.degrees(values_rad))


def _finite(values: Floats) -> tuple[float | None, ...]:
    return tuple(finite(float(value)) for value in values)
