"""Shop notation, read exactly, and refused with a hint where it can mean two things."""

import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plategen.ground import quantity, unit
from plategen.ground.quantity import (
    ANGLE,
    DURATION,
    FLOW,
    FORCE,
    LENGTH,
    MASS,
    MOMENT,
    NUMBER,
    PRESSURE,
    PRICE_OF_LENGTH,
    PRICE_OF_MASS,
    VOLUME,
    Kind,
)
from plategen.ground.refusal import Refusal
from tests.support.refused import is_one_line, outcome

KINDS = [ANGLE, DURATION, FLOW, FORCE, LENGTH, MASS, MOMENT, NUMBER, PRESSURE, PRICE_OF_LENGTH, PRICE_OF_MASS, VOLUME]


@pytest.mark.parametrize(
    ("written", "inches"),
    [
        ("3/8", Fraction(3, 8)),
        ("1 3/8", Fraction(11, 8)),
        ("1-3/8", Fraction(11, 8)),
        ("1 - 3/8", Fraction(11, 8)),
        ("1 3/8 in", Fraction(11, 8)),
        ("1 3/8in", Fraction(11, 8)),
        ("1 3 / 8 inches", Fraction(11, 8)),
        ('1-3/8"', Fraction(11, 8)),
        ("11/8", Fraction(11, 8)),
        ('4.125"', Fraction(33, 8)),
        (".5", Fraction(1, 2)),
        ("2.", Fraction(2)),
        ("+2", Fraction(2)),
        ("-1 3/8", Fraction(-11, 8)),
        ("-3/8 in", Fraction(-3, 8)),
        ("2 ft 3 1/2 in", Fraction(55, 2)),
        ("2ft3 1/2in", Fraction(55, 2)),
        ("1' 3/8\"", Fraction(99, 8)),
        ("1'-3 3/8\"", Fraction(123, 8)),
        ("-1'-3\"", Fraction(-15)),
        ("1' 3''", Fraction(15)),
        ("3 FT", Fraction(36)),
        ("1⅜", Fraction(11, 8)),
        ("⅜ in", Fraction(3, 8)),
        ("1 3⁄8 in", Fraction(11, 8)),
        ("2′ 3½″", Fraction(55, 2)),
        ("2’ 3½”", Fraction(55, 2)),
        ("−1–3/8", Fraction(-11, 8)),
        ("1\N{NO-BREAK SPACE}3/8", Fraction(11, 8)),
        ("25.4 mm", Fraction(1)),
        ("2.54 cm", Fraction(1)),
        ("0.0254 m", Fraction(1)),
        ("254e-1 mm", Fraction(1)),
        (4, Fraction(4)),
        (4.125, Fraction(33, 8)),
    ],
)
def test_a_length_is_read_as_a_shop_writes_it(written: str | float, inches: Fraction) -> None:
    assert LENGTH.read(written, "in") == pytest.approx(float(inches * Fraction("25.4")), rel=1e-15)


