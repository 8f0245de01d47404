"""A pushed rod between two balls rolls: moment and stiffness against an independent model, and what a job must say."""

import math

import numpy as np
import pytest

from plategen.checks.steering import findings
from plategen.ground.message import Quantity
from plategen.ground.refusal import Refusal
from plategen.job.load import load_job
from plategen.job.parse import parse_steering
from plategen.make import carry_through
from plategen.steering.roll import roll
from plategen.steering.study import SteeringStudy, study
from tests.support.orchard import FREE, HELD, HOLDS_END, ROLLING, STEERING

LBF_IN = 4.4482216152605 * 25.4


def studied(text: str) -> SteeringStudy:
    return study(parse_steering(text))


def verdicts(found: SteeringStudy) -> dict[str, str]:
    return {f.check: f.verdict for f in findings(found) if "roll" in f.check}


def two_balls(found: SteeringStudy, i: int, roll_rad: float) -> float:
    """Pin to pin with the rod turned about its balls: by rotation matrices, apart from the package's own formulas."""
    assert found.sweep is not None
    assert found.in_line is not None
    start, end = (np.array(ball[i]) for ball in found.sweep.motion.rod_ends_mm("drag link"))
    k = (end - start) / np.linalg.norm(end - start)
    cross = np.array([[0, -k[2], k[1]], [k[2], 0, -k[0]], [-k[1], k[0], 0]])
    turn = np.eye(3) + math.sin(roll_rad) * cross + (1 - math.cos(roll_rad)) * cross @ cross
    pin = start + turn @ (found.in_line.pins.moving_mm[i] - start)
    return float(np.linalg.norm(pin - np.array(found.in_line.mount.fixed_mm)))


def test_moment_and_stiffness_are_those_of_a_rod_turned_by_finite_steps() -> None:
    found = studied(FREE)
    assert found.roll is not None
    step = 1e-3
    for i in (0, 60, 100, 150, 200):
        back, here, on = (two_balls(found, i, a) for a in (-step, 0.0, step))
        assert found.roll.arm_mm[i] == pytest.approx((on - back) / (2 * step), abs=1e-6 * 75)
        assert found.roll.stiffness_mm[i] == pytest.approx(-(on - 2 * here + back) / step**2, rel=1e-5)
        # at rest under a push where the cylinder is longest
        angles = np.linspace(-math.pi, math.pi, 3601)
        longest = angles[int(np.argmax([two_balls(found, i, a) for a in angles]))]
        assert math.remainder(float(found.roll.rest_rad[i]) - longest, 2 * math.pi) == pytest.approx(0.0, abs=2e-3)


def test_the_rod_of_the_example_runs_away_when_nothing_holds_it() -> None:
    found = studied(FREE)
    assert found.roll is not None
    assert found.roll.offset_mm / 25.4 == pytest.approx(2.96, abs=0.01)
    assert found.roll.least_stiffness_nmm / LBF_IN == pytest.approx(-1122.0, abs=1.0)
    assert found.roll.drawn_moment_nmm / LBF_IN == pytest.approx(402.0, abs=1.0)
    assert verdicts(found) == {"moment that rolls the pushed rod": "stop"}


def test_every_command_stops_for_it() -> None:
    loaded = load_job(ROLLING)
    work = carry_through(loaded.job, loaded.traces)
    assert [f.check for f in work.findings if f.verdict == "stop"] == ["moment that rolls the pushed rod"]


def test_the_example_to_build_pushes_on_the_rods_own_line_and_rolls_nothing() -> None:
    loaded = load_job(STEERING)
    work = carry_through(loaded.job, loaded.traces)
    assert work.steering is not None
    assert work.steering.in_line is not None
    assert work.steering.in_line.bending is not None
    assert work.steering.roll is None
    assert work.steering.in_line.bending.eccentric_mm < 0.01
    assert not [f for f in work.findings if "pushed rod" in f.check or f.verdict == "stop"]


def test_an_end_that_holds_the_rod_is_a_caution_with_its_moment() -> None:
    found = studied(HELD)
    (held,) = (f for f in findings(found) if f.check == "moment to hold the pushed rod against rolling")
    assert held.verdict == "caution"
    assert held.demand / LBF_IN == pytest.approx(402.0, abs=1.0)
    assert held.cure is not None


def test_a_rod_that_its_joints_hold_is_studied_rolled_both_ways() -> None:
    free_deg = 14.0
    found = studied(HELD.replace(HOLDS_END, f'holds_roll = "joints"\nroll_free = "{free_deg} deg"\n'))
    assert found.in_line is not None
    assert len(found.rolled) == 2
    for each, angle in zip(found.rolled, (-free_deg, free_deg), strict=True):
        for i in (0, 100, 200):
            assert each.pins.length_mm[i] == pytest.approx(two_balls(found, i, math.radians(angle)), abs=1e-9)
    assert verdicts(found)["moment to hold the pushed rod against rolling"] == "caution"
    assert "stroke covers travel, rod rolled" in verdicts(found)
    out = [max(map(abs, swing.out_of_plane_range_rad)) for swing in found.swings_about("fixed pin")]
    assert max(out[1:]) > out[0]
    joint = next(f for f in findings(found) if f.part.words == "fixed end's joint")
    assert joint.demand == pytest.approx(math.degrees(max(out)))


def test_a_pin_on_the_rods_own_line_or_on_a_lever_rolls_nothing() -> None:
    found = studied(FREE)
    assert found.sweep is not None
    assert found.in_line is not None
    assert found.thrust is not None
    start, end = (ball[found.sweep.straight] for ball in found.sweep.motion.rod_ends_mm("drag link"))
    on_line = found.in_line.mount
    on_line = type(on_line)("drag link", on_line.fixed_mm, tuple(start + 0.2 * (end - start)), on_line.pin_axis)
    assert roll(found.sweep.motion, on_line, found.thrust) is None
    on_lever = type(on_line)("box arm", on_line.fixed_mm, on_line.moving_mm, (0.0, 1.0, 0.0))
    assert roll(found.sweep.motion, on_lever, found.thrust) is None


def test_the_joints_limit_and_its_angle_go_together() -> None:
    with pytest.raises(Refusal, match=r'the angle goes with holds_roll = "joints"; give both or neither'):
        parse_steering(HELD.replace(HOLDS_END, 'holds_roll = "joints"\n'))


def test_a_cylinder_that_ends_before_the_wheels_stop_is_a_stop() -> None:
    late = HELD.replace('at = "35 deg"\ncontact', 'at = "43 deg"\ncontact', 1)
    found = {f"{f.check}, {f.part}": f.verdict for f in findings(studied(late))}
    assert found["spindle stop before the cylinder's end, left lock"] == "stop"
    assert found.get("spindle stop before the cylinder's end, right lock") != "stop"


def test_the_cure_says_where_on_the_line_the_pin_goes_and_there_nothing_rolls() -> None:
    found = study(parse_steering(FREE))
    (stop,) = (f for f in findings(found) if f.check == "moment that rolls the pushed rod")
    assert stop.cure is not None
    places = [value.value / 25.4 for value in stop.cure.advice.values if isinstance(value, Quantity)]
    x, y, z, _ = places
    moved = FREE.replace('moving_pin = [-36, "21 3/4", "19 7/16"]', f"moving_pin = [{x!r}, {y!r}, {z!r}]")
    assert moved != FREE
    again = study(parse_steering(moved))
    assert again.roll is None
    assert again.in_line is not None
    assert math.dist((x, y, z), np.array(again.in_line.mount.fixed_mm) / 25.4) == pytest.approx(places[3], rel=0.02)
