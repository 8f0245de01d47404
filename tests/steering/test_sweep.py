"""What is read off a sweep: locks, wheel angles, ratio, toe, travel."""

import math

import numpy as np
import pytest

from plategen.ground.refusal import Refusal
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.motion import move
from plategen.steering.sweep import (
    INNER_WHEEL,
    Locks,
    Sweep,
    ideal_outer_rad,
    lever_angle_for_steer_rad,
    steered_rad,
    sweep,
)
from plategen.steering.travel import Travel, rod_angles
from tests.steering.examples import five_levers, mirrored, sprayer

LOCK = math.radians(35.0)


def swept(linkage: Linkage | None = None, of: str = INNER_WHEEL, positions: int = 201) -> Sweep:
    return sweep(
        linkage or sprayer(),
        "box arm",
        Locks(of, LOCK, LOCK),
        wheelbase_mm=2438.4,
        column_ratio=19.0,
        positions=positions,
    )


def test_it_goes_to_the_asked_wheel_angle_at_both_locks() -> None:
    found = swept()
    assert found.lock_steer_rad(-1)["left"] == pytest.approx(LOCK, abs=1e-12)
    assert found.lock_steer_rad(0)["right"] == pytest.approx(-LOCK, abs=1e-12)
    assert found.steer_rad["left"][found.straight] == pytest.approx(0.0, abs=1e-12)


def test_locks_may_be_told_of_any_lever() -> None:
    by_box = sweep(sprayer(), "box arm", Locks("box arm", 0.4, 0.3))
    assert by_box.driver_rad[-1] == pytest.approx(0.4)
    assert by_box.driver_rad[0] == pytest.approx(-0.3)
    relay = sweep(five_levers(), "box arm", Locks("front relay", 0.2, 0.2))
    assert np.abs(relay.motion.angles_rad["front relay"][[0, -1]]) == pytest.approx(0.2, abs=1e-12)


def test_left_is_left_whatever_way_the_boxs_axis_points() -> None:
    linkage = sprayer()
    box = linkage.lever("box arm")
    other = linkage.with_lever(Lever(box.name, box.pivot_mm, (0, -1, 0), box.balls))
    one, two = swept(linkage), swept(other)
    assert one.left_sense == -two.left_sense
    np.testing.assert_allclose(one.driver_rad, two.driver_rad, atol=1e-12)
    np.testing.assert_allclose(one.steer_rad["left"], two.steer_rad["left"], atol=1e-12)


def test_a_mirrored_steering_gives_mirrored_wheels() -> None:
    one, two = swept(), swept(mirrored(sprayer()))
    np.testing.assert_allclose(two.steer_rad["right"], -one.steer_rad["left"][::-1], atol=1e-9)
    np.testing.assert_allclose(two.steer_rad["left"], -one.steer_rad["right"][::-1], atol=1e-9)
    assert two.wheel_turns == pytest.approx(one.wheel_turns)


def test_the_inverse_of_the_steer_angle_on_a_leaning_kingpin() -> None:
    spindle = sprayer().lever("left spindle")
    for steer in np.radians([-50.0, -20.0, 0.0, 15.0, 45.0]):
        angle = lever_angle_for_steer_rad(spindle, float(steer))
        assert float(steered_rad(spindle, np.array(angle))) == pytest.approx(float(steer), abs=1e-12)


def test_an_upright_kingpin_steers_by_its_own_angle() -> None:
    upright = Lever("spindle", (0, 0, 0), (0, 0, 1), {"end": (0, 100, 0)})
    angles = np.radians([-30.0, 0.0, 40.0])
    np.testing.assert_allclose(steered_rad(upright, angles), angles, atol=1e-15)


def test_ratio_is_the_slope_of_box_against_mean_wheel() -> None:
    found = swept(positions=2001)
    mean = found.mean_steer_rad
    ratio = found.ratio
    assert mean is not None
    assert ratio is not None
    i = 1500
    expected = (found.driver_rad[i + 1] - found.driver_rad[i - 1]) / (mean[i + 1] - mean[i - 1])
    assert ratio[i] == pytest.approx(expected, rel=1e-4)
    assert np.trapezoid(ratio, mean) == pytest.approx(found.driver_rad[-1] - found.driver_rad[0], rel=1e-4)