@pytest.mark.parametrize(
    ("written", "message"),
    [
        ("abc", "'abc' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        ("", "no length is written there; write for example 1 3/8, 4.125 in or 35 mm"),
        ("nan", "'nan' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        ("inf", "'inf' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        ("--1", "'--1' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        ("1_000", "'1_000' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        ("1-3", "'1-3' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        ("1.5 3/8", "'1.5 3/8' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        ("3/8 1", "'3/8 1' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        ("٣", "'٣' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        ("1/0", "'1/0' has 0 under the line; write a fraction like 3/8"),
        ("1 0/0", "'1 0/0' has 0 under the line; write a fraction like 3/8"),
        ("1 11/8", "'1 11/8' has a fraction of one or more beside a whole number; write it like 1 3/8"),
        ("1,5", "'1,5' has a comma; write 1.5"),
        ("1e999", "'1e999' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        ("5 furlong", "'5 furlong': 'furlong' is no unit of length; write for example 1 3/8, 4.125 in or 35 mm"),
        ("5' 6", '"5\' 6": "\' 6" is no unit of length; write for example 1 3/8, 4.125 in or 35 mm'),
        ("35 psi", "'35 psi': 'psi' is no unit of length; write for example 1 3/8, 4.125 in or 35 mm"),
        (True, "true is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        (None, "nothing is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        ([1], "a list is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        (math.nan, "nan is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        (-math.inf, "-inf is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        (10**400, "a number beyond reason is no length; write for example 1 3/8, 4.125 in or 35 mm"),
    ],
)
def test_what_is_no_length_is_refused_in_one_line(written: object, message: str) -> None:
    with pytest.raises(Refusal) as refused:
        LENGTH.read(written, "in")
    assert str(refused.value) == message


def test_a_pressure_without_its_unit_is_refused() -> None:
    with pytest.raises(Refusal, match=r"1500 has no unit; write one, for example 1500 psi, 100 bar or 10 MPa"):
        PRESSURE.read(1500)


@pytest.mark.parametrize(
    ("kind", "written", "value"),
    [
        # NIST Special Publication 811 (2008), appendix B.8, to the seven figures printed there (from memory)
        (PRESSURE, "1 psi", 6.894757e-3),
        (PRESSURE, "1 ksi", 6.894757),
        (FORCE, "1 lbf", 4.448222),
        (FORCE, "1 kip", 4.448222e3),
        (MOMENT, "1 lbf-in", 1.129848e2),
        (MOMENT, "1 ft-lbf", 1.355818e3),
        (MASS, "1 lb", 4.535924e-1),
        (VOLUME, "1 gal", 3.785412e6),
        (VOLUME, "1 in3", 1.638706e4),
        (FLOW, "1 gpm", 3.785412),
        (PRICE_OF_MASS, "1/lb", 1.0 / 4.535924e-1),
        (PRICE_OF_MASS, "1 per kg", 1.0),
        (PRICE_OF_LENGTH, "2.54 per inch", 0.1),
        (PRICE_OF_LENGTH, "1/2 /ft", 0.5 / 304.8),
    ],
)
def test_factors_against_the_published_table(kind: Kind, written: str, value: float) -> None:
    assert kind.read(written) == pytest.approx(value, rel=1.0e-6)


def test_factors_against_a_general_library() -> None:
    constants = pytest.importorskip("scipy.constants")
    assert float(unit.INCH_MM) == pytest.approx(constants.inch * 1e3, rel=1e-15)
    assert float(unit.FOOT_MM) == pytest.approx(constants.foot * 1e3, rel=1e-15)
    assert float(unit.POUND_KG) == pytest.approx(constants.lb, rel=1e-15)
    assert float(unit.POUND_FORCE_N) == pytest.approx(constants.lbf, rel=1e-15)
    assert float(unit.PSI_MPA) == pytest.approx(constants.psi * 1e-6, rel=1e-14)
    assert float(unit.PRESSURE["bar"]) == pytest.approx(constants.bar * 1e-6, rel=1e-15)
    assert float(unit.GALLON_MM3) == pytest.approx(constants.gallon * 1e9, rel=1e-14)
    assert pytest.approx(constants.degree, rel=1e-15) == unit.DEGREE_RAD


@pytest.mark.parametrize(
    ("kind", "written", "value"),
    [
        (PRESSURE, "100 bar", 10.0),
        (PRESSURE, "10 N/mm²", 10.0),
        (PRESSURE, "10 MPa", 10.0),
        (PRESSURE, "500 kPa", 0.5),
        (ANGLE, "7 1/2 deg", math.radians(7.5)),
        (ANGLE, "7½°", math.radians(7.5)),
        (ANGLE, "0.5 rad", 0.5),
        (MOMENT, "55 N·m", 55e3),
        (MOMENT, "55 N*m", 55e3),
        (VOLUME, "0.4 L", 4e5),
        (FLOW, "15 L/min", 15.0),
        (DURATION, "2.5 s", 2.5),
        (NUMBER, "3/4", 0.75),
        (NUMBER, 2, 2.0),
    ],
)
def test_other_kinds(kind: Kind, written: str, value: float) -> None:
    assert kind.read(written) == pytest.approx(value, rel=1e-15)


@given(st.integers(0, 200), st.integers(0, 63), st.sampled_from(["{w} {n}/{d}", "{w}-{n}/{d}", '{w} {n}/{d}"']))
def test_every_mark_of_a_rule_is_read_to_the_last_bit(whole: int, over: int, form: str) -> None:
    written = form.format(w=whole, n=over, d=64)
    assert LENGTH.read(written, "in") == (whole * 64 + over) * 254 / 640


@given(st.floats(-1e6, 1e6))
def test_a_number_and_its_text_are_read_alike(number: float) -> None:
    assert LENGTH.read(repr(number), "in") == LENGTH.read(number, "in")


@given(st.floats(-1e5, 1e5), st.sampled_from(["in", "ft", "cm", "m"]))
def test_unit_in_text_and_bare_unit_agree(number: float, name: str) -> None:
    assert LENGTH.read(f"{number!r} {name}", "mm") == LENGTH.read(number, name)


@given(st.text(max_size=80) | st.from_regex(r"[-+0-9 /.'\"a-z⅜]{0,20}", fullmatch=True), st.sampled_from(KINDS))
def test_any_text_is_a_finite_number_or_one_line(text: str, kind: Kind) -> None:
    value = outcome(lambda: kind.read(text, next(iter(kind.factors), "")))
    assert is_one_line(value) if isinstance(value, Refusal) else math.isfinite(value)


def test_plain_characters_for_typographic_ones() -> None:
    assert quantity.in_ascii("2′ 3½″").split() == ["2'", "3", '1/2"']


@pytest.mark.parametrize(
    "written",
    ["8-Mar", "Mar-08", "08. Mrz", "8. Mrz", "8. März", "2024-03-08", "2024-03-08 00:00:00", "3/8/2024", "8.3.2024",
     "08.03.24", "3/8/24", "Mar 8"],
)  # fmt: skip
def test_a_date_is_told_by_the_fraction_it_was(written: str) -> None:
    with pytest.raises(Refusal, match=r"is a date, which spreadsheets make of 3/8; write 3/8$"):
        LENGTH.read(written, "in")


@pytest.mark.parametrize(
    ("written", "was"), [("01.03.1932", "3/32"), ("2032-03-01", "3/32"), ("1/3/1964", "3/64"), ("Mar-32", "3/32")]
)
def test_a_fine_mark_became_the_first_of_a_month(written: str, was: str) -> None:
    with pytest.raises(Refusal, match=f"write {was}$"):
        LENGTH.read(written, "in")


@pytest.mark.parametrize(
    ("written", "why"),
    [
        ("1,500", "'1,500' can mean 1.500 or 1500; write one of these"),
        ("12,250 mm", "'12,250 mm' can mean 12.250 mm or 12250 mm; write one of these"),
        ("35,4 mm", "'35,4 mm' has a comma; write 35.4 mm"),
        ("0,125", "'0,125' has a comma; write 0.125"),
        ("1,500,000", "'1,500,000' has more than one comma; write 1500000"),
    ],
)
def test_a_comma_is_told_by_what_its_own_number_can_mean(written: str, why: str) -> None:
    with pytest.raises(Refusal) as refused:
        LENGTH.read(written, "in")
    assert str(refused.value) == why


def test_a_job_in_millimetres_is_shown_its_own_units_first() -> None:
    for kind in KINDS:
        shown = kind.of("mm").examples.replace(" or ", ", ").split(", ")
        own = kind.of("in").examples.replace(" or ", ", ").split(", ")
        bare = {LENGTH: "mm", ANGLE: "deg"}.get(kind, "")
        assert all(math.isfinite(kind.read(example, bare)) for example in (*shown, *own))
        assert kind.metric == "" or shown[0] != own[0]
    with pytest.raises(Refusal, match=r"write for example 35, 35 mm or 1 3/8 in$"):
        LENGTH.of("mm").read("x", "mm")
