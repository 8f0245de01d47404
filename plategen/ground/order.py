"""What is read off sorted numbers; numpy's own functions load its masked arrays for it, which takes 10 ms."""

import math
from typing import TypeVar

import numpy as np
from numpy.typing import NDArray

Number = TypeVar("Number", bound=np.generic)
"""What is sorted."""


def median(values: NDArray[np.float64]) -> float:
    """The median of one or more numbers, as :func:`numpy.median` has it."""
    first, last = (len(values) - 1) // 2, len(values) // 2
    ordered = np.partition(values, (first, last))
    return float((ordered[first] + ordered[last]) / 2.0)


def quantile(values: NDArray[np.float64], share: float) -> float:
    """What a share of one or more numbers does not pass, as :func:`numpy.quantile` has it."""
    place = share * (len(values) - 1)
    first, last = math.floor(place), math.ceil(place)
    ordered, beyond = np.partition(values, (first, last)), place - first
    low, high = float(ordered[first]), float(ordered[last])
    return low + (high - low) * beyond if beyond < 0.5 else high - (high - low) * (1.0 - beyond)


def distinct(values: NDArray[Number]) -> NDArray[Number]:
    """The numbers by size, each once, as :func:`numpy.unique` has them."""
    ordered = np.sort(values)
    kept = np.ones(len(ordered), bool)
    kept[1:] = ordered[1:] != ordered[:-1]
    return ordered[kept]
