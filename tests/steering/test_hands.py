"""The driver's hands: energy over any sweep, statics by hand, and what a job is told of them."""

import math
import os
from collections.abc import Callable
from dataclasses import replace

import numpy as np
import pytest
from numpy.polynomial.chebyshev import Chebyshev

from plategen.checks.steering import findings
from plategen.ground.refusal import Refusal
from plategen.job.parse import parse_steering
from plategen.job.steering_equipment import TyreEntry
from plategen.job.steering_hands import HandsEntry
from plategen.rules.steering_effort import effort_limit
from plategen.steering.cylinder import CylinderSize
from plategen.steering.hands import Hands, Rim, asked_nmm, hands, lifted_nmm
from plategen.steering.hydraulics import Oil, Pass, Thrust
from plategen.steering.linkage import Lever, Linkage, Rod
from plategen.steering.motion import move
from plategen.steering.mount import Mount, PinToPin, leverage_mm, pin_to_pin
from plategen.steering.study import SteeringStudy, study
from plategen.steering.sweep import Locks, Sweep, steered_rad, sweep
from plategen.steering.team import BoxAt, Pusher, Team
from plategen.steering.tyre import caster_trail_mm
from plategen.steering.vector import Floats
from plategen.tell.report.steering import steering_report
from tests.steering.random_linkages import steerings
from tests.support.orchard import HELD

CASES = int(os.environ.get("PLATEGEN_CASES", "25"))
TYRE = TyreEntry(load_n=14_000.0, width_mm=280.0, contact_mm=230.0, offset_mm=90.0)
NODES, WEIGHTS = np.polynomial.legendre.leggauss(48)


def nodes_of(swept: Sweep) -> tuple[Sweep, Floats]:
    """The same steering at Gauss nodes from straight ahead to the left lock, and the nodes' weights there, rad."""
    half = float(swept.driver_rad[-1]) / 2.0
    motion = move(swept.linkage, swept.motion.driver, swept.left_sense * half * (NODES + 1.0))
    steer = {s: steered_rad(swept.linkage.lever(n), motion.angles_rad[n]) for s, n in swept.linkage.wheels().items()}
    return replace(swept, motion=motion, steer_rad=steer), WEIGHTS * half


def series(swept: Sweep, of: Callable[[Sweep], Floats]) -> Chebyshev:
    """A value over the driver's angle as a series, whose slope owes nothing to the package's rates."""

    def at(driver_rad: Floats) -> Floats:
        motion = move(swept.linkage, swept.motion.driver, swept.left_sense * np.append(driver_rad, 0.0))
        steer = {
            s: steered_rad(swept.linkage.lever(n), motion.angles_rad[n]) for s, n in swept.linkage.wheels().items()
        }
        return of(replace(swept, motion=motion, steer_rad=steer))[:-1]

    return Chebyshev.interpolate(at, 50, domain=[0.0, float(swept.driver_rad[-1])])


@pytest.mark.parametrize("force_n", [2_000.0, 400_000.0], ids=["hands do most", "valve throttles"])
def test_work_of_cylinder_box_and_hands_is_work_on_tyres_and_friction(force_n: float) -> None:
    """Nothing but positions on the tyres' side and the cylinder's: the rates between them must be exact."""
    scrub, friction, box, efficiency = 1.2e6, 0.12, 300_000.0, 0.7
    rim = Rim(gain_mm=220.0 * 18.0 * efficiency, valve_n=20.0)
    for swept, mount in steerings(CASES):
        at, weights = nodes_of(swept)
        pins = pin_to_pin(at, mount)
        asked = asked_nmm(at, {side: scrub + lift for side, lift in lifted_nmm(at, TYRE).items()}, friction)
        assist = force_n * np.abs(leverage_mm(at, mount, pins)) + box
        at_rim, share = rim.force_n(asked, assist), rim.share(asked, assist)
        driver = at.driver_rad
        opens = series(swept, lambda moved, mount=mount: mount.lengths_mm(moved.motion)).deriv()(driver)
        by_cylinder = float((weights * share * force_n * np.abs(opens)).sum())
        by_box = float((weights * share * box).sum())
        by_hands = float((weights * at_rim * rim.gain_mm).sum())  # what of their work reaches the arm
        on_tyres = 0.0
        for side, name in swept.linkage.wheels().items():
            turned = abs(float(swept.steer_rad[side][-1] - swept.steer_rad[side][swept.straight]))
            axis = swept.linkage.lever(name).axis
            lean = math.atan2(abs(axis[1]), abs(axis[2]))
            lift = TYRE.load_n * TYRE.offset_mm * math.sin(lean) * math.cos(lean)
            lifted = lift * (1.0 - math.cos(float(swept.steer_rad[side][-1])))
            on_tyres += scrub * turned + lifted
        assert by_cylinder + by_box + by_hands == pytest.approx((1.0 + friction) * on_tyres, rel=1e-9)


