"""Where the cylinder sits: a fixed pin on the frame, a moving pin on a rod or lever, and the path between them."""

from dataclasses import dataclass, replace

import numpy as np

from plategen.ground.message import message, rad
from plategen.ground.refusal import Refusal
from plategen.steering.motion import Motion
from plategen.steering.rates import lever_rates, spin_mm
from plategen.steering.sweep import Sweep
from plategen.steering.vector import (
    Floats,
    Point,
    array,
    as_point,
    cross,
    dot,
    length,
    of_parts,
    square_to,
    square_to_rates,
    turned,
    unit,
)


@dataclass(frozen=True, slots=True)
class Mount:
    """A cylinder between the frame and what it pushes, drawn straight ahead."""

    pushes: str  # Name of the rod or lever that carries the moving pin.
    fixed_mm: Point  # The fixed pin (the end the bracket holds).
    moving_mm: Point  # The moving pin.
    pin_axis: Point = (0.0, 0.0, 1.0)  # Direction of the fixed pin: the plates lie across it.
    in_line_with: str = ""  # The rod whose line the cylinder should keep; the rod it pushes when left empty.
    roll_rad: float = 0.0  # How far the pushed rod has rolled about its own line, from its first ball to its second.

    def __post_init__(self) -> None:
        apart = array(self.moving_mm) - array(self.fixed_mm)
        if float(length(apart)) < 1.0:
            words = "the fixed and the moving pin are drawn in the same place; set them a closed cylinder apart"
            raise Refusal(words, key="steering.cylinder_mount")
        axis = array(self.pin_axis)
        if float(length(axis)) < 1e-9:
            words = "the fixed pin's axis has no direction; give three numbers that are not all zero"
            raise Refusal(words, key="steering.cylinder_mount.pin_axis")
        if float(length(cross(unit(axis), unit(apart)))) < 0.1:
            words = "the fixed pin's axis runs along the cylinder; the pin goes across it"
            raise Refusal(words, key="steering.cylinder_mount.pin_axis")

    @property
    def _moving(self) -> tuple[str, Point, float]:
        """What the moving pin's place depends on."""
        return self.pushes, self.moving_mm, self.roll_rad

    def with_fixed(self, fixed_mm: Floats) -> "Mount":
        """The same mount with the fixed pin elsewhere."""
        return replace(self, fixed_mm=as_point(fixed_mm))

    def moving_path_mm(self, motion: Motion) -> Floats:
        """The moving pin at every position, shape (n, 3).

        On a rod, the pin keeps its distances along the rod, level across it and upwards from it as drawn, turned by
        the roll: a rod that rolls no further is one that something holds (:mod:`~plategen.steering.roll`).
        """
        return motion.once((*self._moving, "path"), lambda: self._followed_mm(motion))

    def _followed_mm(self, motion: Motion) -> Floats:
        if self.pushes in {lever.name for lever in motion.linkage.levers}:
            return motion.carried_mm(self.pushes, self.moving_mm)
        start, _ = motion.rod_ends_mm(self.pushes)
        return self.by_rod_mm(start, motion.rod_direction(self.pushes), self._on_rod_mm(motion))

    def by_rod_mm(self, start_mm: Floats, directions: Floats, lies_mm: Floats) -> Floats:
        """The moving pin by a rod's first ball and its unit direction, (..., 3), where it lies so from that ball."""
        sides, ups = square_to(directions)
        along, aside, above = (lies_mm[..., k : k + 1] for k in range(3))
        return np.asarray(start_mm + directions * along + sides * aside + ups * above)

    def moving_rate_mm(self, motion: Motion) -> Floats:
        """What the moving pin moves for a unit turn of the driver, at every position, (n, 3); exact."""
        return motion.once((*self._moving, "rate"), lambda: self._moves_mm(motion))

    def _moves_mm(self, motion: Motion) -> Floats:
        rates, levers = lever_rates(motion), {lever.name: lever for lever in motion.linkage.levers}
        if self.pushes in levers:
            path = motion.carried_mm(self.pushes, self.moving_mm)
            return spin_mm(levers[self.pushes], path) * rates[self.pushes][:, None]
        along, aside, above = self._on_rod_mm(motion)
        rod = motion.linkage.rod(self.pushes)
        start, end = motion.rod_ends_mm(self.pushes)
        starts, ends = (
            spin_mm(levers[name], ball) * rates[name][:, None]
            for (name, _), ball in ((rod.start, start), (rod.end, end))
        )
        directions = motion.rod_direction(self.pushes)
        turns = (ends - starts) / motion.linkage.rod_length_mm(rod)
        sides, ups = square_to_rates(directions, turns)
        return np.asarray(starts + turns * along + sides * aside + ups * above)

    def _on_rod_mm(self, motion: Motion) -> Floats:
        """Where the moving pin lies from the rod's first ball, (3,)."""
        rod = motion.linkage.rod(self.pushes)
        start, end = array(motion.linkage.ball_mm(rod.start)), array(motion.linkage.ball_mm(rod.end))
        return self.on_rod_mm(start, end)

    def on_rod_mm(self, start_mm: Floats, end_mm: Floats) -> Floats:
        """Where the moving pin lies from a drawn rod's first ball, (..., 3): along it, level across it, upwards."""
        direction = unit(end_mm - start_mm)
        across, upwards = square_to(direction)
        offset = turned(array(self.moving_mm) - start_mm, direction, self.roll_rad)
        return of_parts(dot(direction, offset), dot(across, offset), dot(upwards, offset))

    def lengths_mm(self, motion: Motion) -> Floats:
        """Pin to pin at every position, (n,)."""
        return length(self.moving_path_mm(motion) - array(self.fixed_mm))

    def line_rod(self, sweep: Sweep) -> str | None:
        """The rod whose line counts for the alignment, or None when the cylinder pushes a lever and none is named."""
        if self.in_line_with:
            return sweep.linkage.rod(self.in_line_with).name
        return self.pushes if any(rod.name == self.pushes for rod in sweep.linkage.rods) else None


