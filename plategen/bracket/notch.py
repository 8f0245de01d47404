"""The notch: the edge of a plate that meets the rail.

A torch cuts square to the plate, so over the plate's thickness the notch is one line while the rail may slant. The
notch is therefore the boundary of what is free of metal at every depth: the envelope of the rail's sections from
one face of the plate to the other. One face then touches, the other stands off by about thickness x tan(slant).
"""

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from operator import itemgetter
from typing import TypeAlias

import numpy as np

from plategen.bracket.meeting import Meeting, motions, pressing
from plategen.bracket.model import Fit
from plategen.bracket.sawn import sawn_edge
from plategen.design.foot import Foot, cut_to_foot
from plategen.flat.chain import Chain
from plategen.flat.clip import extended
from plategen.flat.distance import offsets_from
from plategen.flat.envelope import free_side
from plategen.flat.offset import offset_chain
from plategen.flat.segment import SHORTEST_EDGE_MM, dot
from plategen.flat.sliver import without_slivers
from plategen.ground.cure import Change, Cure
from plategen.ground.ended import ended
from plategen.ground.message import message, mm
from plategen.ground.refusal import Refusal
from plategen.rail.corner import corners, goes_round, relieved
from plategen.rail.doubt import blocks_of, doubt
from plategen.rail.surface import Rail
from plategen.rail.swept import swept_chains

OVERLAP_ALLOWED_MM = 0.01
"""How deep a notch may go into the rail before it is cut deeper: half of what a good fit may hide."""

_RUN_OUT_MM = 25.0  # sections are carried on straight by this much, so that every one of them spans the foot
_BESIDE_JOINT = 1e-5  # share of an edge: the rail may lie off otherwise on either side of a corner
_WAVED_MM = 30.0
_SAME_PLACE_MM = 1e-6
_DEPTHS = (0.25, 0.5, 0.75)
_MOST_CUTS = 12

_REMEMBERED = 512
"""Notches remembered: on the same rail another weld or pin leaves them as they are, and nothing else decides them."""


Slopes: TypeAlias = tuple[tuple[float, float], tuple[float, float]]
"""Tangent of the rail's slant at a plate's two faces, least and most, positive where it recedes as w grows."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Leg:
    """A part of a notch that one bead can follow, and the rail's slant along it."""

    path: Chain
    slope: Slopes


@dataclass(frozen=True, slots=True, kw_only=True)
class Notch:
    """A plate's welded edge, found in the plate frame."""

    # From the foot's beginning to its end, with the reliefs at sharp corners; the rail's metal on its left.
    path: Chain
    fit: Fit  # How it meets the rail at both faces, reliefs apart.
    slope: Slopes  # The rail's slant along the whole of it.
    parts: tuple[Leg, ...] = ()  # The legs between its reliefs; left out, it has none.

    @property
    def legs(self) -> tuple[Leg, ...]:
        """The parts that lie on the rail: those between the reliefs, or the whole."""
        return self.parts or (Leg(path=self.path, slope=self.slope),)


def fit_notch(
    rail: Rail,
    faces_mm: tuple[float, float],
    foot: Foot | tuple[float, float],
    root_gap_mm: float,
    relief_mm: float = 0.0,
    *,
    straight: bool = False,
) -> Notch:
    """The notch of a plate that lies across the pin, its faces at two places along it, the lower first.

    It stands off the rail by the root gap, along a foot of two stations or round a corner. Corners of the rail sharper
    than ``relief_mm`` get a relief of that radius; 0 leaves every corner. A
    ``straight`` notch is of lines that a saw follows, its reliefs apart, which are drilled.

    Raises:
        Refusal: If the foot reaches beyond the trace.
    """
    looked_at = (rail, faces_mm, Foot(*foot), root_gap_mm, straight)
    bare = _unrelieved(*looked_at)
    whole = relieved(bare.path, relief_mm)
    if len(whole.legs) == 1:
        return _in_one(*looked_at)
    legs = tuple(Leg(path=leg, slope=_slopes(rail, faces_mm, leg)) for leg in whole.legs)
    fit = bare.fit(_meeting(whole.path, whole.legs, rail, faces_mm))
    return Notch(path=whole.path, fit=fit, slope=bare.slope, parts=legs)


@dataclass(frozen=True, slots=True, kw_only=True)
class _Bare:
    """A notch before any relief, and how it meets the rail as it is drawn."""

    path: Chain
    slope: Slopes
    gap_near_mm: float
    gap_far_mm: float
    overlap_mm: float

    def fit(self, meeting: Meeting) -> Fit:
        """How it meets the rail, with what is not known of the rail."""
        return Fit(
            gap_near_mm=self.gap_near_mm, gap_far_mm=self.gap_far_mm, overlap_mm=self.overlap_mm, meeting=meeting
        )


