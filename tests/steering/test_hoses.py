"""Hoses, heat, oil and the circuit's losses: against printed values, laws worked another way, and an axle's travel.

Sources: working pressures and bend radii of EN 853 hoses as a catalogue prints them, 1SN and 2SN, all rows (looked up;
the pressures of 2SN in a second table too, for SAE J517 100R2AT); burst to working 4 to 1, SAE J517; heat of throttled
oil, bar x L/min / 600 kW.
"""

import math
import re

import msgspec
import pytest

from plategen.checks.steering import findings
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.parse import parse_steering
from plategen.job.steering_equipment import CircuitEntry
from plategen.steering.circuit import circuit
from plategen.steering.circuit_loss import AIR_MPA, shut_in_mpa, soft_mm
from plategen.steering.cylinder import CylinderSize
from plategen.steering.hoses import rating
from plategen.steering.hydraulics import thrust
from plategen.steering.study import SteeringStudy, study
from plategen.tell.report.steering import steering_report
from plategen.tell.steering.circuit import bleed_steps
from plategen.tell.steering.tables import steer_lines
from tests.support.orchard import HELD

TEXT = HELD
AXLE = '[steering.axle]\nup = 3\ndown = 3\nroll = "6 deg"\nabout = [-45, 0, 18]\nturns = true\n\n[steering.sweep]'
FROM_ROD = (
    '[[steering.circuit.line]]\nname = "box to rod end"\nkind = "pressure"\ninside = "1/4"\nhose = "2SN"\nlength = {}\n'
    'port = "rod"\nends = ["9/16-18 straight", "9/16-18 elbow"]\nclock = "90 deg"\n\n'
    '[[steering.circuit.line]]\nname = "pump to box"'
)


def changed(*pairs: tuple[str, str]) -> SteeringStudy:
    text = TEXT
    for old, new in pairs:
        assert old in text, old
        text = text.replace(old, new, 1)
    return study(parse_steering(text))


def with_hose(length_in: float, *pairs: tuple[str, str]) -> SteeringStudy:
    free = ('hose_to = [-50, 17, 27]\nbend_radius = "2 1/2"', "hose_to = [-50, 17, 27]")
    line = ('[[steering.circuit.line]]\nname = "pump to box"', FROM_ROD.format(length_in))
    return changed(free, line, *pairs)


@pytest.mark.parametrize(
    ("hose", "inches", "bar", "bend_mm"),
    [
        ("1SN", 1 / 4, 225, 100),
        ("1SN", 5 / 16, 215, 115),
        ("1SN", 3 / 8, 180, 130),
        ("1SN", 1 / 2, 160, 180),
        ("1SN", 5 / 8, 130, 200),
        ("1SN", 3 / 4, 105, 240),
        ("1SN", 1, 88, 300),
        ("2SN", 1 / 4, 400, 100),
        ("2SN", 5 / 16, 350, 115),
        ("2SN", 3 / 8, 330, 130),
        ("2SN", 1 / 2, 275, 180),
        ("2SN", 5 / 8, 250, 200),
        ("2SN", 3 / 4, 215, 240),
        ("2SN", 1, 165, 300),
    ],
)
def test_a_hose_is_rated_as_the_trade_s_tables_print_it(hose: str, inches: float, bar: float, bend_mm: float) -> None:
    found = rating(hose, inches * 25.4)
    assert (found.rated_mpa * 10.0, found.bend_mm) == (pytest.approx(bar), bend_mm)
    assert "EN 853" in found.source


def test_a_size_that_no_such_hose_has_is_refused_with_what_to_do() -> None:
    with pytest.raises(Refusal, match=r"no 2SN hose in the table is 11\.0 mm inside; the sizes there are 6\.3 mm"):
        rating("2SN", 11.0)


def test_heat_and_temperature_by_the_trade_s_rule_of_bar_litres_over_600() -> None:
    entry = CircuitEntry(
        flow_lpm=12.0, reservoir_mm=1000, pump_mm=700, relief_share=0.25, neutral_loss_mpa=0.5, air_temperature=35.0,
        cooler_kw=0.8, cooler_rise=40.0, reservoir_surface=0.5,
    )  # fmt: skip
    found = circuit(entry, 10.0).heat
    kw = 0.25 * 100.0 * 12.0 / 600.0 + 0.75 * 5.0 * 12.0 / 600.0
    assert found.in_w == pytest.approx(1000.0 * kw)
    # 20 W a degree by the cooler, 12 x 0.5 = 6 by the walls: in balance the oil stands so far over the air
    assert found.oil_celsius == pytest.approx(35.0 + 1000.0 * kw / 26.0)
    assert circuit(msgspec.structs.replace(entry, air_temperature=None), 10.0).heat.oil_celsius is None


def test_oil_is_counted_part_by_part_and_the_level_moves_by_the_rod() -> None:
    found = changed(("cooler = 38", 'cooler = 38\nbox_volume = "6 in3"\nreservoir_volume = "2 gal"')).circuit
    assert found is not None
    inch3 = 25.4**3
    lines = math.pi / 4.0 * (24.0 + 60.0 * (3 / 8) ** 2 + (70.0 + 30.0) / 4.0)
    assert found.volume.lines_mm3 == pytest.approx(lines * inch3)
    assert found.volume.cylinder_mm3 == pytest.approx(math.pi / 4.0 * 1.5**2 * 8.0 * inch3)
    assert found.volume.told_mm3 == pytest.approx((lines + math.pi / 4.0 * 18.0 + 6.0 + 2 * 231.0) * inch3)
    assert found.volume.not_told == ("cooler",)
    poured, travel = found.volume.exchanged_mm3, changed().in_line
    assert poured is not None
    assert travel is not None
    assert poured == pytest.approx(math.pi / 4.0 * (0.75 * 25.4) ** 2 * travel.pins.travel_mm, rel=1e-9)
    # 3 gpm empties 2 gal in 40 s
    assert found.loss.empty_s == pytest.approx(40.0)


