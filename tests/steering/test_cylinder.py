"""Stroke, spacers and fixed pin: built as advised, the cylinder meets both its ends at both locks."""

import math
from dataclasses import replace
from typing import get_args

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from plategen.ground.refusal import Refusal
from plategen.job.parse import parse_steering
from plategen.job.steering_equipment import CircuitEntry
from plategen.rules.column import Bar
from plategen.rules.material import steel
from plategen.steering.cylinder import CylinderSize, LimitAt, advise_stroke, from_locks, from_travel
from plategen.steering.hydraulics import oil, rod_against_buckling, sizing, thrust
from plategen.steering.motion import move
from plategen.steering.mount import Mount, pin_to_pin, refuse_dead_point, swing
from plategen.steering.standard import nearest, next_size, sizes
from plategen.steering.study import study
from plategen.steering.sweep import INNER_WHEEL, Locks, Sweep, sweep
from plategen.steering.vector import array, length
from tests.steering.examples import sprayer
from tests.support.orchard import HELD

EXAMPLE = HELD
INCH = 25.4
LOCK = math.radians(35.0)
SIZE = CylinderSize(bore_mm=38.1, rod_mm=19.05, stroke_mm=203.2, closed_mm=387.35, pressure_mpa=8.27)


def at(x: float, y: float, z: float) -> tuple[float, float, float]:
    return (x * INCH, y * INCH, z * INCH)


ON_ROD = Mount("drag link", at(-55, 20.75, 21.25), at(-36, 21.75, 19.4375), (0, 0, -1))
ON_ARM = Mount("box arm", at(-61, 18.5, 21), at(-42, 18.5, 20), (0, 1, 0))


def swept(positions: int = 401) -> Sweep:
    return sweep(sprayer(), "box arm", Locks(INNER_WHEEL, LOCK, LOCK), positions=positions)


@pytest.mark.parametrize("limit_at", get_args(LimitAt))
@pytest.mark.parametrize("mount", [ON_ROD, ON_ARM], ids=["on the rod", "on the arm"])
def test_the_advised_cylinder_meets_both_ends_at_both_locks(mount: Mount, limit_at: LimitAt) -> None:
    optimize = pytest.importorskip("scipy.optimize")
    advice, placed = advise_stroke(swept(), mount, SIZE, margin_mm=0.0, series="inch", limit_at=limit_at)
    assert advice.enough
    closed = SIZE.closed_mm + advice.at_cap_mm
    opened = SIZE.closed_mm + SIZE.stroke_mm - advice.at_rod_mm

    # drive the steering anew until the limited cylinder is on its spacers, and look where the wheels then are
    wide = sweep(sprayer(), "box arm", Locks(INNER_WHEEL, 1.06 * LOCK, 1.06 * LOCK), positions=801)
    pins = pin_to_pin(wide, placed)
    for end, side, lock in ((closed, "right", -LOCK), (opened, "left", LOCK)):
        at_end = optimize.brentq(
            lambda box, end=end: np.interp(box, wide.driver_rad, pins.length_mm) - end,
            *((wide.driver_rad[0], 0.0) if side == "right" else (0.0, wide.driver_rad[-1])),
        )
        wheel = float(np.interp(at_end, wide.driver_rad, wide.steer_rad[side]))
        at_lock = float(np.interp(lock, wide.steer_rad[side], pins.length_mm))
        assert wheel == pytest.approx(lock, abs=1e-4)
        assert at_lock == pytest.approx(end, abs=0.1)


@pytest.mark.parametrize("limit_at", get_args(LimitAt))
def test_spacers_leave_the_margin_in_hand_at_both_locks(limit_at: LimitAt) -> None:
    advice, placed = advise_stroke(swept(), ON_ROD, SIZE, margin_mm=6.0, series="inch", limit_at=limit_at)
    pins = pin_to_pin(swept(), placed)
    closed, opened = advice.ends_mm
    assert closed == pytest.approx(SIZE.closed_mm + advice.at_cap_mm)
    assert opened == pytest.approx(SIZE.open_mm - advice.at_rod_mm)
    assert pins.shortest_mm - closed == pytest.approx(6.0, abs=1e-6)
    assert opened - pins.longest_mm == pytest.approx(6.0, abs=1e-6)


