"""A steering linkage as it is drawn: levers that turn about fixed axes in space, and rods with ball joints between
them. Any tree of them: each lever but the driving one hangs on the tree by one rod, so every angle follows in turn.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np

from plategen.ground.refusal import Refusal
from plategen.steering.vector import Floats, Point, array, as_point, cross, dot, length, unit

SMALLEST_LENGTH_MM = 1e-3
"""Below this no arm, rod or axis is a length: a hundredth of what a shop can measure."""


@dataclass(frozen=True, slots=True)
class Lever:
    """A lever, relay arm or spindle on a fixed axis."""

    name: str  # What the shop calls it.
    pivot_mm: Point  # Any point of the axis, vehicle frame.
    axis: Point  # Direction of the axis; any length but zero. Angles are positive right-handed about it.
    balls: Mapping[str, Point]  # Centres of the ball joints it carries, as drawn (lever angle zero).
    wheel: str = ""  # ``"left"`` or ``"right"`` when a road wheel turns with it, else empty.

    def __post_init__(self) -> None:
        if float(length(array(self.axis))) < 1e-9:
            words = f"the axis of lever '{self.name}' has no direction; give three numbers that are not all zero"
            raise Refusal(words, key=f"steering.lever '{self.name}'.axis")
        if not self.balls:
            words = f"lever '{self.name}' carries no ball joint; give at least one under balls"
            raise Refusal(words, key=f"steering.lever '{self.name}'.balls")
        object.__setattr__(self, "axis", as_point(unit(array(self.axis))))
        object.__setattr__(self, "balls", dict(self.balls))

    def foot_mm(self, point_mm: Floats | Point) -> Floats:
        """The point of the lever's axis nearest to another, (3,)."""
        axis, pivot = array(self.axis), array(self.pivot_mm)
        return np.asarray(pivot + axis * dot(axis, array(point_mm) - pivot))

    def arm_mm(self, ball: str) -> float:
        """Distance of a ball from the lever's axis: the length of the arm."""
        return float(length(cross(array(self.axis), array(self.balls[ball]) - array(self.pivot_mm))))


@dataclass(frozen=True, slots=True)
class Rod:
    """A rod with a ball joint at each end, each written ``(lever, ball)``.

    ``length_mm`` is measured between the drawn ball centres when left out. A rod set longer or shorter than drawn
    moves the levers it joins when the linkage is swept.
    """

    name: str
    start: tuple[str, str]
    end: tuple[str, str]
    length_mm: float | None = None


@dataclass(frozen=True, slots=True)
class Step:
    """One link of the chain of computation: ``driven`` follows ``driver`` through ``rod``."""

    rod: str
    driver: tuple[str, str]
    driven: tuple[str, str]
    length_mm: float


