"""Fatigue on the bench: ranges by hand, what is asked, and what is told of a life."""

import math

import pytest

from plategen.checks.finding import Finding
from plategen.job.rules import Use
from plategen.rules.pin_plate import near_ear_share
from plategen.rules.weld import throat_mm
from tests.checks.bench import Bench, pull_n, push_n
from tests.checks.cases import EN, HARD, STRAIGHT

CHECKS = ("weld throat fatigue", "plate at its weld, fatigue", "net section at the pin, fatigue")


def of(bench: Bench, check: str, *, opinion: bool = False) -> Finding:
    return max((f for f in bench.findings() if f.check == check and f.opinion is opinion), key=lambda f: f.ratio)


def test_ranges_of_a_force_along_the_rail_by_hand() -> None:
    b = Bench(rules=STRAIGHT)
    force = push_n(b.pressure, b.bore) + pull_n(b.pressure, b.bore, b.rod)  # no shock: it comes now and then
    force *= near_ear_share(b.eye_width, b.thickness, b.gap)
    length = 2 * b.foot
    along, across = force / (2 * length), force * b.height / (2 * length**2 / 6)
    assert of(b, CHECKS[0]).demand == pytest.approx(math.hypot(along, across) / throat_mm(b.leg), rel=1e-9)
    assert of(b, CHECKS[1]).demand == pytest.approx(6 * force * b.height / (length**2 * b.thickness), rel=1e-5)
    beside = b.nose - b.hole / 2
    assert of(b, CHECKS[2]).demand == pytest.approx(force / (2 * b.thickness * beside), rel=1e-9)


def test_a_throat_of_en_adds_the_root_and_what_runs_along_it() -> None:
    bench = Bench(leg=5.0, foot=60.0, pressure=8.0, use=HARD, rules={**EN, "skew_rad": 0.0})
    finding, shear = of(bench, CHECKS[0]), of(bench, CHECKS[0], opinion=True)
    assert "category 36" in str(finding.assumed)
    assert "category 80" in str(finding.assumed)
    assert "category F" in str(shear.assumed)


def test_what_is_not_told_is_no_stop_and_only_short_of_the_stated_life_a_caution() -> None:
    bench = Bench(leg=5.0, foot=60.0, pressure=18.0, thickness=20.0, rules={**EN, "skew_rad": 0.0})
    short = of(bench, CHECKS[0])
    assert short.ratio > 1.0
    assert short.verdict == "caution"
    assert "[use] tells none" in str(short.assumed)
    assert all(f.verdict == "ok" for f in bench.findings() if f.of.subject == "fatigue" and f.ratio < 1.0)


def test_a_life_is_told_in_strokes_and_years_with_what_lengthens_it_most() -> None:
    use = Use(hours_a_week=10.0, strokes_an_hour=30.0, years=5.0)
    words = str(of(Bench(leg=5.0, foot=60.0, pressure=8.0, use=use, rules=EN), CHECKS[0]).assumed)
    assert "full strokes; at this use" in words
    assert "longest with" in words


def test_an_easier_stroke_has_a_range_as_much_smaller_and_twice_the_years_ask_for_less_range() -> None:
    usual = Bench(use=HARD)
    half = Bench(use=HARD.replaced(pressure_mpa=5.0))
    longer = Bench(use=HARD.replaced(years=40.0))
    for check in CHECKS:
        assert of(half, check).demand == pytest.approx(0.5 * of(usual, check).demand, rel=1e-9)
        assert of(longer, check).capacity <= of(usual, check).capacity
        assert of(longer, check).demand == of(usual, check).demand


def test_twice_the_life_at_the_stress_that_just_lasts_one() -> None:
    # what is told and what is judged are one curve: at ratio 1 the life told is the life asked
    use = Use(hours_a_week=10.0, strokes_an_hour=20.0, years=10.0)
    for rules in ({}, EN):
        bench = Bench(use=use, rules=rules)
        finding = of(bench, CHECKS[2])
        just = Bench(use=use, rules=rules, pressure=bench.pressure / finding.ratio)
        assert "lasts about 100,000 full strokes; at this use 10 years" in str(of(just, CHECKS[2]).assumed)
