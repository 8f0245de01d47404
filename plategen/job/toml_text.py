"""A TOML text as plain values; one read just now is not read again: a change of one number asks for it often."""

import tomllib
from functools import lru_cache
from typing import Any


def plain_values(text: str) -> dict[str, Any]:
    """The values that a text holds, the caller's own to change.

    Raises:
        ValueError: It is not TOML, or holds an impossible date or number.
        RecursionError: It is nested beyond reason.
    """
    return {key: _copied(value) for key, value in _read(text).items()}


@lru_cache(maxsize=8)
def _read(text: str) -> dict[str, Any]:
    return tomllib.loads(text)


def _copied(value: Any) -> Any:
    """Tables and lists anew, all else as it is: nothing else that TOML holds can be changed."""
    if isinstance(value, dict):
        return {key: _copied(inner) for key, inner in value.items()}
    return [_copied(inner) for inner in value] if isinstance(value, list) else value