coordinate = st.floats(-40.0, 40.0)
nudge = st.tuples(coordinate, coordinate, coordinate)


@settings(max_examples=40, deadline=None)
@given(
    balls=st.tuples(nudge, nudge, nudge),
    pins=st.tuples(nudge, nudge),
    lock_deg=st.floats(15.0, 38.0),
    limit_at=st.sampled_from(get_args(LimitAt)),
    on_rod=st.booleans(),
    stroke_mm=st.floats(120.0, 320.0),
)
def test_any_linkage_built_as_advised_meets_both_ends_at_both_locks(
    balls: tuple[tuple[float, float, float], ...],
    pins: tuple[tuple[float, float, float], ...],
    lock_deg: float,
    limit_at: LimitAt,
    on_rod: bool,
    stroke_mm: float,
) -> None:
    linkage = sprayer()
    for (name, ball), by in zip(
        (("box arm", "drag"), ("left spindle", "drag"), ("right spindle", "tie")), balls, strict=True
    ):
        lever = linkage.lever(name)
        place = tuple(p + d for p, d in zip(lever.balls[ball], by, strict=True))
        linkage = linkage.with_lever(replace(lever, balls={**lever.balls, ball: place}))
    drawn = ON_ROD if on_rod else ON_ARM
    fixed, moving = (
        tuple(p + d for p, d in zip(at_, by, strict=True))
        for at_, by in zip((drawn.fixed_mm, drawn.moving_mm), pins, strict=True)
    )
    size = CylinderSize(bore_mm=40, rod_mm=22, stroke_mm=stroke_mm, closed_mm=stroke_mm + 180.0, pressure_mpa=10)
    lock = math.radians(lock_deg)
    try:
        swept_ = sweep(linkage, "box arm", Locks(INNER_WHEEL, lock, lock))
        advice, placed = advise_stroke(
            swept_, Mount(drawn.pushes, fixed, moving, drawn.pin_axis), size, margin_mm=0.0, series="metric",
            limit_at=limit_at,
        )  # fmt: skip
        refuse_dead_point(swept_, pin_to_pin(swept_, placed))
    except Refusal:
        assume(False)
    assume(advice.enough)
    # built anew at each lock alone, the rods found by the loop closure and the cylinder laid between the pins
    shorter, longer = sorted(
        float(length(placed.moving_path_mm(move(linkage, "box arm", swept_.motion.angles_rad["box arm"][[i]]))[0]
                     - array(placed.fixed_mm)))
        for i in (0, -1)
    )  # fmt: skip
    assert shorter == pytest.approx(size.closed_mm + advice.at_cap_mm, abs=0.1)
    assert longer == pytest.approx(size.open_mm - advice.at_rod_mm, abs=0.1)


def test_a_cylinder_that_turns_back_within_the_sweep_is_refused_by_name() -> None:
    # square to the box arm's path straight ahead: it is shortest there and turns nothing
    mount = Mount("box arm", at(-42, 18.5, 0), at(-42, 18.5, 20), (0, 1, 0))
    in_line = r"the cylinder and its lever come in one line when 'box arm' stands at -?\d+\.\d°"
    with pytest.raises(Refusal, match=in_line):
        refuse_dead_point(swept(), pin_to_pin(swept(), mount))


def test_mid_stroke_is_straight_ahead_when_both_ends_are_limited() -> None:
    advice, placed = advise_stroke(swept(), ON_ROD, SIZE, margin_mm=6.0, series="inch")
    pins = pin_to_pin(swept(), placed)
    assert pins.straight_mm == pytest.approx(SIZE.closed_mm + SIZE.stroke_mm / 2.0, abs=1e-9)
    assert advice.at_cap_mm + advice.at_rod_mm == pytest.approx(advice.limit_mm, abs=1e-9)


def test_all_of_the_limit_at_one_end() -> None:
    rod, _ = advise_stroke(swept(), ON_ROD, SIZE, margin_mm=6.0, series="inch", limit_at="rod end")
    cap, _ = advise_stroke(swept(), ON_ROD, SIZE, margin_mm=6.0, series="inch", limit_at="cap end")
    assert rod.at_cap_mm == pytest.approx(0.0, abs=1e-8)
    assert rod.at_rod_mm == pytest.approx(rod.limit_mm, abs=1e-8)
    assert cap.at_rod_mm == pytest.approx(0.0, abs=1e-8)
    assert cap.at_cap_mm == pytest.approx(cap.limit_mm, abs=1e-8)


