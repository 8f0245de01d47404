"""Numbers as people at the bench read them: shop fractions with decimals beside, or millimetres; always with a unit.

A length is shown to the nearest 1/32 in, the finest mark most rules and tapes have, and its decimals stand beside it,
so that the rounded fraction never stands alone for a number that it is not. A length on a 1/64 in mark between them is
shown as that: rounded either way its fraction would gainsay its decimals.
"""

import math
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from plategen.ground import unit
from plategen.ground.figures import (
    MARKS_PER_INCH,
    NO_TENTHS,
    ROUNDING,
    fraction,
    inches_of,
    significant,
    tenths,
    thousandths,
)
from plategen.ground.message import Message, Quantity, Value
from plategen.ground.unit import Units

_ON_THE_MARK_IN = 0.005
"""Within this of a mark a length reads as that mark: a third of the gap between a rule's 1/64 and its neighbour."""


@dataclass(frozen=True, slots=True)
class Show:
    """How one job's numbers are shown; every argument is in the unit that is computed in."""

    units: Units

    def length(self, mm: float) -> str:
        """``'1 3/8 in (1.375)'`` or ``'34.9 mm'``; under a 1/64 in, or 1 mm, more decimals and no fraction.

        >>> Show("in").length(25.4 / 64), Show("in").length(25.4 * 0.047), Show("in").length(25.4 * 0.05)
        ('1/64 in (0.016)', '3/64 in (0.047)', '1/16 in (0.050)')
        """
        if self.units == "mm" or not abs(mm) < NO_TENTHS:
            return f"{tenths(mm)} {self.units}"
        inches = inches_of(mm)
        if abs(inches) < 0.5 / MARKS_PER_INCH:
            return f"{significant(inches, 2)} in"
        shown, fine = thousandths(inches), 2 * MARKS_PER_INCH
        on_fine_mark = thousandths(round(inches * fine) / fine) == shown
        return f"{fraction(inches, fine if on_fine_mark else MARKS_PER_INCH)} in ({shown})"

    def short(self, mm: float) -> str:
        """A length without its unit, for a dimension line: ``'1 3/8'`` when it is on the mark, else ``'1.391'``."""
        if self.units == "mm" or not abs(mm) < NO_TENTHS:
            return tenths(mm)
        inches = inches_of(mm)
        on_mark = abs(inches - round(inches * MARKS_PER_INCH) / MARKS_PER_INCH) <= _ON_THE_MARK_IN
        return fraction(inches) if on_mark and (mm == 0.0 or fraction(inches) != "0") else thousandths(inches)

    def bound(self, mm: float, *, up: bool) -> str:
        """A length that is a limit, or the worst to expect: the fraction to the next 1/64 in on the safe side.

        >>> Show("in").bound(1.113, up=True), Show("in").bound(1.6, up=False), Show("mm").bound(1.11, up=True)
        ('3/64 in (0.044)', '1/16 in (0.062)', '1.2 mm')
        >>> Show("in").bound(7.9375, up=True) == Show("in").length(7.9375)
        True
        """
        if not math.isfinite(mm):
            return self.length(mm)
        towards = math.ceil if up else math.floor
        slack = -ROUNDING if up else ROUNDING  # a size that lies on the mark but for rounding is that mark
        if self.units == "mm":
            return self.length(towards(mm * 10.0 + slack) / 10.0 if abs(mm) >= 0.1 else mm)
        inches, fine = inches_of(mm), 2 * MARKS_PER_INCH
        marks = towards(inches * fine + slack)
        if not marks:
            return self.length(mm)
        # decimals go to the safe side, too, but not past the mark: what lies on it has the mark's own, as anywhere else
        within = min if up else max
        decimals = within(towards(inches * 1000.0 + slack) / 1000.0, marks / fine)
        return f"{fraction(marks / fine, fine)} in ({thousandths(decimals)})"

    def next_mark_mm(self, mm: float) -> float:
        """The mark that :meth:`bound` rounds up to, mm: 1/64 in, or a tenth of a millimetre.

        >>> round(Show("in").next_mark_mm(1.0) / 25.4 * 64), round(Show("mm").next_mark_mm(1.11), 6)
        (3, 1.2)
        """
        step = float(unit.INCH_MM) / (2 * MARKS_PER_INCH) if self.units == "in" else 0.1
        return math.ceil(mm / step - ROUNDING) * step if math.isfinite(mm) else mm

    def text(self, words: Message | str) -> str:
        """A message in the job's units.

        >>> from plategen.ground.message import message, mm
        >>> Show("in").text(message("foot from station {}", mm(50.8)))
        'foot from station 2 in (2.000)'
        """
        if isinstance(words, str):
            return words
        return words.template.format(*map(self._value, words.values))

    def _value(self, value: Value) -> str:
        match value:
            case Quantity():
                return self.quantity(value)
            case Message():
                return self.text(value)
            case _:
                return str(value)

    def quantity(self, of: Quantity) -> str:
        """A quantity in the job's units, in its own form.

        >>> from plategen.ground.message import mm, rad, size
        >>> Show("in").quantity(size(9.525)), Show("in").quantity(mm(1.0, "up"))
        ('3/8 in', '1/16 in (0.062)')
        >>> Show("mm").quantity(rad(0.0532, "up")), Show("in").quantity(mm(0.25, "down"))
        ('3.1°', '0.0098 in')
        """
        if of.form == "most":
            return self.most(of.value, of.unit)
        if of.unit == "1" and of.form == "size":
            return f"{of.value:g}"
        if of.unit == "rad" and of.form != "near" and math.isfinite(of.value):
            return self.angle(math.radians(_on_a_step(math.degrees(of.value), 0.1, up=of.form == "up")))
        if of.unit != "mm" or of.form == "near" or not math.isfinite(of.value):
            return self.finding(of.value, of.unit)
        if of.form == "size":
            return f"{self.short(of.value)} {self.units}"
        return self.length(_to_the_mark(of.value, self.units, up=of.form == "up"))

    def area(self, mm2: float) -> str:
        """Square inches or square millimetres."""
        return self._either(mm2, "mm2")

    def volume(self, mm3: float) -> str:
        """Cubic inches or cubic centimetres."""
        return self._either(mm3, "mm3")

    def mass(self, kg: float) -> str:
        """Pounds or kilograms."""
        return self._either(kg, "kg")

    def force(self, n: float) -> str:
        """Pounds-force, or newtons and from 1000 N kilonewtons."""
        return self._either(n, "N") if self.units == "in" or abs(n) >= 1000.0 else f"{significant(n, 4)} N"

    def moment(self, nmm: float) -> str:
        """Pound-force inches or newton metres."""
        return self._either(nmm, "N·mm")

    def torque(self, nmm: float) -> str:
        """As wrenches show it: pound-force feet or newton metres."""
        return self._either(nmm, "N·mm torque")

    def line_load(self, n_per_mm: float) -> str:
        """Force on each length of weld: lbf/in or N/mm."""
        return self._either(n_per_mm, "N/mm")

    def heat_input(self, kj_per_mm: float) -> str:
        """Heat of an arc on each length of bead, to two figures: kJ/in or kJ/mm."""
        inches = self.units == "in"
        return f"{significant(kj_per_mm * (float(unit.INCH_MM) if inches else 1.0), 2)} kJ/{'in' if inches else 'mm'}"

    def rate(self, price: float, of: Literal["/kg", "/mm"]) -> str:
        """A price for each pound or kilogram, or for each inch or metre, without its money: ``'1.20/lb'``."""
        factor, name = self._scale(of)
        return f"{price / factor:,.2f}{name}"

    def stress(self, mpa: float) -> str:
        """Psi, which gauges and mill certificates both read, or megapascals."""
        return self._either(mpa, "MPa")

    def pressure(self, mpa: float) -> str:
        """Oil pressure as gauges show it: psi or bar."""
        return self._either(mpa, "MPa oil")

    def flow(self, lpm: float) -> str:
        """Gallons (US) or litres a minute."""
        return self._either(lpm, "L/min")

    def speed(self, m_s: float) -> str:
        """Feet or metres a second."""
        return self._either(m_s, "m/s")

    def distance(self, m: float) -> str:
        """How far one drives: whole feet, or metres.

        >>> Show("in").distance(12.0), Show("mm").distance(12.0)
        ('39 ft', '12 m')
        """
        return f"{1000.0 * m / float(unit.INCH_MM * 12):.0f} ft" if self.units == "in" else f"{m:g} m"

    def road_speed(self, km_h: float) -> str:
        """How fast one drives: whole miles an hour, or kilometres.

        >>> Show("in").road_speed(10.0), Show("mm").road_speed(10.0)
        ('6 mph', '10 km/h')
        """
        return f"{km_h * 1e6 / float(unit.INCH_MM * 12 * 5280):.0f} mph" if self.units == "in" else f"{km_h:g} km/h"

    def power(self, kw: float) -> str:
        """Horsepower (550 ft-lbf a second) or kilowatts."""
        return self._either(kw, "kW")

    def angle(self, rad: float) -> str:
        """Degrees to a tenth, or finer when small."""
        return f"{tenths(math.degrees(rad))}°"

    def count(self, number: float) -> str:
        """How many, to two figures: ``'1.9 million'``, ``'84,000'``."""
        if not math.isfinite(number):
            return "endless"
        about = float(f"{number:.1e}")
        if about >= 1e6:
            return f"{about / 1e6:,.1f} million" if about < 1e7 else f"{about / 1e6:,.0f} million"
        return f"{about:,.0f}" if about >= 10.0 else f"{about:.1f}"

    def temperature(self, celsius: float) -> str:
        """Whole degrees Fahrenheit, or Celsius."""
        return f"{celsius * 1.8 + 32.0:.0f} °F" if self.units == "in" else f"{celsius:.0f} °C"

    def finding(self, value: float, unit_name: str) -> str:
        """A demand or a capacity in the unit a finding names, as this job shows it; an unknown unit stands as it is."""
        shown = _BY_UNIT.get(unit_name)
        return shown(self, value) if shown is not None else f"{significant(value, 4)} {unit_name}"

    def most(self, value: float, unit_name: str) -> str:
        """The most that is taken of something, as far as two round figures go: what is a little over is taken, too.

        >>> Show("in").most(1e5, "mm"), Show("mm").most(1e5, "mm"), Show("in").most(-1e4, "MPa")
        ('3900 in', '100,000 mm', '-1,400,000 psi')
        """
        factor, name = self._scale(unit_name)
        shown = value / factor
        if not _LONG <= abs(shown) < math.inf:
            return self.quantity(Quantity(value, unit_name, "size"))
        step = 10.0 ** (math.floor(math.log10(abs(shown))) - 1)
        rounded = f"{math.trunc(shown / step * (1.0 + ROUNDING)) * step:,.0f}"
        figures = rounded if step >= _LONG else rounded.replace(",", "")
        return figures + (f" {name}" if name[:1].isalpha() else name)

    def _either(self, value: float, unit_name: str) -> str:
        factor, name = self._scale(unit_name)
        return f"{significant(value / factor, 4)} {name}"

    def _scale(self, unit_name: str) -> tuple[float, str]:
        """The larger unit a value is shown in, counted in the one that is computed in, and its name."""
        inch, inch_name, metric, metric_name = _SCALES.get(unit_name, (1, unit_name, 1, unit_name))
        return (float(inch), inch_name) if self.units == "in" else (float(metric), metric_name)