@dataclass(frozen=True, slots=True)
class PinToPin:
    """The cylinder over the sweep: pin to pin (n,), direction from the fixed pin (n, 3), and the straight index."""

    length_mm: Floats
    direction: Floats
    moving_mm: Floats
    straight: int

    def and_also(self, other: "PinToPin") -> "PinToPin":
        """These positions, and after them another's."""
        return PinToPin(
            np.concatenate([self.length_mm, other.length_mm]),
            np.concatenate([self.direction, other.direction]),
            np.concatenate([self.moving_mm, other.moving_mm]),
            self.straight,
        )

    @property
    def shortest_mm(self) -> float:
        """Least pin-to-pin length of the sweep."""
        return float(self.length_mm.min())

    @property
    def longest_mm(self) -> float:
        """Greatest pin-to-pin length of the sweep."""
        return float(self.length_mm.max())

    @property
    def travel_mm(self) -> float:
        """What the stroke has to cover: longest less shortest, over the whole sweep and not only at the locks."""
        return self.longest_mm - self.shortest_mm

    @property
    def opens_to_left(self) -> bool:
        """True when the cylinder is longer at the left lock than at the right: it pushes in a left turn."""
        return bool(self.length_mm[-1] > self.length_mm[0])

    @property
    def straight_mm(self) -> float:
        """Length at straight ahead."""
        return float(self.length_mm[self.straight])


def pin_to_pin(sweep: Sweep, mount: Mount) -> PinToPin:
    """Length and direction of the cylinder at every position of the sweep."""
    moving = mount.moving_path_mm(sweep.motion)
    size = sweep.motion.once((mount, "length"), lambda: length(moving - array(mount.fixed_mm)))
    if float(size.min()) < 1.0:
        words = "the moving pin passes through the fixed pin within the sweep; move the fixed pin away"
        raise Refusal(words, key="steering.cylinder_mount.fixed_pin")
    way = sweep.motion.once((mount, "direction"), lambda: (moving - array(mount.fixed_mm)) / size[:, None])
    return PinToPin(size, way, moving, sweep.straight)