def test_a_stroke_longer_than_the_travel_is_limited_by_the_difference() -> None:
    # common practice, no source: travel 7 5/8 in in a cylinder of 8 in is limited inside by 3/8 in
    advice = from_travel(7.625 * INCH, SIZE, margin_mm=0.0, series="inch")
    assert advice.limit_mm == pytest.approx(0.375 * INCH)
    assert advice.at_cap_mm == pytest.approx(0.1875 * INCH)
    one_end = from_travel(7.625 * INCH, SIZE, margin_mm=0.0, series="inch", limit_at="rod end")
    assert (one_end.at_cap_mm, one_end.at_rod_mm) == (pytest.approx(0.0), pytest.approx(0.375 * INCH))


def test_lengths_measured_at_the_locks_say_how_far_to_move_the_pin() -> None:
    # closed 387.35, open 590.55, middle 488.95; mocked up 400 to 570 with 480 straight ahead: back by 8.95 mm
    advice = from_locks(400.0, 570.0, 480.0, SIZE, margin_mm=6.0, series="inch")
    assert advice.moved_mm == pytest.approx(8.95)
    assert advice.limited_closed_mm == pytest.approx(408.95)
    assert advice.at_cap_mm == pytest.approx(21.6)
    assert advice.at_rod_mm == pytest.approx(11.6)
    assert advice.off_middle_mm == pytest.approx(-5.0)


def test_a_stroke_too_short_is_said_and_not_hidden() -> None:
    short = CylinderSize(bore_mm=38.1, rod_mm=19.05, stroke_mm=152.4, closed_mm=340.0, pressure_mpa=8.27)
    advice, _ = advise_stroke(swept(), ON_ROD, short, margin_mm=6.0, series="inch")
    assert not advice.enough
    assert advice.ends_mm == pytest.approx((short.closed_mm, short.open_mm))
    assert advice.limit_mm < 0.0
    assert advice.standard is not None
    assert advice.standard.size_mm == pytest.approx(8 * INCH)


def test_without_a_cylinder_the_next_standard_stroke_is_advised_and_the_pin_stays() -> None:
    advice, placed = advise_stroke(swept(), ON_ROD, None, margin_mm=6.0, series="metric")
    assert advice.stroke_mm == 200.0
    assert placed == ON_ROD
    assert advice.closed_for_drawn_mm + 100.0 == pytest.approx(pin_to_pin(swept(), ON_ROD).straight_mm)


def test_standard_sizes_say_where_they_come_from() -> None:
    # ISO 3320 (from memory): bores 25 32 40 50 63 80 100 125 160; inch sizes are common practice, no source
    assert [s.size_mm for s in sizes("bore", "metric")] == [25, 32, 40, 50, 63, 80, 100, 125, 160]
    assert next_size("bore", "metric", 40.5).size_mm == 50
    assert nearest("bore", "inch", 52.0).size_mm == pytest.approx(2 * INCH)
    for kind in ("bore", "rod", "stroke"):
        for series in ("inch", "metric"):
            assert all(size.source for size in sizes(kind, series))
    with pytest.raises(Refusal, match=r"the largest metric standard one is 500\.0 mm"):
        next_size("stroke", "metric", 700.0)


