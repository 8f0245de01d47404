"""The axle moving under its steering: bump steer with the box held, and the cylinder, from lock to lock, at every place
of the axle.
"""

from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from plategen.ground.order import distinct
from plategen.ground.refusal import Refusal
from plategen.job.steering_axle import AxleEntry
from plategen.steering.alignment import moving_end_swing_rad
from plategen.steering.axle_motion import Carriage, CarriedMotion, about, carried, shifted, turn_that_lifts_rad
from plategen.steering.linkage import Linkage
from plategen.steering.mount import Mount, PinToPin, Swing, pin_to_pin, swing
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats, Point, array, as_point, dot, unit

POSITIONS = 101
"""Positions of the wheels from lock to lock at each place of the axle."""

STEPS = 4
"""Heights from ride height to full travel, each way, ride height included."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AxleTravel:
    """The steering at k places of the axle, ride height first; ``pins`` has all positions of the first place first."""

    rise_mm: Floats  # (k,), of the axle's middle, up positive.
    roll_rad: Floats  # (k,), left side up positive.
    steer_rad: Mapping[str, Floats]  # What each wheel turns with the box held straight ahead, (k,), left positive.
    joint_rad: Mapping[str, float]  # By rod: most that it rises out of the plane square to a lever's axis, either end.
    motion: CarriedMotion  # The linkage, k x 101 positions in one row; a wheel drives it.
    box: str  # The steering box's arm.
    pins: PinToPin | None  # The cylinder, k x 101 positions in one row; None without one.
    swing: Swing | None
    moving_swing_rad: tuple[float, float] | None

    @property
    def heading_rad(self) -> Floats:
        """Bump steer: the mean turn of the wheels, (k,)."""
        return np.asarray(np.mean(list(self.steer_rad.values()), axis=0))

    @property
    def toe_rad(self) -> Floats | None:
        """Change of toe-in, (k,); None with one wheel."""
        if len(self.steer_rad) < 2:
            return None
        return np.asarray(self.steer_rad["right"] - self.steer_rad["left"])

    @property
    def rate_rad_per_mm(self) -> float | None:
        """Bump steer for each unit of travel next to ride height; None when the axle only rolls."""
        level = np.flatnonzero(self.roll_rad == 0.0)
        order = level[np.argsort(self.rise_mm[level])]
        if len(order) < 3:
            return None
        at = int(np.flatnonzero(order == 0)[0])
        return float(np.gradient(self.heading_rad[order], self.rise_mm[order])[at])

    @property
    def lock_driver_rad(self) -> tuple[Floats, Floats]:
        """How far the box's arm has turned from where it is drawn, at the right lock and at the left, (k,) each."""
        turns = self.motion.angles_rad[self.box].reshape(len(self.rise_mm), -1)
        ahead = turns[0, POSITIONS // 2]
        return np.abs(turns[:, 0] - ahead), np.abs(turns[:, -1] - ahead)

    @property
    def swing_rad(self) -> tuple[Floats, Floats] | None:
        """How the cylinder swings at each place, in the plates' plane and out of it, (k, 101) each."""
        if self.swing is None:
            return None
        k = len(self.rise_mm)
        return self.swing.in_plane_rad.reshape(k, -1), self.swing.out_of_plane_rad.reshape(k, -1)

    @property
    def cylinder_mm(self) -> tuple[Floats, Floats] | None:
        """Shortest and longest pin to pin from lock to lock at each place, (k,) each."""
        if self.pins is None:
            return None
        rows = self.pins.length_mm.reshape(len(self.rise_mm), -1)
        return rows.min(axis=1), rows.max(axis=1)


def places(entry: AxleEntry) -> tuple[Floats, Floats]:
    """Heights and rolls, (k,) each, 21 of them where all are asked; ride height, level, comes first."""
    rises = np.concatenate([np.linspace(-entry.down_mm, 0.0, STEPS), np.linspace(0.0, entry.up_mm, STEPS)])
    rolls = [0.0] if entry.roll_rad == 0.0 else [0.0, -entry.roll_rad, entry.roll_rad]
    grid = [(rise, roll) for roll in rolls for rise in dict.fromkeys(np.sort(rises).tolist())]
    grid.sort(key=lambda place: place != (0.0, 0.0))
    rise, roll = np.array(grid).T
    return np.ascontiguousarray(rise), np.ascontiguousarray(roll)


def carriages(linkage: Linkage, entry: AxleEntry, rise_mm: Floats, roll_rad: Floats) -> dict[str, Carriage]:
    """How each lever that rides on the axle goes, for each place of it, (n,) each.

    A solid axle moves along its path and then rolls about a line fore and aft through its roll centre, which moves
    with it. Each half of a swing axle turns about its own line until its kingpin stands where that brings it.

    Raises:
        Refusal: no wheel, or more travel than the path has.
    """
    wheels = linkage.wheels()
    if not wheels:
        raise Refusal('no lever carries a wheel; mark the spindles with wheel = "left" and "right"', "steering.axle")
    pivots = {side: linkage.lever(name).pivot_mm for side, name in wheels.items()}
    if entry.kind == "swing":
        found = {}
        for side, name in wheels.items():
            across = 1.0 if side == "left" else -1.0
            centre, axis = _mirrored(entry.about_mm, across), _mirrored(entry.axis, across)
            lift = rise_mm + pivots[side][1] * np.tan(roll_rad)
            found[name] = about(centre, axis, turn_that_lifts_rad(centre, axis, pivots[side], lift))
        return found
    x, _, z = np.mean(list(pivots.values()), axis=0)
    middle: Point = (float(x), 0.0, float(z))
    way = _path(entry, middle, rise_mm)
    centre = middle if entry.roll_centre_mm is None else (middle[0], 0.0, entry.roll_centre_mm)
    whole = about(centre, (1.0, 0.0, 0.0), roll_rad).then(way)
    return dict.fromkeys((*wheels.values(), *entry.carries), whole)


def _path(entry: AxleEntry, middle: Point, rise_mm: Floats) -> Carriage:
    """A solid axle's middle along its path."""
    if entry.about_mm is None:
        return shifted(np.outer(rise_mm, (0.0, 0.0, 1.0)))
    centre, across = (entry.about_mm[0], 0.0, entry.about_mm[2]), (0.0, 1.0, 0.0)
    swung = about(centre, across, turn_that_lifts_rad(centre, across, middle, rise_mm))
    return swung if entry.turns else shifted(swung.at(array(middle)) - array(middle))


def _mirrored(place: Point | None, across: float) -> Point:
    assert place is not None  # a swing axle has one
    return (place[0], across * place[1], place[2])


def axle_travel(swept: Sweep, entry: AxleEntry, mount: Mount | None = None) -> AxleTravel:
    """The steering at every place of the axle: the box's arm held straight ahead, and the wheels turned
    between their locks as drawn, where their stops, which ride on the axle, hold them.

    Raises:
        Refusal: an axle that cannot go so far, a rod that cannot follow it.
    """
    rise, roll = places(entry)
    linkage = swept.linkage
    rides = carriages(linkage, entry, rise, roll)
    steer = held_at(swept, entry, rise, roll).steer_rad
    wheel = next(iter(linkage.wheels().values()))
    drawn_rad = swept.motion.angles_rad[wheel]
    half = POSITIONS // 2
    way = np.concatenate([np.linspace(drawn_rad[0], 0.0, half + 1), np.linspace(0.0, drawn_rad[-1], half + 1)[1:]])
    motion = carried(
        linkage, wheel, np.tile(way, len(rise)), {name: ride.each(POSITIONS) for name, ride in rides.items()}
    )
    pins, lies, moving = None, None, None
    if mount is not None:
        moved = replace(swept, motion=motion, straight=half)
        pins = pin_to_pin(moved, mount)
        lies, moving = swing(pins, mount), moving_end_swing_rad(moved, mount, pins)
    return AxleTravel(
        rise_mm=rise,
        roll_rad=roll,
        steer_rad={side: angle - angle[0] for side, angle in steer.items()},
        joint_rad={rod.name: _joint_rad(motion, rod.name) for rod in linkage.rods},
        motion=motion,
        box=swept.motion.driver,
        pins=pins,
        swing=lies,
        moving_swing_rad=moving,
    )


def beyond_mm(pins: PinToPin, moved_mm: tuple[Floats, Floats]) -> tuple[float, float]:
    """How much shorter and longer than with the axle as drawn a cylinder gets, by its least and greatest lengths."""
    shortest, longest = moved_mm
    return max(pins.shortest_mm - float(shortest.min()), 0.0), max(float(longest.max()) - pins.longest_mm, 0.0)


def _joint_rad(motion: CarriedMotion, rod: str) -> float:
    """Most that a rod tilts out of the plane square to the axis of the lever at either end."""
    start, end = motion.rod_ends_mm(rod)
    line, ends = unit(end - start), motion.linkage.rod(rod)
    most = 0.0
    for lever in (ends.start[0], ends.end[0]):
        axis, ride = array(motion.linkage.lever(lever).axis), motion.carriages.get(lever)
        now = axis if ride is None else ride.direction(axis)
        most = max(most, float(np.abs(np.arcsin(np.clip(dot(line, now), -1.0, 1.0))).max()))
    return most


def held_at(swept: Sweep, entry: AxleEntry, rise_mm: Floats, roll_rad: Floats) -> Sweep:
    """The steering wheel held straight ahead and the axle at each height and roll, (n,) each, ride height among them.

    Raises:
        Refusal: an axle that cannot go so far, a rod that cannot follow it.
    """
    rides = carriages(swept.linkage, entry, rise_mm, roll_rad)
    motion = carried(swept.linkage, swept.motion.driver, np.zeros(len(rise_mm)), rides)
    steer = {side: motion.steer_rad(name) for side, name in swept.linkage.wheels().items()}
    return replace(swept, motion=motion, straight=int(np.argmin(np.hypot(rise_mm, roll_rad))), steer_rad=steer)


def heights_mm(entry: AxleEntry, places: int) -> Floats:
    """Heights of the axle's middle from down to up, so many on either side of ride height, which is among them."""
    half = np.linspace(0.0, 1.0, places + 1)
    rises = np.concatenate([-entry.down_mm * half[::-1], entry.up_mm * half[1:]])
    return distinct(rises)


@dataclass(frozen=True, slots=True, kw_only=True)
class BallMoved:
    """The ball of the frame's lever that is best moved up or down, tried."""

    lever: str
    ball: str
    up_mm: float
    worst_rad: float  # Largest bump steer then.


def best_height(swept: Sweep, entry: AxleEntry, most_mm: float = 150.0) -> BallMoved | None:
    """The height of the ball on the frame's side of the rod to the axle that steers least over its travel.

    Computed anew at each height, the rod made to fit straight ahead; None where no one rod joins frame and axle.
    """
    linkage, driver = swept.linkage, swept.motion.driver
    rise, roll = places(entry)
    rides = carriages(linkage, entry, rise, roll)
    joins = [step for step in linkage.steps(driver) if step.driver[0] not in rides and step.driven[0] in rides]
    if len(joins) != 1:
        return None
    lever, ball = linkage.lever(joins[0].driver[0]), joins[0].driver[1]
    rod = replace(linkage.rod(joins[0].rod), length_mm=None)

    def worst_rad(up_mm: float) -> float:
        raised = as_point(array(lever.balls[ball]) + np.array([0.0, 0.0, up_mm]))
        if abs(up_mm) > most_mm:
            return np.inf
        try:
            tried = linkage.with_lever(replace(lever, balls={**lever.balls, ball: raised})).with_rod(rod)
            held = carried(tried, driver, np.zeros(len(rise)), rides)
        except Refusal:
            return np.inf  # no linkage with its ball there
        steer = np.mean([held.steer_rad(name) for name in tried.wheels().values()], axis=0)
        return float(np.abs(steer - steer[0]).max())

    best, step = 0.0, most_mm / 4.0
    while step > 0.5:
        better = min((best, best - step, best + step), key=worst_rad)
        best, step = (best, step / 2.0) if better == best else (better, step)
    return BallMoved(lever=lever.name, ball=ball, up_mm=best, worst_rad=worst_rad(best))