@dataclass(frozen=True, slots=True)
class Linkage:
    """Levers and rods that make one tree.

    Raises:
        Refusal: naming the lever or rod that cannot be: an unknown end, a ball on the lever's own axis, a rod of no
            length, a rod that closes a second loop, a lever that no rod reaches.
    """

    levers: tuple[Lever, ...]
    rods: tuple[Rod, ...]
    _by_name: dict[str, Lever] = field(init=False, repr=False, compare=False)
    # The order for each driver that was asked for before.
    _steps: dict[str, tuple[Step, ...]] = field(default_factory=dict, init=False, repr=False, compare=False)
    # Angles of a driver that were asked for before: locks and their stops are the same.
    driver_at_rad: dict[tuple[str, str, float, float], float] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def __post_init__(self) -> None:
        by_name: dict[str, Lever] = {}
        for lever in self.levers:
            if lever.name in by_name:
                raise Refusal(f"two levers are called '{lever.name}'; give each its own name", key="steering.lever")
            by_name[lever.name] = lever
        object.__setattr__(self, "_by_name", by_name)
        if not self.levers:
            raise Refusal("there is no lever; a linkage needs at least one [[steering.lever]]", key="steering")
        _check_rods(self)
        self.steps(self.levers[0].name)

    def lever(self, name: str) -> Lever:
        """The lever of that name.

        Raises:
            Refusal: when there is none.
        """
        if name not in self._by_name:
            known = ", ".join(self._by_name)
            raise Refusal(f"there is no lever '{name}'; the levers are: {known}", key="steering")
        return self._by_name[name]

    def rod(self, name: str) -> Rod:
        """The rod of that name, or a refusal that lists those there are."""
        for rod in self.rods:
            if rod.name == name:
                return rod
        known = ", ".join(rod.name for rod in self.rods) or "none"
        raise Refusal(f"there is no rod '{name}'; the rods are: {known}", key="steering")

    def ball_mm(self, end: tuple[str, str]) -> Point:
        """Where a ball is drawn."""
        return self.lever(end[0]).balls[end[1]]

    def rod_length_mm(self, rod: Rod) -> float:
        """The rod's set length, or the drawn distance between its balls."""
        if rod.length_mm is not None:
            return rod.length_mm
        return float(length(array(self.ball_mm(rod.end)) - array(self.ball_mm(rod.start))))

    def steps(self, driver: str) -> tuple[Step, ...]:
        """The order in which levers follow when ``driver`` is turned: each rod once, outwards through the tree."""
        if driver not in self._steps:
            self._steps[driver] = self._in_order(driver)
        return self._steps[driver]

    def _in_order(self, driver: str) -> tuple[Step, ...]:
        self.lever(driver)
        reached = {driver}
        left = list(self.rods)
        steps: list[Step] = []
        while left:
            for rod in left:
                a, b = rod.start, rod.end
                if a[0] in reached and b[0] in reached:
                    raise Refusal(
                        f"rod '{rod.name}' would lock the steering: '{a[0]}' and '{b[0]}' are joined already; one rod "
                        "left out is right",
                        key=f"steering.rod '{rod.name}'",
                    )
                if b[0] in reached:
                    a, b = b, a
                if a[0] in reached:
                    reached.add(b[0])
                    steps.append(Step(rod.name, a, b, self.rod_length_mm(rod)))
                    left.remove(rod)
                    break
            else:
                break
        for lever in self.levers:
            if lever.name not in reached:
                words = f"no rod joins lever '{lever.name}' to '{driver}'; add the rod, or leave the lever out"
                raise Refusal(words, key=f"steering.lever '{lever.name}'")
        return tuple(steps)

    def beyond(self, driver: str, rod: str) -> frozenset[str]:
        """The levers that ``driver`` turns through a rod, and without it no more."""
        found: set[str] = set()
        for step in self.steps(driver):
            if step.rod == rod or step.driver[0] in found:
                found.add(step.driven[0])
        return frozenset(found)

    def wheels(self) -> dict[str, str]:
        """Which lever carries the left and which the right road wheel, for those there are."""
        return {lever.wheel: lever.name for lever in self.levers if lever.wheel}

    def with_lever(self, lever: Lever) -> "Linkage":
        """The same linkage with one lever drawn anew (found by its name)."""
        return replace(self, levers=tuple(lever if x.name == lever.name else x for x in self.levers))

    def with_rod(self, rod: Rod) -> "Linkage":
        """The same linkage with one rod set anew (found by its name)."""
        return replace(self, rods=tuple(rod if x.name == rod.name else x for x in self.rods))


def _check_rods(linkage: Linkage) -> None:
    names: set[str] = set()
    for rod in linkage.rods:
        where = f"steering.rod '{rod.name}'"
        if rod.name in names:
            raise Refusal(f"two rods are called '{rod.name}'; give each its own name", key="steering.rod")
        if rod.name in linkage._by_name:
            raise Refusal(f"a lever and a rod are both called '{rod.name}'; give each its own name", key=where)
        names.add(rod.name)
        for key, (name, ball) in (("from", rod.start), ("to", rod.end)):
            if name not in linkage._by_name:
                known = ", ".join(linkage._by_name)
                raise Refusal(f"there is no lever '{name}'; the levers are: {known}", key=f"{where}.{key}")
            lever = linkage._by_name[name]
            if ball not in lever.balls:
                raise Refusal(
                    f"lever '{name}' has no ball '{ball}'; it has: {', '.join(lever.balls)}", key=f"{where}.{key}"
                )
            if lever.arm_mm(ball) < SMALLEST_LENGTH_MM:
                raise Refusal(
                    f"ball '{ball}' lies on the axis of its own lever '{name}', so the rod cannot turn it; "
                    "move the ball off the axis",
                    key=f"steering.lever '{name}'.balls.{ball}",
                )
        if rod.start[0] == rod.end[0]:
            words = f"rod '{rod.name}' joins lever '{rod.start[0]}' to itself; a rod goes from one lever to another"
            raise Refusal(words, key=where)
        if linkage.rod_length_mm(rod) < SMALLEST_LENGTH_MM:
            raise Refusal(f"rod '{rod.name}' has no length; set its two balls apart", key=where)
