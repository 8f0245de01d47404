"""What whoever looks at the straightened photograph sets right: the straight edge, the rail's ends, doubtful stretches.

Points of the edge are named by their number along its ring. Two points name the stretch that is the shorter way round.
"""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from plategen.ground.message import Message, message, mm
from plategen.ground.refusal import Refusal
from plategen.photo.camera import Floats
from plategen.photo.measure import Complexes, Ring
from plategen.photo.sides import Sides, members

BY_EYE_MM = 1.0
"""One standard deviation of an edge that the program doubts and an eye calls right on a screen; neighbours share it."""

ON_SIDE, MOSTLY = 0.6, 0.5
"""So much of what lies between two taps is the side that is meant; a gap of which so much was left out by hand."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of the edge that is left out, or put back."""

    first: int
    last: int
    keep: bool


@dataclass(frozen=True, slots=True)
class ByHand:
    """What was set right."""

    straight: tuple[int, int] | None = None  # Two points of the straight edge.
    begin: int | None = None  # Where the rail's edge begins, on the side of station 0.
    end: int | None = None  # Where it ends.
    stretches: tuple[Stretch, ...] = ()  # In the order in which they were set; a later one goes over an earlier.


NOTHING = ByHand()
"""As the program found it."""


def between(first: int, last: int, count: int) -> NDArray[np.intp]:
    """The points of the shorter way between two, anticlockwise, both among them."""
    ahead = (last - first) % count
    if ahead > count - ahead:
        first, ahead = last, count - ahead
    return (first + np.arange(ahead + 1)) % count


def set_right(ring: Ring, hand: ByHand) -> Ring:
    """The ring with its doubtful stretches as the hand has them; what no picture shows at all stays untold.

    Raises:
        Refusal: A point is none of the ring's.
    """
    count = len(ring.points)
    named = [*(hand.straight or ()), hand.begin, hand.end, *(k for s in hand.stretches for k in (s.first, s.last))]
    if any(k is not None and not 0 <= k < count for k in named):
        raise Refusal("a point that was tapped is none of this edge; set it right anew")
    good, error = ring.good.copy(), ring.error_mm.copy()
    for stretch in hand.stretches:
        at = between(stretch.first, stretch.last, count)
        back = ring.seen[at] & ~ring.good[at]
        good[at] = (ring.good[at] | back) if stretch.keep else False
        error[at[back]] = np.maximum(ring.error_mm[at[back]], BY_EYE_MM)
    return replace(ring, good=good, error_mm=error)


def tapped_side(ring: Ring, sides: Sides, taps: tuple[int, int]) -> int:
    """Which straight side two taps lie on.

    Raises:
        Refusal: What lies between them is no straight side.
    """
    count = len(ring.points)
    meant = set(between(*taps, count).tolist())
    shared = [len(meant & set(members(sides, k, count).tolist())) for k in range(len(sides))]
    best = int(np.argmax(shared))
    if len(meant) < 2 or shared[best] < ON_SIDE * len(meant):
        raise Refusal("between the two taps lies no straight side; tap both ends of the straight edge")
    return best


def rail_between(rail: NDArray[np.intp], hand: ByHand, ring: Ring, datum: NDArray[np.intp]) -> NDArray[np.intp]:
    """The points of the rail's edge, towards growing stations, from where the hand begins it to where it ends it.

    Args:
        rail: The points that were found.
        hand: What was set right.
        ring: The whole edge.
        datum: The points of the straight edge.

    Raises:
        Refusal: It would take in the straight edge.
    """
    if hand.begin is None and hand.end is None:
        return rail
    if not len(rail) and (hand.begin is None or hand.end is None):
        return rail
    begin = int(rail[0]) if hand.begin is None else hand.begin
    end = int(rail[-1]) if hand.end is None else hand.end
    count = len(ring.points)
    # the ring runs anticlockwise, the stations grow clockwise
    chosen = (begin - np.arange((begin - end) % count + 1)) % count
    if np.isin(chosen, datum).any():
        raise Refusal("the rail's edge does not reach round to the straight edge; drag its ends less far")
    return chosen


def said(hand: ByHand, local: Complexes) -> list[Message]:
    """What was set right, in stations."""
    words = {
        True: "between stations {} and {} the edge was doubted and put back by hand",
        False: "between stations {} and {} the edge was left out by hand",
    }
    lines = []
    for stretch in hand.stretches:
        low, high = sorted(float(local[k].real) for k in (stretch.first, stretch.last))
        lines.append(message(words[stretch.keep], mm(low), mm(high)))
    if hand.begin is not None or hand.end is not None:
        lines.append(message("the ends of the rail's edge were set by hand"))
    return lines


def left_out(hand: ByHand, count: int) -> NDArray[np.bool_]:
    """Which points of the ring were left out by hand."""
    out = np.zeros(count, bool)
    for stretch in hand.stretches:
        out[between(stretch.first, stretch.last, count)] = not stretch.keep
    return out


def by_hand(gap: tuple[complex, complex], local: Complexes, out: NDArray[np.bool_], rail: NDArray[np.intp]) -> bool:
    """Whether a gap in the readings was made by hand."""
    low, high = sorted((gap[0].real, gap[1].real))
    within: Floats = local[rail].real
    inside = (within > low) & (within < high)
    return bool(inside.any() and out[rail][inside].mean() > MOSTLY)
