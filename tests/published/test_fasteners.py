"""Lengths, threads, torques, turns and pins against tables and examples that others printed."""

import math

import pytest

from plategen.rules.bolt_grade import bolt_grade
from plategen.rules.fastener import bolt_length, pin_end, tightened_n, torques_nmm, turn_of_nut, washer_mm
from plategen.rules.hole_size import stress_area_mm2
from plategen.rules.plug import filled_mm, plug_hole_mm
from tests.support.every_example import EXAMPLES, work_of

IN, LBF = 25.4, 4.4482216152605


def test_a_bolt_note_takes_2_in_for_a_grip_of_19_7_mm() -> None:
    # a Canadian note on bolt lengths: 7/8 in, grip 19.7 mm, no washer: 0.776 + 1.125 = 1.90, so 2 in
    assert bolt_length(0.875 * IN, 19.7, structural=True).length_mm == pytest.approx(2.0 * IN)


@pytest.mark.parametrize("sixteenths", range(3, 25))
def test_plug_welds_keep_to_the_limits_that_others_print(sixteenths: int) -> None:
    # a handbook of civil engineering formulas, plug welds: the hole at least the plate's thickness and 5/16 in,
    # at most 1/8 in more or 2 1/4 times the weld's thickness; filled whole up to 5/8 in, above that half and 5/8 in
    thick = sixteenths / 16
    filled, hole = filled_mm(thick * IN) / IN, plug_hole_mm(thick * IN, "in") / IN
    assert filled == pytest.approx(thick if thick <= 5 / 8 else max(5 / 8, thick / 2), abs=0.006)  # 16 mm for 5/8 in
    assert thick + 5 / 16 - 1e-9 <= hole <= max(thick + 5 / 16 + 1 / 8, 2.25 * filled) + 1e-9


def test_a_plug_weld_through_half_an_inch() -> None:
    # an article on prequalified plug welds under AWS D1.1: 1/2 in (13 mm) thick, hole 13/16 in (21 mm)
    assert plug_hole_mm(0.5 * IN, "in") == pytest.approx(13 / 16 * IN)
    assert plug_hole_mm(13.0, "mm") == 22.0  # 21 mm, on the next even millimetre


# Structural bolts, in: what to add to the grip (bolting council, 2020, Table C-2.2), length of thread (ASME B18.2.6),
# as a public table of detailing data quotes them
STRUCTURAL = {
    0.5: (11 / 16, 1.0), 0.625: (7 / 8, 1.25), 0.75: (1.0, 1.375), 0.875: (1.125, 1.5), 1.0: (1.25, 1.75),
    1.125: (1.5, 2.0), 1.25: (1.625, 2.0), 1.375: (1.75, 2.25), 1.5: (1.875, 2.25),
}  # fmt: skip


@pytest.mark.parametrize("bolt", STRUCTURAL)
def test_structural_lengths_and_threads(bolt: float) -> None:
    adds, thread = STRUCTURAL[bolt]
    found = bolt_length(bolt * IN, 2.0 * IN, structural=True)
    assert found.length_mm / IN == pytest.approx(math.ceil((2.0 + adds) * 4 - 1e-9) / 4)
    assert found.thread_mm / IN == pytest.approx(thread)


@pytest.mark.parametrize("bolt", STRUCTURAL)
def test_a_hardened_washer_adds_5_32_in_to_a_structural_bolt(bolt: float) -> None:
    # the same Table C-2.2; a small bolt was counted with washers of 0.21 d and could be bought a quarter inch short
    assert washer_mm(bolt * IN, structural=True) == pytest.approx(5 / 32 * IN)


def test_thread_of_metric_bolts() -> None:
    # ISO 4014: b = 2 d + 6 to 125 mm, 2 d + 12 to 200 mm (from memory); M16 x 90: 38, M16 x 140: 44
    assert bolt_length(16.0, 68.0, structural=False).thread_mm == 38.0
    assert bolt_length(16.0, 118.0, structural=False).thread_mm == 44.0


@pytest.mark.parametrize("bolt", [6.0, 8.0, 10.0, 12.0, 16.0, 20.0, 24.0, 30.0, 36.0, 6.35, 9.525, 12.7, 19.05, 25.4])
@pytest.mark.parametrize("packed", [10.0, 21.3, 66.0, 100.0])
def test_two_threads_pass_the_nut_and_the_nut_meets_thread(bolt: float, packed: float) -> None:
    # ISO 4032, greatest heights of nuts: M6 5.2, M12 10.8, M16 14.8, M20 18, M24 21.5, M36 31 mm: all under 1 d
    for structural in (False, True):
        found = bolt_length(bolt, packed, structural=structural)
        assert found.length_mm >= packed + bolt
        assert found.shank_mm <= packed + 1e-6


