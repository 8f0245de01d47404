"""What a call gives: its value, or the refusal it raised; anything else it raises fails the test."""

from collections.abc import Callable
from typing import TypeVar

from plategen.ground.refusal import Refusal

Value = TypeVar("Value")


def outcome(call: Callable[[], Value]) -> Value | Refusal:
    try:
        return call()
    except Refusal as refusal:
        return refusal


def is_one_line(refusal: Refusal) -> bool:
    """One line of a length that a person reads."""
    return len(str(refusal).splitlines()) == 1 and len(str(refusal)) < 800
