"""The next shop size: by what is sized, in both units, and what a size itself becomes."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plategen.ground.shop_size import PART_SIZES, PLATE_SIZES, ShopSizes
from plategen.ground.unit import Units

SIZES = pytest.mark.parametrize("sizes", [PLATE_SIZES, PART_SIZES])
UNITS = pytest.mark.parametrize("units", ["in", "mm"])


@SIZES
@UNITS
@given(mm=st.floats(-2000.0, 2000.0))
def test_a_size_is_a_whole_number_of_steps_and_not_a_step_away(sizes: ShopSizes, units: Units, mm: float) -> None:
    step = sizes.step_mm(units)
    up, down = sizes.up(mm, units), sizes.down(mm, units)
    assert down - 1e-6 <= mm <= up + 1e-6
    assert up - mm < step
    assert mm - down < step
    for size in (up, down):
        assert round(size / step) * step == pytest.approx(size, abs=1e-9)


@SIZES
@UNITS
@given(count=st.integers(-500, 500))
def test_a_size_stays_as_it_is(sizes: ShopSizes, units: Units, count: int) -> None:
    size = count * sizes.step_mm(units)
    assert sizes.up(size, units) == sizes.down(size, units) == size


def test_a_plate_is_read_off_a_tape_in_eighths_and_a_leg_asked_for_in_sixteenths() -> None:
    # common practice, no source
    assert PLATE_SIZES.up(25.4 * 0.20, "in") == pytest.approx(25.4 / 4)
    assert PART_SIZES.up(25.4 * 0.20, "in") == pytest.approx(25.4 / 4)
    assert PLATE_SIZES.up(25.4 * 0.26, "in") == pytest.approx(25.4 * 3 / 8)
    assert PART_SIZES.up(25.4 * 0.26, "in") == pytest.approx(25.4 * 5 / 16)
    assert PLATE_SIZES.up(6.1, "mm") == PART_SIZES.up(6.1, "mm") == 7.0


@SIZES
@UNITS
def test_the_sizes_above_are_those_that_are_larger(sizes: ShopSizes, units: Units) -> None:
    step = sizes.step_mm(units)
    assert list(sizes.above(3 * step, units, most_mm=6.5 * step)) == pytest.approx([4 * step, 5 * step, 6 * step])
    assert list(sizes.above(3 * step, units, most_mm=6 * step)) == pytest.approx([4 * step, 5 * step])
    assert max(sizes.above(3 * step, units)) == pytest.approx(30 * step)
