"""The whole linkage moved: every lever's angle and every ball's place for each angle of the lever that is turned.

The loop of each rod is closed exactly: where a lever must stand so that a rod of fixed length reaches a given ball.
The ball of the driven lever runs round a circle, q(t) = c + e cos t + f sin t; the rod's other ball is at s. From
|q - s|^2 = L^2 follows A cos t + B sin t = C with A = 2 e.(c - s), B = 2 f.(c - s), C = L^2 - |c - s|^2 - |e|^2.
Its two roots are t = phi + or - alpha, where phi = atan2(B, A) and cos alpha = C / sqrt(A^2 + B^2). They meet only at
a dead point, where alpha is 0 or pi; so as long as none is reached, the branch that a linkage is drawn on keeps its
sign, and a whole sweep is solved at once without looking at the step before.
"""

import math
from collections.abc import Callable, Hashable, Mapping
from dataclasses import dataclass, field, replace
from types import MappingProxyType
from typing import Self

import numpy as np
from numpy.typing import NDArray

from plategen.ground.message import message, mm, rad
from plategen.ground.refusal import Refusal
from plategen.steering.linkage import Linkage, Step
from plategen.steering.vector import (
    FORWARD,
    Floats,
    array,
    bearing_rad,
    cross,
    dot,
    length,
    round_circle,
    turned,
    unit,
    unwrapped,
)


@dataclass(frozen=True, slots=True)
class Circle:
    """The path of a ball about a lever's axis: centre c, radius vectors e (angle zero) and f (a quarter turn on)."""

    centre_mm: Floats
    e_mm: Floats
    f_mm: Floats

    @classmethod
    def of(cls, pivot_mm: tuple[float, float, float], axis: tuple[float, float, float], ball_mm: Floats) -> "Circle":
        """The circle that a ball drawn at ``ball_mm`` runs round when its lever turns about pivot and unit axis."""
        return cls.of_many(array(pivot_mm), array(axis), ball_mm)

    @classmethod
    def of_many(cls, pivot_mm: Floats, axis: Floats, ball_mm: Floats) -> "Circle":
        """The circles of as many balls, (..., 3), about their pivots and one axis."""
        r = ball_mm - pivot_mm
        along = axis * dot(axis, r)[..., None]
        return cls(pivot_mm + along, r - along, cross(axis, r))

    def at(self, angle_rad: Floats) -> Floats:
        """The ball at each lever angle: shape (n, 3) for (n,)."""
        return self.by(np.cos(angle_rad), np.sin(angle_rad))

    def by(self, cos: Floats, sin: Floats) -> Floats:
        """The same by the cosine and the sine of each angle."""
        return round_circle(self.centre_mm, self.e_mm, self.f_mm, cos, sin)


@dataclass(frozen=True, slots=True)
class Closed:
    """A loop closed at n positions."""

    angle_rad: Floats  # Lever angle on the chosen branch, wrapped to (-pi, pi]; NaN where the loop does not close.
    margin: Floats  # sin(alpha): 0 at a dead point; 1 - |C| / sqrt(A^2 + B^2), negative, where it cannot close
    short: NDArray[np.bool_]  # True where the loop fails because the rod is too short, False where it is too long.


def branch_of(circle: Circle, other_ball_mm: Floats) -> float:
    """Which of the two roots the drawn position, t = 0, lies on: +1 or -1; 0 when it is drawn on a dead point.

    At t = 0 the derivative of A cos t + B sin t is B = 2 f.(c - s), and at t = phi + sigma alpha it has the sign
    of -sigma.
    """
    return float(branches(circle, other_ball_mm))


def branches(circle: Circle, other_ball_mm: Floats) -> Floats:
    """The same for many circles, (...) for (..., 3)."""
    apart = circle.centre_mm - other_ball_mm
    b, scale = dot(circle.f_mm, apart), length(circle.f_mm) * length(apart)
    return np.asarray(np.where(np.abs(b) <= 1e-9 * scale, 0.0, -np.sign(b)))


def close(circle: Circle, other_ball_mm: Floats, rod_mm: Floats | float, branch: Floats | float) -> Closed:
    """The lever angle at which a rod of length ``rod_mm`` reaches each ``other_ball_mm`` (..., 3)."""
    d = circle.centre_mm - other_ball_mm
    a = 2.0 * dot(d, circle.e_mm)
    b = 2.0 * dot(d, circle.f_mm)
    c = rod_mm * rod_mm - dot(d, d) - dot(circle.e_mm, circle.e_mm)
    reach = np.sqrt(a * a + b * b)
    room = (reach - c) * (reach + c)
    with np.errstate(invalid="ignore", divide="ignore"):
        height = np.sqrt(room)
        alpha = np.arctan2(height, c)
        angle = np.arctan2(b, a) + branch * alpha
        safe = np.where(reach > 0.0, reach, 1.0)
        margin = np.where(room >= 0.0, height / safe, 1.0 - np.abs(c) / safe)
    angle = angle - 2.0 * np.pi * np.round(angle / (2.0 * np.pi))
    return Closed(angle, margin, np.asarray(c < 0.0))