def test_oil_shut_in_on_the_rod_side_balances_the_cap_side() -> None:
    size = CylinderSize(bore_mm=40.0, rod_mm=20.0, stroke_mm=200.0, closed_mm=380.0, pressure_mpa=9.0)
    # a rod of half the bore takes a quarter of the area: p / (1 - 1/4)
    assert shut_in_mpa(9.0, thrust(size)) == pytest.approx(12.0)


def test_trapped_air_keeps_its_pressure_times_its_volume() -> None:
    lost = soft_mm(5000.0, 8.0, 1000.0)
    left = 5000.0 - lost * 1000.0
    assert left * (AIR_MPA + 8.0) == pytest.approx(5000.0 * AIR_MPA)


def test_a_hose_is_followed_over_swing_and_axle() -> None:
    still, moved = with_hose(14), with_hose(14, ("[steering.sweep]", AXLE))
    assert still.circuit is not None
    assert moved.circuit is not None
    by_name = [{hose.name: hose for hose in each.circuit.hoses}["box to rod end"] for each in (still, moved)]  # type: ignore[union-attr]
    assert all(hose.span_mm and hose.slack_mm is not None for hose in by_name)
    assert by_name[1].span_mm[1] > by_name[0].span_mm[1]  # type: ignore[index]
    for hose, found in zip(by_name, (still, moved), strict=True):
        assert hose.slack_mm == pytest.approx(14 * 25.4 - hose.span_mm[1])  # type: ignore[index]
        port = found.ports[1]
        assert (port.name, port.hose_span_mm) == ("rod", hose.span_mm)
        assert hose.least_bend_mm == 100.0
    short = with_hose(10, ("[steering.sweep]", AXLE.replace("up = 3\ndown = 3", "up = 0.1")))
    assert {f.check: f.verdict for f in findings(short)}["hose keeps slack"] == "stop"


def test_the_list_names_ends_and_turn_and_the_bleeding_names_the_port_that_keeps_air() -> None:
    found = with_hose(14, ('clock = "0 deg"', 'clock = "60 deg"'))
    words = "\n".join(steer_lines(found, Show("in")))
    line = next(each for each in words.splitlines() if re.match(r" +box to rod end +2SN", each))
    assert re.search(r"9/16-18 straight to 9/16-18 elbow +90\.0°", line)
    assert "5802 psi" in line  # 40 MPa
    report = steering_report(found)
    steps = bleed_steps(report.circuit, report.ports, Show("in"))
    assert any(step.startswith("At the cap port up to") for step in steps)
    assert not any(step.startswith("At the rod port") for step in steps)
    assert bleed_steps(None, (), Show("in")) == ()


def test_what_gives_first_is_the_lowest_rating() -> None:
    found = changed(("cooler = 38", 'cooler = 38\nbox_rated = "2000 psi"\ncylinder_rated = "3000 psi"')).circuit
    assert found is not None
    assert found.loss.weakest == "box"
    assert found.loss.weakest_mpa == pytest.approx(2000.0 * 0.00689475729)


@pytest.mark.parametrize(
    ("pairs", "words"),
    [
        ((("cooler = 38", "cooler = 38\nair_temperature = 95"),), "35 for 95 °F"),
        ((('hose = "2SN"', 'hose = "2SN"\nends = ["one"]'),), "a hose has two ends"),
        ((('hose = "2SN"', 'hose = "2SN"\nclock = "30 deg"'),), "name them under `ends`"),
        ((('hose = "2SN"', 'hose = "2SN"\nport = "side"'),), "there is no port 'side'"),
        ((('hose = "2SN"', 'hose = "2SN"\nport = "rod"'),), "told there and here"),
        (
            (('kind = "suction"', 'kind = "suction"\nport = "rod"'),),
            "either of the cylinder's ports sees full pressure",
        ),
    ],
)
def test_a_hose_that_cannot_be_is_refused(pairs: tuple[tuple[str, str], ...], words: str) -> None:
    with pytest.raises(Refusal, match=re.escape(words)):
        changed(*pairs)


def test_a_line_without_a_rating_is_said_to_be_without() -> None:
    found = {f.check: f for f in findings(changed(('hose = "2SN"\n', "")))}
    assert "line carries its pressure" not in found
    assert found["lines without a rating"].verdict == "caution"
    assert str(found["lines without a rating"].cure.advice).endswith("pump to box")  # type: ignore[union-attr]


def test_a_port_s_own_hose_keeps_slack_too() -> None:
    told = ("hose_to = [-50, 17, 27]", "hose_to = [-50, 17, 27]\nhose_length = 10")
    (found,) = [f for f in findings(changed(told)) if f.check == "hose keeps slack"]
    assert (found.verdict, str(found.part)) == ("stop", "rod port")
    assert found.cure is not None
    assert Show("in").text(found.cure.advice).startswith("a hose of 10 5/16 in")
