"""The standard dataclass decorator, but what it would compile at once is made when it is first used.

A dataclass of the standard library compiles up to six methods of its own while its module is loaded. That took more
than half of the time in which this package was loaded, and a command makes values of half of its classes. These are
dataclasses to :mod:`dataclasses` (``fields``, ``replace``, ``is_dataclass``) and to a type checker, and behave alike.
"""

import dataclasses
from operator import attrgetter
from types import MemberDescriptorType
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable
    from dataclasses import dataclass as dataclass
else:

    def dataclass(
        *, frozen: bool = False, slots: bool = False, kw_only: bool = False, eq: bool = True
    ) -> "Callable[[type], type]":
        """A decorator as :func:`dataclasses.dataclass` makes it, with the options that this package uses."""

        def decorated(cls: type) -> type:
            own = vars(cls)  # what the class says itself stands
            made = dataclasses.dataclass(init=False, repr=False, eq=False, slots=slots, kw_only=kw_only)(cls)
            methods = {"__init__": _first_init(made, frozen), "__repr__": _repr}
            if eq:
                methods |= _equality(made, frozen)
            if frozen:
                methods |= {"__setattr__": _refuse_set, "__delattr__": _refuse_delete}
            if frozen and slots:
                methods |= {"__getstate__": _state, "__setstate__": _set_state}
            for name, method in methods.items():
                if name not in own:
                    setattr(made, name, method)
            return made

        return decorated


def _first_init(cls: Any, frozen: bool) -> "Callable[..., None]":
    """Stands for ``__init__`` until a first value is made of the class; it then compiles it."""

    def __init__(self: object, *values: object, **named: object) -> None:
        if cls.__init__ is __init__:
            cls.__init__ = _compiled_init(cls, frozen)
        cls.__init__(self, *values, **named)

    return __init__


def _compiled_init(cls: Any, frozen: bool) -> Any:
    """An ``__init__`` that sets the fields and calls ``__post_init__`` where there is one."""
    known: dict[str, Any] = {"MISSING": dataclasses.MISSING}
    by_place, by_name, lines = ["self"], [], []
    for field in dataclasses.fields(cls):
        name = given = field.name
        default, made = f"{name}__default", f"{name}__make()"
        known |= {default: field.default, made[:-2]: field.default_factory, f"{name}__set": _setter(cls, name)}
        if field.default is not dataclasses.MISSING:
            parameter, otherwise = f"{name}={default}", default
        elif field.default_factory is not dataclasses.MISSING:
            parameter, otherwise = f"{name}=MISSING", made
            given = f"{made} if {name} is MISSING else {name}"
        else:
            parameter, otherwise = name, ""
        if field.init:
            (by_name if field.kw_only else by_place).append(parameter)
        value = given if field.init else otherwise
        if value:  # where there is none, __post_init__ sets it
            lines.append(f"{name}__set(self, {value})" if frozen else f"self.{name} = {value}")
    if hasattr(cls, "__post_init__"):
        lines.append("self.__post_init__()")
    parameters = ", ".join([*by_place, *(["*", *by_name] if by_name else [])])
    exec(f"def __init__({parameters}):\n  " + "\n  ".join(lines or ["pass"]), known)
    known["__init__"].__qualname__ = f"{cls.__qualname__}.__init__"
    return known["__init__"]


def _setter(cls: type, name: str) -> "Callable[[object, object], None]":
    """What sets a field of a frozen value while it is made; a slot's own is faster than the way by its name."""
    slot = getattr(cls, name, None)
    if isinstance(slot, MemberDescriptorType):
        return slot.__set__
    return lambda self, value: object.__setattr__(self, name, value)


def _equality(cls: Any, frozen: bool) -> dict[str, Any]:
    """``__eq__`` and ``__hash__`` by the fields that are compared; what may change has no hash."""
    compared = attrgetter("__class__", *(field.name for field in dataclasses.fields(cls) if field.compare))

    def __eq__(self: object, other: object) -> bool:
        return compared(self) == compared(other) if other.__class__ is self.__class__ else NotImplemented

    def __hash__(self: object) -> int:
        return hash(compared(self))

    return {"__eq__": __eq__, "__hash__": __hash__ if frozen else None}


def _repr(self: Any) -> str:
    shown = (f"{field.name}={getattr(self, field.name)!r}" for field in dataclasses.fields(self) if field.repr)
    return f"{type(self).__qualname__}({', '.join(shown)})"


def _refuse_set(self: object, name: str, value: object) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot assign to field {name!r}")


def _refuse_delete(self: object, name: str) -> None:
    raise dataclasses.FrozenInstanceError(f"cannot delete field {name!r}")


def _state(self: Any) -> list[object]:
    return [getattr(self, field.name) for field in dataclasses.fields(self)]


def _set_state(self: Any, state: list[object]) -> None:
    for field, value in zip(dataclasses.fields(self), state, strict=True):
        object.__setattr__(self, field.name, value)