_LONG = 1000.0
"""A limit from this on is told in two figures."""

_SCALES: dict[str, tuple[Fraction | int, str, Fraction | int, str]] = {
    "mm": (unit.INCH_MM, "in", 1, "mm"),
    "mm2": (unit.INCH_MM**2, "in²", 1, "mm²"),
    "mm3": (unit.INCH_MM**3, "in³", 1000, "cm³"),
    "kg": (unit.POUND_KG, "lb", 1, "kg"),
    "N": (unit.POUND_FORCE_N, "lbf", 1000, "kN"),
    "N·mm": (unit.POUND_FORCE_N * unit.INCH_MM, "lbf-in", 1000, "N·m"),
    "N·mm torque": (unit.POUND_FORCE_N * unit.INCH_MM * 12, "lbf-ft", 1000, "N·m"),
    "N/mm": (unit.POUND_FORCE_N / unit.INCH_MM, "lbf/in", 1, "N/mm"),
    "MPa": (unit.PSI_MPA, "psi", 1, "MPa"),
    "MPa oil": (unit.PSI_MPA, "psi", Fraction(1, 10), "bar"),
    "L/min": (unit.GALLON_MM3 / unit.LITRE_MM3, "gpm", 1, "L/min"),
    "m/s": (unit.INCH_MM * 12 / 1000, "ft/s", 1, "m/s"),
    "kW": (unit.HORSEPOWER_KW, "hp", 1, "kW"),
    "/kg": (1 / unit.POUND_KG, "/lb", 1, "/kg"),
    "/mm": (1 / unit.INCH_MM, "/in", Fraction(1, 1000), "/m"),
    "1": (1, "", 1, ""),
}
"""The units a value is shown in, in either kind of job, each counted in the unit that is computed in."""

