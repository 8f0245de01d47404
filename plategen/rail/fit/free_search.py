"""The smooth curve that explains a trace best, its jumps and misreadings found, and how it stands against a chain."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from plategen.rail.fit import bead
from plategen.rail.fit.free import Free, free_of
from plategen.rail.fit.score import Sample

JOINT_COST, MOST_JOINTS = 5.0, 2
"""A chain's score lets a corner or bend turn by a radian and stand anywhere about the trace. Rails kick by a quarter of
that and within it: so much is a joint too dear when a chain of up to two of them stands against a smooth curve."""

BARE_COST, MOST_BARE = 2.5, 13
"""A flat alone is so much too cheap up to so many readings: a coarse error or a misreading lets it stand for any rail,
and a dent that is cut straight across is off by far more than a flat that an edge follows too closely."""

FEWEST_PLACES = 5
"""A line, a length, a height and an error are no matter of fewer readings."""

MOST_ODD = 4
"""Jumps and misreadings that a smooth curve may have."""


def usual(word: str, count: int) -> float:
    """What a chain's word of so many readings is too dear beside a smooth curve; negative where it is too cheap."""
    if word == "L" and count <= MOST_BARE:
        return -BARE_COST
    return JOINT_COST * min(len(word[1:-1].replace("L", "")), MOST_JOINTS)


def best_free(sample: Sample, kept: NDArray[np.bool_]) -> Free | None:
    """The smooth curve with the least score; None where there are few readings or they do not go on in station.

    Args:
        sample: The readings.
        kept: Which of them the best chain keeps, a second start beside all of them.
    """
    if sample.places[-1] + 1 < FEWEST_PLACES or (np.diff(sample.points.real) < 0.0).any():
        return None
    every = {mask.tobytes(): mask for mask in (np.ones_like(kept), kept, bead.without_likely(sample.points))}
    starts = [free_of(sample, mask, ()) for mask in every.values()]
    found = min(starts, key=lambda free: free.score)
    for _ in range(MOST_ODD):
        others = sorted(
            (free for free in found.others(sample) if free.score < found.score), key=lambda free: free.score
        )
        better = next((free for free in others if free.steps_up), None)
        if better is None:
            break
        found = better
    # beside it what it began from, before it took a joggle for a jump
    last = [found, *(start for start in starts if start is not found)]
    return min((replace(free, plain=free) for free in last), key=lambda free: free.score)
