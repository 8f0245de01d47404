"""How well the cylinder lies in line with what it pushes, over the whole sweep: the angle in two planes, the push that
is lost, and the side load and bending that go into the rod and the levers instead.
"""

from dataclasses import dataclass

import numpy as np

from plategen.rules.rod import bracket_moment_nmm
from plategen.steering.linkage import Linkage
from plategen.steering.mount import Mount, PinToPin
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats, angle_between, array, dot, length, square_to, unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Alignment:
    """Cylinder against its line, at every position.

    The line is the rod that is pushed, or the direction in which the moving pin moves when a lever is pushed
    directly. Its frame: along the line, level across it, and upwards.

    Args:
        line: Name of the rod whose line it is, or empty for the direction of motion.
        angle_rad: Angle between the two, (n,).
        level_rad: The same seen from above the line's own frame, positive to the left, (n,).
        upright_rad: The same seen from the side, positive upwards, (n,).
        shares: Parts of a unit push along, across and upwards, (n, 3); their squares add to 1.
    """

    line: str
    angle_rad: Floats
    level_rad: Floats
    upright_rad: Floats
    shares: Floats

    @property
    def worst_rad(self) -> float:
        """Largest angle of the sweep."""
        return float(self.angle_rad.max())

    @property
    def push_lost(self) -> Floats:
        """Share of the push that does not go along the line, 1 - cos, (n,)."""
        return np.asarray(1.0 - np.cos(self.angle_rad))

    @property
    def side_share(self) -> Floats:
        """Share of the push that goes sideways, sin, (n,)."""
        return np.asarray(np.sin(self.angle_rad))


def line_direction(sweep: Sweep, mount: Mount, pins: PinToPin) -> Floats:
    """Unit direction of the line at every position, pointing the way the cylinder opens, (n, 3)."""
    rod = mount.line_rod(sweep)
    if rod is not None:
        start, end = sweep.motion.rod_ends_mm(rod)
        line = unit(end - start)
    else:
        line = unit(np.gradient(pins.moving_mm, sweep.driver_rad, axis=0, edge_order=2))
    ahead = float(dot(line[pins.straight], pins.direction[pins.straight]))
    return line if ahead >= 0.0 else -line


def alignment(sweep: Sweep, mount: Mount, pins: PinToPin) -> Alignment:
    """Angles and shares of the push over the sweep."""
    line = line_direction(sweep, mount, pins)
    across, upwards = square_to(line)
    cylinder = pins.direction
    shares = np.stack([dot(cylinder, line), dot(cylinder, across), dot(cylinder, upwards)], axis=-1)
    return Alignment(
        line=mount.line_rod(sweep) or "",
        angle_rad=angle_between(cylinder, line),
        level_rad=np.arctan2(shares[:, 1], shares[:, 0]),
        upright_rad=np.arctan2(shares[:, 2], shares[:, 0]),
        shares=shares,
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class RodBending:
    """What a push out of line and beside the rod's centre does to the rod and to the levers at its ends.

    Args:
        rod: The rod that is pushed.
        length_mm: From ball to ball.
        at_mm: Where along it the moving pin sits, from its first ball; negative or past its length beyond a ball.
        eccentric_mm: Distance of the moving pin from the rod's centre line.
        out_of_line_rad: Largest angle between cylinder and rod.
        side_n: Largest force square to the rod.
        moment_nmm: Largest bending moment in the rod, without shock.
        ball_side_n: Side force on each ball, start and end of the rod, at the worst position.
        lever_moment_nmm: Bending put into each lever square to its own plane, at most: ball side force times arm.
    """

    rod: str
    length_mm: float
    at_mm: float
    eccentric_mm: float
    out_of_line_rad: float
    side_n: float
    moment_nmm: float
    ball_side_n: tuple[float, float]
    lever_moment_nmm: tuple[float, float]


def rod_bending(linkage: Linkage, mount: Mount, aligned: Alignment, force_n: float) -> RodBending | None:
    """Bending of the pushed rod under the larger cylinder force, or None when a lever is pushed directly.

    ``aligned`` is the cylinder against the pushed rod itself; the rod is a beam on its two balls.
    """
    if mount.pushes in {lever.name for lever in linkage.levers}:
        return None
    rod = linkage.rod(mount.pushes)
    start, end = array(linkage.ball_mm(rod.start)), array(linkage.ball_mm(rod.end))
    span = float(length(end - start))
    along = unit(end - start)
    from_start = array(mount.moving_mm) - start
    a = float(dot(from_start, along))
    eccentric = float(length(from_start - along * a))
    worst = float(aligned.side_share.max()) * force_n
    couple = force_n * eccentric / span
    sides = (worst * abs(span - a) / span + couple, worst * abs(a) / span + couple)
    arms = tuple(linkage.lever(name).arm_mm(ball) for name, ball in (rod.start, rod.end))
    return RodBending(
        rod=mount.pushes,
        length_mm=span,
        at_mm=a,
        eccentric_mm=eccentric,
        out_of_line_rad=aligned.worst_rad,
        side_n=worst,
        moment_nmm=bracket_moment_nmm(span, force_n, worst, eccentric, a),
        ball_side_n=sides,
        lever_moment_nmm=(sides[0] * arms[0], sides[1] * arms[1]),
    )


def moving_end_swing_rad(sweep: Sweep, mount: Mount, pins: PinToPin) -> tuple[float, float]:
    """How far the cylinder turns in the moving end's joint: range of the level and of the upright angle.

    Against the rod or lever that carries the pin, over the sweep; the joint has to allow the smaller of the two
    about its stud's square and turns freely about the stud itself.
    """
    if mount.pushes in {lever.name for lever in sweep.linkage.levers}:
        lever = sweep.linkage.lever(mount.pushes)
        axis = array(lever.axis)
        rise = np.arcsin(np.clip(pins.direction @ axis, -1.0, 1.0))
        radius = sweep.motion.carried_mm(mount.pushes, mount.moving_mm) - array(lever.pivot_mm)
        flat = radius - np.outer(radius @ axis, axis)
        turn = angle_between(pins.direction - np.outer(pins.direction @ axis, axis), flat)
        return float(np.ptp(turn)), float(np.ptp(rise))
    start, end = sweep.motion.rod_ends_mm(mount.pushes)
    line = unit(end - start)
    if float(dot(line[pins.straight], pins.direction[pins.straight])) < 0.0:
        line = -line
    across, upwards = square_to(line)
    on_line = dot(pins.direction, line)
    level = np.arctan2(dot(pins.direction, across), on_line)
    upright = np.arctan2(dot(pins.direction, upwards), on_line)
    return float(np.ptp(level)), float(np.ptp(upright))
