"""One linkage drawn in k ways that differ in a place or a rod's length, all of them moved at once: (k, n) positions.

It is what :func:`~plategen.steering.motion.move` does for one linkage, worked out for all together, as most of the time
of a short sweep goes into starting each operation.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from plategen.steering.linkage import Lever, Linkage
from plategen.steering.motion import Circle, branches, close
from plategen.steering.mount import Mount
from plategen.steering.sweep import steered_rad
from plategen.steering.vector import Floats, array, length, unit, unwrapped


@dataclass(frozen=True, slots=True)
class Change:
    """A way of drawing a linkage: one lever's pivot or one of its balls elsewhere, or one rod longer."""

    part: str
    ball: str | None  # None for the pivot, and for a rod.
    by_mm: Floats  # Which way and how far, (3,); of a rod only its length counts, with the sign of its first part.


@dataclass(frozen=True, slots=True)
class Variants:
    """The linkage as it is drawn, and its changes."""

    linkage: Linkage
    changes: tuple[Change, ...]
    pivot_mm: Mapping[str, Floats] = field(init=False, repr=False)  # By lever, (k, 3).
    ball_mm: Mapping[tuple[str, str], Floats] = field(init=False, repr=False)
    rod_mm: Mapping[str, Floats] = field(init=False, repr=False)  # By rod, (k,).

    def __post_init__(self) -> None:
        k = len(self.changes)
        levers, rods = self.linkage.levers, self.linkage.rods
        pivots = {lever.name: np.tile(array(lever.pivot_mm), (k, 1)) for lever in levers}
        balls = {(lever.name, b): np.tile(array(at), (k, 1)) for lever in levers for b, at in lever.balls.items()}
        longer = {rod.name: np.zeros(k) for rod in rods}
        for row, change in enumerate(self.changes):
            if change.part in longer:
                longer[change.part][row] = change.by_mm[0]
            elif change.ball is None:
                pivots[change.part][row] += change.by_mm
            else:
                balls[change.part, change.ball][row] += change.by_mm
        lengths = {}
        for rod in rods:
            drawn = length(balls[rod.end] - balls[rod.start])
            drawn = drawn if rod.length_mm is None else np.full(k, rod.length_mm)
            as_is = self.linkage.rod_length_mm(rod)  # a rod that is made longer was as long before as it is drawn
            lengths[rod.name] = np.where(longer[rod.name] != 0.0, as_is + longer[rod.name], drawn)
        for name, value in (("pivot_mm", pivots), ("ball_mm", balls), ("rod_mm", lengths)):
            object.__setattr__(self, name, value)

    def _circle(self, lever: Lever, point_mm: Floats) -> Circle:
        """The path of a point, (k, 3) as drawn, round its lever's axis: its parts (k, 1, 3)."""
        circle = Circle.of_many(self.pivot_mm[lever.name], array(lever.axis), point_mm)
        return Circle(circle.centre_mm[:, None], circle.e_mm[:, None], circle.f_mm[:, None])

    def moved(self, driver: str, driver_rad: Floats) -> "Moved":
        """All of them with their driver at each angle, (n,), straight ahead among them."""
        home = int(np.argmin(np.abs(driver_rad)))
        k = len(self.changes)
        angles, bad = {driver: np.tile(driver_rad, (k, 1))}, np.zeros(k, dtype=np.bool_)
        for step in self.linkage.steps(driver):
            driving, driven = (
                self._circle(self.linkage.lever(end[0]), self.ball_mm[end]) for end in (step.driver, step.driven)
            )
            drawn = self.ball_mm[step.driver][:, None]
            branch = branches(driven, drawn)
            other = driving.at(angles[step.driver[0]])
            closed = close(driven, other, self.rod_mm[step.rod][:, None], branch)
            angle = unwrapped(closed.angle_rad)
            angles[step.driven[0]] = angle - 2.0 * np.pi * np.round(angle[:, home : home + 1] / (2.0 * np.pi))
            bad |= (branch[:, 0] == 0.0) | (closed.margin < 0.0).any(axis=-1)
        return Moved(self, angles, home, ~bad)


@dataclass(frozen=True, slots=True)
class Moved:
    """All of them at n positions."""

    variants: Variants
    angles_rad: Mapping[str, Floats]  # By lever, (k, n).
    straight: int
    closes: NDArray[np.bool_]  # (k,): False where a rod cannot reach somewhere.

    def steer_rad(self) -> dict[str, Floats]:
        """What each wheel turns, (k, n)."""
        linkage = self.variants.linkage
        return {
            side: steered_rad(linkage.lever(name), self.angles_rad[name]) for side, name in linkage.wheels().items()
        }

    def _at(self, lever: str, point_mm: Floats) -> Floats:
        circle = self.variants._circle(self.variants.linkage.lever(lever), point_mm)
        return circle.at(self.angles_rad[lever])

    def pin_to_pin_mm(self, mount: Mount) -> Floats:
        """The cylinder's length, (k, n), its pins where they are drawn."""
        balls, linkage = self.variants.ball_mm, self.variants.linkage
        moving = array(mount.moving_mm)
        if mount.pushes in self.angles_rad:
            path = self._at(mount.pushes, np.broadcast_to(moving, (len(self.closes), 3)))
        else:
            rod = linkage.rod(mount.pushes)
            lies = mount.on_rod_mm(balls[rod.start], balls[rod.end])[:, None]
            start, end = (self._at(each[0], balls[each]) for each in (rod.start, rod.end))
            path = mount.by_rod_mm(start, unit(end - start), lies)
        return length(path - array(mount.fixed_mm))