_BY_UNIT: dict[str, Callable[[Show, float], str]] = {
    "mm": Show.length,
    "N": Show.force,
    "MPa": Show.stress,
    "N/mm": Show.line_load,
    "N·mm": Show.moment,
    "kJ/mm": Show.heat_input,
    "mm2": Show.area,
    "mm3": Show.volume,
    "kg": Show.mass,
    "L/min": Show.flow,
    "m/s": Show.speed,
    "MPa oil": Show.pressure,
    "rad": Show.angle,
    "°C": Show.temperature,
    "deg": lambda _, degrees: f"{tenths(degrees)}°",
    "kW": Show.power,
    "m": Show.distance,
    "km/h": Show.road_speed,
    "/kg": lambda show, price: show.rate(price, "/kg"),
    "/mm": lambda show, price: show.rate(price, "/mm"),
    "1": lambda _, number: significant(number, 3),
    "count": Show.count,
    "whole": lambda _, number: f"{number:.0f}",
}
"""How each unit that is computed in is shown."""


def money(amount: float, sign: str = "") -> str:
    """An amount in the shop's money, to the hundredth.

    >>> money(1228.4, "$"), money(31.5, "EUR"), money(7.0)
    ('$1,228.40', '31.50 EUR', '7.00')
    """
    number = f"{amount:,.2f}"
    return f"{number} {sign}" if sign[:1].isalpha() else f"{sign}{number}"


def _to_the_mark(mm: float, units: Units, *, up: bool) -> float:
    """A limit on the next mark to the safe side: 1/32 in, or a tenth of a millimetre; what no mark is under stays."""
    return _on_a_step(mm, float(unit.INCH_MM) / MARKS_PER_INCH if units == "in" else 0.1, up=up)


def _on_a_step(value: float, step: float, *, up: bool) -> float:
    """A limit on the next step to the safe side; itself where that would be none at all."""
    return (math.ceil(value / step - 1e-6) if up else math.floor(value / step + 1e-6)) * step or value
