"""The outline that is free of metal for every one of several sections of a rail, exact.

Walking along a section the metal is on the left and the free side on the right. The bound of what is free for all
sections is found by walking: along one section until it meets another, and there on with the one that lies furthest
to the right. Nothing is sampled, and a section may wrap round a corner of the rail.
"""

from collections.abc import Sequence

from plategen.flat.carrier import Carrier, carrier
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.intersect import carriers_crossings
from plategen.flat.segment import SAME_POINT_MM, Segment
from plategen.flat.walk import ONE_NODE_MM, as_one, between, rightmost
from plategen.ground.message import message, uv
from plategen.ground.refusal import Refusal


class _Track:
    """One section with its meetings, by growing place; a place is the edge's index plus the share of its length."""

    def __init__(self, chain: Chain) -> None:
        self.edges: tuple[Segment, ...] = chain.segments
        self.carriers: list[Carrier] = [carrier(s) for s in chain.segments]
        self.stops: list[tuple[float, int]] = []

    def next_stop(self, place: float) -> tuple[float, int] | None:
        """The first meeting beyond a place."""
        return next((stop for stop in self.stops if stop[0] > place), None)

    def branch(self, place: float, point: complex) -> tuple[Carrier, float]:
        """The edge onward from a place, and half the way to its end or the next meeting."""
        index = int(place)
        whole = self.carriers[index]
        share = place - index
        stop = self.next_stop(place)
        reach = 1.0 - share if stop is None else min(1.0 - share, stop[0] - place)
        if share:
            whole = whole._replace(start=point, tangent=whole.direction(point))
        return whole, whole.length * reach / 2

    def run(self, from_place: float, start: complex, to_place: float, end: complex) -> list[Segment]:
        """The edges between two places, with exactly the given ends."""
        pieces: list[Segment] = []
        index = int(from_place)
        while index < to_place:
            edge = self.edges[index]
            t0, t1 = max(0.0, from_place - index), min(1.0, to_place - index)
            p = start if index <= from_place else edge.start
            q = end if to_place <= index + 1 else edge.end
            if abs(q - p) > SAME_POINT_MM:
                pieces.append(edge if p == edge.start and q == edge.end else between(edge, t0, t1, p, q))
            index += 1
        return pieces


def free_side(chains: Sequence[Chain]) -> Chain:
    """The bound of the region that lies on the right (free) side of every chain; ``min v`` for chains that are graphs.

    Args:
        chains: Sections of the rail, at least one, all walked the same way with the metal on the left, none crossing
            itself. They should begin on one line across the way and end on another (see ``flat.clip``): the result
            begins where the rightmost of them begins and ends with the one it is on when that ends. Sections may
            touch, share pieces or be identical.

    Raises:
        ValueError: If there is no chain.
        Refusal: If the sections lie so that the walk comes back on itself.
    """
    if not chains:
        raise ValueError("at least one chain is needed")
    tracks = [_Track(chain) for chain in chains]
    nodes = _meetings(tracks)
    if not nodes:
        return chains[_first(chains, tracks)]
    on = _first(chains, tracks)
    place, start = 0.0, chains[on].start
    joined: list[Segment] = []
    seen: set[tuple[int, int]] = set()
    came, at = place, place
    while (stop := tracks[on].next_stop(at)) is not None:
        at, node = stop
        if (on, node) in seen:
            words = (
                "the traces of the rail cross one another near {}; traces read again there, all in the same direction, "
                "are right"
            )
            raise Refusal(message(words, uv(nodes[node][0])))
        seen.add((on, node))
        point, places = nodes[node]
        # the section that is walked comes first, so that it is kept while others only touch or share its way
        onward = [(on, at)] if at < len(tracks[on].edges) else []
        onward += [(k, p) for k, p in places if k != on and p < len(tracks[k].edges)]
        if not onward:
            break
        best = 0
        if len(onward) > 1:
            branches = [tracks[k].branch(p, point) for k, p in onward]
            best = rightmost(_arriving(tracks[on], at, point), [b for b, _ in branches], [r for _, r in branches])
        onto, onto_place = onward[best]
        if onto != on:
            _append(joined, tracks[on].run(came, start, at, point))
            on, came, at, start = onto, onto_place, onto_place, point
    _append(joined, tracks[on].run(came, start, float(len(tracks[on].edges)), chains[on].end))
    return Chain(tuple(joined))


def _meetings(tracks: Sequence[_Track]) -> list[tuple[complex, list[tuple[int, float]]]]:
    """Every meeting point with the sections that pass through it and where; noted on the tracks as well."""
    nodes: list[tuple[complex, list[tuple[int, float]]]] = []
    for j, other in enumerate(tracks):
        for i in range(j):
            for crossing in carriers_crossings(tracks[i].carriers, other.carriers):
                point = crossing.point
                node = next((n for n in nodes if abs(n[0] - point) <= ONE_NODE_MM), None)
                if node is None:
                    node = (point, [])
                    nodes.append(node)
                for k, place in ((i, crossing.edge_a + crossing.t_a), (j, crossing.edge_b + crossing.t_b)):
                    if all(known != k for known, _ in node[1]):
                        node[1].append((k, place))
    for number, (_, places) in enumerate(nodes):
        for k, place in places:
            tracks[k].stops.append((place, number))
    for track in tracks:
        track.stops.sort()
    return nodes


def _first(chains: Sequence[Chain], tracks: Sequence[_Track]) -> int:
    """The section that begins furthest to the right; of those that begin together, the one that runs so."""
    best = 0
    for i in range(1, len(chains)):
        leftward = offset_from(chains[best], chains[i].start)
        if abs(leftward) <= SAME_POINT_MM:
            branches = [tracks[k].branch(0.0, chains[k].start) for k in (best, i)]
            arriving = branches[0][0].tangent
            if rightmost(arriving, [b for b, _ in branches], [reach for _, reach in branches]):
                best = i
        elif leftward < 0.0:
            best = i
    return best


def _append(joined: list[Segment], run: Sequence[Segment]) -> None:
    """Lengthen the walk; where two sections share a line or circle, its two parts become one edge."""
    if joined and run:
        whole = as_one(joined[-1], run[0])
        if whole is not None:
            joined[-1] = whole
            run = run[1:]
    joined += run


def _arriving(track: _Track, place: float, point: complex) -> complex:
    """Direction of the section just before a place."""
    index = int(place)
    if index == place and index > 0:
        before = track.carriers[index - 1]
        return before.direction(before.end)
    return track.carriers[index].direction(point)
