"""Heat of a pass: a note on heat input and leg size, its own figures, and what goes with them."""

import pytest

from plategen.checks.welding import bead_notes
from plategen.ground.show import Show
from plategen.rules.bead import heat_kj_per_mm, minutes
from tests.checks.bench import Bench

IN = 25.4


def kj_per_in(volts: float, amperes: float, inches_a_minute: float) -> float:
    return 60.0 * volts * amperes / inches_a_minute / 1000.0


@pytest.mark.parametrize(
    ("leg_in", "travel", "printed"),
    # "Heat input and weld size (leg-length)", a marine welding note of 2024: 0.045 in wire, 27 V, 280 A. It prints the
    # travel of all three legs and the heat of the middle one; of 3/16 in its sum takes 39 where its text has 35
    [(3 / 16, 35.0, None), (1 / 4, 20.0, 22.68), (5 / 16, 13.0, None)],
)
def test_the_note_s_wire_lies_at_the_low_end_of_the_range(leg_in: float, travel: float, printed: float | None) -> None:
    noted = kj_per_in(27.0, 280.0, travel)
    if printed is not None:
        assert noted == pytest.approx(printed, abs=0.005)
    least, most = (kj * IN for kj in heat_kj_per_mm(leg_in * IN))
    assert least < noted < (least + most) / 2.0


def test_an_inspector_s_example_of_35_kj_an_inch_is_that_of_a_leg_between_a_quarter_and_three_eighths() -> None:
    # an exam text for welding inspectors: 28 V, 250 A, 12 in a minute are 35 kJ/in
    noted = kj_per_in(28.0, 250.0, 12.0)
    assert noted == pytest.approx(35.0, abs=1e-9)
    least, most = (kj * IN for kj in heat_kj_per_mm(5 / 16 * IN))
    assert least < noted < most
    assert noted > heat_kj_per_mm(3 / 16 * IN)[1] * IN


def test_more_passes_share_the_heat_and_twice_the_leg_takes_four_times_as_long() -> None:
    assert heat_kj_per_mm(8.0)[0] > heat_kj_per_mm(9.0)[0]  # one pass of 8 mm, three of 9 mm
    assert minutes(12.0, 100.0) == pytest.approx(4.0 * minutes(6.0, 100.0))


def test_the_sheet_tells_heat_and_time_of_every_leg_once_in_the_job_s_units() -> None:
    bracket = Bench().bracket()
    heat, time = (Show("mm").text(words) for words in bead_notes(bracket))
    assert heat.startswith(", ".join(run.name for run in bracket.welds) + ", leg 8.0 mm: 1.3 kJ/mm to 2.2 kJ/mm")
    assert "min of welding by hand in all" in time
    assert "33 kJ/in to 57 kJ/in" in Show("in").text(next(iter(bead_notes(bracket))))