BISECTIONS = 40
"""Halvings of one step of a sweep: they bring a dead point to a millionth of a millionth of it."""


@dataclass(frozen=True, slots=True)
class Motion:
    """A linkage at n positions."""

    linkage: Linkage  # What moves.
    driver: str  # The lever that is turned.
    # Each lever's angle from where it is drawn, shape (n,), right-handed about its own axis.
    angles_rad: Mapping[str, Floats]
    # What was asked for before, by what it is: most balls, rates and pins are, by many.
    _found: dict[Hashable, Floats] = field(default_factory=dict, init=False, repr=False, compare=False)

    def __len__(self) -> int:
        return len(self.angles_rad[self.driver])

    def ball_mm(self, end: tuple[str, str]) -> Floats:
        """The centre of a ball at every position, shape (n, 3), not to be written to."""
        return self.once(end, lambda: self.carried_mm(end[0], self.linkage.ball_mm(end)))

    def once(self, what: Hashable, found: Callable[[], Floats]) -> Floats:
        """What is asked for again and again, worked out the first time; not to be written to."""
        if what not in self._found:
            value = found()
            value.setflags(write=False)
            self._found[what] = value
        return self._found[what]

    def carried_mm(self, lever: str, point_mm: tuple[float, float, float]) -> Floats:
        """Any point that a lever carries along, given where it is drawn; shape (n, 3)."""
        drawn = self.linkage.lever(lever)
        return Circle.of(drawn.pivot_mm, drawn.axis, array(point_mm)).by(*self.cos_sin(lever))

    def cos_sin(self, lever: str) -> Floats:
        """Cosine and sine of a lever's angle at every position, (2, n)."""
        angle_rad = self.angles_rad[lever]
        return self.once((lever, "cosine and sine"), lambda: np.stack([np.cos(angle_rad), np.sin(angle_rad)]))

    def heading(self, lever: str) -> Floats:
        """Where the forward direction of a wheel on a lever points, (n, 3)."""
        circle = Circle.of((0.0, 0.0, 0.0), self.linkage.lever(lever).axis, FORWARD)
        return self.once((lever, "heading"), lambda: circle.by(*self.cos_sin(lever)))

    def steer_rad(self, lever: str) -> Floats:
        """Where a wheel on a lever points, seen from above, left positive, (n,)."""
        return bearing_rad(self.heading(lever))

    def seen_from(self, lever: str, point_mm: Floats) -> Floats:
        """Points of space, (n, 3), as a lever sees them: where they would lie were it as it is drawn."""
        drawn = self.linkage.lever(lever)
        pivot = array(drawn.pivot_mm)
        return pivot + turned(point_mm - pivot, array(drawn.axis), -self.angles_rad[lever])

    def stood(self, lever: str, seen_mm: Floats) -> Floats:
        """Points as a lever sees them, (n, 3), where they stand in space: what undoes :meth:`seen_from`."""
        drawn = self.linkage.lever(lever)
        pivot = array(drawn.pivot_mm)
        return pivot + turned(seen_mm - pivot, array(drawn.axis), self.angles_rad[lever])

    def picked(self, positions: NDArray[np.int64]) -> Self:
        """Some of the positions, (m,) indices."""
        return replace(self, angles_rad={name: angle[positions] for name, angle in self.angles_rad.items()})

    def rod_ends_mm(self, rod: str) -> tuple[Floats, Floats]:
        """Both balls of a rod at every position, start and end, each (n, 3)."""
        ends = self.linkage.rod(rod)
        return self.ball_mm(ends.start), self.ball_mm(ends.end)

    def rod_direction(self, rod: str) -> Floats:
        """Unit direction of a rod from start to end at every position, (n, 3)."""
        start, end = self.rod_ends_mm(rod)
        return self.once((rod, "direction"), lambda: unit(end - start))

    def closure_error(self, rod: str) -> float:
        """Largest miss of a rod's length over all positions, as a share of that length."""
        start, end = self.rod_ends_mm(rod)
        wanted = self.linkage.rod_length_mm(self.linkage.rod(rod))
        return float(np.max(np.abs(length(end - start) - wanted)) / wanted)


def move(linkage: Linkage, driver: str, angle_rad: Floats) -> Motion:
    """One lever turned through angles from where it is drawn, (n,), in the order they are met; the others follow.

    Any lever of the tree may drive; all stay on the branch that the linkage is drawn on.

    Raises:
        Refusal: when a loop cannot close, naming the rod, the lever that stands at its dead point, its angle and the
            driver's; or when the linkage is drawn at a dead point.
    """
    turn = np.ascontiguousarray(angle_rad, dtype=np.float64)
    steps = linkage.steps(driver)
    angles: dict[str, Floats] = {driver: turn}
    home = int(np.argmin(np.abs(turn)))
    motion = Motion(linkage, driver, MappingProxyType(angles))
    for step in steps:
        angle, margin = _follow(linkage, step, motion.ball_mm(step.driver), home)
        bad = margin < 0.0
        if bool(bad.any()):
            raise _dead_point(linkage, driver, turn, home, bad, step)
        angles[step.driven[0]] = angle
    for values in angles.values():
        values.setflags(write=False)
    return motion


