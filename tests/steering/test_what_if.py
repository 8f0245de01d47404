"""Sensitivities and the trade between stroke and leverage."""

import math
from dataclasses import replace

import numpy as np
import pytest

from plategen.job.steering_equipment import TyreEntry
from plategen.steering.cylinder import CylinderSize
from plategen.steering.hydraulics import assist, thrust
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.motion import move
from plategen.steering.mount import Mount, pin_to_pin
from plategen.steering.sweep import INNER_WHEEL, Locks, Sweep, steered_rad, sweep
from plategen.steering.tyre import scrub_width_nmm
from plategen.steering.what_if import attachments, sensitivities
from tests.steering.examples import sprayer

INCH = 25.4
LOCK = math.radians(30.0)
MOUNT = Mount(
    "drag link", (-55 * INCH, 20.75 * INCH, 21.25 * INCH), (-36 * INCH, 21.75 * INCH, 19.4375 * INCH), (0, 0, -1)
)


def swept() -> Sweep:
    return sweep(sprayer(), "box arm", Locks(INNER_WHEEL, LOCK, LOCK))


def test_a_longer_box_arm_quickens_and_a_longer_spindle_arm_slows() -> None:
    found = {(s.part, s.what, s.which): s for s in sensitivities(swept(), MOUNT)}
    assert found["box arm", "arm", "drag"].wheel_rad_per_mm > 0.0
    assert found["left spindle", "arm", "drag"].wheel_rad_per_mm < 0.0
    travel = found["box arm", "arm", "drag"].travel_mm_per_mm
    assert travel is not None
    assert travel > 0.5


def test_a_sensitivity_is_what_a_real_change_does() -> None:
    linkage, found = sprayer(), swept()
    (slope,) = (s for s in sensitivities(found, MOUNT) if (s.part, s.what, s.which) == ("box arm", "arm", "drag"))
    box = linkage.lever("box arm")
    x, y, z = box.balls["drag"]
    longer = linkage.with_lever(replace(box, balls={"drag": (x, y, z - 3.0)}))
    ends = found.motion.angles_rad["box arm"]

    def turned(changed: Linkage) -> float:
        motion = move(changed, "box arm", ends)
        angles = [steered_rad(changed.lever(n), motion.angles_rad[n]) for n in changed.wheels().values()]
        return float(np.mean([a[-1] - a[0] for a in angles]))

    assert turned(longer) - turned(linkage) == pytest.approx(3.0 * slope.wheel_rad_per_mm, rel=0.03)


def test_a_tie_rods_length_is_toe_at_the_arms() -> None:
    (slope,) = (s for s in sensitivities(swept()) if s.part == "tie rod")
    assert slope.toe_rad_per_mm == pytest.approx(1.0 / (7.0 * INCH), rel=0.05)
    assert slope.travel_mm_per_mm is None


def test_travel_times_leverage_is_the_same_work_at_every_share_of_an_arm() -> None:
    # the cylinder is a small part of the arm's turn away from square: stroke and arm both go with the share
    rows = {(row.lever, row.ball, row.share): row for row in attachments(swept(), MOUNT, 1000.0)}
    whole, half = rows["box arm", "drag", 1.0], rows["box arm", "drag", 0.5]
    assert half.travel_mm == pytest.approx(whole.travel_mm / 2.0, rel=0.03)
    assert half.arm_mm == pytest.approx(whole.arm_mm / 2.0, rel=0.03)
    assert half.moment_nmm == pytest.approx(1000.0 * half.least_arm_mm)
    alive = [row for row in rows.values() if row.dead_rad is None]
    assert [row.travel_mm for row in alive] == sorted((row.travel_mm for row in alive), reverse=True)


def test_a_place_with_a_dead_point_is_named_with_its_angle_and_comes_last() -> None:
    # pushing fore and aft, the arms that run aft to the tie rod stand in line with the push somewhere in the sweep
    rows = attachments(swept(), MOUNT, 1000.0)
    dead = [row for row in rows if row.dead_rad is not None]
    assert {row.ball for row in dead} == {"tie"}
    assert rows[-len(dead) :] == tuple(dead)
    found = swept()
    tie = next(row for row in dead if (row.lever, row.ball, row.share) == ("left spindle", "tie", 1.0))
    path = found.motion.ball_mm(("left spindle", "tie"))
    shift = np.array(MOUNT.fixed_mm) - np.array(MOUNT.moving_mm)
    span = np.linalg.norm(path - (path[found.straight] + shift), axis=1)
    turning = found.driver_rad[int(np.argmax(span)) if span.argmax() not in (0, len(span) - 1) else int(span.argmin())]
    assert tie.dead_rad == pytest.approx(float(turning), abs=0.01)
    assert tie.moment_nmm == 0.0


def test_assist_by_hand_on_a_plain_linkage() -> None:
    # arms of 200 mm square to the cylinder: each wheel's moment over its arm, both wheels on one cylinder
    levers = tuple(
        Lever(f"{side} spindle", (0, y, 0), (0, 0, 1), {"tie": (-200, y, 0)}, side)
        for side, y in (("left", 600.0), ("right", -600.0))
    )
    linkage = Linkage(levers, (Rod("tie", ("left spindle", "tie"), ("right spindle", "tie")),))
    found = sweep(linkage, "left spindle", Locks("left spindle", 0.02, 0.02))
    mount = Mount("tie", (-200, 900, 0), (-200, 300, 0))
    size = CylinderSize(bore_mm=50, rod_mm=25, stroke_mm=200, closed_mm=380, pressure_mpa=10)
    tyre = TyreEntry(load_n=10_000, width_mm=250, contact_mm=200, offset_mm=80)
    helped = assist(found, mount, pin_to_pin(found, mount), tyre, thrust(size))
    i = found.straight
    assert helped.arm_mm[i] == pytest.approx(200.0, rel=1e-3)
    assert helped.needed_n[i] == pytest.approx(2 * scrub_width_nmm(tyre) / 200.0, rel=1e-3)
    assert helped.scrub_nmm[1] == pytest.approx(scrub_width_nmm(tyre))
    # a left turn swings the arms' ends to the right, away from the fixed pin on the left: the cylinder opens, it pushes
    assert helped.opens_to_left
    assert assist(found, mount, pin_to_pin(found, mount), tyre, None).available_n is None
    assert helped.available_n == (thrust(size).push_n, thrust(size).pull_n)
