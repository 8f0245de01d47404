"""Messages as data: a sentence with places for quantities, whose text is made once, in the job's units, at the edge.

What computes never formats a number. It says ``message("the foot runs from station {} to {}", mm(50.8), mm(381.0))``;
:meth:`plategen.ground.show.Show.text` makes the words. So one job's messages never mix units, and a test, the page or
another program reads the numbers as numbers.
"""

from collections.abc import Iterable, Iterator
from typing import Literal, TypeAlias

import msgspec

Form: TypeAlias = Literal["near", "size", "up", "down", "most"]
"""How a quantity is shown: to the nearest mark with its decimals beside (``near``); as a size that a shop calls for, or
a number that someone chose, which it is exactly (``size``); rounded to the safe side as a limit, ``up`` for a least,
``down`` for a most; or, where a limit is only far away, in round figures (``most``)."""


class Quantity(msgspec.Struct, frozen=True):
    """A number in the unit that is computed in, with that unit's name.

    A frozen struct, as messages are: hundreds are made for each of the thousands of variants that may be judged in a
    row, and a frozen dataclass takes eight times as long to make.
    """

    value: float  # The number.
    unit: str  # ``"mm"``, ``"N"``, ``"MPa"``, ``"N/mm"``, ``"N·mm"``, ``"rad"``, ``"deg"``, ``"kg"``, ``"1"`` ...
    form: Form = "near"  # How it is shown.


class Message(msgspec.Struct, frozen=True):
    """A sentence, or a clause of one, as data."""

    template: str  # The words, with ``{}`` for each value.
    values: tuple["Value", ...] = ()  # What stands there: quantities, names, counts, or messages again.

    def __bool__(self) -> bool:
        return bool(self.template)

    def __str__(self) -> str:
        # for logs and failing tests; what a user reads is made by Show.text in the job's units
        from plategen.ground.show import Show

        return Show("mm").text(self)

    @property
    def quantities(self) -> tuple[Quantity, ...]:
        """Every quantity in it, in reading order."""
        return tuple(_quantities(self))


Value: TypeAlias = Quantity | Message | str | int
"""What may stand in a message."""

NOTHING = Message("")
"""No words."""


def message(template: str, *values: Value) -> Message:
    """A message from its words and what stands in their places.

    >>> message("leg to {}", mm(6.35)).quantities
    (Quantity(value=6.35, unit='mm', form='near'),)

    Raises:
        ValueError: There are not as many values as places.
    """
    places = template.count("{}")
    if places != len(values):
        raise ValueError(f"{template!r} has {places} places for {len(values)} values")
    return Message(template, values)


def joined(between: str, parts: Iterable[Message | str]) -> Message:
    """Several messages in a row, empty ones left out.

    >>> str(joined("; ", [message("throat {}", mm(3.0)), "", "no gain for direction"]))
    'throat 3.0 mm; no gain for direction'
    """
    kept = tuple(part for part in parts if part)
    return Message(between.join(["{}"] * len(kept)), kept)


def as_message(words: Message | str) -> Message:
    """Plain words as a message; a message as it is."""
    return words if isinstance(words, Message) else Message("{}", (words,)) if words else NOTHING


def uv(point: complex) -> Message:
    """A point of a plate or a rail by its two lengths.

    >>> str(uv(12 + 5j))
    'station 12.0 mm, 5.0 mm towards the rail'
    """
    return message("station {}, {} towards the rail", mm(point.real), mm(point.imag))


def mm(value: float, form: Form = "near") -> Quantity:
    """A length."""
    return Quantity(value, "mm", form)


def size(value_mm: float) -> Quantity:
    """A length that is a size a shop calls for, as ``3/8 in`` or ``8 mm``."""
    return Quantity(value_mm, "mm", "size")


def newton(value: float, form: Form = "near") -> Quantity:
    """A force."""
    return Quantity(value, "N", form)


def mpa(value: float, form: Form = "near") -> Quantity:
    """A stress."""
    return Quantity(value, "MPa", form)


def oil_mpa(value: float, form: Form = "near") -> Quantity:
    """A pressure of oil, shown as gauges show it."""
    return Quantity(value, "MPa oil", form)


def rad(value: float, form: Form = "near") -> Quantity:
    """An angle."""
    return Quantity(value, "rad", form)


def number(value: float, form: Form = "near") -> Quantity:
    """A number without a unit."""
    return Quantity(value, "1", form)


def count(value: float) -> Quantity:
    """How many, told to two figures: full strokes, years."""
    return Quantity(value, "count")


def _quantities(words: Message) -> Iterator[Quantity]:
    for value in words.values:
        if isinstance(value, Quantity):
            yield value
        elif isinstance(value, Message):
            yield from _quantities(value)