def planar(column_ratio: float | None = 20.0) -> tuple[Sweep, Mount, PinToPin]:
    """A box arm and one wheel as a parallelogram of 150 mm arms, and a cylinder in line with its rod, all level."""
    up = (0.0, 0.0, 1.0)
    levers = (
        Lever("box arm", (-900.0, 0.0, 0.0), up, {"drag": (-900.0, 150.0, 0.0)}),
        Lever("spindle", (0.0, 0.0, 0.0), up, {"drag": (0.0, 150.0, 0.0)}, "left"),
    )
    linkage = Linkage(levers, (Rod("drag link", ("box arm", "drag"), ("spindle", "drag")),))
    swept = sweep(linkage, "box arm", Locks("spindle", 0.5, 0.5), column_ratio=column_ratio, wheelbase_mm=2_500.0)
    mount = Mount("box arm", (-1_500.0, 150.0, 0.0), (-900.0, 150.0, 0.0), up)
    return swept, mount, pin_to_pin(swept, mount)


FORCES = Thrust(push_area_mm2=1_000.0, pull_area_mm2=700.0, push_n=5_000.0, pull_n=3_500.0)
SIZE = CylinderSize(bore_mm=36.0, rod_mm=20.0, stroke_mm=300.0, closed_mm=450.0, pressure_mpa=5.0)
WHEEL = HandsEntry(wheel_diameter_mm=450.0, efficiency=0.8, friction=0.0)


def felt(entry: HandsEntry = WHEEL, box_nmm: float | None = None, oil: Oil | None = None) -> Hands:
    swept, mount, pins = planar()
    first = Pusher(name="cylinder", mount=mount, pins=pins, thrust=FORCES, size=SIZE)
    box = BoxAt(lever="box arm", moment_nmm=box_nmm, volume_mm3=None)
    found = hands(swept, entry, TYRE, Team(cylinders=(first,), boxes=(box,)), oil)
    assert found is not None
    return found


def test_standing_by_hand() -> None:
    # upright kingpin, ratio 1: 0.7 x 14000 N x sqrt(90^2 + (230/3)^2) and x sqrt(280^2/8 + 90^2)
    low, high = 9_800.0 * math.hypot(90.0, 230.0 / 3.0), 9_800.0 * math.sqrt(280.0**2 / 8.0 + 90.0**2)
    gain = 225.0 * 20.0 * 0.8
    swept, mount, pins = planar()
    arm, left = np.abs(leverage_mm(swept, mount, pins)), swept.driver_rad >= 0.0
    assert pins.length_mm[-1] < pins.length_mm[0]  # turning left the cylinder closes, so that it pulls
    least = min(3_500.0 * float(arm[left].min()), 5_000.0 * float(arm[~left].min()))
    found = felt()
    assert found.standing.unassisted_n == pytest.approx((low / gain, high / gain))
    assert found.standing.assisted_n[1] == pytest.approx((high - least) / gain)
    assert found.standing.pressure_share == pytest.approx(1.0)
    # friction asks its share more, a box gives what is told of it
    assert felt(replace_entry(friction=0.25)).standing.unassisted_n[1] == pytest.approx(1.25 * high / gain)
    boxed = felt(box_nmm=200_000.0)
    assert found.standing.assisted_n[0] - boxed.standing.assisted_n[0] == pytest.approx(200_000.0 / gain)
    # strong enough, nothing is left but the valve
    strong = felt(replace_entry(valve_effort_n=25.0), box_nmm=5e6)
    assert strong.standing.assisted_n == (25.0, 25.0)
    assert 0.0 < strong.standing.pressure_share < 0.5


def replace_entry(**changes: object) -> HandsEntry:
    return WHEEL.replaced(**changes)


def test_rolling_by_hand() -> None:
    # 10 km/h in 12 m: 0.0656 g; trail of an upright kingpin is the pneumatic one, 230 / 6
    found = felt()
    assert found.rolling is not None
    side = (10_000.0 / 3.6) ** 2 / 12_000.0 / 9_806.65
    assert side == pytest.approx(0.0656, abs=1e-4)
    gain = 225.0 * 20.0 * 0.8
    one_step = math.tan(0.005) / 2_500.0 * (10_000.0 / 3.6) ** 2 / 9_806.65  # of the sweep, past the circle
    assert felt().rolling is not None
    failed = (10_000.0 / 3.6) ** 2 / 20_000.0 / 9_806.65
    least = 14_000.0 * failed * 230.0 / 6.0 / gain
    assert least <= found.rolling.unassisted_n[1] <= least * (failed + one_step * 1.1) / failed
    assert found.rolling.assisted_n == (0.0, 0.0)


