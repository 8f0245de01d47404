"""How fast everything of a linkage moves for a unit rate of its driver: exact, by differentiating the loops.

A rod keeps its length, so the velocities of its two balls along it are equal; each ball runs round its lever's axis a
with a x r for a unit rate of that lever. What a force does on any part follows by virtual work.
"""

from functools import partial

import numpy as np

from plategen.steering.linkage import Lever, Step
from plategen.steering.motion import Motion
from plategen.steering.vector import Floats, array, cross, dot


def spin_mm(lever: Lever, point_mm: Floats) -> Floats:
    """Velocity of points of a lever, where they are, for a unit rate of that lever: a x r, (n, 3)."""
    return cross(array(lever.axis), point_mm - array(lever.pivot_mm))


def lever_rates(motion: Motion) -> dict[str, Floats]:
    """What each lever turns for a unit turn of the driver, d angle / d driver, (n,); infinite at a dead point.

    For a linkage that stands on the frame as a whole, not for one that an axle carries.
    """
    rates = {motion.driver: np.ones(len(motion))}
    for step in motion.linkage.steps(motion.driver):
        rates[step.driven[0]] = motion.once((step, "rate"), partial(_follows, motion, step, rates[step.driver[0]]))
    return rates


def _follows(motion: Motion, step: Step, driver_rate: Floats) -> Floats:
    """The rate of the lever that a rod turns."""
    start, end = motion.ball_mm(step.driver), motion.ball_mm(step.driven)
    line = end - start
    driving = dot(line, spin_mm(motion.linkage.lever(step.driver[0]), start))
    with np.errstate(divide="ignore", invalid="ignore"):
        follows = driving / dot(line, spin_mm(motion.linkage.lever(step.driven[0]), end))
    return np.asarray(driver_rate * follows)


def steer_rate(motion: Motion, lever: str) -> Floats:
    """What a wheel's steer angle, seen from above, gains for a unit turn of its lever about the kingpin, (n,)."""
    heading = motion.heading(lever)
    moves = cross(array(motion.linkage.lever(lever).axis), heading)
    flat = heading[..., 0] ** 2 + heading[..., 1] ** 2
    return np.asarray((heading[..., 0] * moves[..., 1] - heading[..., 1] * moves[..., 0]) / flat)
