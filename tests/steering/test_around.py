"""Ports, stops, marks and the oil circuit."""

import math
from typing import get_args, get_type_hints

import msgspec
import numpy as np
import pytest

from plategen.ground.refusal import Refusal
from plategen.job.steering_equipment import (
    CircuitEntry,
    LineEntry,
    MarksEntry,
    PadEntry,
    PortEntry,
    StopEntry,
)
from plategen.steering.circuit import VELOCITY_LIMIT_M_S, air_traps, circuit, friction_factor, loss_mpa, velocity_m_s
from plategen.steering.cylinder import CylinderSize, advise_stroke
from plategen.steering.marks import arc_angle_rad, readings
from plategen.steering.mount import Mount, pin_to_pin
from plategen.steering.ports import arc_radius_mm, port_angles, trapped_air_mm3
from plategen.steering.stop_pad import stop_pad
from plategen.steering.stops import stop_order
from plategen.steering.sweep import INNER_WHEEL, Locks, Sweep, sweep
from tests.steering.examples import sprayer

INCH = 25.4
LOCK = math.radians(35.0)
SIZE = CylinderSize(bore_mm=50.0, rod_mm=28.0, stroke_mm=203.2, closed_mm=387.35, pressure_mpa=10.0)
MOUNT = Mount(
    "drag link", (-55 * INCH, 20.75 * INCH, 21.25 * INCH), (-36 * INCH, 21.75 * INCH, 19.4375 * INCH), (0, 0, -1)
)


def swept() -> Sweep:
    return sweep(sprayer(), "box arm", Locks(INNER_WHEEL, LOCK, LOCK))


# ports


@pytest.mark.parametrize("clock_deg", [-90.0, 0.0, 30.0, 180.0])
def test_a_port_keeps_its_clock_while_the_cylinder_swings_about_an_upright_pin(clock_deg: float) -> None:
    found = swept()
    port = PortEntry(name="cap", station_mm=50.0, radius_mm=30.0, clock_rad=math.radians(clock_deg))
    (seen,) = port_angles((port,), pin_to_pin(found, MOUNT), MOUNT, SIZE, 60.0)
    assert abs(math.degrees(seen.clock_rad[found.straight])) == pytest.approx(abs(clock_deg), abs=1e-9)
    assert math.degrees(seen.worst_rad) == pytest.approx(abs(clock_deg), abs=0.6)


def test_a_cylinder_that_swings_up_about_a_level_pin_keeps_its_top_port_on_top() -> None:
    found = swept()
    mount = Mount("box arm", (-61 * INCH, 18.5 * INCH, 21 * INCH), (-42 * INCH, 18.5 * INCH, 20 * INCH), (0, 1, 0))
    port = PortEntry(name="cap", station_mm=50.0)  # its face on the barrel
    (seen,) = port_angles((port,), pin_to_pin(found, mount), mount, SIZE, 60.0)
    assert seen.worst_rad == pytest.approx(0.0, abs=1e-9)
    assert seen.trapped_mm3 == pytest.approx(0.0, abs=1e-9)


def test_a_port_turned_clockwise_seen_from_the_fixed_pin_lies_on_the_right() -> None:
    # looking along the cylinder, here forwards, clockwise from up is towards the vehicle's right, y negative
    found = swept()
    port = PortEntry(name="cap", station_mm=0.0, radius_mm=100.0, clock_rad=math.pi / 2)
    pins = pin_to_pin(found, MOUNT)
    (seen,) = port_angles((port,), pins, MOUNT, SIZE, 60.0)
    assert seen.face_mm[found.straight][1] - MOUNT.fixed_mm[1] < -99.0
    assert seen.clock_rad[found.straight] == pytest.approx(math.pi / 2)


def test_air_over_a_port_at_three_oclock_is_half_the_bore() -> None:
    half = math.pi / 8.0 * 50.0**2 * 200.0
    assert trapped_air_mm3(50.0, 200.0, math.pi / 2) == pytest.approx(half)
    assert trapped_air_mm3(50.0, 200.0, -math.pi / 2) == pytest.approx(half)


def test_hose_in_one_even_arc() -> None:
    # half a circle of radius 100 spans 200 with a length of 100 pi
    assert arc_radius_mm(200.0, 100.0 * math.pi) == pytest.approx(100.0)
    assert arc_radius_mm(200.0, 200.0) == math.inf
    with pytest.raises(ValueError, match="does not span"):
        arc_radius_mm(200.0, 150.0)


