"""The linkage's part of the steering study in the report: locks, rods, travel, what changes of it do."""

import math
from typing import Literal

import numpy as np

from plategen.steering.study import SteeringStudy
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats
from plategen.steering.what_if import Attachment, Sensitivity
from plategen.tell.report.encode import Level, Pair, Triple, degrees, finite, mirrored

SWEEP_ROWS = 41
"""Positions of the sweep that the report lists; every one of them is computed, and the study holds them all."""


class LockReport(Level, frozen=True, kw_only=True):
    """The linkage at one of three positions; null where the job does not give enough for it.

    Args:
        at: Left lock, straight ahead or right lock.
        driver_deg: Angle of the steering box's arm, left positive.
        wheels_deg: Steer angle of each wheel.
        toe_error_deg: Toe-out beyond free rolling.
        ackermann_percent: Share of the ideal difference between the wheels.
        ratio: Degrees of the box for one of the mean wheel.
        wheel_turns: Turns of the steering wheel from straight ahead.
    """

    at: Literal["left lock", "straight ahead", "right lock"]
    driver_deg: float
    wheels_deg: dict[str, float]
    toe_error_deg: float | None
    ackermann_percent: float | None
    ratio: float | None
    wheel_turns: float | None


class SweepReport(Level, frozen=True, kw_only=True):
    """The linkage from the right lock to the left, at 41 positions.

    Args:
        driver: The steering box's arm.
        positions: How many positions were computed.
        driver_deg: Its angle at each position listed, left positive.
        wheels_deg: Steer angle of each wheel there.
        lock_right_deg: Steer angles at the right lock.
        lock_left_deg: Steer angles at the left lock.
        locks: The same three positions as the sheet's table has them.
        ratio: Degrees of the box for one of the mean wheel.
        toe_error_deg: Toe-out beyond free rolling.
        straight_toe_deg: Toe-in straight ahead, as the rods are set.
        ackermann_percent_at_locks: Share of the ideal difference between the wheels at the right and left lock.
        kingpins_mm: Distance of the kingpins at the ground.
        wheel_turns: Turns of the steering wheel from lock to lock.
    """

    driver: str
    positions: int
    driver_deg: tuple[float | None, ...]
    wheels_deg: dict[str, tuple[float | None, ...]]
    lock_right_deg: dict[str, float]
    lock_left_deg: dict[str, float]
    locks: tuple[LockReport, ...]
    ratio: tuple[float | None, ...] | None
    toe_error_deg: tuple[float | None, ...] | None
    straight_toe_deg: float | None
    ackermann_percent_at_locks: tuple[float | None, ...] | None
    kingpins_mm: float | None
    wheel_turns: float | None


class RodReport(Level, frozen=True, kw_only=True):
    """A rod over the sweep.

    Args:
        name: The rod.
        plan_deg: Least and greatest direction seen from above.
        rise_deg: Least and greatest rise above level.
        largest_tilt_deg: Largest tilt of its ball joints.
        least_transmission_deg: Least angle between rod and lever, at either end.
        closure_error: Largest miss of its length over the sweep, as a share of it.
    """

    name: str
    plan_deg: Pair
    rise_deg: Pair
    largest_tilt_deg: float
    least_transmission_deg: float
    closure_error: float | None


class TravelReport(Level, frozen=True, kw_only=True):
    """How far a point goes.

    Args:
        point: Which.
        path_mm: Along its path.
        chord_mm: From lock to lock.
        to_left_mm: From straight ahead to the left lock.
        to_right_mm: From straight ahead to the right lock.
        low_mm: Corner of the box it stays in with the smaller x, y and z.
        high_mm: The corner with the larger ones.
    """

    point: str
    path_mm: float
    chord_mm: float
    to_left_mm: float
    to_right_mm: float
    low_mm: Triple
    high_mm: Triple


class WhatIfReport(Level, frozen=True, kw_only=True):
    """What a millimetre of one change does.

    Args:
        part: Lever or rod.
        change: What is changed.
        wheel_deg_per_mm: Mean wheel angle from lock to lock, positive quickens.
        toe_deg_per_mm: Toe straight ahead, toe-in positive.
        travel_mm_per_mm: Travel of the cylinder.
    """

    part: str
    change: str
    wheel_deg_per_mm: float
    toe_deg_per_mm: float
    travel_mm_per_mm: float | None


class AttachmentReport(Level, frozen=True, kw_only=True):
    """A place where the cylinder could push.

    Args:
        place: Which.
        travel_mm: Stroke it needs.
        arm_mm: Arm straight ahead.
        least_arm_mm: Least arm of the sweep.
        moment_nmm: Least moment, pulling.
        dead_deg: The box's angle at a dead point; null for none.
    """

    place: str
    travel_mm: float
    arm_mm: float
    least_arm_mm: float
    moment_nmm: float | None
    dead_deg: float | None


def sweep_report(sweep: Sweep) -> SweepReport:
    """The linkage from lock to lock."""
    picked = np.unique(np.linspace(0, len(sweep) - 1, SWEEP_ROWS).round()).astype(int)
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


def rod_reports(study: SteeringStudy) -> tuple[RodReport, ...]:
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


def what_if_report(change: Sensitivity) -> WhatIfReport:
    """What a millimetre of one change does."""
    arm = f"arm to '{change.which}' longer"
    words = {"arm": arm, "pivot": f"pivot {change.which}", "rod": "rod longer"}[change.what]
    return mirrored(WhatIfReport, change, change=words)


def attachment_report(tried: Attachment) -> AttachmentReport:
    """A place where the cylinder could push."""
    share = {0.5: "half of ", 0.75: "3/4 of ", 1.0: "", 1.25: "5/4 of "}[tried.share]
    return mirrored(AttachmentReport, tried, place=f"{share}{tried.lever}.{tried.ball}")


def range_deg(angle_rad: Floats) -> Pair:
    """Least and greatest of angles, in degrees."""
    return math.degrees(float(angle_rad.min())), math.degrees(float(angle_rad.max()))


def _lock(sweep: Sweep, at: Literal["left lock", "straight ahead", "right lock"], i: int) -> LockReport:
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
