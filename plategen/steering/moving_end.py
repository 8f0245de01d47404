"""The cylinder as what it pushes sees it: how it swings about its moving pin, and how far beside a pushed rod that is.

Whoever stands on the pushed rod or lever turns with it. So this is the swing of a bracket that holds the moving pin:
u runs along the rod towards the fixed pin (on a lever, along the cylinder straight ahead), v from the pin to the rod's
line (on a lever, to its axis), w = u x v along the pin.
"""

from dataclasses import dataclass

import numpy as np

from plategen.steering.motion import Motion
from plategen.steering.mount import Mount, PinToPin, Swing
from plategen.steering.roll import ON_LINE_MM
from plategen.steering.vector import Floats, Point, array, as_point, cross, dot, length, unit

_REACH_MM = 100.0
"""How far from the pin a lever carries the points that tell its directions."""


@dataclass(frozen=True, slots=True)
class AlongRod:
    """Where the moving pin stands along the pushed rod, as it is drawn."""

    rod: str
    lever: str  # Of the ball that is the nearer.
    ball: str
    off_mm: float  # From that ball's centre along the rod, towards its other ball; negative beyond it.


def along_rod(motion: Motion, mount: Mount) -> AlongRod | None:
    """The moving pin from the nearer of the pushed rod's balls; None of a lever."""
    place = on_rod_mm(motion, mount)
    if place is None:
        return None
    rod = motion.linkage.rod(mount.pushes)
    balls = [array(motion.linkage.ball_mm(end)) for end in (rod.start, rod.end)]
    near, other = sorted(((ball, end) for ball, end in zip(balls, (rod.start, rod.end), strict=True)),
                         key=lambda each: float(length(array(place) - each[0])))  # fmt: skip
    off = float(dot(array(place) - near[0], unit(other[0] - near[0])))
    return AlongRod(rod.name, *near[1], off)


def on_rod_mm(motion: Motion, mount: Mount) -> Point | None:
    """The place on the line through the pushed rod's balls next to the moving pin, as drawn; None of a lever."""
    if mount.pushes in {lever.name for lever in motion.linkage.levers}:
        return None
    rod = motion.linkage.rod(mount.pushes)
    start, end = array(motion.linkage.ball_mm(rod.start)), array(motion.linkage.ball_mm(rod.end))
    pin = array(mount.moving_mm)
    return as_point(pin + _to_line(pin, start, end))


def beside_rod_mm(motion: Motion, mount: Mount) -> float | None:
    """How far the moving pin is drawn beside the line through the pushed rod's balls; None where a lever is pushed."""
    place = on_rod_mm(motion, mount)
    return None if place is None else float(length(array(place) - array(mount.moving_mm)))


def moving_swing(motion: Motion, mount: Mount, pins: PinToPin) -> Swing | None:
    """How the cylinder swings about its moving pin over a motion that ``pins`` belongs to, seen from what it pushes.

    None where the pin lies on the pushed rod's own line, or a lever's own axis, beside which no plates could stand.
    """
    axes = _on_lever if mount.pushes in {lever.name for lever in motion.linkage.levers} else _on_rod
    found = axes(motion, mount, pins)
    if found is None:
        return None
    u, v, w = found
    to_fixed = -pins.direction
    at = pins.straight
    return Swing(
        np.arctan2(dot(to_fixed, v), dot(to_fixed, u)),
        np.arcsin(np.clip(dot(to_fixed, w), -1.0, 1.0)),
        *(as_point(way[at]) for way in (u, v, w)),
    )


def _to_line(point_mm: Floats, start_mm: Floats, end_mm: Floats) -> Floats:
    """From points square to a line, (..., 3)."""
    line, apart = unit(end_mm - start_mm), start_mm - point_mm
    return np.asarray(apart - line * dot(apart, line)[..., None])


def _on_rod(motion: Motion, mount: Mount, pins: PinToPin) -> tuple[Floats, Floats, Floats] | None:
    start, end = motion.rod_ends_mm(mount.pushes)
    beside = _to_line(pins.moving_mm, start, end)
    if float(length(beside).min()) <= ON_LINE_MM:
        return None
    u, v = unit(end - start), unit(beside)
    if float(dot(u[pins.straight], pins.direction[pins.straight])) > 0.0:
        u = -u
    return u, v, cross(u, v)


def _on_lever(motion: Motion, mount: Mount, pins: PinToPin) -> tuple[Floats, Floats, Floats] | None:
    lever = motion.linkage.lever(mount.pushes)
    axis, pin = unit(array(lever.axis)), array(mount.moving_mm)
    along = array(mount.fixed_mm) - pin
    u = unit(along - axis * dot(along, axis))
    to_axis = _to_line(pin, array(lever.pivot_mm), array(lever.pivot_mm) + axis)
    v = to_axis - u * dot(to_axis, u)
    if float(length(v)) <= ON_LINE_MM:
        return None
    here = motion.carried_mm(mount.pushes, mount.moving_mm)
    carried = [unit(motion.carried_mm(mount.pushes, as_point(pin + _REACH_MM * way)) - here) for way in (u, unit(v))]
    return carried[0], carried[1], cross(*carried)
