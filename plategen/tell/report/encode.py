"""Reports as JSON, and the schema published of them: the one place where their structs become plain data."""

import json
import math
from typing import Any, TypeAlias, TypeVar

import msgspec


class Level(msgspec.Struct, frozen=True, kw_only=True):
    """A level of a report; every level is one of these."""


def about(words: str) -> msgspec.Meta:
    """What a key holds, for the published schema."""
    return msgspec.Meta(description=words)


Maybe: TypeAlias = float | None
"""A number, or null where the job does not give enough for it."""

Pair: TypeAlias = tuple[float, float]
"""Two numbers: a point's u and v, or a least and a greatest."""

Triple: TypeAlias = tuple[float, float, float]
"""A place or a direction in space."""


AnyLevel = TypeVar("AnyLevel", bound=Level)
"""The level that is made."""


def mirrored(level: type[AnyLevel], /, *sources: object, **given: object) -> AnyLevel:
    """A level of a report whose keys are its sources' own names, where an angle ``x_rad`` becomes ``x_deg``.

    Args:
        level: What to make.
        sources: What was computed; the first that has a name gives it, and the names of one that is None are null.
        given: The keys that have another name or another form there.
    """
    return level(**{key: given[key] if key in given else _value(sources, key) for key in level.__struct_fields__})


def _value(sources: tuple[object, ...], key: str) -> object:
    name = key.replace("_deg", "_rad")
    for source in sources:
        if hasattr(source, name):
            value = getattr(source, name)
            return degrees(value) if name != key else finite(value) if isinstance(value, float) else value
    if None in sources:
        return None
    raise AttributeError(f"no source of the report has {name}")


def degrees(value_rad: Any) -> Any:
    """An angle in degrees, or each of several; None stays None."""
    if isinstance(value_rad, tuple):
        return tuple(map(degrees, value_rad))
    return None if value_rad is None else finite(math.degrees(value_rad))


def pair(point: complex) -> Pair:
    """A point of the plane as its u and v."""
    return point.real, point.imag


def finite(value: float | None) -> float | None:
    """The number, or None for what JSON cannot hold: infinite, or not a number.

    >>> finite(2.5), finite(math.inf), finite(None)
    (2.5, None, None)
    """
    return value if value is not None and math.isfinite(value) else None


def plain(value: Any) -> Any:
    """Structs, lists and numbers as the plain data that JSON knows; what is infinite or no number is null."""
    return _finite(msgspec.to_builtins(value))


def json_text(value: Any, *, ascii_only: bool = False) -> str:
    """A report as JSON, a number a line; with ``ascii_only`` every other sign is escaped."""
    return json.dumps(plain(value), indent=1, ensure_ascii=ascii_only, allow_nan=False)


def schema(report: type[Level]) -> dict[str, Any]:
    """The JSON Schema (2020-12) of a report."""
    (reference,), levels = msgspec.json.schema_components([report], ref_template="#/$defs/{name}")
    head = {"$schema": "https://json-schema.org/draft/2020-12/schema", "title": report.__name__}
    return {**head, **reference, "$defs": levels}


def _finite(value: Any) -> Any:
    match value:
        case float():
            return finite(value)
        case dict():
            return {key: _finite(inner) for key, inner in value.items()}
        case list() | tuple():
            return [_finite(inner) for inner in value]
        case _:
            return value