def test_hands_faster_than_the_oil_are_on_their_own() -> None:
    def poured(working_rps: float, idle_rps: float | None) -> Oil:
        def at(rps: float) -> Pass:
            return Pass(flow_lpm=10.0, open_s=1.0, close_s=1.0, wheel_rps=rps)

        idle = None if idle_rps is None else at(idle_rps)
        return Oil(
            open_mm3=1.0, close_mm3=1.0, box_mm3=None, box_share=None, working=at(working_rps), idle=idle, flow_lpm=None
        )  # fmt: skip

    both, slow = felt(oil=poured(2.0, 1.1)), felt(oil=poured(2.0, 0.9))
    assert both.standing.idle_n == both.standing.assisted_n
    assert slow.standing.idle_n == slow.standing.unassisted_n
    assert felt(oil=poured(2.0, None)).standing.idle_n is None
    starved = felt(oil=poured(0.5, None))
    assert starved.standing.assisted_n == starved.standing.unassisted_n


def test_oil_that_is_sent_round_by_hand_makes_a_dead_pump_heavier() -> None:
    free, dragged = felt(), felt(replace_entry(drag_mpa=0.5))
    swept, mount, pins = planar()
    most = float(np.abs(leverage_mm(swept, mount, pins)).max())
    gain = 225.0 * 20.0 * 0.8
    more = dragged.standing.unassisted_n[1] - free.standing.unassisted_n[1]
    assert more == pytest.approx(0.5 * 1_000.0 * most / gain, rel=0.05)  # the push side's 1000 mm^2, at its longest arm
    assert dragged.standing.assisted_n == free.standing.assisted_n


def test_caster_trail_is_where_the_axis_meets_the_ground() -> None:
    kingpin = Lever("spindle", (0.0, 700.0, 400.0), (-0.07, -0.14, 1.0), {"x": (0.0, 500.0, 400.0)}, "left")
    assert caster_trail_mm(TYRE, kingpin) == pytest.approx(28.0)
    ahead = TYRE.replaced(radius_mm=500.0, centre_mm=(10.0, 800.0, 500.0))
    assert caster_trail_mm(ahead, kingpin) == pytest.approx(18.0)


TABLE = '[steering.hands]\nwheel_diameter = 18\nvehicle = "N2"\nvalve_effort = "6 lbf"\n\n[[steering.bar]]'


def told(text: str = HELD, table: str = TABLE) -> SteeringStudy:
    return study(parse_steering(text.replace("[[steering.bar]]", table, 1)))


def test_a_job_is_told_its_effort_and_the_limit_by_name() -> None:
    found = told()
    assert found.hands is not None
    assert found.hands.limit == effort_limit("N2")
    report = steering_report(found).hands
    assert report is not None
    assert report.rolling is not None
    judged = {f.check: f for f in findings(found) if "rim" in f.check}
    assert set(judged) == {"force at the rim, rolling", "force at the rim, rolling, assist dead"}
    assert judged["force at the rim, rolling"].capacity == 250.0
    assert judged["force at the rim, rolling, assist dead"].capacity == 400.0
    assert judged["force at the rim, rolling, assist dead"].demand == report.rolling.unassisted_n[1]
    assert all("UN Regulation 79" in f.source for f in judged.values())
    assert not [f for f in findings(told(table=TABLE.replace('vehicle = "N2"\n', ""))) if "rim" in f.check]
    assert study(parse_steering(HELD)).hands is None


def test_turning_standing_tyres_counts_box_and_driver_where_they_are_told() -> None:
    def needed(found: SteeringStudy) -> float:
        (judged,) = (f for f in findings(found) if f.check == "turns the tyres standing")
        return judged.demand

    alone = needed(study(parse_steering(HELD)))
    driver = needed(told(table=TABLE.replace("valve_effort", "friction = 0\nvalve_effort")))
    free = TABLE.replace("valve_effort", "friction = 0\nvalve_effort")
    both = needed(told(HELD.replace('tolerance = "1 deg"', 'tolerance = "1 deg"\nbox_moment = "16000 lbf-in"'), free))
    assert alone > driver > both > 0.0
    assert needed(told(table=TABLE.replace('vehicle = "N2"', "friction = 0"))) == alone  # nobody else is known


def test_a_share_of_the_work_is_no_more_than_all() -> None:
    with pytest.raises(Refusal, match="efficiency"):
        told(table=TABLE.replace("valve_effort", "efficiency = 1.2\nvalve_effort"))


def test_without_the_columns_ratio_nothing_is_told() -> None:
    swept, _, _ = planar(column_ratio=None)
    assert hands(swept, WHEEL, TYRE, Team(), None) is None
