"""A linkage part of which rides on an axle: what the axle carries moves with it, rigidly, the rest stays on the frame.

Each loop is closed in the frame of the lever that follows. Seen from there its own pivot stands still and the other
ball comes from elsewhere, so the closed form of :mod:`~plategen.steering.motion` holds as it is, for every place of the
axle and every angle of the box at once.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from types import MappingProxyType
from typing import Self

import numpy as np
from numpy.typing import NDArray

from plategen.ground.message import message, mm, rad
from plategen.ground.refusal import Refusal
from plategen.steering.linkage import Linkage, Step
from plategen.steering.motion import Circle, Motion, branch_of, close
from plategen.steering.vector import UP, Floats, Point, array, cross, dot, turned, unit


@dataclass(frozen=True, slots=True)
class Carriage:
    """Where what an axle carries has gone at each of n positions: p goes to turn p + shift."""

    turn: Floats  # (n, 3, 3)
    shift_mm: Floats  # (n, 3)

    def at(self, point_mm: Floats) -> Floats:
        """Points of the axle as drawn, (3,) or (n, 3), where they have gone, (n, 3)."""
        return self.direction(point_mm) + self.shift_mm

    def back(self, point_mm: Floats) -> Floats:
        """Points of space, (n, 3), as the axle sees them."""
        return np.asarray(np.einsum("nji,nj->ni", self.turn, point_mm - self.shift_mm))

    def direction(self, drawn: Floats) -> Floats:
        """Directions on the axle as drawn, (3,) or (n, 3), where they point to now."""
        return np.asarray(np.einsum("nij,nj->ni", self.turn, np.broadcast_to(drawn, self.shift_mm.shape)))

    def then(self, after: "Carriage") -> "Carriage":
        """This way first and another after it."""
        return Carriage(after.turn @ self.turn, after.at(self.shift_mm))

    def picked(self, positions: NDArray[np.int64]) -> "Carriage":
        """Some of the positions, (m,) indices."""
        return Carriage(self.turn[positions], self.shift_mm[positions])

    def each(self, times: int) -> "Carriage":
        """Every position so many times in a row."""
        return Carriage(self.turn.repeat(times, axis=0), self.shift_mm.repeat(times, axis=0))


def about(point_mm: Point, axis: Point, angle_rad: Floats) -> Carriage:
    """A turn about an axis through a point by each angle, (n,)."""
    along, centre = unit(array(axis)), array(point_mm)
    columns = [turned(each, along, angle_rad) for each in np.eye(3)]
    turn = np.stack(columns, axis=-1)
    return Carriage(turn, centre - turn @ centre)


def shifted(shift_mm: Floats) -> Carriage:
    """A shift without a turn, (n, 3)."""
    return Carriage(np.broadcast_to(np.eye(3), (len(shift_mm), 3, 3)), shift_mm)


def turn_that_lifts_rad(point_mm: Point, axis: Point, lifted_mm: Point, rise_mm: Floats) -> Floats:
    """How far to turn about an axis through a point until another point stands so much higher, (n,) for (n,).

    The height on its circle is A cos t + B sin t, and the root next to t = 0 is wanted.

    Raises:
        Refusal: when the point cannot rise or fall so far.
    """
    along = unit(array(axis))
    arm = array(lifted_mm) - array(point_mm)
    a = float(dot(arm - along * dot(along, arm), UP))
    b = float(dot(cross(along, arm), UP))
    reach, wanted = math.hypot(a, b), a + rise_mm
    if reach == 0.0 or float(np.abs(wanted).max()) > reach or abs(b) < 1e-6 * reach:
        most = float(rise_mm[np.argmax(np.abs(wanted))])
        words = "the axle cannot go {} up or down about the point of its path; give less travel, or another point"
        raise Refusal(message(words, mm(abs(most))), key="steering.axle.about")
    sense = 1.0 if b > 0.0 else -1.0
    return np.asarray(math.atan2(b, a) - sense * np.arccos(wanted / reach))


@dataclass(frozen=True, slots=True)
class CarriedMotion(Motion):
    """A linkage at n positions, with what the axle carries moved along."""

    carriages: Mapping[str, Carriage]  # By the lever's name; one that is not in it stays on the frame.

    def carried_mm(self, lever: str, point_mm: Point) -> Floats:
        """Any point that a lever carries along, given where it is drawn; shape (n, 3)."""
        seen, carriage = Motion.carried_mm(self, lever, point_mm), self.carriages.get(lever)
        return seen if carriage is None else carriage.at(seen)

    def seen_from(self, lever: str, point_mm: Floats) -> Floats:
        """Points of space, (n, 3), as a lever sees them: where they would lie were it as it is drawn."""
        carriage = self.carriages.get(lever)
        return Motion.seen_from(self, lever, point_mm if carriage is None else carriage.back(point_mm))

    def stood(self, lever: str, seen_mm: Floats) -> Floats:
        """Points as a lever sees them, (n, 3), where they stand in space: what undoes :meth:`seen_from`."""
        stood, carriage = Motion.stood(self, lever, seen_mm), self.carriages.get(lever)
        return stood if carriage is None else carriage.at(stood)

    def picked(self, positions: NDArray[np.int64]) -> Self:
        """Some of the positions, (m,) indices."""
        carriages = {name: carriage.picked(positions) for name, carriage in self.carriages.items()}
        return replace(Motion.picked(self, positions), carriages=carriages)

    def heading(self, lever: str) -> Floats:
        """Where the forward direction of a wheel on a lever points, (n, 3)."""
        heading, carriage = Motion.heading(self, lever), self.carriages.get(lever)
        return heading if carriage is None else carriage.direction(heading)


def carried(linkage: Linkage, driver: str, driver_rad: Floats, carriages: Mapping[str, Carriage]) -> CarriedMotion:
    """The linkage at n angles of its driver, (n,), each with the axle somewhere; all stays on the branch as drawn.

    Raises:
        Refusal: when a rod cannot reach with the axle there, naming rod and lever.
    """
    angles = {driver: driver_rad}
    motion = CarriedMotion(linkage, driver, MappingProxyType(angles), carriages)
    for step in linkage.steps(driver):
        angles[step.driven[0]] = _close(motion, step)
    return motion


def _close(motion: CarriedMotion, step: Step) -> Floats:
    lever = motion.linkage.lever(step.driven[0])
    circle = Circle.of(lever.pivot_mm, lever.axis, array(lever.balls[step.driven[1]]))
    ball = motion.ball_mm(step.driver)
    carriage = motion.carriages.get(lever.name)
    closed = close(
        circle,
        ball if carriage is None else carriage.back(ball),
        step.length_mm,
        branch_of(circle, array(motion.linkage.ball_mm(step.driver))),
    )
    if bool((closed.margin < 0.0).any()):
        worst = int(np.argmin(closed.margin))
        words = (
            "rod '{}' ({}) cannot reach lever '{}' with the axle moved and '{}' at {}; give the axle less travel, or "
            "change the rod"
        )
        turn = float(motion.angles_rad[motion.driver][worst])
        raise Refusal(
            message(words, step.rod, mm(step.length_mm), lever.name, motion.driver, rad(turn)), key="steering.axle"
        )
    return closed.angle_rad
