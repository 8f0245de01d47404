"""What frozen values are made of: a struct of the same library that reads the job file.

Half of the time that a short command took went into making dataclasses as its modules were loaded. A struct's class is
made in a tenth of that, and a struct in a third of a dataclass's time; in all else it is one, for
:func:`dataclasses.replace` and :func:`dataclasses.fields` too.
"""

from dataclasses import Field, fields, make_dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, ClassVar

import msgspec


class _Fields:
    """The fields of whichever class it is asked of, listed once it is asked."""

    def __get__(self, value: object, owner: "type[Data]") -> dict[str, "Field[Any]"]:
        return _fields(owner)


class Data(msgspec.Struct, frozen=True):
    """A frozen value with named fields, equal to another of its class whose fields are equal."""

    if TYPE_CHECKING:
        __dataclass_fields__: ClassVar[dict[str, Field[Any]]]
    else:
        __dataclass_fields__ = _Fields()


class Thing(Data, frozen=True, eq=False):
    """A frozen value that is equal to itself alone, as one that holds arrays."""

    __hash__ = object.__hash__


@cache
def _fields(owner: type[Data]) -> dict[str, "Field[Any]"]:
    return {field.name: field for field in fields(make_dataclass(owner.__name__, owner.__struct_fields__))}
