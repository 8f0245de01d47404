"""How the cylinder lies where it is advised: its angle in two planes over the sweep, the push that is lost, the side
load and bending that go into the rod and the levers instead, its best pin, and the loads that follow.
"""

from dataclasses import dataclass, replace

import numpy as np

from plategen.job.steering import Steering
from plategen.rules.column import bracket_moment_nmm
from plategen.steering.best_pin import BestPin, best_pin
from plategen.steering.cylinder import CylinderSize
from plategen.steering.hydraulics import Thrust
from plategen.steering.linkage import Linkage
from plategen.steering.mount import Mount, PinToPin, Swing, line_direction, pin_to_pin, refuse_dead_point, swing
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats, Point, angle_between, array, dot, length, square_to, unit


@dataclass(frozen=True, slots=True, kw_only=True)
class Alignment:
    """Cylinder against its line, at every position.

    The line is the rod that is pushed, or the direction in which the moving pin moves when a lever is pushed
    directly. Its frame: along the line, level across it, and upwards.
    """

    line: str  # Name of the rod whose line it is, or empty for the direction of motion.
    angle_rad: Floats  # Angle between the two, (n,).
    level_rad: Floats  # The same seen from above the line's own frame, positive to the left, (n,).
    upright_rad: Floats  # The same seen from the side, positive upwards, (n,).
    shares: Floats  # Parts of a unit push along, across and upwards, (n, 3); their squares add to 1.

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


def alignment(sweep: Sweep, mount: Mount, pins: PinToPin) -> Alignment:
    """Angles and shares of the push over the sweep."""
    line = line_direction(sweep, mount, pins)
    shares, level, upright = _seen_from(line, pins.direction)
    return Alignment(
        line=mount.line_rod(sweep) or "",
        angle_rad=angle_between(pins.direction, line),
        level_rad=level,
        upright_rad=upright,
        shares=shares,
    )


def _seen_from(line: Floats, cylinder: Floats) -> tuple[Floats, Floats, Floats]:
    """Parts of a direction along a line, across and upwards, (n, 3), and its level and upright angle to it, (n,)."""
    across, upwards = square_to(line)
    shares = np.stack([dot(cylinder, line), dot(cylinder, across), dot(cylinder, upwards)], axis=-1)
    return shares, np.arctan2(shares[:, 1], shares[:, 0]), np.arctan2(shares[:, 2], shares[:, 0])


@dataclass(frozen=True, slots=True, kw_only=True)
class RodBending:
    """What a push out of line and beside the rod's centre does to the rod and to the levers at its ends."""

    rod: str  # The rod that is pushed.
    length_mm: float  # From ball to ball.
    at_mm: float  # Where along it the moving pin sits, from its first ball; negative or past its length beyond a ball.
    eccentric_mm: float  # Distance of the moving pin from the rod's centre line.
    out_of_line_rad: float  # Largest angle between cylinder and rod.
    side_n: float  # Largest force square to the rod.
    moment_nmm: float  # Largest bending moment in the rod, without shock.
    ball_side_n: tuple[float, float]  # Side force on each ball, start and end of the rod, at the worst position.
    # Bending put into each lever square to its own plane, at most: ball side force times arm.
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
        flat = sweep.motion.carried_mm(mount.pushes, mount.moving_mm) - lever.foot_mm(mount.moving_mm)
        turn = angle_between(pins.direction - np.outer(pins.direction @ axis, axis), flat)
        return float(np.ptp(turn)), float(np.ptp(rise))
    line = sweep.motion.rod_direction(mount.pushes)
    if float(dot(line[pins.straight], pins.direction[pins.straight])) < 0.0:
        line = -line
    _, level, upright = _seen_from(line, pins.direction)
    return float(np.ptp(level)), float(np.ptp(upright))


@dataclass(frozen=True, slots=True, kw_only=True)
class InLine:
    """The cylinder where it is advised: its pins over the sweep, its swing, how well it keeps its line."""

    mount: Mount  # With the fixed pin where it is advised.
    pins: PinToPin  # Pin-to-pin lengths and directions.
    swing: Swing  # About the fixed pin, in the plate frame.
    moving_swing_rad: tuple[float, float]  # Range of the level and the upright angle in the moving end's joint.
    aligned: Alignment  # Against the rod's line.
    # Of the pushed rod and the levers at its ends; None when a lever is pushed or no cylinder is chosen.
    bending: RodBending | None
    best: BestPin | None  # The best fixed pin in the box the job gives.

    def bracket_moved_mm(self, drawn_mm: Point) -> Point:
        """How the bracket's own numbers change from the pin as drawn to where it is: station, in-line offset, plane."""
        off = array(self.mount.fixed_mm) - array(drawn_mm)
        u, v, w = (float(off @ array(way)) for way in (self.swing.u, self.swing.v, self.swing.w))
        return u, -v, w


def in_line(steering: Steering, swept: Sweep, mount: Mount, size: CylinderSize | None, forces: Thrust | None) -> InLine:
    """Everything about how the cylinder lies, with its fixed pin where ``mount`` has it."""
    pins = pin_to_pin(swept, mount)
    refuse_dead_point(swept, pins)
    aligned = alignment(swept, mount, pins)
    bending = None
    if forces is not None:
        # the side push on the rod comes from its own line, whichever rod's line the cylinder is to keep
        own = alignment(swept, replace(mount, in_line_with=""), pins) if mount.in_line_with else aligned
        bending = rod_bending(swept.linkage, mount, own, max(forces.push_n, forces.pull_n))
    box = None if steering.cylinder_mount is None else steering.cylinder_mount.box
    best = None
    if box is not None:
        covers = size is not None and pins.travel_mm <= size.stroke_mm
        reach = (size.closed_mm, size.open_mm) if size is not None and covers else None
        best = best_pin(swept, mount, box.low_mm, box.high_mm, lengths_mm=reach)
    return InLine(
        mount=mount,
        pins=pins,
        swing=swing(pins, mount),
        moving_swing_rad=moving_end_swing_rad(swept, mount, pins),
        aligned=aligned,
        bending=bending,
        best=best,
    )
