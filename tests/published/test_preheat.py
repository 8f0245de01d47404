"""Preheat by the table of AWS D1.1:2015 and by EN 1011-2, and what stops a filler."""

import pytest

from plategen.checks.finding import Finding
from plategen.ground.show import Show
from plategen.rules.material import filler_for, steel, weld_metal
from plategen.rules.preheat import least_preheat_c, passes, preheat_by_cet_c
from tests.checks.bench import Bench

IN = 25.4


@pytest.mark.parametrize(
    ("filler", "inches", "fahrenheit"),
    [
        ("E6010", 0.75, 32), ("E6010", 1.0, 150), ("E6010", 2.0, 225), ("E6010", 3.0, 300),
        ("E7018", 0.75, 32), ("E7018", 1.0, 50), ("E7018", 2.0, 150), ("E7018", 3.0, 225),
    ],
)  # fmt: skip
def test_table_3_3_of_aws_d1_1_2015(filler: str, inches: float, fahrenheit: int) -> None:
    # categories A and B, as the 2015 edition prints them in degrees F: 65 C is its 150 F, 110 C its 225 F
    celsius, source = least_preheat_c(steel("A36"), weld_metal(filler), inches * IN, "in")
    assert celsius * 1.8 + 32 == pytest.approx(fahrenheit, abs=6)
    assert "AWS D1.1:2015 Table 3.3" in source


def test_table_3_3_in_millimetres() -> None:
    asked = [least_preheat_c(steel("S355"), weld_metal("G42"), t, "mm")[0] for t in (20.0, 21.0, 38.0, 65.0, 66.0)]
    assert asked == [0.0, 10.0, 10.0, 65.0, 110.0]


def test_method_b_of_en_1011_2_by_hand() -> None:
    # Tp = 697 CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - 328 (C.3), each term by a pocket calculator
    assert preheat_by_cet_c(0.40, 35.0, 5.0) == pytest.approx(278.8 + 121.855 + 108.90 - 10.8 - 328.0, abs=0.05)
    assert preheat_by_cet_c(0.20, 10.0, 2.0) == 0.0


def test_thicker_steel_and_wetter_filler_never_ask_less() -> None:
    for name in ("A36", "S355", "1045", "42CrMo4"):
        for filler in ("E6010", "E7018", "G42"):
            asked = [least_preheat_c(steel(name), weld_metal(filler), t, "mm")[0] for t in (5, 15, 25, 45, 80)]
            assert asked == sorted(asked)
        wet, dry = (least_preheat_c(steel(name), weld_metal(f), 30.0, "mm")[0] for f in ("E6010", "G42"))
        assert wet >= dry


def test_one_pass_lays_up_to_five_sixteenths() -> None:
    # AWS D1.1 prequalified procedures, horizontal; the counts above it are common practice
    assert [passes(leg * IN) for leg in (3 / 16, 5 / 16, 3 / 8, 1 / 2)] == [1, 1, 3, 4]


def _found(bench: Bench, check: str) -> list[Finding]:
    return [f for f in bench.findings() if f.check == check]


def test_a_wet_filler_stops_on_steel_that_the_table_lists_for_low_hydrogen_alone() -> None:
    assert [f.verdict for f in _found(Bench(electrode="E6013"), "low-hydrogen filler")] == ["stop"]
    assert [f.verdict for f in _found(Bench(electrode="E7018"), "low-hydrogen filler")] == ["ok"]
    # A36 is in both categories: nothing is asked
    assert _found(Bench(electrode="E6013", steel="A36", wall_steel="A36"), "low-hydrogen filler") == []


def test_the_cure_is_a_filler_that_is_dry_and_no_weaker() -> None:
    (stop,) = _found(Bench(electrode="E7014"), "low-hydrogen filler")
    assert stop.cure is not None
    (change,) = stop.cure.changes
    assert (change.key, change.to) == ("weld.electrode", "G42")
    assert _found(Bench(electrode="G42"), "low-hydrogen filler")[0].verdict == "ok"
    assert filler_for(weld_metal("E7014").fexx_mpa, "in") == "E7018"


def test_a_filler_is_no_weaker_than_the_weaker_part() -> None:
    # EN 1993-1-8:2005 4.2; strength counts the filler's own where it is
    (weak,) = _found(Bench(electrode="E7018", rules={"set": "en-1993"}), "filler as strong as the steel")
    assert (round(weak.demand), round(weak.capacity), weak.verdict, weak.opinion) == (490, 483, "caution", False)
    (strong,) = _found(Bench(electrode="G42", rules={"set": "en-1993"}), "filler as strong as the steel")
    assert strong.ratio < 1.0


def test_medium_carbon_steel_is_told_to_be_warmed() -> None:
    (warm,) = _found(Bench(steel="1045"), "preheat")
    assert warm.verdict == "caution"
    assert warm.demand == pytest.approx(preheat_by_cet_c(0.59, 15.0, 8.0))
    assert warm.cure is not None
    assert Show("mm").text(warm.cure.advice).startswith("warm it to 280 °C for 75.0 mm")
    assert Show("in").text(warm.cure.advice).startswith("warm it to 536 °F")
