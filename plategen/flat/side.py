"""On which side of a chain a point lies, and how far."""

import math

from plategen.flat.chain import Chain
from plategen.flat.segment import cross


def offset_from(chain: Chain, p: complex) -> float:
    """Signed distance in mm from a chain to ``p``: positive on the left of the walk, negative on the right.

    Where the nearest place is a corner of the chain, the side is the one on which both edges see the point; beyond
    the chain's ends it is the side of the end edge carried on straight.
    """
    segments = chain.segments
    best, best_index, best_t = math.inf, 0, 0.0
    for index, segment in enumerate(segments):
        t = segment.nearest(p)
        distance = abs(segment.point(t) - p)
        if distance < best:
            best, best_index, best_t = distance, index, t
    segment = segments[best_index]
    along = segment.tangent(best_t)
    # at a corner the bisector of the two directions decides: either edge alone can be wrong
    if best_t >= 1.0 and best_index + 1 < len(segments):
        along += segments[best_index + 1].start_tangent
    elif best_t <= 0.0 and best_index > 0:
        along += segments[best_index - 1].end_tangent
    return math.copysign(best, cross(along, p - segment.point(best_t)))