def test_a_hose_too_short_is_refused_by_port() -> None:
    found = swept()
    port = PortEntry(
        name="rod",
        station_mm=300.0,
        radius_mm=30.0,
        clock_rad=0.0,
        hose_to_mm=(-1000.0, 0.0, 900.0),
        hose_length_mm=100.0,
    )
    with pytest.raises(Refusal, match=r"the hose at the rod port is 100\.0 mm and has to reach"):
        port_angles((port,), pin_to_pin(found, MOUNT), MOUNT, SIZE, 60.0)


# stops


def test_stops_come_in_the_order_in_which_they_are_met() -> None:
    found = swept()
    advice, placed = advise_stroke(found, MOUNT, SIZE, margin_mm=0.0, series="inch")
    stops = (
        StopEntry(
            name="bolt",
            lever="left spindle",
            turn="left",
            at_rad=math.radians(34.0),
            contact_radius_mm=110.0,
            pitch_mm=2.0,
        ),
        StopEntry(name="other bolt", lever="right spindle", turn="right", at_rad=LOCK),
        StopEntry(name="box", lever="box arm", turn="left", at_rad=math.radians(40.0), kind="box"),
    )
    ends = (advice.limited_closed_mm, advice.limited_open_mm)
    order = stop_order(found, stops, placed, ends, (10_000.0, 7_000.0))
    assert [m.name for m in order.left] == ["bolt", "cylinder open", "box"]
    assert [m.kind for m in order.right] == ["spindle", "cylinder"]
    bolt, cylinder, box = order.left
    assert box.box_rad == pytest.approx(math.radians(40.0))
    assert cylinder.box_rad == pytest.approx(float(found.driver_rad[-1]), abs=1e-5)
    assert bolt.box_rad == pytest.approx(
        float(np.interp(math.radians(34), found.steer_rad["left"], found.driver_rad)), abs=1e-5
    )
    # common practice, no source: a bolt's turn is its pitch over the contact's radius
    assert bolt.per_turn_rad == pytest.approx(2.0 / 110.0)
    assert bolt.bolt_turns == pytest.approx(-math.radians(1.0) * 110.0 / 2.0, abs=0.01)
    assert order.spread_left_rad == pytest.approx(float(found.driver_rad[-1]) - bolt.box_rad)


def test_force_on_a_stop_by_virtual_work() -> None:
    found = swept()
    advice, placed = advise_stroke(found, MOUNT, SIZE, margin_mm=6.0, series="inch")
    stop = StopEntry(name="bolt", lever="left spindle", turn="left", at_rad=math.radians(34.9), contact_radius_mm=100.0)
    ends = (advice.limited_closed_mm, advice.limited_open_mm)
    (met, *_) = stop_order(found, (stop,), placed, ends, (10_000.0, 7_000.0)).left
    pins = pin_to_pin(found, placed)
    angle = found.motion.angles_rad["left spindle"]
    rate = (pins.length_mm[-1] - pins.length_mm[-3]) / (angle[-1] - angle[-3])
    assert met.force_n == pytest.approx(10_000.0 * abs(rate) / 100.0, rel=5e-3)
    assert met.moment_nmm == pytest.approx(10_000.0 * abs(rate), rel=5e-3)


def test_a_stop_that_no_turn_reaches_is_never_met() -> None:
    found = swept()
    (met,) = stop_order(found, (StopEntry(name="x", lever="left spindle", turn="left", at_rad=2.4),), None).left
    assert met.box_rad == math.inf


def test_a_stop_pad_is_one_closed_outline_with_its_holes() -> None:
    pad = stop_pad(PadEntry(width_mm=60, height_mm=80, thickness_mm=10, corner_radius_mm=6, hole_mm=13))
    assert pad.outline.area == pytest.approx(60 * 80 - (4 - math.pi) * 36)
    assert pad.outline.bounds == pytest.approx((-30, -40, 30, 40))
    assert [hole.radius for hole in pad.holes] == [6.5]
    two = stop_pad(PadEntry(width_mm=90, height_mm=40, thickness_mm=10, hole_mm=11, hole_spacing_mm=50))
    assert [hole.centre for hole in two.holes] == [-25, 25]
    assert two.outline.area == pytest.approx(3600)
    with pytest.raises(Refusal, match="to the edge of the pad"):
        stop_pad(PadEntry(width_mm=20, height_mm=40, thickness_mm=10, hole_mm=13))
    with pytest.raises(Refusal, match=r"two corners of radius 30.0 mm do not fit"):
        stop_pad(PadEntry(width_mm=50, height_mm=80, thickness_mm=10, corner_radius_mm=30))


# marks


