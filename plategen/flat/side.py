"""On which side of a chain points lie, and how far."""

import math
from collections.abc import Iterable

from plategen.flat.carrier import Carrier, carrier
from plategen.flat.chain import Chain
from plategen.flat.segment import cross


def offset_from(chain: Chain, p: complex) -> float:
    """Signed distance in mm from a chain to ``p``: positive on the left of the walk, negative on the right.

    Where the nearest place is a corner of the chain, the side is the one on which both edges see the point; beyond
    the chain's ends it is the side of the end edge carried on straight.
    """
    return offsets_from(chain, (p,))[0]


def offsets_from(chain: Chain, points: Iterable[complex]) -> list[float]:
    """The same as :func:`offset_from`, for many points of one chain."""
    carriers = [carrier(s) for s in chain.segments]
    return [_offset(carriers, p) for p in points]


def _offset(carriers: list[Carrier], p: complex) -> float:
    """The least of the distances to the edges between their ends, or to a joint or an end where that is nearer."""
    least, joint = abs(p - carriers[-1].end), len(carriers)
    for index, c in enumerate(carriers):
        to_start = abs(p - c.start)
        if to_start < least:
            least, joint = to_start, index
    beside = None
    for c in carriers:
        leftward = c.leftward(p)
        if abs(leftward) < least and 0.0 < c.share(p) < 1.0:
            least, beside = abs(leftward), leftward
    if beside is not None:
        return beside
    # at a corner the bisector of the two directions decides: either edge alone can be wrong
    meeting = carriers[max(0, joint - 1) : joint + 1]
    corner = meeting[0].start if joint == 0 else meeting[0].end
    return math.copysign(least, cross(sum(c.direction(corner) for c in meeting), p - corner))
