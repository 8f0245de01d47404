"""The kinds of number a job file holds, and the frozen table that holds them.

A field's name carries its unit and its type says what is allowed: ``bore_mm: PositiveLength`` is the key ``bore``
in the file, read in the shop's notation and held as a plain float in millimetres. Every kind states the least and
the most it takes: wide enough for any bracket, narrow enough that no later formula overflows on a slip of the keyboard.
"""

import math
from dataclasses import dataclass
from typing import Annotated, Any, Self, TypeAlias

import msgspec

from plategen.ground import quantity
from plategen.ground.message import Message, Quantity, message
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units

_UNIT_SUFFIXES = ("_per_kg", "_per_mm", "_mm", "_mpa", "_rad", "_n", "_lpm", "_nmm", "_s", "_mm3", "_kg")
_LEAST_ABOVE_ZERO = 1e-6
"""What "more than zero" means: a nanometre, a pascal; less is a slip, and would overflow a quotient."""


@dataclass(frozen=True, slots=True)
class Allowed:
    """Which numbers of one kind a job file takes."""

    kind: quantity.Kind  # How they are written.
    unit: str  # The unit they are computed in.
    bare_in: str = ""  # The unit of a number without one in a job in inches, and
    bare_mm: str = ""  # in a job in millimetres; "" if it must carry its own.
    least: float = -math.inf  # Smallest value allowed, in the computed unit.
    most: float = math.inf  # Largest value allowed.

    def read(self, value: object, units: Units) -> float:
        """The number a user wrote.

        Raises:
            Refusal: It is no such quantity, or outside the limits.
        """
        number = self.kind.of(units).read(value, self.bare(units))
        if not self.least <= number <= self.most:
            raise Refusal(message("{} is out of range; {}", self.quantity(number), self.beyond(number)), units=units)
        return number

    def beyond(self, number: float) -> Message:
        """The limit that a number has crossed: ``'it must be more than 0'``."""
        if number > self.most:
            return message("it must be {} or less", Quantity(self.most, self.unit, "most"))
        if 0.0 <= self.least <= _LEAST_ABOVE_ZERO:
            return message("it must be more than 0" if self.least else "it must be 0 or more")
        return message("it must be {} or more", Quantity(self.least, self.unit, "most"))

    def bare(self, units: Units) -> str:
        """The unit of a number without one; "" if it has none or must carry its own."""
        return self.bare_in if units == "in" else self.bare_mm

    @property
    def limits(self) -> Message:
        """What is allowed: ``'more than 0 and up to 100,000 mm'``."""
        least, most = (Quantity(end, self.unit, "most") for end in (self.least, self.most))
        if 0.0 < self.least <= _LEAST_ABOVE_ZERO:
            return message("more than 0 and up to {}", most)
        return message("{} or more and up to {}", least, most)

    def quantity(self, number: float) -> Quantity:
        """A number of this kind with its unit."""
        return Quantity(number, self.unit)


@dataclass(frozen=True, slots=True)
class Listed:
    """A name that stands in one of the published tables."""

    table: str  # The table's file, without its ending.


SteelName: TypeAlias = Annotated[str, Listed("steels")]
FillerName: TypeAlias = Annotated[str, Listed("electrodes")]
BoltGradeName: TypeAlias = Annotated[str, Listed("bolts")]
"""Names that a published table holds, of steels, of weld metal and of bolts' grades."""


def _signs(
    kind: quantity.Kind, unit: str, most: float, bare_in: str = "", bare_mm: str = ""
) -> tuple[Allowed, Allowed, Allowed]:
    """The same kind with any sign, more than zero, and from zero."""
    signed, positive, from_zero = (
        Allowed(kind, unit, bare_in, bare_mm, least, most) for least in (-most, _LEAST_ABOVE_ZERO, 0.0)
    )
    return signed, positive, from_zero


_LENGTH, _LENGTH_OVER_0, _LENGTH_FROM_0 = _signs(quantity.LENGTH, "mm", 1e5, "in", "mm")
_ANGLE, _ANGLE_OVER_0, _ANGLE_FROM_0 = _signs(quantity.ANGLE, "rad", 2 * math.pi + 1e-12, "deg", "deg")
_NUMBER, _NUMBER_OVER_0, _NUMBER_FROM_0 = _signs(quantity.NUMBER, "1", 1e9)

