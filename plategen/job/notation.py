"""Values as a shop writes them into its job file."""

import math
from typing import TypeAlias

from plategen.ground import unit
from plategen.ground.cure import JobValue
from plategen.ground.message import Form, Quantity
from plategen.ground.show import fraction
from plategen.ground.unit import Units

Scalar: TypeAlias = str | int | float | bool
FileValue: TypeAlias = Scalar | list[Scalar]
"""What a cure may write at a key of a job file."""

_MARKS_PER_INCH = 64
_DECIMALS = {"in": 4, "mm": 2}
"""Of a length that is on no mark: finer than any shop cuts."""

_UNITS: dict[str, dict[Units, tuple[str, float]]] = {
    "MPa": {"in": ("psi", float(unit.PSI_MPA)), "mm": ("bar", 0.1)},
    "N": {"in": ("lbf", float(unit.POUND_FORCE_N)), "mm": ("N", 1.0)},
    "N·mm": {"in": ("lbf-in", float(unit.POUND_FORCE_N * unit.INCH_MM)), "mm": ("N*m", 1000.0)},
    "L/min": {"in": ("gpm", float(unit.GALLON_MM3 / unit.LITRE_MM3)), "mm": ("L/min", 1.0)},
    "kg": {"in": ("lb", float(unit.POUND_KG)), "mm": ("kg", 1.0)},
}
"""The units of numbers that carry one, by the unit computed in."""


def written(value: JobValue, units: Units) -> FileValue:
    """A value as a job file of these units holds it: bare numbers for millimetres and degrees, fractions for inches.

    A limit is rounded to its safe side.

    >>> from plategen.ground.message import mm, mpa, size
    >>> written(size(9.525), "in"), written(mm(10.0, "up"), "in"), written(size(8.0), "mm"), written(mpa(12.0), "mm")
    ('3/8', 0.3938, 8, '120 bar')
    """
    if isinstance(value, tuple):
        return [_scalar(each, units) for each in value]
    return _scalar(value, units) if isinstance(value, Quantity) else value


def _scalar(value: Quantity, units: Units) -> Scalar:
    if value.unit in _UNITS:
        name, factor = _UNITS[value.unit][units]
        return f"{value.value / factor:.6g} {name}"
    if value.unit == "mm":
        return _length(value, units)
    return _plain(math.degrees(value.value) if value.unit == "rad" else value.value, 4, value.form)


def _length(length: Quantity, units: Units) -> Scalar:
    if units == "mm":
        return _plain(length.value, _DECIMALS["mm"], length.form)
    inches = length.value / float(unit.INCH_MM)
    marks = inches * _MARKS_PER_INCH
    if abs(marks - round(marks)) > 1e-6:
        return _plain(inches, _DECIMALS["in"], length.form)
    return round(inches) if round(marks) % _MARKS_PER_INCH == 0 else fraction(inches, _MARKS_PER_INCH)


def _plain(number: float, decimals: int, form: Form) -> int | float:
    """The number on so many decimals, to its safe side; a whole one without any."""
    scale = 10**decimals
    rounding = {"up": math.ceil, "down": math.floor}.get(form, round)
    on_decimals = rounding(number * scale + {"up": -1e-6, "down": 1e-6}.get(form, 0.0)) / scale
    return int(on_decimals) if on_decimals.is_integer() else on_decimals
