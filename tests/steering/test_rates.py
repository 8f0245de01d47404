"""Positions against a general solver, and rates, moments and stiffness against finite differences, of random steerings.

Nothing of the package's formulas is used on the other side: rotations are scipy's, lengths are distances.
"""

import os
from collections.abc import Callable

import numpy as np
import pytest
from scipy.optimize import root
from scipy.spatial.transform import Rotation

from plategen.steering.hydraulics import Thrust
from plategen.steering.linkage import Linkage
from plategen.steering.motion import Motion, move
from plategen.steering.mount import leverage_mm, pin_to_pin
from plategen.steering.rates import lever_rates
from plategen.steering.roll import roll
from plategen.steering.sweep import steered_rad
from plategen.steering.vector import Floats
from tests.steering.random_linkages import TURN_RAD, linkages, steerings

CASES = int(os.environ.get("PLATEGEN_CASES", "40"))
STEP = 1e-3


def difference(values: Floats, step: float = STEP) -> float:
    """Slope at the middle of five, to the fourth order of the step."""
    a, b, _, d, e = (float(v) for v in values)
    return (a - 8.0 * b + 8.0 * d - e) / (12.0 * step)


def slope(values_at: Callable[[Floats], Floats]) -> float:
    """The same by two steps, to the sixth order: near a dead point the fourth alone is off by more than 1e-7."""
    coarse, fine = (difference(values_at(share * AROUND), share * STEP) for share in (1.0, 0.5))
    return fine + (fine - coarse) / 15.0


def bend(values: Floats) -> float:
    """Second derivative at the middle of five, to the fourth order of the step."""
    a, b, c, d, e = (float(v) for v in values)
    return (-a + 16.0 * b - 30.0 * c + 16.0 * d - e) / (12.0 * STEP**2)


AROUND = STEP * np.arange(-2.0, 3.0)


def closed_by_a_general_solver(linkage: Linkage, driver_rad: float) -> dict[str, float]:
    """All levers' angles at once, as roots of all rods' lengths, led there from the drawn place in four steps."""
    names = [lever.name for lever in linkage.levers if lever.name != "box arm"]

    def place(end: tuple[str, str], angles: dict[str, float]) -> Floats:
        lever = linkage.lever(end[0])
        turn = Rotation.from_rotvec(np.array(lever.axis) * angles[end[0]])
        return np.array(lever.pivot_mm) + turn.apply(np.array(lever.balls[end[1]]) - np.array(lever.pivot_mm))

    def misses(unknown: Floats, driver: float) -> list[float]:
        angles = {"box arm": driver, **dict(zip(names, unknown, strict=True))}
        return [
            float(np.linalg.norm(place(rod.end, angles) - place(rod.start, angles))) - linkage.rod_length_mm(rod)
            for rod in linkage.rods
        ]

    found = np.zeros(len(names))
    for driver in np.linspace(0.0, driver_rad, 5)[1:]:
        found = root(misses, found, args=(driver,), method="hybr", options={"xtol": 1e-13}).x
    return dict(zip(names, found, strict=True))


def test_positions_are_those_of_a_general_solver() -> None:
    for linkage in linkages(CASES):
        motion = move(linkage, "box arm", np.array([-TURN_RAD, 0.0, 0.7 * TURN_RAD]))
        for i in (0, 2):
            solved = closed_by_a_general_solver(linkage, float(motion.angles_rad["box arm"][i]))
            for name, angle in solved.items():
                assert float(motion.angles_rad[name][i]) == pytest.approx(angle, abs=1e-9)


def test_rates_of_levers_and_wheels_are_slopes_of_their_angles() -> None:
    for linkage in linkages(CASES):
        for at in (-0.8 * TURN_RAD, 0.5 * TURN_RAD):
            motion = move(linkage, "box arm", at + AROUND)
            for name, rate in lever_rates(motion).items():
                assert rate[2] == pytest.approx(difference(motion.angles_rad[name]), rel=1e-7, abs=1e-7)


def test_leverage_and_wheels_rates_are_slopes_too() -> None:
    for swept, mount in steerings(CASES):
        opens, steers = leverage_mm(swept, mount, pin_to_pin(swept, mount)), swept.steer_rates
        driver, sense = swept.motion.angles_rad["box arm"], swept.left_sense
        for i in (0, 70, 200):

            def near(around: Floats, at: float = driver[i]) -> Motion:
                return move(swept.linkage, "box arm", at + sense * around)  # noqa: B023

            opened = slope(lambda around: mount.lengths_mm(near(around)))  # noqa: B023
            assert opens[i] == pytest.approx(opened, rel=1e-7, abs=1e-6)
            for side, name in swept.linkage.wheels().items():
                lever = swept.linkage.lever(name)
                steered = slope(lambda around: steered_rad(lever, near(around).angles_rad[name]))  # noqa: B023
                assert steers[side][i] == pytest.approx(steered, rel=1e-7, abs=1e-7)


def test_roll_moment_and_stiffness_are_those_of_two_balls_and_a_rod_turned_between_them() -> None:
    rolling = 0
    forces = Thrust(push_area_mm2=1.0, pull_area_mm2=1.0, push_n=1.0, pull_n=1.0)
    for swept, mount in steerings(CASES, seed=5):
        found = roll(swept.motion, mount, forces)
        if found is None:
            continue
        rolling += 1
        starts, ends = swept.motion.rod_ends_mm(mount.pushes)
        pins = mount.moving_path_mm(swept.motion)
        for i in (0, 90, 200):
            line = (ends[i] - starts[i]) / np.linalg.norm(ends[i] - starts[i])
            pin = Rotation.from_rotvec(np.outer(AROUND, line)).apply(pins[i] - starts[i]) + starts[i]
            lengths = np.linalg.norm(pin - np.array(mount.fixed_mm), axis=1)
            assert found.arm_mm[i] == pytest.approx(difference(lengths), rel=1e-6, abs=1e-7)
            assert found.stiffness_mm[i] == pytest.approx(-bend(lengths), rel=1e-6, abs=1e-6)
    assert rolling > CASES // 4
