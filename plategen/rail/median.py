"""The median of an array."""

import numpy as np
from numpy.typing import NDArray


def median(values: NDArray[np.float64]) -> float:
    """The median of one or more numbers, as :func:`numpy.median` has it, which loads numpy's masked arrays: 10 ms."""
    first, last = (len(values) - 1) // 2, len(values) // 2
    ordered = np.partition(values, (first, last))
    return float((ordered[first] + ordered[last]) / 2.0)
