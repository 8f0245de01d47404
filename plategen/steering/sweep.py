"""The steering swept from the right lock through straight ahead to the left lock, and all that is read off it: wheel
angles, ratio, toe and Ackermann errors, turns of the steering wheel.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import partial
from types import MappingProxyType

import numpy as np

from plategen.ground.message import message, rad
from plategen.ground.refusal import Refusal
from plategen.steering.linkage import Lever, Linkage
from plategen.steering.motion import Motion, move
from plategen.steering.rates import lever_rates, steer_rate
from plategen.steering.vector import FORWARD, UP, Floats, array, bearing_rad, cross, dot, length, turned


def ideal_outer_rad(inner_rad: Floats, kingpins_mm: float, wheelbase_mm: float) -> Floats:
    """Outer wheel's angle for pure rolling with a rear axle that does not steer.

    cot(outer) - cot(inner) = c / L, so outer = atan2(sin(inner), cos(inner) + (c / L) sin(inner)), with the inner angle
    zero or more, (n,), c the distance between the kingpins at the ground and L the wheelbase.

    Source: correct-steering condition of the theory of machines; Rattan, Theory of Machines, "Ackermann steering".

    Examples:
        >>> round(float(np.degrees(ideal_outer_rad(np.radians(18.0), 0.44, 1.0))), 1)
        15.9
    """
    inner = np.asarray(inner_rad)
    return np.asarray(np.arctan2(np.sin(inner), np.cos(inner) + kingpins_mm / wheelbase_mm * np.sin(inner)))


def ackermann_percent(inner_rad: Floats, outer_rad: Floats, kingpins_mm: float, wheelbase_mm: float) -> Floats:
    """Share of the ideal difference between the wheels that the linkage gives, in percent; NaN at straight ahead.

    100 (inner - outer) / (inner - ideal outer): 100 rolls freely, 0 keeps the wheels parallel. Common practice.
    """
    wanted = inner_rad - ideal_outer_rad(inner_rad, kingpins_mm, wheelbase_mm)
    with np.errstate(divide="ignore", invalid="ignore"):
        return np.where(np.abs(wanted) > 1e-9, 100.0 * (inner_rad - outer_rad) / wanted, np.nan)


INNER_WHEEL = "inner wheel"
"""Stands for the left wheel in a left turn and the right wheel in a right turn."""


@dataclass(frozen=True, slots=True)
class Locks:
    """How far the sweep goes: ``left_rad`` and ``right_rad`` (both positive) of the lever ``of``.

    A wheel is measured by its steer angle seen from above, any other lever about its own axis.
    """

    of: str
    left_rad: float
    right_rad: float


@dataclass(frozen=True, slots=True)
class Sweep:
    """A steering from right lock (first position) to left lock (last)."""

    motion: Motion  # The linkage at every position; its driver is the steering box's arm.
    straight: int  # Index of the position that is drawn, straight ahead.
    left_sense: float  # +1 when the driver's positive angle steers left, -1 when it steers right.
    steer_rad: Mapping[str, Floats]  # Steer angle of each wheel there is, seen from above, left positive (ISO 8855).
    wheelbase_mm: float | None = None  # For the Ackermann figures; None leaves them out.
    column_ratio: float | None = None  # Degrees of the steering wheel for a degree of the driver; None when not told.

    def __len__(self) -> int:
        return len(self.motion)

    @property
    def linkage(self) -> Linkage:
        """What was swept."""
        return self.motion.linkage

    @property
    def driver_rad(self) -> Floats:
        """The driver's angle, left turn positive whatever the sense of its axis."""
        return self.motion.once("left", lambda: self.left_sense * self.motion.angles_rad[self.motion.driver])

    @property
    def mean_steer_rad(self) -> Floats | None:
        """Mean of the wheels' angles, or None when no lever carries a wheel."""
        if not self.steer_rad:
            return None
        return np.asarray(sum(self.steer_rad.values()) / len(self.steer_rad))

    @property
    def ratio(self) -> Floats | None:
        """Degrees of the driver for a degree of the (mean) road wheel, along the sweep; infinite at a dead point."""
        if not self.steer_rad:
            return None
        rates = self.steer_rates
        with np.errstate(divide="ignore"):
            return self.motion.once("ratio", lambda: np.asarray(len(rates) / sum(rates.values())))

    @property
    def steer_rates(self) -> dict[str, Floats]:
        """What each wheel steers for each radian that the driver turns left, (n,); exact."""
        rates = lever_rates(self.motion)

        def steers(name: str) -> Floats:
            return np.asarray(self.left_sense * rates[name] * steer_rate(self.motion, name))

        wheels = self.linkage.wheels()
        return {side: self.motion.once((name, "steers"), partial(steers, name)) for side, name in wheels.items()}

    @property
    def wheel_turns(self) -> float | None:
        """Turns of the steering wheel from lock to lock."""
        if self.column_ratio is None:
            return None
        return float(self.driver_rad[-1] - self.driver_rad[0]) * self.column_ratio / (2.0 * math.pi)

    @property
    def straight_toe_rad(self) -> float | None:
        """Toe-in at straight ahead (fronts of the wheels closer than their backs: positive): how the rods are set."""
        if len(self.steer_rad) < 2:
            return None
        return float(self.steer_rad["right"][self.straight] - self.steer_rad["left"][self.straight])

    @property
    def kingpins_mm(self) -> float | None:
        """Distance between the kingpins where their axes meet the ground plane z = 0, seen from above."""
        wheels = self.linkage.wheels()
        if len(wheels) < 2:
            return None
        feet = [_at_ground(self.linkage.lever(wheels[side])) for side in ("left", "right")]
        return float(length(feet[0] - feet[1]))

    def inner_outer_rad(self) -> tuple[Floats, Floats] | None:
        """Angles of the inner and the outer wheel, both zero or more into the turn; None without both wheels."""
        if len(self.steer_rad) < 2:
            return None
        left, right = self.steer_rad["left"], self.steer_rad["right"]
        leftwards = self.driver_rad >= 0.0
        return np.where(leftwards, left, -right), np.where(leftwards, right, -left)

    @property
    def _rolling(self) -> tuple[Floats, Floats, float, float] | None:
        """Inner and outer angle, the kingpins' distance and the wheelbase; None where one is not known."""
        pair, c = self.inner_outer_rad(), self.kingpins_mm
        return None if pair is None or c is None or self.wheelbase_mm is None else (*pair, c, self.wheelbase_mm)

    @property
    def toe_error_rad(self) -> Floats | None:
        """How much more the wheels toe out than they would rolling freely, along the sweep.

        (inner - outer) - (inner - ideal outer) = ideal outer - outer. Positive scrubs the tyres outwards.
        """
        if (known := self._rolling) is None:
            return None
        inner, outer, kingpins, wheelbase = known
        return np.asarray(ideal_outer_rad(inner, kingpins, wheelbase) - outer)

    @property
    def ackermann_percent(self) -> Floats | None:
        """Share of the ideal difference between the wheels, in percent, along the sweep; NaN at straight ahead."""
        return None if self._rolling is None else ackermann_percent(*self._rolling)

    def lock_steer_rad(self, lock: int) -> dict[str, float]:
        """The wheels' angles at a lock: 0 the right, -1 the left."""
        return {side: float(values[lock]) for side, values in self.steer_rad.items()}


