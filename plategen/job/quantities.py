"""The kinds of number a job file holds, and the frozen table that reads them.

A field's name carries its unit and its type says what is allowed: ``bore_mm: PositiveLength`` is the key ``bore``
in the file, read in the shop's notation and held in millimetres.
"""

from typing import Any

import msgspec

_UNIT_SUFFIXES = ("_mm", "_mpa", "_rad", "_n", "_lpm", "_nmm", "_s", "_mm3")


class Length(float):
    """A length in mm, any sign."""


class PositiveLength(Length):
    """A length in mm, more than zero."""


class LengthFromZero(Length):
    """A length in mm, zero or more."""


class Pressure(float):
    """A pressure or stress in MPa, more than zero."""


class Angle(float):
    """An angle in rad; a bare number in the file is degrees."""


class Number(float):
    """A finite number without unit, any sign (fractions allowed)."""


class PositiveNumber(Number):
    """A finite number without unit, more than zero."""


def key_of(field: str) -> str:
    """The key of the file for a field of a table: the name without its unit."""
    for suffix in _UNIT_SUFFIXES:
        if field.endswith(suffix):
            return field.removesuffix(suffix)
    return field


class Table(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, rename=key_of):
    """Base of every table of the job file."""

    def replaced(self, **changes: Any) -> "Any":
        """A copy with some fields changed."""
        return msgspec.structs.replace(self, **changes)
