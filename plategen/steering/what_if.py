"""What quickens or slows the steering, and what that costs in force: one change, or one attachment, at a time."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from functools import partial
from typing import Literal, TypeAlias

import numpy as np

from plategen.ground.refusal import Refusal
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.motion import move
from plategen.steering.mount import Mount
from plategen.steering.rates import lever_rates, spin_mm
from plategen.steering.sweep import Sweep, steer_rad
from plategen.steering.vector import FORWARD, LEFT, UP, Floats, array, as_point, cross, dot, length, unit

SHARES = (0.5, 0.75, 1.0, 1.25)
"""Shares of an arm at which the cylinder is tried."""

STEP_MM = 0.25
"""Half the step of the central differences: small against any arm, large against rounding."""


Changed: TypeAlias = Literal["arm", "pivot", "rod"]
"""What of a part is changed."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Sensitivity:
    """What one millimetre does, the steering drawn straight ahead again and turned through the same box angles."""

    part: str  # Lever or rod.
    what: Changed  # What of it grows or moves: a lever's arm, its pivot, or the rod's length.
    which: str  # The arm's ball; the way in which the pivot moves, ``"forward"``, ``"left"`` or ``"up"``; "" for a rod.
    wheel_rad_per_mm: float  # Change of the mean wheel angle from lock to lock; positive quickens the steering.
    toe_rad_per_mm: float  # Change of toe at straight ahead (only a rod's length changes it), toe-in positive.
    travel_mm_per_mm: float | None  # Change of the cylinder's travel; None without a cylinder.


@dataclass(frozen=True, slots=True, kw_only=True)
class Attachment:
    """One place where the cylinder could push: its travel lock to lock and its leverage on the mean wheel.

    Travel times force is the work of a pass, so what is gained in one is paid in the other.
    """

    lever: str  # The lever that is pushed.
    ball: str  # The ball whose arm it is pushed on.
    share: float  # At which share of that arm; 1 at the ball itself.
    travel_mm: float  # Stroke it needs.
    arm_mm: float  # |dL / d wheel| at straight ahead; ``least_arm_mm`` the least of the sweep.
    least_arm_mm: float
    moment_nmm: float | None  # Least arm times the weaker cylinder force; None when the cylinder is not told.
    # The driver's angle, left positive, at which the cylinder would stand at a dead point; None for none.
    dead_rad: float | None = None


def sensitivities(sweep: Sweep, mount: Mount | None = None) -> tuple[Sensitivity, ...]:
    """Central differences over every arm length, every pivot and every rod length of the linkage.

    Arms and pivots are changed with the wheels straight ahead and the rods set to suit; a rod alone is changed
    with everything else kept, which moves the straight-ahead position instead.
    """
    rows = []
    for part, what, which, changed in _changes(sweep.linkage):
        try:
            high, low = (_figures(sweep, changed(step), mount) for step in (STEP_MM, -STEP_MM))
        except Refusal:
            continue
        wheel, toe, travel = (float(slope) for slope in (high - low) / (2.0 * STEP_MM))
        rows.append(
            Sensitivity(
                part=part,
                what=what,
                which=which,
                wheel_rad_per_mm=wheel,
                toe_rad_per_mm=toe,
                travel_mm_per_mm=None if mount is None else travel,
            )
        )
    return tuple(rows)


def _changes(linkage: Linkage) -> Iterator[tuple[str, Changed, str, Callable[[float], Linkage]]]:
    """Every part, what of it is changed, and the linkage with it so many millimetres longer or further."""
    for lever in linkage.levers:
        for ball, place in lever.balls.items():
            flat = array(place) - lever.foot_mm(place)
            if float(length(flat)) >= 1e-6:
                yield lever.name, "arm", ball, partial(_arm_longer, linkage, lever, ball, unit(flat))
        for word, way in (("forward", FORWARD), ("left", LEFT), ("up", UP)):
            if float(length(cross(array(lever.axis), way))) >= 1e-6:
                yield lever.name, "pivot", word, partial(_pivot_moved, linkage, lever, way)
    for rod in linkage.rods:
        yield rod.name, "rod", "", partial(_rod_longer, linkage, rod)