def test_the_printed_torque_of_a_three_eighths_grade_5() -> None:
    # an article on nut factors: 3/8-16 Grade 5 at 4,940 lb: 30 lb-ft at K 0.20, 23 at K 0.15 (30.9 and 23.2 worked out)
    tension = tightened_n(bolt_grade("Grade 5", 0.375 * IN), 0.375 * IN, pretensioned=False)
    assert tension / LBF == pytest.approx(4940.0, abs=1.0)
    oiled, dry = (torque / (LBF * IN * 12) for torque in torques_nmm(0.375 * IN, tension))
    assert (oiled, dry) == pytest.approx((23.2, 30.9), abs=0.05)


def test_pretension_of_m20_8_8_and_10_9() -> None:
    # EN 1993-1-8:2005 3.6.1 as a torque sheet prints it: Fp,C of M20 137 kN (8.8) and 172 kN (10.9)
    kn = [tightened_n(bolt_grade(g, 20.0), 20.0, pretensioned=True) / 1e3 for g in ("8.8", "10.9")]
    assert kn == pytest.approx([137.2, 171.5], abs=0.05)
    assert stress_area_mm2(20.0) == 245.0


def test_turn_of_the_nut() -> None:
    # bolting council: to 4 d a third, over 4 d to 8 d a half, over 8 d to 12 d two thirds (from memory)
    assert [turn_of_nut(over * 20.0, 20.0) for over in (3.0, 4.0, 4.1, 8.0, 9.0)] == ["1/3", "1/3", "1/2", "1/2", "2/3"]


# ASME B18.8.1-1994, in: pin: head, split pin, from its hole's centre to the end
PINS = {0.5: (0.63, 1 / 8, 0.15), 0.75: (0.94, 5 / 32, 0.18), 1.0: (1.19, 5 / 32, 0.18)}


@pytest.mark.parametrize("pin", PINS)
def test_heads_and_split_pins(pin: float) -> None:
    head, cotter, to_end = PINS[pin]
    end = pin_end(pin * IN)
    assert end is not None
    assert (end.head_mm, end.split_pin_mm) == pytest.approx((head * IN, cotter * IN))
    assert end.over_mm == pytest.approx((cotter / 2 + to_end) * IN)
    assert pin_end(101.0) is None


# ISO 2341:1986, mm, as a public library of fasteners quotes it: pin: head, split-pin hole, from its centre to the end
METRIC_PINS = {
    8: (14, 2, 3.5), 10: (18, 3.2, 4.5), 12: (20, 3.2, 5.5), 14: (22, 4, 6), 16: (25, 4, 6), 18: (28, 5, 7),
    20: (30, 5, 8), 22: (33, 5, 8), 24: (36, 6.3, 9), 27: (40, 6.3, 9), 30: (44, 8, 10), 33: (47, 8, 10),
    36: (50, 8, 10), 40: (55, 8, 10), 45: (60, 10, 12), 50: (66, 10, 12), 55: (72, 10, 14), 60: (78, 10, 14),
    70: (90, 13, 16), 80: (100, 13, 16), 90: (110, 13, 16), 100: (120, 13, 16),
}  # fmt: skip


@pytest.mark.parametrize("pin", METRIC_PINS)
def test_metric_heads_and_split_pins(pin: int) -> None:
    head, split, to_end = METRIC_PINS[pin]
    end = pin_end(float(pin))
    assert end is not None
    assert (end.head_mm, end.split_pin_mm, end.over_mm) == (head, split, split / 2 + to_end)


def test_an_inch_pin_over_the_inch_table_takes_the_next_metric_end() -> None:
    assert pin_end(1.25 * IN) == pin_end(33.0)


@pytest.mark.parametrize("example", EXAMPLES)
def test_every_example_says_what_to_buy(example: str) -> None:
    from plategen.tell.report.job import job_report

    work = work_of(example)
    bought = job_report(work).hardware
    assert bought.pin is not None
    assert bought.pin.worn_to_mm <= bought.pin.diameter_mm
    assert bought.pin.length_mm is None or bought.pin.length_mm > bought.pin.grip_mm
    assert any("caliper" in words for words in bought.notes)
    for bolts in bought.bolts:
        assert bolts.length_mm > bolts.grip_mm + bolts.washers_mm + bolts.diameter_mm
        assert bolts.length_mm - bolts.thread_mm <= bolts.grip_mm + bolts.washers_mm
        assert any("poor measure of tension" in words for words in bought.notes)
