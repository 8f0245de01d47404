"""A job written out again in either unit, as a job file in these units would hold it."""

import math
from collections.abc import Mapping
from typing import Any

from plategen.ground.unit import Units
from plategen.job.quantities import Table
from plategen.job.revision import FitNote
from plategen.job.schema import fields

WITH_UNIT = {
    "_mpa": (1.0, "MPa"),
    "_n": (1.0, "N"),
    "_nmm": (1000.0, "N-m"),
    "_lpm": (1.0, "L/min"),
    "_mm3": (1000.0, "cm3"),
}
"""How the names of numbers end that need their unit beside them, and what to write."""


def written(table: Table, units: Units) -> dict[str, Any]:
    """A table with bare lengths in these units, bare angles in degrees and pressures in MPa."""
    found = {}
    # a note that came out of a file of its own knows its line there, which is no key of the job file
    for field in fields(FitNote if isinstance(table, FitNote) else type(table)):
        value = getattr(table, field.name)
        if value is not None:
            found[field.key] = _value(value, field.name, units)
    return found


def _value(value: object, name: str, units: Units) -> Any:
    if isinstance(value, Table):
        return written(value, units)
    if isinstance(value, tuple):
        return [_value(each, name, units) for each in value]
    if isinstance(value, Mapping):
        return {key: _value(each, f"{name}_mm", units) for key, each in value.items()}  # the balls of a lever
    if isinstance(value, float):
        if name.endswith(("_per_mm", "_per_kg")):
            return f"{value!r} per {name[-2:]}"
        if name.endswith("_mm"):
            return value / 25.4 if units == "in" else value
        if name.endswith("_rad"):
            return math.degrees(value)
        for ending, (by, unit) in WITH_UNIT.items():
            if name.endswith(ending):
                return f"{value / by!r} {unit}"
    return value