def _arm_longer(linkage: Linkage, lever: Lever, ball: str, out: Floats, by_mm: float) -> Linkage:
    place = as_point(array(lever.balls[ball]) + by_mm * out)
    return linkage.with_lever(replace(lever, balls={**lever.balls, ball: place}))


def _pivot_moved(linkage: Linkage, lever: Lever, way: Floats, by_mm: float) -> Linkage:
    return linkage.with_lever(replace(lever, pivot_mm=as_point(array(lever.pivot_mm) + by_mm * way)))


def _rod_longer(linkage: Linkage, rod: Rod, by_mm: float) -> Linkage:
    return linkage.with_rod(replace(rod, length_mm=linkage.rod_length_mm(rod) + by_mm))


def _figures(sweep: Sweep, changed: Linkage, mount: Mount | None) -> Floats:
    """Mean wheel angle lock to lock, toe at straight ahead, travel of the cylinder."""
    angles = sweep.motion.angles_rad[sweep.motion.driver]
    few = np.concatenate([angles[:: max(len(angles) // 40, 1)], [0.0, angles[-1]]])
    motion = move(changed, sweep.motion.driver, np.sort(few) if angles[-1] > angles[0] else np.sort(few)[::-1])
    steer = {s: steer_rad(changed.lever(n), motion.angles_rad[n]) for s, n in changed.wheels().items()}
    home = int(np.argmin(np.abs(motion.angles_rad[sweep.motion.driver])))
    turned = float(np.mean([s[-1] - s[0] for s in steer.values()])) if steer else 0.0
    toe = float(steer["right"][home] - steer["left"][home]) if len(steer) == 2 else 0.0
    travel = 0.0 if mount is None else float(np.ptp(mount.lengths_mm(motion)))
    return np.array([turned, toe, travel])


def attachments(sweep: Sweep, mount: Mount, weaker_force_n: float | None = None) -> tuple[Attachment, ...]:
    """The cylinder, kept parallel and as long as drawn, tried at every ball and at shares of each arm.

    Returns:
        One row for each place, the longest travel first; places with a dead point within the sweep come last.
    """
    shift = array(mount.fixed_mm) - array(mount.moving_mm)
    rates, steers = lever_rates(sweep.motion), sweep.steer_rates
    along = np.mean(list(steers.values()), axis=0) if steers else sweep.left_sense
    rows = []
    for lever, ball, share, point in _places(sweep.linkage):
        path = sweep.motion.carried_mm(lever, as_point(point))
        span = length(path - (point + shift))
        if float(np.ptp(span)) < 1e-6:
            continue
        moves = dot(unit(path - (point + shift)), spin_mm(sweep.linkage.lever(lever), path))
        slope = np.asarray(moves * rates[lever] / along)
        dead = _dead_rad(slope, sweep.driver_rad)
        arm = np.abs(slope)
        least = float(arm.min()) if dead is None else 0.0
        rows.append(
            Attachment(
                lever=lever,
                ball=ball,
                share=share,
                travel_mm=float(np.ptp(span)),
                arm_mm=float(arm[sweep.straight]),
                least_arm_mm=least,
                moment_nmm=None if weaker_force_n is None else weaker_force_n * least,
                dead_rad=dead,
            )
        )
    return tuple(sorted(rows, key=lambda row: (row.dead_rad is not None, -row.travel_mm)))


def _dead_rad(slope: Floats, driver_rad: Floats) -> float | None:
    """Where a leverage changes its sign; None where it never does."""
    over = np.flatnonzero(slope[:-1] * slope[1:] <= 0.0)
    if not len(over):
        return None
    i = int(over[0])
    share = float(slope[i] / (slope[i] - slope[i + 1])) if slope[i] != slope[i + 1] else 0.0
    return float(driver_rad[i] + share * (driver_rad[i + 1] - driver_rad[i]))


def _places(linkage: Linkage) -> list[tuple[str, str, float, Floats]]:
    """Every ball, and points at half, three quarters and five quarters of its arm."""
    drawn = (
        (lever, ball, lever.foot_mm(at), array(at)) for lever in linkage.levers for ball, at in lever.balls.items()
    )
    return [(lever.name, ball, s, foot + (at - foot) * s) for lever, ball, foot, at in drawn for s in SHARES]