@pytest.mark.parametrize(("hub_in", "least_deg", "most_deg"), [(2.0, 3.0, 4.0), (1.25, 5.0, 6.0), (0.75, 9.0, 10.0)])
def test_a_sixteenth_on_a_hub_is_several_degrees(hub_in: float, least_deg: float, most_deg: float) -> None:
    # common practice, no source: 1/16 in wrong on an arm's hub is several degrees of box, up to about ten
    found = math.degrees(arc_angle_rad(INCH / 16, hub_in * INCH / 2))
    assert least_deg < found < most_deg


def test_what_a_mark_is_worth() -> None:
    scribed, felt, read, spline, column = readings(
        MarksEntry(hub_diameter_mm=40.0, reading_error_mm=1.5, splines=36, column_splines=40),
        ratio=0.8,
        travel_per_rad_mm=200.0,
        column_ratio=18.0,
    )
    assert (spline.splines, spline.box_rad) == (pytest.approx(1.0), pytest.approx(math.radians(10.0)))
    assert column.box_rad == pytest.approx(math.radians(9.0) / 18.0)  # nine degrees of the wheel, half a one of box
    assert column.error_mm == pytest.approx(20.0 * column.box_rad)
    assert read.box_rad == pytest.approx(0.075)
    assert read.wheel_rad == pytest.approx(0.075 / 0.8)
    assert read.travel_mm == pytest.approx(15.0)
    assert read.splines == pytest.approx(0.075 * 36 / (2 * math.pi))
    assert scribed.box_rad < felt.box_rad == read.box_rad


def test_a_chord_read_as_an_arc_errs_as_the_series_says() -> None:
    # chord / radius = theta - theta^3 / 24: the relative error theta^2 / 24
    theta = math.radians(15.0)
    chord = 2 * 30.0 * math.sin(theta / 2)
    assert 1 - arc_angle_rad(chord, 30.0) / theta == pytest.approx(theta**2 / 24, rel=0.01)


# circuit


def test_laminar_loss_is_hagen_poiseuilles() -> None:
    # dp = 128 mu L Q / (pi d^4), the law found by Hagen and Poiseuille, written without a friction factor
    flow, inside, run, nu = 12.0, 12.7, 2000.0, 46.0
    mu = nu * 1e-6 * 870.0
    expected = 128 * mu * (run / 1e3) * (flow / 6e4) / (math.pi * (inside / 1e3) ** 4) / 1e6
    assert loss_mpa(flow, inside, run, nu) == pytest.approx(expected, rel=1e-9)


def test_blasius_factor() -> None:
    # Blasius, smooth pipe (from memory): 0.0316 at Re 10^4
    assert friction_factor(1e4) == pytest.approx(0.0316, abs=5e-5)
    assert friction_factor(1000.0) == pytest.approx(0.064)


def test_the_pump_is_judged_by_the_oil_over_it() -> None:
    found = circuit(
        CircuitEntry(
            flow_lpm=12.0,
            reservoir_mm=1000,
            pump_mm=700,
            box_mm=1050,
            relief_share=0.25,
            line=(LineEntry(name="a", kind="suction", inside_mm=10, length_mm=500),),
        ),
        pressure_mpa=10.0,
    )
    assert found.head_mm == 300
    assert (found.highest, found.reservoir_over_mm) == ("box", -50)
    assert found.heat_w == pytest.approx(2000.0)  # 12 l/min at 100 bar: 2 kW, the rule bar x l/min / 600
    assert found.cooler_w == pytest.approx(500.0)
    (line,) = found.lines
    assert velocity_m_s(12.0, line.least_inside_mm) == pytest.approx(line.limit_m_s)
    assert get_args(get_type_hints(LineEntry)["kind"]) == tuple(VELOCITY_LIMIT_M_S)  # a limit for every kind there is
    with pytest.raises(msgspec.ValidationError, match="drain"):
        msgspec.convert({"name": "a", "kind": "drain", "inside": 10.0, "length": 500.0}, LineEntry)


def test_air_stays_where_it_would_have_to_go_down() -> None:
    def traps(reservoir_mm: float, box_mm: float) -> tuple[str, ...]:
        heights = {"reservoir_mm": reservoir_mm, "pump_mm": 0.0, "cylinder_mm": 500.0, "cooler_mm": 800.0}
        return air_traps(CircuitEntry(flow_lpm=1.0, box_mm=box_mm, **heights))

    assert traps(900.0, box_mm=600.0) == ()
    assert traps(700.0, box_mm=450.0) == ("cylinder", "cooler")