Length: TypeAlias = Annotated[float, _LENGTH]
"""A length in mm, any sign."""
PositiveLength: TypeAlias = Annotated[float, _LENGTH_OVER_0]
"""A length in mm, more than zero."""
LengthFromZero: TypeAlias = Annotated[float, _LENGTH_FROM_0]
"""A length in mm, zero or more."""
Angle: TypeAlias = Annotated[float, _ANGLE]
"""An angle in rad, within one turn either way; a bare number in the file is degrees."""
PositiveAngle: TypeAlias = Annotated[float, _ANGLE_OVER_0]
"""An angle in rad, more than zero; a bare number in the file is degrees."""
AngleFromZero: TypeAlias = Annotated[float, _ANGLE_FROM_0]
"""An angle in rad, zero or more; a bare number in the file is degrees."""
Number: TypeAlias = Annotated[float, _NUMBER]
"""A number without unit, any sign (fractions allowed)."""
PositiveNumber: TypeAlias = Annotated[float, _NUMBER_OVER_0]
"""A number without unit, more than zero."""
NumberFromZero: TypeAlias = Annotated[float, _NUMBER_FROM_0]
"""A number without unit, zero or more."""
Pressure: TypeAlias = Annotated[float, _signs(quantity.PRESSURE, "MPa", 1e4)[1]]
"""A pressure or stress in MPa, more than zero; it must carry its unit, for bar and MPa differ by ten."""
Force: TypeAlias = Annotated[float, _signs(quantity.FORCE, "N", 1e9)[2]]
"""A force in N, zero or more, with its unit."""
Moment: TypeAlias = Annotated[float, _signs(quantity.MOMENT, "N·mm", 1e12)[2]]
"""A turning moment in N mm, zero or more, with its unit."""
Flow: TypeAlias = Annotated[float, _signs(quantity.FLOW, "L/min", 1e5)[1]]
"""A flow of oil in L/min, more than zero, with its unit."""
Volume: TypeAlias = Annotated[float, _signs(quantity.VOLUME, "mm3", 1e9)[1]]
"""A volume of oil in mm^3, more than zero, with its unit."""
Duration: TypeAlias = Annotated[float, _signs(quantity.DURATION, "s", 1e6, "s", "s")[1]]
"""A time in s, more than zero; a bare number is seconds."""
Mass: TypeAlias = Annotated[float, _signs(quantity.MASS, "kg", 1e6)[2]]
"""A mass in kg, zero or more, with its unit."""
PricePerMass: TypeAlias = Annotated[float, _signs(quantity.PRICE_OF_MASS, "/kg", 1e6, "/lb", "/kg")[2]]
"""Money for each kg; a bare number is for each pound or kilogram."""
PricePerLength: TypeAlias = Annotated[float, _signs(quantity.PRICE_OF_LENGTH, "/mm", 1e6, "/in", "/m")[2]]
"""Money for each mm; a bare number is for each inch or metre."""


@dataclass(frozen=True, slots=True)
class ByRule:
    """Marks a size that a rule chooses where the job leaves it out, on the next shop size in the job's units.

    On a key that asks for a plate, true or false: a rule chooses a size of that plate which has no key.
    """

    at_corner: bool = False  # Only where the rail is traced round its corner.


BY_RULE, BY_RULE_AT_CORNER = ByRule(), ByRule(at_corner=True)
"""The marks: chosen wherever it is left out, and only where the rail is traced round its corner."""


def key_of(field: str) -> str:
    """The key of the file for a field of a table: the name without its unit."""
    for suffix in _UNIT_SUFFIXES:
        if field.endswith(suffix):
            return field.removesuffix(suffix)
    return field


class Table(msgspec.Struct, frozen=True, kw_only=True, forbid_unknown_fields=True, rename=key_of):
    """Base of every table of the job file.

    A table checks what its fields say together in ``__post_init__``, and raises a Refusal whose ``where`` is the key.
    """

    def replaced(self, **changes: Any) -> Self:
        """A copy with some fields changed, checked anew."""
        return msgspec.structs.replace(self, **changes)
