"""What quickens or slows the steering, and what that costs in force: one change, or one attachment, at a time."""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

import numpy as np

from plategen.steering.linkage import Linkage
from plategen.steering.mount import Mount
from plategen.steering.rates import lever_rates
from plategen.steering.sweep import Sweep
from plategen.steering.variants import Change, Moved, Variants
from plategen.steering.vector import FORWARD, LEFT, UP, Floats, array, cross, length, unit

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
    rows = tuple(_changes(sweep.linkage))
    if not rows:
        return ()
    changes = tuple(
        Change(part, ball, by_mm * step) for part, _, _, ball, by_mm in rows for step in (STEP_MM, -STEP_MM)
    )
    moved = Variants(sweep.linkage, changes).moved(sweep.motion.driver, _few(sweep))
    figures = _figures(moved, mount)
    high, low = figures[:, 0::2], figures[:, 1::2]
    closes = moved.closes[0::2] & moved.closes[1::2]
    return tuple(
        Sensitivity(
            part=part,
            what=what,
            which=which,
            wheel_rad_per_mm=float(wheel),
            toe_rad_per_mm=float(toe),
            travel_mm_per_mm=None if mount is None else float(travel),
        )
        for (part, what, which, _, _), (wheel, toe, travel), both in zip(
            rows, ((high - low) / (2.0 * STEP_MM)).T, closes, strict=True
        )
        if both
    )


def _changes(linkage: Linkage) -> Iterator[tuple[str, Changed, str, str | None, Floats]]:
    """Every part, what of it is changed, which way, its ball, and what a millimetre more of it is, (3,)."""
    for lever in linkage.levers:
        for ball, place in lever.balls.items():
            flat = array(place) - lever.foot_mm(place)
            if float(length(flat)) >= 1e-6:
                yield lever.name, "arm", ball, ball, unit(flat)
        for word, way in (("forward", FORWARD), ("left", LEFT), ("up", UP)):
            if float(length(cross(array(lever.axis), way))) >= 1e-6:
                yield lever.name, "pivot", word, None, way
    for rod in linkage.rods:
        yield rod.name, "rod", "", None, FORWARD


def _few(sweep: Sweep) -> Floats:
    """Few of the driver's angles, both locks and straight ahead among them, in their order."""
    angles = sweep.motion.angles_rad[sweep.motion.driver]
    few = np.sort(np.concatenate([angles[:: max(len(angles) // 40, 1)], [0.0, angles[-1]]]))
    return few if angles[-1] > angles[0] else few[::-1]


def _figures(moved: Moved, mount: Mount | None) -> Floats:
    """Mean wheel angle lock to lock, toe at straight ahead, travel of the cylinder, of every variant, (3, k)."""
    steer, none = moved.steer_rad(), np.zeros(len(moved.closes))
    turned = np.mean([s[:, -1] - s[:, 0] for s in steer.values()], axis=0) if steer else none
    toe = steer["right"][:, moved.straight] - steer["left"][:, moved.straight] if len(steer) == 2 else none
    return np.stack([turned, toe, none if mount is None else np.ptp(moved.pin_to_pin_mm(mount), axis=1)])


def attachments(sweep: Sweep, mount: Mount, weaker_force_n: float | None = None) -> tuple[Attachment, ...]:
    """The cylinder, kept parallel and as long as drawn, tried at every ball and at shares of each arm.

    Returns:
        One row for each place, the longest travel first; places with a dead point within the sweep come last.
    """
    shift = array(mount.fixed_mm) - array(mount.moving_mm)
    rates, steers = lever_rates(sweep.motion), sweep.steer_rates
    along = sum(steers.values()) / len(steers) if steers else sweep.left_sense
    per_wheel = {name: rate / along for name, rate in rates.items()}
    rows = []
    for lever, ball, share, foot, point in _places(sweep.linkage):
        # the span is share r + c; the cylinder's arm about the lever's axis, (r x span) . a, is r . (c x a)
        radius, apart = sweep.motion.ball_mm((lever, ball)) - foot, foot - point - shift
        on, arm = (radius @ np.stack([apart, cross(apart, array(sweep.linkage.lever(lever).axis))], axis=-1)).T
        span = np.sqrt((2.0 * share) * on + (share**2 * float(radius[0] @ radius[0]) + float(apart @ apart)))
        if float(np.ptp(span)) < 1e-6:
            continue
        slope = arm / span * (share * per_wheel[lever])
        dead = _dead_rad(slope, sweep.driver_rad)
        least = float(min(abs(slope.min()), abs(slope.max()))) if dead is None else 0.0
        rows.append(
            Attachment(
                lever=lever,
                ball=ball,
                share=share,
                travel_mm=float(np.ptp(span)),
                arm_mm=abs(float(slope[sweep.straight])),
                least_arm_mm=least,
                moment_nmm=None if weaker_force_n is None else weaker_force_n * least,
                dead_rad=dead,
            )
        )
    # travels that differ by rounding alone keep the order of the linkage
    return tuple(sorted(rows, key=lambda row: (row.dead_rad is not None, -round(row.travel_mm, 6))))


def _dead_rad(slope: Floats, driver_rad: Floats) -> float | None:
    """Where a leverage changes its sign; None where it never does."""
    if slope.min() * slope.max() > 0.0:
        return None
    i = int(np.argmax(slope[:-1] * slope[1:] <= 0.0))
    share = float(slope[i] / (slope[i] - slope[i + 1])) if slope[i] != slope[i + 1] else 0.0
    return float(driver_rad[i] + share * (driver_rad[i + 1] - driver_rad[i]))


def _places(linkage: Linkage) -> list[tuple[str, str, float, Floats, Floats]]:
    """Every ball, and points at half, three quarters and five quarters of its arm, with the arm's foot."""
    drawn = (
        (lever, ball, lever.foot_mm(at), array(at)) for lever in linkage.levers for ball, at in lever.balls.items()
    )
    return [(lever.name, ball, s, foot, foot + (at - foot) * s) for lever, ball, foot, at in drawn for s in SHARES]