def _circle(linkage: Linkage, end: tuple[str, str]) -> Circle:
    lever = linkage.lever(end[0])
    return Circle.of(lever.pivot_mm, lever.axis, array(lever.balls[end[1]]))


def _closed(linkage: Linkage, step: Step, driving_mm: Floats) -> Closed:
    """The loop of one rod closed, from the places of the ball that drives it, (n, 3).

    Raises:
        Refusal: It is drawn at a dead point.
    """
    driven, drawn = _circle(linkage, step.driven), array(linkage.ball_mm(step.driver))
    branch = branch_of(driven, drawn)
    if branch == 0.0:
        raise _drawn_dead(linkage, step, drawn)
    return close(driven, driving_mm, step.length_mm, branch)


def _follow(linkage: Linkage, step: Step, driving_mm: Floats, home: int) -> tuple[Floats, Floats]:
    """Angle and margin of the driven lever of one rod, from the places of the ball that drives it, (n, 3)."""
    closed = _closed(linkage, step, driving_mm)
    angle = unwrapped(closed.angle_rad)
    angle = angle - 2.0 * np.pi * np.round(angle[home] / (2.0 * np.pi)) if math.isfinite(angle[home]) else angle
    return angle, closed.margin


def _drawn_dead(linkage: Linkage, step: Step, drawn: Floats) -> Refusal:
    lever, rod = linkage.lever(step.driven[0]), step.rod
    axis, (carrier, ball) = array(lever.axis), step.driver
    if float(length(np.cross(axis, drawn - array(lever.pivot_mm)))) < 1e-6:
        words = (
            f"ball '{ball}' of '{carrier}' lies on the axis of lever '{lever.name}', so rod '{rod}' cannot turn it; "
            "move the ball off that axis"
        )
    elif float(length(np.cross(axis, array(lever.balls[step.driven[1]]) - drawn))) < 1e-6:
        words = (
            f"rod '{rod}' runs parallel to the axis of lever '{lever.name}', so it cannot turn it; set the rod across "
            "the axis"
        )
    else:
        words = (
            f"lever '{lever.name}' and rod '{rod}' are drawn in one line, where the rod can turn it either way; "
            "a drawing with the lever turned out of that line is right"
        )
    return Refusal(words, key=f"steering.rod '{rod}'")


def _dead_point(linkage: Linkage, driver: str, turn: Floats, home: int, bad: NDArray[np.bool_], step: Step) -> Refusal:
    """Find where, between the last position that closes and the first that does not, the dead point lies."""
    if bool(bad[home]):
        return _never_closes(linkage, driver, float(turn[home]), step)
    places = np.flatnonzero(bad)
    first = int(places[np.argmin(np.abs(places - home))])
    good, over = float(turn[first - 1 if first > home else first + 1]), float(turn[first])
    for _ in range(BISECTIONS):
        middle = 0.5 * (good + over)
        if _reach(linkage, driver, middle, step)[1] < 0.0:
            over = middle
        else:
            good = middle
    lever_rad, _, short = _reach(linkage, driver, good, step)
    stretched = "too short to reach further" if short else "too long to pass"
    return Refusal(
        message(
            "rod and lever come in one line: lever '{}' at {}, when '{}' stands at {}, where rod '{}' ({}) is {}; "
            "less than {} of '{}', or another rod or lever, is right",
            step.driven[0],
            rad(lever_rad),
            driver,
            rad(good),
            step.rod,
            mm(step.length_mm),
            stretched,
            rad(abs(good), "down"),
            driver,
        ),
        key=f"steering.rod '{step.rod}'",
    )


def _never_closes(linkage: Linkage, driver: str, turn_rad: float, step: Step) -> Refusal:
    short = _reach(linkage, driver, turn_rad, step)[2]
    gap = "short" if short else "long"
    drawn = float(length(array(linkage.ball_mm(step.driven)) - array(linkage.ball_mm(step.driver))))
    return Refusal(
        message(
            "rod '{}' ({}) is too {} to join '{}' and '{}' with '{}' at {}; the {} between its balls as drawn is right",
            step.rod,
            mm(step.length_mm),
            gap,
            step.driver[0],
            step.driven[0],
            driver,
            rad(turn_rad),
            mm(drawn),
        ),
        key=f"steering.rod '{step.rod}'",
    )


def _reach(linkage: Linkage, driver: str, turn_rad: float, last: Step) -> tuple[float, float, bool]:
    """Angle of the last step's lever, its margin and whether its rod is the short one, at one angle of the driver."""
    angles = {driver: np.array([turn_rad])}
    for step in linkage.steps(driver):
        driving = _circle(linkage, step.driver).at(angles[step.driver[0]])
        if step == last:
            closed = _closed(linkage, step, driving)
            return float(closed.angle_rad[0]), float(closed.margin[0]), bool(closed.short[0])
        angles[step.driven[0]] = _follow(linkage, step, driving, 0)[0]
    raise ValueError(f"step {last} is not of this linkage")
