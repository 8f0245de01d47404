"""The same random numbers every time: what the spread of a rail is drawn with, so that a job has one answer.

The generator is SplitMix64 (Steele, Lea and Flood, OOPSLA 2014), a hash of 1, 2, 3, ..., and its numbers are made
normal in pairs (Box and Muller 1958). NumPy's own would take longer to load than all the drawing takes.
"""

import math
from functools import lru_cache
from typing import NamedTuple

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


class Block(NamedTuple):
    """Modes that belong together, as those of one trace."""

    modes: int  # How many move all at once, by Student's distribution.
    freedom: float  # Its degrees of freedom.
    chances: tuple[float, ...] = ()  # Of further modes that are there with such a chance, or not, and no two at once.


@lru_cache(maxsize=64)
def drawn(blocks: tuple[Block, ...]) -> NDArray[np.float64]:
    """Numbers of mean square 1 for every mode of the blocks, modes x :data:`DRAWS`.

    Student's are in each block of one scale, ``sqrt(n / chi2_n)``, by Wilson's and Hilferty's approximation of 1931:
    with z normal, ``chi2_n / n = (1 - 2 / 9n + z sqrt(2 / 9n))^3``, good to a percent from six degrees of freedom on.
    A mode that is there with chance p is drawn as ``p^-1/2``, in as many of the draws as that says, or as nothing. The
    blocks share one number for that: a rail that is bent where one trace has a corner is bent in the next as well.
    """
    modes = sum(block.modes for block in blocks)
    numbers = normal(len(blocks) + modes + 1)
    scales, students, (pick,) = np.split(numbers, [len(blocks), len(blocks) + modes])
    owns = np.split(students, np.cumsum([block.modes for block in blocks], dtype=int))[: len(blocks)]
    rows = [numbers[:0]]
    for block, z, own in zip(blocks, scales, owns, strict=True):
        n = block.freedom
        rows += [own * (1.0 - 2.0 / (9.0 * n) + z * math.sqrt(2.0 / (9.0 * n))) ** -1.5, _picked(pick, block.chances)]
    return np.concatenate(rows)


def _picked(pick: NDArray[np.float64], chances: tuple[float, ...]) -> NDArray[np.float64]:
    """For each chance which of the draws are its, by their order among all."""
    place = (pick.argsort().argsort() + 0.5) / len(pick)
    ends = np.cumsum(chances)
    chance = np.reshape(chances, (-1, 1))
    begin, end = (each.reshape(-1, 1) for each in (ends - chances, ends))
    return np.asarray(((begin <= place) & (place < end)) / np.sqrt(chance))