def leverage_mm(sweep: Sweep, mount: Mount, pins: PinToPin) -> Floats:
    """What the cylinder opens for each radian that the driver turns left, dL/d driver, (n,); exact."""
    motion = sweep.motion
    return motion.once(
        (mount, "leverage"), lambda: sweep.left_sense * dot(pins.direction, mount.moving_rate_mm(motion))
    )


def refuse_dead_point(sweep: Sweep, pins: PinToPin) -> None:
    """Refuse a cylinder that turns back within the sweep: where it does, it turns nothing, and no stroke has two locks.

    Raises:
        Refusal: naming the cylinder and the driver's angle.
    """
    change = np.diff(pins.length_mm)
    turns = np.flatnonzero(change[:-1] * change[1:] < 0.0)
    if not len(turns):
        return
    i = int(turns[0]) + 1
    extreme = "longest" if change[i - 1] > 0.0 else "shortest"
    words = (
        "the cylinder and its lever come in one line when '{}' stands at {} (left positive): it is {} there and turns "
        "nothing; less than {} of lock, or a pin moved so that it keeps an arm from lock to lock, is right"
    )
    at_rad = float(sweep.driver_rad[i])
    of = sweep.motion.driver, rad(at_rad), extreme, rad(abs(at_rad), "down")
    raise Refusal(message(words, *of), key="steering.cylinder_mount")


@dataclass(frozen=True, slots=True)
class Swing:
    """How the cylinder swings about its fixed pin, in the plate frame (u along it at straight ahead, w the pin)."""

    in_plane_rad: Floats  # Angle in the plane of the plates, positive towards v, shape (n,).
    out_of_plane_rad: Floats  # Angle out of that plane, towards w, shape (n,): the joint at the pin must allow it.
    u: Point  # The plate frame's axes in the vehicle frame; its origin is the fixed pin.
    v: Point
    w: Point

    @property
    def in_plane_range_rad(self) -> tuple[float, float]:
        """Least and greatest swing in the plane."""
        return float(self.in_plane_rad.min()), float(self.in_plane_rad.max())

    @property
    def out_of_plane_range_rad(self) -> tuple[float, float]:
        """Least and greatest angle out of the plane."""
        return float(self.out_of_plane_rad.min()), float(self.out_of_plane_rad.max())


def swing(pins: PinToPin, mount: Mount, drawn: PinToPin | None = None) -> Swing:
    """The swing of the cylinder about its fixed pin.

    u is the cylinder's direction at straight ahead (as drawn, where its pins lie otherwise) made square to the pin,
    w the pin, v = w x u.
    """
    w = unit(array(mount.pin_axis))
    ahead = (drawn or pins).direction[pins.straight]
    u = unit(ahead - w * dot(w, ahead))
    v = cross(w, u)
    on_u, on_v, on_w = pins.direction @ u, pins.direction @ v, pins.direction @ w
    return Swing(np.arctan2(on_v, on_u), np.arcsin(np.clip(on_w, -1.0, 1.0)), as_point(u), as_point(v), as_point(w))


def line_direction(sweep: Sweep, mount: Mount, pins: PinToPin) -> Floats:
    """Unit direction of the line at every position, pointing the way the cylinder opens, (n, 3)."""
    rod = mount.line_rod(sweep)
    if rod is not None:
        line = sweep.motion.rod_direction(rod)
    else:
        line = unit(spin_mm(sweep.linkage.lever(mount.pushes), pins.moving_mm))
    ahead = float(dot(line[pins.straight], pins.direction[pins.straight]))
    return line if ahead >= 0.0 else -line
