"""Which of several is the worst: the first of those that are alike, so that rounding never names another load case."""

from collections.abc import Callable, Iterable
from typing import TypeVar

Item = TypeVar("Item")
"""What is compared."""

ALIKE = 1e-9
"""Shares of a strength closer to each other than this are one."""


def first_worst(items: Iterable[Item], used: Callable[[Item], float]) -> Item:
    """The item that uses most of its strength; of several alike the first.

    >>> first_worst(["one", "two", "six"], len)
    'one'

    Raises:
        ValueError: There is none.
    """
    worst: tuple[Item, float] | None = None
    for item in items:
        share = used(item)
        if worst is None or share > worst[1] * (1.0 + ALIKE):
            worst = (item, share)
    if worst is None:
        raise ValueError("nothing to compare")
    return worst[0]