def steered_rad(lever: Lever, angle_rad: Floats) -> Floats:
    """Steer angle of the wheel on a lever once it has turned so far about its own axis, the axle as drawn."""
    return bearing_rad(turned(FORWARD, array(lever.axis), angle_rad))


def lever_angle_for_steer_rad(lever: Lever, steer: float) -> float:
    """Lever angle about its (inclined) kingpin that gives a steer angle: again A cos t + B sin t = C, in closed form.

    Raises:
        Refusal: when the kingpin lies so flat that the wheel cannot point there.
    """
    axis = array(lever.axis)
    across_heading = np.array([-math.sin(steer), math.cos(steer), 0.0])
    along = axis * dot(axis, FORWARD)
    a = float(dot(across_heading, FORWARD - along))
    b = float(dot(across_heading, cross(axis, FORWARD)))
    c = -float(dot(across_heading, along))
    reach = math.hypot(a, b)
    if abs(c) > reach:
        raise Refusal(
            message("the kingpin of '{}' lies too flat for a steer angle of {}", lever.name, rad(steer)),
            key=f"steering.lever '{lever.name}'.axis",
        )
    phi, alpha = math.atan2(b, a), math.acos(c / reach)
    roots = [math.remainder(phi + s * alpha, 2.0 * math.pi) for s in (1.0, -1.0)]
    return min(roots, key=lambda t: abs(math.remainder(float(steered_rad(lever, np.array(t))) - steer, 2.0 * math.pi)))