@lru_cache(maxsize=_REMEMBERED)
def _unrelieved(  # what is remembered by its values takes them in their order
    rail: Rail,
    faces_mm: tuple[float, float],
    foot: Foot,
    root_gap_mm: float,
    straight: bool,
) -> _Bare:
    """The notch before any relief."""
    _refuse_off_trace(rail, foot)
    (low, high), depths = faces_mm, _DEPTHS if rail.varies else ()
    chains = [_run_out(chain) for chain in swept_chains(rail, low, high)]
    inner = [_run_out(rail.section(low + (high - low) * depth)) for depth in depths]
    # what the rail sweeps settles it where bends keep their shape; where they change along the plate's thickness the
    # rail can come a little nearer in between, and those sections are cut in as well, the worst first
    for _ in range(_MOST_CUTS):
        path = _finished(free_side(chains), foot, root_gap_mm)
        path = sawn_edge(path) if straight else path
        overlaps = ((_gap_and_overlap(path, s)[1], s) for s in inner)
        overlap, section = max(overlaps, key=itemgetter(0), default=(0.0, path))
        if overlap <= OVERLAP_ALLOWED_MM:
            break
        chains.append(section)
    faces = [_run_out(rail.section(w)) for w in faces_mm]
    (near, over_near), (far, over_far) = (_gap_and_overlap(path, section) for section in faces)
    return _Bare(
        path=path,
        slope=_slopes(rail, faces_mm, path),
        gap_near_mm=near,
        gap_far_mm=far,
        overlap_mm=max(overlap, over_near, over_far),
    )


@lru_cache(maxsize=_REMEMBERED)
def _in_one(rail: Rail, faces_mm: tuple[float, float], foot: Foot, root_gap_mm: float, straight: bool) -> Notch:
    """The notch of a rail without corners to relieve."""
    bare = _unrelieved(rail, faces_mm, foot, root_gap_mm, straight)
    return Notch(path=bare.path, fit=bare.fit(_meeting(bare.path, (bare.path,), rail, faces_mm)), slope=bare.slope)


def _finished(bound: Chain, foot: Foot, gap_mm: float) -> Chain:
    """The bound of what is free, stood off by the gap, without edges too short to cut, and cut to the foot."""
    path = offset_chain(bound, -gap_mm) if gap_mm > 0.0 else bound
    path = without_slivers(cut_to_foot(path, foot), SHORTEST_EDGE_MM)
    if foot.end_mm is None and not corners(path):
        what = "the foot leaves too little of one face of the rail's corner"
        raise ended(what, "mount.foot", "a foot that reaches further along that face")
    return path


def joint_angle(slope: tuple[float, float], towards: int) -> tuple[float, float]:
    """Dihedral angle between a plate's face and the rail on that face's side, smallest and largest, rad.

    ``towards`` is +1 for the face that looks along the pin's direction and -1 for the other. A rail square to the
    plate gives a quarter turn; one that recedes on the face's side opens the angle: pi/2 + atan(slope).
    """
    a, b = (math.pi / 2 + towards * math.atan(s) for s in slope)
    return min(a, b), max(a, b)


def _refuse_off_trace(rail: Rail, foot: Foot) -> None:
    """Refuse a foot that reaches beyond what was read in any plane."""
    if foot.end_mm is None:
        for fitted in rail.traces:
            try:
                cut_to_foot(fitted.chain, foot)
            except Refusal as refusal:
                raise Refusal(message("{}: {}", fitted.trace.file, refusal.message), refusal.key) from None
        return
    reads = []
    for trace in (fitted.trace for fitted in rail.traces):
        stations = [reading.point.real for reading in trace.readings]
        reads.append((trace.file, min(stations), max(stations)))
    begin, end = max(foot.begin_mm, *(r[1] for r in reads)), min(foot.end_mm, *(r[2] for r in reads))
    for file, first, last in reads:
        if foot.begin_mm < first - 1e-6 or foot.end_mm > last + 1e-6:
            within = (mm(begin, "up"), mm(end, "down"))
            cure = Cure(message("foot from {} to {}", *within), (Change("mount.foot", within),))
            words = (
                "the foot runs from station {} to {} but {} was read only from {} to {}; shorten the foot or read "
                "further along the rail"
            )
            raise Refusal(
                message(words, mm(foot.begin_mm), mm(foot.end_mm), file, mm(first), mm(last)),
                "mount.foot",
                cure=cure if begin < end else None,
            )


def _run_out(section: Chain) -> Chain:
    """A section carried on straight, so that it spans the foot whatever the reading error did to its ends."""
    return extended(section, _RUN_OUT_MM, _RUN_OUT_MM)


