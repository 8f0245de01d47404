"""The next size that a shop calls for, by what is sized: the one rule by which a computed length becomes one to cut."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from plategen.ground.unit import Units


@dataclass(frozen=True, slots=True)
class ShopSizes:
    """Sizes a shop calls for, each a step from the next."""

    inch_step_mm: float  # The step of a job in inches, mm.
    metric_step_mm: float = 1.0  # The step of a job in millimetres.

    def step_mm(self, units: Units) -> float:
        """From one size to the next, mm."""
        return self.inch_step_mm if units == "in" else self.metric_step_mm

    def up(self, mm: float, units: Units) -> float:
        """The smallest size that is not less, mm; a size is left as it is.

        >>> PLATE_SIZES.up(10.0, "in"), PART_SIZES.up(10.0, "in"), PART_SIZES.up(9.2, "mm")
        (12.7, 11.112499999999999, 10.0)
        """
        step = self.step_mm(units)
        return math.ceil(mm / step - _SAME) * step

    def down(self, mm: float, units: Units) -> float:
        """The largest size that is not more, mm; a size is left as it is.

        >>> PLATE_SIZES.down(10.0, "in"), PART_SIZES.down(10.0, "in"), PART_SIZES.down(9.2, "mm")
        (9.524999999999999, 9.524999999999999, 9.0)
        """
        step = self.step_mm(units)
        return math.floor(mm / step + _SAME) * step

    def below(self, mm: float, units: Units, least_mm: float) -> Iterator[float]:
        """The sizes below ``mm``, largest first, none less than ``least_mm``.

        >>> list(PART_SIZES.below(6.0, "mm", 3.5))
        [5.0, 4.0]
        """
        step = self.step_mm(units)
        last = math.ceil(least_mm / step - _SAME)
        return (n * step for n in range(math.ceil(mm / step - _SAME) - 1, last - 1, -1))

    def next_up(self, mm: float, units: Units) -> float:
        """The smallest size that is more, mm.

        >>> PART_SIZES.next_up(2.0, "mm"), PART_SIZES.next_up(2.5, "mm")
        (3.0, 3.0)
        """
        step = self.step_mm(units)
        return (math.floor(mm / step + _SAME) + 1) * step

    def above(self, mm: float, units: Units, most_mm: float = math.inf) -> Iterator[float]:
        """The sizes above ``mm``, smallest first, up to ten times it, and all of them less than ``most_mm``.

        >>> list(PART_SIZES.above(2.0, "mm", most_mm=5.0))
        [3.0, 4.0]
        """
        step = self.step_mm(units)
        first = math.floor(mm / step + _SAME) + 1
        last = math.ceil(min(10.0 * mm, most_mm) / step - _SAME)
        return (n * step for n in range(first, last + math.isinf(most_mm)))


_SAME = 1e-9
"""Within so much of a step a length is that size: the arithmetic's own rounding."""

PLATE_SIZES = ShopSizes(inch_step_mm=25.4 / 8)
"""A dimension of a plate, and a station on it: eighths of an inch or whole millimetres, as read off a tape."""

PART_SIZES = ShopSizes(inch_step_mm=25.4 / 16)
"""A weld leg, a thickness, a pin, a nose to ask for: sixteenths of an inch or whole millimetres."""

GAP_SIZES = ShopSizes(inch_step_mm=25.4 / 32, metric_step_mm=0.5)
"""A gap to cut a plate clear by: thirty-seconds of an inch or half millimetres, as a feeler or a scrap of sheet is."""
