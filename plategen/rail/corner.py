"""Where a notch goes round a corner of the rail, and the relief that keeps a sharp one clear of torch and weld.

A rail's corner is a bend away from the free side: seen from the plate it is the inside corner of an L-shaped notch. A
bend wide enough is followed by cut and bead alike. In a sharp one the bead cannot turn, the cut leaves the torch's own
round where the rail has its edge, and three welds would meet in one point: there a hole about the corner is cut away,
and the runs end at its rim.
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from plategen.flat.chain import Chain
from plategen.flat.intersect import crossings
from plategen.flat.loop import Circle
from plategen.flat.segment import SHORTEST_EDGE_MM, Arc, Segment, angle, cross
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal

LEAST_TURN_RAD = math.radians(30.0)
"""A bend that turns by less is a kick of one face, not the corner between two."""

MOST_TURN_RAD = math.radians(165.0)
"""A bend that turns by more folds a face back on itself: the two have no corner to measure from."""

FACE_MM = 10.0
"""An edge this long, straight or nearly, is a face; shorter ones beside a bend belong to it."""

_WIDER = 4

FACE_TURN_RAD = math.radians(10.0)
"""A face may be bowed by this much."""


@dataclass(frozen=True, slots=True)
class Corner:
    """A corner that a chain goes round."""

    before: int  # Index of the face that runs into it.
    after: int  # Index of the face that runs on.
    point: complex  # Where the two faces would meet, carried on straight.
    into: complex  # Direction of the face before, at the bend.
    out: complex  # Direction of the face after, at the bend.
    radius_mm: float  # Radius of the bend, 0 where two faces meet in a point; the mean of a bend in several pieces.


def corners(path: Chain) -> tuple[Corner, ...]:
    """The corners that a chain goes round, in its order: bends to the left, away from the free side."""
    return tuple(_corners(path.segments))


def _corners(edges: Sequence[Segment]) -> Iterator[Corner]:
    faces = [i for i, edge in enumerate(edges) if edge.length >= FACE_MM and abs(edge.sweep_rad) <= FACE_TURN_RAD]
    for before, after in pairwise(faces):
        into, out = edges[before].end_tangent, edges[after].start_tangent
        turn = angle(out / into)
        if not LEAST_TURN_RAD <= turn <= MOST_TURN_RAD:
            continue
        leave, land = edges[before].end, edges[after].start
        bend_mm = sum(edge.length for edge in edges[before + 1 : after])
        ahead_mm = cross(land - leave, out) / cross(into, out)
        yield Corner(before, after, leave + into * ahead_mm, into, out, bend_mm / turn)


def goes_round(path: Chain) -> bool:
    """Whether a notch goes round a corner, relieved or not: its ends lie as far turned as a corner turns."""
    turned = angle(path.segments[-1].end_tangent / path.segments[0].start_tangent)
    return turned >= LEAST_TURN_RAD


@dataclass(frozen=True, slots=True)
class Relieved:
    """A notch with its sharp corners cut away: the whole edge, and the legs between the reliefs, which seat."""

    path: Chain
    legs: tuple[Chain, ...]


def relieved(path: Chain, relief_mm: float) -> Relieved:
    """The notch with a hole of radius ``relief_mm`` about every corner whose bend is sharper than that.

    The hole is struck from where the faces would meet, and is made larger where it would not take in the whole bend.

    Raises:
        Refusal: If it leaves nothing of a face.
    """
    edges, legs = list(path.segments), []
    done: list[Segment] = []
    taken = 0
    for corner in corners(path):
        if relief_mm <= 0.0 or corner.radius_mm >= relief_mm:
            continue
        bend = (edges[corner.before].end, edges[corner.after].start)
        radius = max(relief_mm, *(abs(p - corner.point) for p in bend))
        # a little wider where the rim would leave an edge too short to cut
        cuts = (_cut_out(edges, taken, corner, radius + step * 2.0 * SHORTEST_EDGE_MM) for step in range(_WIDER))
        cut = next((c for c in cuts if c is not None), None)
        if cut is None:
            words = (
                "the relief at the rail's corner, {} round, leaves no notch on one of its faces; let the foot reach "
                "further along both, or make the relief smaller"
            )
            raise Refusal(message(words, mm(radius)), "mount.foot")
        leave, last, land, first = cut
        leg = [*edges[taken:leave], last]
        legs.append(Chain(tuple(leg)))
        done += [*leg, *_rim(corner.point, last.end, first.start)]
        edges[land], taken = first, land
    tail = edges[taken:]
    return Relieved(Chain((*done, *tail)), (*legs, Chain(tuple(tail))))


def _cut_out(
    edges: Sequence[Segment], taken: int, corner: Corner, radius_mm: float
) -> tuple[int, Segment, int, Segment] | None:
    """The edges that the relief's rim cuts on both sides of a corner, with what it leaves of them."""
    at = corner.point
    back, onward = range(corner.before, taken - 1, -1), range(corner.after, len(edges))
    before = ((i, where_round(edges[i], at, radius_mm, last=True)) for i in back)
    after = ((i, where_round(edges[i], at, radius_mm, last=False)) for i in onward)
    leave, land = (next(((i, t) for i, t in way if t is not None), None) for way in (before, after))
    if leave is None or land is None:
        return None
    last, first = edges[leave[0]].part(0.0, leave[1]), edges[land[0]].part(land[1], 1.0)
    if min(last.length, first.length) < SHORTEST_EDGE_MM:
        return None
    return leave[0], last, land[0], first


def where_round(edge: Segment, centre: complex, radius_mm: float, *, last: bool) -> float | None:
    """Share of an edge's length at which it is ``radius_mm`` from a point: the first or the last."""
    places = [t for half in Circle(centre, radius_mm).segments for t, _ in crossings(edge, half)]
    places = [t for t in places if (t > 0.0 if last else t < 1.0)]
    return (max if last else min)(places, default=None)


def _rim(centre: complex, begin: complex, end: complex) -> tuple[Arc, Arc]:
    """The rim of the relief, anticlockwise through the plate, in two arcs: no control refuses half a turn."""
    sweep = angle((end - centre) / (begin - centre)) % (2.0 * math.pi)
    half = complex(math.cos(sweep / 2), math.sin(sweep / 2))
    middle = centre + (begin - centre) * half
    return Arc(begin, middle, math.tan(sweep / 8)), Arc(middle, end, math.tan(sweep / 8))