def test_toe_error_is_nothing_when_the_wheels_roll_freely() -> None:
    found = swept()
    pair, error, kingpins = found.inner_outer_rad(), found.toe_error_rad, found.kingpins_mm
    assert pair is not None
    assert error is not None
    assert kingpins is not None
    inner, outer = pair
    np.testing.assert_allclose(outer + error, ideal_outer_rad(inner, kingpins, 2438.4), atol=1e-12)
    percent = found.ackermann_percent
    assert percent is not None
    assert 0.0 < percent[-1] < 100.0
    assert math.isnan(percent[found.straight])


def test_parallel_arms_keep_the_wheels_parallel_and_score_no_ackermann() -> None:
    levers = tuple(
        Lever(f"{side} spindle", (0, y, 0), (0, 0, 1), {"tie": (-150, y, 0), "drag": (0, y - 100, 0)}, side)
        for side, y in (("left", 600.0), ("right", -600.0))
    )
    box = Lever("box arm", (-800, 500, 0), (0, 0, 1), {"drag": (-800, 400, 0)})
    rods = (
        Rod("drag", ("box arm", "drag"), ("left spindle", "drag")),
        Rod("tie", ("left spindle", "tie"), ("right spindle", "tie")),
    )
    found = swept(Linkage((box, *levers), rods))
    np.testing.assert_allclose(found.steer_rad["left"], found.steer_rad["right"], atol=1e-12)
    percent = found.ackermann_percent
    assert percent is not None
    assert percent[-1] == pytest.approx(0.0, abs=1e-9)
    assert found.kingpins_mm == pytest.approx(1200.0)


def test_travel_of_a_ball_on_its_circle() -> None:
    found = swept()
    travel = Travel.of(found.motion.ball_mm(("box arm", "drag")), found.straight)
    arm = sprayer().lever("box arm").arm_mm("drag")
    whole = float(found.driver_rad[-1] - found.driver_rad[0])
    assert travel.chord_mm == pytest.approx(2.0 * arm * math.sin(whole / 2.0), rel=1e-12)
    assert travel.path_mm == pytest.approx(arm * whole, rel=1e-5)


def test_transmission_angle_of_a_square_rod_and_arm() -> None:
    levers = (
        Lever("a", (0, 0, 0), (0, 0, 1), {"p": (0, 100, 0)}),
        Lever("b", (400, 0, 0), (0, 0, 1), {"p": (400, 100, 0)}),
    )
    motion = move(Linkage(levers, (Rod("r", ("a", "p"), ("b", "p")),)), "a", np.radians([-40.0, 0.0, 25.0]))
    found = rod_angles(motion, "r")
    assert math.degrees(found.least_transmission_rad) == pytest.approx(50.0)  # a parallelogram: 90 less the turn
    assert found.largest_tilt_rad == pytest.approx(0.0, abs=1e-12)


def test_a_rod_set_longer_shows_as_toe() -> None:
    linkage = sprayer()
    rod = linkage.rod("tie rod")
    longer = linkage.with_rod(Rod(rod.name, rod.start, rod.end, linkage.rod_length_mm(rod) + 5.0))
    toe = swept(longer).straight_toe_rad
    assert toe is not None
    assert toe == pytest.approx(
        5.0 / (7.0 * 25.4), rel=0.05
    )  # behind the axle, a longer rod toes in by 5 mm on the arm


@pytest.mark.parametrize(
    ("locks", "words"),
    [
        (Locks(INNER_WHEEL, 0.0, LOCK), "the left lock is 0.0°"),
        (Locks("nobody", LOCK, LOCK), "there is no lever 'nobody'"),
        (Locks("box arm", math.radians(120.0), LOCK), "come in one line"),
        (Locks(INNER_WHEEL, math.radians(120.0), LOCK), "come in one line"),
    ],
)
def test_locks_that_cannot_be_reached_are_refused(locks: Locks, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        sweep(sprayer(), "box arm", locks)


def test_an_inner_wheel_must_be_there() -> None:
    levers = tuple(Lever(x.name, x.pivot_mm, x.axis, x.balls) for x in sprayer().levers)
    with pytest.raises(Refusal, match="no lever carries the left wheel"):
        sweep(Linkage(levers, sprayer().rods), "box arm", Locks(INNER_WHEEL, LOCK, LOCK))