def sweep(
    linkage: Linkage,
    driver: str,
    locks: Locks,
    *,
    wheelbase_mm: float | None = None,
    column_ratio: float | None = None,
    positions: int = 201,
) -> Sweep:
    """A steering swept from right lock to left lock, straight ahead included, at three ``positions`` or more.

    Raises:
        Refusal: a lock of no angle, a wheel that is not there, a lock beyond a dead point.
    """
    for side, angle in (("left", locks.left_rad), ("right", locks.right_rad)):
        if not 0.0 < angle < math.pi:
            raise Refusal(
                message("the {} lock is {}; give an angle between 0 and 180 deg", side, rad(angle)),
                key=f"steering.sweep.{side}",
            )
    sense = _left_sense(linkage, driver)
    left = _driver_at_lock(linkage, driver, locks, sense, left=True)
    right = _driver_at_lock(linkage, driver, locks, sense, left=False)
    half = max(positions // 2, 1)
    angles = np.concatenate([np.linspace(right, 0.0, half + 1), np.linspace(0.0, left, half + 1)[1:]])
    motion = move(linkage, driver, angles)
    steer = {side: motion.steer_rad(name) for side, name in linkage.wheels().items()}
    return Sweep(motion, half, sense, MappingProxyType(steer), wheelbase_mm, column_ratio)


def _left_sense(linkage: Linkage, driver: str) -> float:
    """+1 when turning the driver positively steers left. Without a wheel, left is the driver's positive sense."""
    wheels = linkage.wheels()
    if not wheels:
        return 1.0
    name = next(iter(wheels.values()))
    small = np.array([-1e-4, 0.0, 1e-4])
    moved = move(linkage, driver, small)
    angle = moved.steer_rad(name)
    return 1.0 if float(angle[2] - angle[0]) > 0.0 else -1.0


def _driver_at_lock(linkage: Linkage, driver: str, locks: Locks, sense: float, *, left: bool) -> float:
    """The driver's angle about its own axis at one lock."""
    size = locks.left_rad if left else locks.right_rad
    name = locks.of
    if name == INNER_WHEEL:
        side = "left" if left else "right"
        wheels = linkage.wheels()
        if side not in wheels:
            raise Refusal(
                f"no lever carries the {side} wheel, which is the inner wheel at that lock; "
                f'mark its spindle with wheel = "{side}", or measure the locks of another lever',
                key="steering.sweep.of",
            )
        name = wheels[side]
    return sense * driver_at(linkage, driver, name, size if left else -size, sense)


def driver_at(linkage: Linkage, driver: str, lever: str, turn_rad: float, left_sense: float) -> float:
    """The driver's angle, left positive, at which a lever has turned so far.

    The tree is solved from that lever outwards, so this too is closed form. A wheel's lever is measured by its steer
    angle, another by its own angle, left turn positive; ``left_sense`` is +1 when the driver's own positive angle
    steers left.

    Raises:
        Refusal: when a dead point comes first.
    """
    asked = driver, lever, turn_rad, left_sense
    if asked not in linkage.driver_at_rad:
        linkage.driver_at_rad[asked] = _driver_at(linkage, driver, lever, turn_rad, left_sense)
    return linkage.driver_at_rad[asked]


def _driver_at(linkage: Linkage, driver: str, lever: str, turn_rad: float, left_sense: float) -> float:
    measured = linkage.lever(lever)
    if measured.wheel:
        target = lever_angle_for_steer_rad(measured, turn_rad)
    elif lever == driver:
        return turn_rad
    else:
        probe = move(linkage, driver, np.array([-1e-4, 0.0, 1e-4]) * left_sense).angles_rad[lever]
        target = turn_rad * (1.0 if float(probe[2] - probe[0]) > 0.0 else -1.0)
    if lever == driver:
        return left_sense * target
    way = np.linspace(0.0, target, 257)
    box = move(linkage, lever, way).angles_rad[driver]
    change = np.diff(box) * (box[1] - box[0])
    if bool((change <= 0.0).any()):
        # the lever could be pushed on by hand, but turned from the box it stops here and comes back
        turned = way[int(np.argmax(change <= 0.0))]
        words = (
            "rod and lever come in one line: '{}' turns lever '{}' no further than {}, not to {}; less than {} of "
            "lock, or other rods or levers, is right"
        )
        most = rad(abs(float(turned)), "down")
        raise Refusal(message(words, driver, lever, rad(turned), rad(target), most), key=f"steering.lever '{lever}'")
    return left_sense * float(box[-1])


def _at_ground(lever: Lever) -> Floats:
    """Where a kingpin's axis meets z = 0; its pivot when the axis is level."""
    axis, pivot = array(lever.axis), array(lever.pivot_mm)
    upright = float(dot(axis, UP))
    return pivot if abs(upright) < 1e-6 else pivot - axis * (float(pivot[2]) / upright)