def test_forces_volumes_and_times() -> None:
    # p A and V / Q by hand: 1500 psi on 2 in bore is 1500 * 3.14159 = 4712 lbf; 1 1/4 in rod leaves 2872 lbf
    size = CylinderSize(
        bore_mm=2 * INCH, rod_mm=1.25 * INCH, stroke_mm=8 * INCH, closed_mm=15 * INCH, pressure_mpa=10.3421
    )
    found = thrust(size)
    assert found.push_n / 4.44822 == pytest.approx(4712.0, rel=1e-3)
    assert found.pull_n / 4.44822 == pytest.approx(2872.0, rel=1e-3)
    assert found.stronger_by == pytest.approx(4.0 / (4.0 - 1.5625))
    # 8 in of 2 in bore is 25.13 in^3; one gallon a minute is 231 in^3 a minute: 6.53 s
    pump = CircuitEntry(flow_lpm=3.785411784, reservoir_mm=1000, pump_mm=500)
    poured = oil(size, 8 * INCH, pump, lock_to_lock_s=3.0, wheel_turns=4.0)
    assert poured.working is not None
    assert poured.idle is None
    assert poured.box_share is None
    assert poured.working.open_s == pytest.approx(25.1327 / 231.0 * 60.0, rel=1e-4)
    assert poured.flow_lpm == pytest.approx(25.1327 / 3.0 * 60.0 / 231.0 * 3.785411784, rel=1e-4)
    assert poured.working.wheel_rps == pytest.approx(4.0 / 6.528, rel=1e-3)


def test_box_and_cylinder_share_what_the_pump_gives() -> None:
    # by hand: 25.13 in^3 of cylinder and 15 of box, half of 2 gpm is 231 in^3 a minute; idling at a third a third of it
    size = CylinderSize(
        bore_mm=2 * INCH, rod_mm=1.25 * INCH, stroke_mm=8 * INCH, closed_mm=15 * INCH, pressure_mpa=10.3421
    )
    pump = CircuitEntry(
        flow_lpm=2 * 3.785411784,
        priority=0.5,
        speed=2100,
        idle_speed=700,
        box_volume_mm3=15 * INCH**3,
        reservoir_mm=1000,
        pump_mm=500,
    )
    poured = oil(size, 8 * INCH, pump, lock_to_lock_s=3.0, wheel_turns=4.0)
    assert poured.working is not None
    assert poured.idle is not None
    assert poured.working.open_s == pytest.approx((25.1327 + 15.0) / 231.0 * 60.0, rel=1e-4)
    assert poured.idle.open_s == pytest.approx(3.0 * poured.working.open_s)
    assert poured.idle.wheel_rps == pytest.approx(4.0 / poured.idle.open_s)
    assert poured.box_share == pytest.approx(15.0 / 40.1327, rel=1e-4)
    assert poured.flow_lpm == pytest.approx((25.1327 + 15.0) / 3.0 * 60.0 / 231.0 * 3.785411784, rel=1e-4)


def test_an_idling_pump_gives_no_more_and_speeds_come_together() -> None:
    heights = {"reservoir_mm": 1000.0, "pump_mm": 500.0}
    with pytest.raises(Refusal, match="gives no more"):
        CircuitEntry(flow_lpm=10.0, idle_flow_lpm=12.0, **heights)
    with pytest.raises(Refusal, match="`speed` and `idle_speed`"):
        CircuitEntry(flow_lpm=10.0, speed=2000.0, **heights)
    with pytest.raises(Refusal, match="share of the flow"):
        CircuitEntry(flow_lpm=10.0, priority=2.0, **heights)


def test_a_double_ended_cylinder_pulls_both_ways() -> None:
    size = CylinderSize(bore_mm=50, rod_mm=25, stroke_mm=200, closed_mm=380, pressure_mpa=10, double_ended=True)
    assert thrust(size).push_n == thrust(size).pull_n == pytest.approx(10 * math.pi / 4 * (2500 - 625))


def test_swing_in_the_plate_frame() -> None:
    sweep_ = swept()
    _, placed = advise_stroke(sweep_, ON_ROD, SIZE, margin_mm=6.0, series="inch")
    pins = pin_to_pin(sweep_, placed)
    found = swing(pins, placed)
    u, v, w = array(found.u), array(found.v), array(found.w)
    np.testing.assert_allclose(np.cross(u, v), w, atol=1e-12)
    assert found.in_plane_rad[pins.straight] == pytest.approx(0.0, abs=1e-12)
    rebuilt = (
        np.cos(found.out_of_plane_rad)[:, None]
        * (np.cos(found.in_plane_rad)[:, None] * u + np.sin(found.in_plane_rad)[:, None] * v)
        + np.sin(found.out_of_plane_rad)[:, None] * w
    )
    np.testing.assert_allclose(rebuilt, pins.direction, atol=1e-12)


