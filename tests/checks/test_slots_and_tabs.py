"""Slots, and tabs that carry bolted ears: every check of theirs can say stop, and says what cures it."""

import pytest

from plategen.bracket.style import design_on
from plategen.checks.finding import Finding
from plategen.checks.judge import judge
from plategen.rail.surface import Rail
from plategen.rules.bolt import bearing_nominal_n, en_bearing_n
from tests.bracket.test_split import _build, _fitted
from tests.support.style_jobs import job, split


def _findings(pretensioned: bool = True, swing_rad: float = 0.05, **given: object) -> list[Finding]:
    table = split(**{"adjust": "slots", "reach_mm": 8.0, "height_mm": 60.0, **given})
    wanted = job("split", split=table, inline_offset_mm=100.0)
    assert wanted.rules is not None
    wanted = wanted.replaced(rules=wanted.rules.replaced(pretensioned=pretensioned, swing_rad=swing_rad))
    bracket = _build("straight", split=table, inline_offset_mm=100.0)
    surface = _fitted("straight")
    return [f for f in judge(design_on(wanted, surface), bracket, None) if f.decides]


def _stops(**given: object) -> dict[str, Finding]:
    return {f.check: f for f in _findings(**given) if f.verdict == "stop"}  # type: ignore[arg-type]


def test_slots_with_room_to_spare_hold() -> None:
    assert _stops(bolt_mm=20.0, row_spacing_mm=120.0) == {}


@pytest.mark.parametrize(
    ("check", "given"),
    [
        ("slot length", {"bolt_mm": 10.0, "reach_mm": 9.0}),
        ("bolt held along its slot", {"bolt_mm": 20.0, "pretensioned": False}),
        ("bolt held along its slot", {"bolt_mm": 12.0, "row_spacing_mm": 40.0}),
        ("force square to the slot", {"bolt_mm": 20.0, "swing_rad": 0.3}),
        ("bolt spacing", {"bolt_mm": 20.0, "row_spacing_mm": 35.0}),
    ],
)
def test_each_check_can_say_stop(check: str, given: dict[str, object]) -> None:
    stopped = _stops(**given)
    assert check in stopped
    assert stopped[check].cure


def test_long_slots_bear_less_than_round_holes() -> None:
    # AISC 360 J3.10(a): 1.0 lc t Fu and 2.0 d t Fu for 1.2 and 2.4; EN 1993-1-8 Table 3.4 note 1: 0.6
    assert bearing_nominal_n(400.0, 20.0, 10.0, 15.0, slotted=True) == 1.0 * 15.0 * 10.0 * 400.0
    assert bearing_nominal_n(400.0, 20.0, 10.0, 90.0, slotted=True) == 2.0 * 20.0 * 10.0 * 400.0
    given = (490.0, 800.0, 20.0, 22.0, 10.0, 40.0, 40.0)
    assert en_bearing_n(*given, slotted=True) == pytest.approx(0.6 * en_bearing_n(*given))
    # the slots are in the ears, so the tabs bear as they did
    slotted = {f.part.words: f for f in _findings() if f.check == "bolt bearing and tear-out"}
    rounded = {f.part.words: f for f in _findings(adjust="recut") if f.check == "bolt bearing and tear-out"}
    assert slotted["tab_near"].capacity == pytest.approx(rounded["tab_near"].capacity)


def test_across_a_slot_the_steel_counts_from_its_end() -> None:
    # at the end of the reach or in the middle: the slotted hole's least distance across the force is the same steel
    found = [f for f in _findings(bolt_mm=20.0, row_spacing_mm=120.0) if f.check == "edge distance"]
    assert all(f.capacity >= f.demand for f in found)


def test_a_tab_is_judged_between_its_bolts_and_the_rail() -> None:
    found = [f for f in _findings() if f.check == "plate section"]
    assert {f.part.words for f in found} == {"ear_near", "ear_far", "tab_near", "tab_far"}
    assert isinstance(_fitted("straight"), Rail)
