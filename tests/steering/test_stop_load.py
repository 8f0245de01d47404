"""What leans on a stop, and the stresses it leaves: against statics by hand, and the setting told on the sheet."""

import math

import numpy as np
import pytest

from plategen.checks.steering import findings
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.parse import parse_steering
from plategen.job.steering_equipment import StopBoltEntry, StopEntry
from plategen.steering.stop_load import bolt_stress_mpa, pad_weld_mpa, stop_loads, tab_stress_mpa, tab_weld_mpa
from plategen.steering.study import study
from plategen.tell.report.steering import steering_report
from plategen.tell.steering.equipment import setting_steps
from tests.support.orchard import HELD

TEXT = HELD
BOLT = StopBoltEntry(
    diameter_mm=20.0, out_mm=15.0, yield_mpa=640.0, tab_width_mm=80.0, tab_thickness_mm=25.0, tab_height_mm=40.0,
    leg_mm=8.0,
)  # fmt: skip


def test_stresses_of_bolt_tab_and_welds_by_hand() -> None:
    # M20 x 2.5: stress diameter 17.654; 50 kN, 10 deg off: 49,240 N along and 8,682 across
    assert bolt_stress_mpa(BOLT, 2.5, 50_000.0) == pytest.approx(49_240.4 / 244.79 + 8_682.4 * 15.0 / 540.2, rel=1e-3)
    assert tab_stress_mpa(BOLT, 50_000.0) == pytest.approx(2.0e6 / (80.0 * 625.0 / 6.0))
    # shear 312.5 N/mm and a couple of 2e6 / (80 x 33) = 757.6 N/mm on a throat of 5.657
    assert tab_weld_mpa(BOLT, 50_000.0) == pytest.approx(math.hypot(312.5, 757.58) / 5.6569, rel=1e-4)
    assert pad_weld_mpa(50_000.0, math.radians(10.0), 250.0, 6.0) == pytest.approx(8_682.4 / 250.0 / 4.2426, rel=1e-4)


def test_cylinder_box_and_blow_add_up_on_a_stop() -> None:
    text = TEXT.replace(
        'tolerance = "1 deg"', 'tolerance = "1 deg"\nbox_moment = "20000 lbf-in"\nstrike = "5000 lbf"', 1
    )
    found = study(parse_steering(text))
    assert found.sweep is not None
    assert found.stops is not None
    assert found.steering.stops is not None
    left, right = stop_loads(found.sweep, found.stops, found.steering.stops, found.steering.tyre, 1.5, found.team.boxes)
    assert (left.met.turn, right.met.turn) == ("left", "right")
    lbf, lbf_in, inch = 4.4482216, 4.4482216 * 25.4, 25.4
    # the blow: 5000 lbf at 3 1/2 in and half of 11 1/4 in; the cylinder: as the stop alone is told, and half again
    assert left.strike_nmm == pytest.approx(5000.0 * (3.5 + 5.625) * lbf_in)
    assert left.met.force_n is not None
    assert left.cylinder_nmm == pytest.approx(1.5 * left.met.force_n * 4.5 * inch)
    # the box by virtual work, on finite steps of the sweep's last interval
    spindle, box = found.sweep.motion.angles_rad["left spindle"], found.sweep.driver_rad
    assert left.box_nmm == pytest.approx(
        20000.0 * lbf_in * abs((box[-1] - box[-3]) / (spindle[-1] - spindle[-3])), rel=0.01
    )
    assert left.force_n * 4.5 * inch == pytest.approx(left.cylinder_nmm + left.box_nmm + left.strike_nmm)
    assert left.force_n / lbf > 15_000.0


def test_a_stop_for_each_wheel_and_turn_is_asked_for_and_enough() -> None:
    def missing(text: str) -> list[float]:
        found = findings(study(parse_steering(text)))
        return [f.demand for f in found if f.check == "turns that a wheel has no stop of its own for"]

    assert missing(TEXT) == [1.0, 1.0]
    more = "".join(
        f'[[steering.stops.stop]]\nname = "{side} other"\nlever = "{side} spindle"\nturn = "{turn}"\nat = "28 deg"\n'
        for side, turn in (("left", "right"), ("right", "left"))
    )
    assert missing(TEXT.replace("[steering.marks]", more + "[steering.marks]")) == [0.0, 0.0]


def test_the_setting_is_told_as_a_procedure() -> None:
    steps = setting_steps(steering_report(study(parse_steering(TEXT))), Show("in"))
    assert any("right spindle bolt: turn it 1.0 turns in" in step for step in steps)
    assert any("left spindle bolt: leave it as drawn" in step for step in steps)


def test_a_bolt_needs_its_pitch_and_its_radius() -> None:
    with pytest.raises(Refusal, match="give both"):
        StopEntry(name="a", lever="b", turn="left", at_rad=0.5, bolt=BOLT)
    assert np.isfinite(bolt_stress_mpa(BOLT, 2.5, 1.0))
