"""A job with keys changed, as a cure or a person at the page asks: its values, and how a shop writes them."""

import math
import re
from collections.abc import Iterable, Mapping
from typing import Any, TypeAlias

from plategen.ground import unit
from plategen.ground.cure import Change, JobValue
from plategen.ground.figures import fraction
from plategen.ground.message import Form, Quantity
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.job import Job
from plategen.job.parse import AnyTable
from plategen.job.quantities import Table
from plategen.job.schema import Field, fields, table_of

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
    "/kg": {"in": ("/lb", 1.0 / float(unit.POUND_KG)), "mm": ("/kg", 1.0)},
    "/mm": {"in": ("/in", 1.0 / float(unit.INCH_MM)), "mm": ("/m", 1e-3)},
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


_LISTED = "`plategen keys` lists what there is"

_STEP = re.compile(r"(\w+)(?:\[(\d+)\])?")


def changed(job: Job, changes: Iterable[Change]) -> Job:
    """The job with every key set to its new value, all at once, and checked anew as a job file would be.

    A table that the job leaves out is begun with its usual values. ``rod[1].diameter`` is a key of the second table of
    a list.

    Raises:
        Refusal: There is no such key, its table cannot be begun by one key, or the job's own checks refuse the value.
    """
    tree: dict[str, Any] = {}
    for change in changes:
        *tables, key = change.key.split(".")
        inner = tree
        for name in tables:
            inner = inner.setdefault(name, {})
        inner[key] = change.to
    return _changed(job, tree, "")


def _changed(table: AnyTable, tree: Mapping[str, Any], where: str) -> AnyTable:
    known = {field.key: field for field in fields(type(table))}
    new: dict[str, Any] = {}
    for step, to in tree.items():
        place = f"{where}.{step}" if where else step
        named = _STEP.fullmatch(step)
        field = known.get(named[1]) if named else None
        if named is None or field is None:
            raise Refusal(f"the job file has no {step[:60]}; {_LISTED}", place)
        if not isinstance(to, Mapping):
            new[field.name] = _value(to)
            continue
        now = new.get(field.name, getattr(table, field.name))
        if named[2] is None:
            new[field.name] = _changed(_begun(now, field, place), to, place)
        else:
            new[field.name] = _with_item(now, int(named[2]), to, place)
    try:
        return table.replaced(**new)
    except Refusal as refusal:
        raise refusal.under(where) from None


def _with_item(now: object, index: int, tree: Mapping[str, Any], place: str) -> tuple[Table, ...]:
    """A list of tables with one of them changed."""
    if not isinstance(now, tuple) or index >= len(now) or not isinstance(now[index], Table):
        raise Refusal(f"the job file has no {place[:60]}; {_LISTED}", place)
    return (*now[:index], _changed(now[index], tree, place), *now[index + 1 :])


def _begun(now: object, field: Field, place: str) -> Table:
    """The table in a table, begun with its usual values where it is left out."""
    if isinstance(now, Table):
        return now
    kind = table_of(field.form)
    if now is not None or kind is None:
        raise Refusal(f"{field.key} is one value, and nothing stands below it; {_LISTED}", place)
    missing = [each.key for each in fields(kind) if each.required]
    if missing:
        raise Refusal(f"this job has no [{place}], and one key does not make it: it needs {', '.join(missing)}", place)
    try:
        return kind()
    except Refusal as refusal:
        raise refusal.under(place) from None


def _value(to: JobValue) -> object:
    if isinstance(to, Quantity):
        return to.value
    return tuple(map(_value, to)) if isinstance(to, tuple) else to