def _meeting(path: Chain, legs: Sequence[Chain], rail: Rail, faces_mm: tuple[float, float]) -> Meeting:
    """How the legs of a notch meet the rail within its spread, at both faces and at traced planes between them.

    A foot along the rail is pushed home along the in-line offset; round a corner it is free to slide both ways.
    """
    faces = rail.planes_between(*faces_mm) if rail.varies else faces_mm[:1]
    points: list[complex] = []
    gaps: list[float] = []
    looked = []
    for w in faces:
        section = _run_out(rail.section(w))
        met = [place for leg in legs for place in _met(leg, _beside_joints(leg), section, _waved_places(section))]
        points += [p for p, _ in met]
        gaps += [gap for _, gap in met]
        looked.append((w, np.array([p for p, _ in met])))
    near = doubt(rail, looked)
    ways = np.array([1.0, 1j] if goes_round(path) else [1j])
    return Meeting(
        gap_mm=np.array(gaps),
        modes_mm=near.modes_mm,
        blocks=blocks_of(rail),
        closer=motions(np.array(points), near.away, ways),
        press=pressing(legs, ways),
        ways=ways,
    )


def _gap_and_overlap(path: Chain, section: Chain) -> tuple[float, float]:
    """Largest distance from the notch up to the rail's section, and deepest that the plate goes into the rail."""
    gaps = [gap for _, gap in _met(path, (p for _, p in _places(path)), section, _places(section))]
    return max(0.0, *gaps), max(0.0, -min(gaps))


def _met(
    path: Chain, own: Iterable[complex], section: Chain, places: Iterable[tuple[float, complex]]
) -> list[tuple[complex, float]]:
    """Places of a notch and some of the rail's section, and the distance from the one up to the other there.

    The plate lies right of its notch, the rail left of its section. The section is looked at beside the notch only: not
    before its beginning, not beyond its end, and not where past a corner sharper than square it leans back over it.
    """
    start, along, end, onward = path.start, path.segments[0].start_tangent, path.end, path.segments[-1].end_tangent
    first, last = (_along(section, p) for p in (start, end))
    beside = [
        p
        for at, p in places
        if first - _SAME_PLACE_MM <= at <= last + _SAME_PLACE_MM
        and dot(p - start, along) >= 0.0
        and dot(p - end, onward) <= 0.0
    ]
    own = list(own)
    gaps = (*(-d for d in offsets_from(section, own)), *offsets_from(path, beside))
    return list(zip((*own, *beside), gaps, strict=True))


def _along(chain: Chain, point: complex) -> float:
    """How far along a chain it comes nearest to a point."""
    index, share = chain.nearest(point)
    return sum(edge.length for edge in chain.segments[:index]) + share * chain.segments[index].length


def _places(chain: Chain) -> Iterator[tuple[float, complex]]:
    """Where the distance between two chains of lines and arcs can be largest: the ends of edges, and along arcs.

    Each with how far along the chain it lies.
    """
    begin = 0.0
    for edge in chain:
        yield begin, edge.start
        if edge.sweep_rad:
            yield from ((begin + t * edge.length, edge.point(t)) for t in (0.25, 0.5, 0.75))
        begin += edge.length
    yield begin, chain.end


def _beside_joints(chain: Chain) -> Iterator[complex]:
    """Both ends of every edge, a hair within it, and along arcs: at a joint the rail has two normals, and one place."""
    for edge in chain:
        shares = (0.25, 0.5, 0.75) if edge.sweep_rad else ()
        yield from (edge.point(t) for t in (_BESIDE_JOINT, *shares, 1.0 - _BESIDE_JOINT))


def _waved_places(chain: Chain) -> Iterator[tuple[float, complex]]:
    """Where the true rail may lie off a section: close enough together for its waves, and on both sides of a joint.

    Each with how far along the section it lies.
    """
    begin = 0.0
    for edge in chain:
        parts = max(4, math.ceil(edge.length / _WAVED_MM))
        shares = (min(max(k / parts, _BESIDE_JOINT), 1.0 - _BESIDE_JOINT) for k in range(parts + 1))
        yield from ((begin + share * edge.length, edge.point(share)) for share in shares)
        begin += edge.length


def _slopes(rail: Rail, faces_mm: tuple[float, float], leg: Chain) -> Slopes:
    near, far = (list(rail.slopes(w, leg.start, leg.end)) for w in faces_mm)
    return (min(near), max(near)), (min(far), max(far))


def toes(path: Chain, toe_mm: float) -> tuple[complex, complex]:
    """The points at a toe's height from the notch's two ends, on the free side, square to the rail there."""
    first_down, last_down = path.segments[0].start_tangent * -1j, path.segments[-1].end_tangent * -1j
    return path.start + first_down * toe_mm, path.end + last_down * toe_mm
