"""Numbers as people read them: never without a unit, never a fraction that hides what was rounded away."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plategen.ground.figures import fraction
from plategen.ground.quantity import LENGTH
from plategen.ground.show import Show

INCH, METRIC = Show("in"), Show("mm")


@pytest.mark.parametrize(
    ("mm", "inch", "metric", "short"),
    [
        (34.925, "1 3/8 in (1.375)", "34.9 mm", "1 3/8"),
        (0.0, "0 in", "0.0 mm", "0"),
        (-34.925, "-1 3/8 in (-1.375)", "-34.9 mm", "-1 3/8"),
        (25.39, "1 in (1.000)", "25.4 mm", "1"),
        (35.33, "1 25/64 in (1.391)", "35.3 mm", "1.391"),
        (0.79375, "1/32 in (0.031)", "0.79 mm", "1/32"),
        (0.02, "0.00079 in", "0.020 mm", "0.001"),
        (25.4 / 64, "1/64 in (0.016)", "0.40 mm", "0.016"),
        (25.4 * 3 / 64, "3/64 in (0.047)", "1.2 mm", "0.047"),
        (-25.4 * (12 + 1 / 64), "-12 1/64 in (-12.016)", "-305.2 mm", "-12.016"),
        (25.4 * 0.040, "1/32 in (0.040)", "1.0 mm", "0.040"),
        (math.inf, "endless in", "endless mm", "endless"),
        (math.nan, "not a number in", "not a number mm", "not a number"),
    ],
)
def test_a_length_is_shown(mm: float, inch: str, metric: str, short: str) -> None:
    assert INCH.length(mm) == inch
    assert METRIC.length(mm) == metric
    assert INCH.short(mm) == short


@pytest.mark.parametrize("inches", [5 / 16, 15 / 16, 2.4375, 1.0625, -5 / 16])
def test_a_length_half_way_between_two_decimals_reads_one_way_however_it_was_computed(inches: float) -> None:
    for shown in (INCH.length, INCH.short, lambda mm: INCH.bound(mm, up=True), lambda mm: INCH.bound(mm, up=False)):
        assert len({shown(25.4 * inches + off) for off in (-1e-9, 0.0, 1e-9)}) == 1


@given(st.floats(-5000.0, 5000.0))
def test_the_decimals_beside_the_fraction_are_the_number(mm: float) -> None:
    shown = INCH.length(mm)
    if "(" in shown:
        assert float(shown.split("(")[1].rstrip(")")) == pytest.approx(mm / 25.4, abs=0.00051)
        assert LENGTH.read(shown.split(" in")[0], "in") == pytest.approx(mm, abs=25.4 / 64 + 1e-9)
    assert LENGTH.read(INCH.short(mm), "in") == pytest.approx(mm, abs=25.4 * 0.0051)
    assert LENGTH.read(METRIC.short(mm), "mm") == pytest.approx(mm, abs=0.051)


@given(st.floats(0.01563, 300.0) | st.integers(2, 19_200).map(lambda marks: marks / 64))
def test_a_fraction_lies_less_than_a_64th_from_its_decimals(inches: float) -> None:
    words, decimals = INCH.length(25.4 * inches).split(" (")
    said, beside = LENGTH.read(words, "in") / 25.4, float(decimals.rstrip(")"))
    assert said > 0.0
    assert abs(said - beside) < 1 / 64


@given(st.integers(-3200, 3200))
def test_a_rules_mark_survives_being_shown_and_read(marks: int) -> None:
    assert LENGTH.read(fraction(marks / 32), "in") == pytest.approx(marks * 25.4 / 32, rel=1e-15)


def test_other_quantities_carry_the_units_of_the_job() -> None:
    assert (INCH.force(20_960), METRIC.force(20_960), METRIC.force(200)) == ("4712 lbf", "20.96 kN", "200.0 N")
    assert (INCH.stress(250), METRIC.stress(250), INCH.stress(1)) == ("36259 psi", "250.0 MPa", "145.0 psi")
    assert (INCH.pressure(10.342), METRIC.pressure(10.342)) == ("1500 psi", "103.4 bar")
    assert (INCH.area(645.16), METRIC.area(645.16)) == ("1.000 in²", "645.2 mm²")
    assert (INCH.mass(1), METRIC.mass(1)) == ("2.205 lb", "1.000 kg")
    assert (INCH.moment(112_984.8), METRIC.moment(112_984.8)) == ("1000 lbf-in", "113.0 N·m")
    assert (INCH.line_load(175.127), METRIC.line_load(175.127)) == ("1000 lbf/in", "175.1 N/mm")
    assert (INCH.volume(16_387.064), METRIC.volume(16_387.064)) == ("1.000 in³", "16.39 cm³")
    assert INCH.angle(math.radians(7.5)) == METRIC.angle(math.radians(7.5)) == "7.5°"


@pytest.mark.parametrize(
    ("unit", "shown"),
    [("mm", "1 in (1.000)"), ("N", "5.710 lbf"), ("MPa", "3684 psi"), ("N/mm", "145.0 lbf/in"), ("deg", "25.4°"),
     ("1", "25.4"), ("mm2", "0.03937 in²"), ("kg", "56.00 lb"), ("turns", "25.40 turns")],
)  # fmt: skip
def test_a_finding_is_shown_by_its_unit(unit: str, shown: str) -> None:
    assert INCH.finding(25.4, unit) == shown


def test_nought_has_no_sign() -> None:
    assert INCH.angle(-0.0) == METRIC.angle(-0.0) == "0.0°"
    assert METRIC.length(-0.0) == "0.0 mm"