def test_a_pin_on_a_rod_keeps_its_distances_to_both_balls() -> None:
    sweep_ = swept()
    path = ON_ROD.moving_path_mm(sweep_.motion)
    for ball in sweep_.motion.rod_ends_mm("drag link"):
        distance = length(path - ball)
        np.testing.assert_allclose(distance, distance[sweep_.straight], atol=1e-9)
    np.testing.assert_allclose(path[sweep_.straight], ON_ROD.moving_mm, atol=1e-9)


@pytest.mark.parametrize(
    ("build", "words"),
    [
        (lambda: Mount("drag link", (0, 0, 0), (0, 0, 0)), "drawn in the same place"),
        (lambda: Mount("drag link", (0, 0, 0), (300, 0, 0), (1, 0, 0)), "the fixed pin's axis runs along the cylinder"),
        (lambda: Mount("nothing", (0, 0, 0), (300, 0, 0)).moving_path_mm(swept().motion), "there is no rod 'nothing'"),
        (
            lambda: CylinderSize(bore_mm=30, rod_mm=30, stroke_mm=1, closed_mm=2, pressure_mpa=1),
            "the rod is the thinner",
        ),
        (
            lambda: CylinderSize(bore_mm=30, rod_mm=20, stroke_mm=9, closed_mm=8, pressure_mpa=1),
            "longer than its stroke",
        ),
        (lambda: from_locks(5, 3, None, SIZE, margin_mm=0, series="inch"), "no travel between them"),
        (lambda: from_locks(3, 5, 9, SIZE, margin_mm=0, series="inch"), "does not lie between the locks"),
    ],
)
def test_impossible_cylinders_are_refused(build: object, words: str) -> None:
    with pytest.raises(Refusal, match=words):
        build()  # type: ignore[operator]


def test_a_rod_against_buckling_by_eulers_load() -> None:
    # pi^2 E I / L^2 by hand: 25 mm rod, 700 mm pinned: I = 19175 mm^4, 77.24 kN at 200 GPa
    for wanted, size in ((77_200.0, 25.0), (77_300.0, 28.0)):
        rod = rod_against_buckling(wanted, 700.0, 517.0, "metric")
        assert rod is not None
        assert rod.size_mm == size
    assert rod_against_buckling(1e9, 700.0, 517.0, "metric") is None


def test_the_rod_that_is_advised_is_the_smallest_that_the_judge_passes() -> None:
    text = EXAMPLE.replace("[weld]", "[rules]\nbuckling_factor = 5\n[weld]", 1)
    found = study(parse_steering(text))
    assert found.sizing is not None
    assert found.sizing.bore is not None
    assert found.sizing.rod is not None
    assert found.stroke is not None
    push = found.size.pressure_mpa * math.pi / 4.0 * found.sizing.bore.size_mm**2 if found.size else 0.0
    fy = steel("1045-CD").fy_mpa
    rods = [r.size_mm for r in sizes("rod", "inch") if r.size_mm <= found.sizing.rod.size_mm]
    stands = [Bar(d, found.stroke.limited_open_mm, fy).buckling_n() >= 5.0 * push for d in rods]
    assert stands == [False] * (len(rods) - 1) + [True]


def test_the_standard_cylinder_has_the_force_both_ways_and_the_next_smaller_has_not() -> None:
    asks = {"yield_mpa": 517.0, "buckling_factor": 3.5}
    found = sizing(15_000.0, 10.0, 650.0, "metric", **asks, own_bore_mm=51.0, own_rod_mm=31.0)
    assert found.bore is not None
    assert found.rod is not None
    pull = 10.0 * math.pi / 4.0 * (found.bore.size_mm**2 - found.rod.size_mm**2)
    assert pull >= 15_000.0
    smaller = max(s.size_mm for s in sizes("bore", "metric") if s.size_mm < found.bore.size_mm)
    rod = rod_against_buckling(3.5 * 10.0 * math.pi / 4.0 * smaller**2, 650.0, 517.0, "metric")
    assert rod is not None
    assert 10.0 * math.pi / 4.0 * (smaller**2 - rod.size_mm**2) < 15_000.0
    assert (found.nearest_bore, found.nearest_rod) == (nearest("bore", "metric", 51.0), nearest("rod", "metric", 31.0))
    assert sizing(1e7, 10.0, 650.0, "metric", **asks).bore is None
