"""The same random numbers every time: what the spread of a rail is drawn with, so that a job has one answer.

The generator is SplitMix64 (Steele, Lea and Flood, OOPSLA 2014), a hash of 1, 2, 3, ..., and its numbers are made
normal in pairs (Box and Muller 1958). NumPy's own would take longer to load than all the drawing takes.
"""

import math
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

DRAWS = 2048
"""Rails drawn: what holds for 95 of 100 is then found within half a rail of 100 (one standard deviation)."""


@lru_cache(maxsize=64)
def normal(modes: int) -> NDArray[np.float64]:
    """Standard normal numbers, ``modes`` x :data:`DRAWS`; the first rows are the same however many there are."""
    with np.errstate(over="ignore"):
        z = np.arange(1, modes * DRAWS + 1, dtype=np.uint64) * np.uint64(0x9E3779B97F4A7C15)
        z = (z ^ (z >> np.uint64(30))) * np.uint64(0xBF58476D1CE4E5B9)
        z = (z ^ (z >> np.uint64(27))) * np.uint64(0x94D049BB133111EB)
    share = ((z ^ (z >> np.uint64(31))) >> np.uint64(11)).astype(float).reshape(modes, 2, DRAWS // 2) * 2.0**-53
    radius, turn = np.sqrt(-2.0 * np.log1p(-share[:, 0])), 2.0 * math.pi * share[:, 1]
    return np.concatenate((radius * np.cos(turn), radius * np.sin(turn)), axis=1)


@lru_cache(maxsize=64)
def student(blocks: tuple[tuple[int, float], ...]) -> NDArray[np.float64]:
    """Standard Student numbers, modes x :data:`DRAWS`, in blocks that each have one scale.

    The scale is ``sqrt(n / chi2_n)``, by Wilson's and Hilferty's approximation of 1931: with z normal,
    ``chi2_n / n = (1 - 2 / 9n + z sqrt(2 / 9n))^3``, good to a percent from six degrees of freedom on.

    Args:
        blocks: Modes of each block, and the degrees of freedom of its scale.
    """
    modes = sum(count for count, _ in blocks)
    numbers = normal(len(blocks) + modes)
    scale = [
        (1.0 - 2.0 / (9.0 * n) + z * math.sqrt(2.0 / (9.0 * n))) ** -1.5
        for (_, n), z in zip(blocks, numbers, strict=False)
    ]
    counts = [count for count, _ in blocks]
    return np.asarray(numbers[len(blocks) :] * np.repeat(np.reshape(scale, (len(blocks), DRAWS)), counts, axis=0))
