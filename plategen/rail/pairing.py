"""Which edge of one fitted chain belongs to which edge of its neighbour.

Where both chains show the same flats, flat is paired with flat and bend with bend; a bend that one trace's readings
could not tell from a corner is paired with that corner. Where they do not, the chains are paired by share of length.
"""

from itertools import pairwise
from typing import TypeAlias

from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, Line, Segment

Edge: TypeAlias = Segment | complex
"""An edge of a chain, or the corner that stands for an edge of no length."""


def pair_edges(a: Chain, b: Chain) -> list[tuple[Edge, Edge]]:
    """The edges of two chains, paired in order."""
    flats_a, joints_a = _flats_and_joints(a)
    flats_b, joints_b = _flats_and_joints(b)
    if len(flats_a) != len(flats_b) or not _same_joints(joints_a, joints_b):
        return _by_length(a, b)
    pairs: list[tuple[Edge, Edge]] = []
    for index in range(len(joints_a)):
        joint_a, joint_b = joints_a[index], joints_b[index]
        if isinstance(joint_a, Arc) or isinstance(joint_b, Arc):
            pairs.append((joint_a, joint_b))
        if index < len(flats_a):
            pairs.append((flats_a[index], flats_b[index]))
    return pairs


def _flats_and_joints(chain: Chain) -> tuple[list[Line], list[Edge]]:
    """The flats of a chain, and what stands before, between and after them: a bend or the bare corner."""
    flats: list[Line] = []
    joints: list[Edge] = [chain.start]
    for edge in chain:
        if isinstance(edge, Line):
            flats.append(edge)
            joints.append(edge.end)
        elif isinstance(joints[-1], complex):
            joints[-1] = edge
        else:
            return [], []
    return flats, joints


def _same_joints(a: list[Edge], b: list[Edge]) -> bool:
    """True when bends face bends of the same sense or corners, and the chains' ends are alike."""
    if not a or isinstance(a[0], Arc) != isinstance(b[0], Arc) or isinstance(a[-1], Arc) != isinstance(b[-1], Arc):
        return False
    return all(
        (x.bulge > 0) == (y.bulge > 0)
        for x, y in zip(a, b, strict=True)
        if isinstance(x, Arc) and isinstance(y, Arc)
    )


def _by_length(a: Chain, b: Chain) -> list[tuple[Edge, Edge]]:
    """Both chains cut at the joints of either, taken as shares of the whole length, and paired piece by piece."""
    shares = sorted({0.0, 1.0, *_joint_shares(a), *_joint_shares(b)})
    kept = [shares[0]]
    for share in shares[1:]:
        if share - kept[-1] > 1e-9:
            kept.append(share)
    kept[-1] = 1.0
    return list(zip(_cut(a, kept), _cut(b, kept), strict=True))


def _joint_shares(chain: Chain) -> list[float]:
    whole, run, shares = chain.length, 0.0, []
    for edge in chain.segments[:-1]:
        run += edge.length
        shares.append(run / whole)
    return shares


def _cut(chain: Chain, shares: list[float]) -> list[Segment]:
    """The pieces of a chain between shares of its length; every joint of the chain is among the shares."""
    whole = chain.length
    starts = [0.0]
    for edge in chain:
        starts.append(starts[-1] + edge.length)
    pieces: list[Segment] = []
    for low, high in pairwise(shares):
        middle = (low + high) / 2 * whole
        index = next(i for i in range(len(chain)) if middle <= starts[i + 1] or i == len(chain) - 1)
        edge, begin = chain.segments[index], starts[index]
        length = edge.length
        from_t = min(1.0, max(0.0, (low * whole - begin) / length))
        to_t = min(1.0, max(0.0, (high * whole - begin) / length))
        pieces.append(
            edge.part(0.0 if from_t < 1e-9 else from_t, 1.0 if to_t > 1.0 - 1e-9 else to_t)
        )
    return pieces
