"""How a plate will meet the rail as it truly is: gap and bind with the pin held in its place, and once pushed home.

A plate's edge is fitted to the rail as it was read, and the rail lies off that by its spread. So at places along the
edge and on both faces the true gap is what is drawn plus ``modes t`` (:mod:`plategen.rail.spread`); of many rails
drawn the figures here hold for 95 of 100.

Pushed home, a plate goes on until it rests on the rail at as many places as it can move in ways: in a straight foot
two, pushed along the in-line offset and turned; round a corner three, for there it slides along the cylinder too. It
comes to rest where pressing evenly all along the edge moves it no farther. That is a small linear programme,

    greatest  c . m   with   a_i . m <= gap_i  at every place i,

with m the motion, a_i how much closer to the rail it brings place i, and c the sum of a along the edge. By duality its
greatest value is the least, over all sets of so many places whose a's carry c with no pull, of what they carry times
their gaps; and those sets are the same for every rail that is drawn.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations, product

import numpy as np
from numpy.typing import NDArray

from plategen.flat.chain import Chain
from plategen.ground.order import distinct, quantile
from plategen.rail.draws import Block, drawn
from plategen.rail.fit.model import Complexes, Floats

OF_ALL = 0.95
"""A figure holds for so many of all plates."""

_REMEMBERED = 1024
_AT_ONCE = 128
"""Rails whose sums fit the processor's cache: all at once take seven times as long."""

_MOST_TOUCHING = 28
_GOLDEN = (5.0**0.5 - 1.0) / 2.0


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Meeting:
    """A plate's edge at P places, along it and on both faces, against the rail and its spread; equals itself alone."""

    gap_mm: Floats  # (P,): from plate to fitted rail, square to the rail, negative where it digs in.
    modes_mm: Floats  # P x M: how the true rail may lie off the fitted one there, into the metal.
    blocks: tuple[Block, ...]  # Which of the modes belong to which trace, and how they are drawn.
    closer: Floats  # P x F: how much closer to the rail each of the plate's motions brings each place.
    press: Floats  # (F,): the sum of ``closer`` along the edge.
    ways: Complexes  # (F - 1,): where the motions shift the plate, in its plane; the last one turns it.


@dataclass(frozen=True, slots=True, kw_only=True)
class Home:
    """A plate pushed home, for 95 plates of 100."""

    gap_mm: float  # Largest gap that is left.
    pin_off_mm: float | None  # How far its pin's centre comes to lie from its place; None where it has no pin.


@lru_cache(maxsize=_REMEMBERED)
def held(meeting: Meeting) -> tuple[float, float]:
    """The largest gap, and the deepest bind, with the plate held by its pin."""
    gap = _gaps(meeting)
    return of_all(gap.max(axis=0)), of_all(-gap.min(axis=0))


def pushed_home(meeting: Meeting, pin: complex | None) -> Home:
    """Gap left, and how far the pin's centre, a point of the plate's plane, is off, once the plate is pushed home."""
    gap_mm, motion = _home(meeting)
    if pin is None:
        return Home(gap_mm=gap_mm, pin_off_mm=None)
    way, turn = motion[:, :-1] @ meeting.ways, motion[:, -1]
    return Home(gap_mm=gap_mm, pin_off_mm=of_all(np.abs(way + 1j * turn * pin)))


def _gaps(meeting: Meeting) -> Floats:
    """The true gap at every place, for every rail drawn."""
    # not the matrix product, which wakes threads for less work than waking them takes
    return np.asarray(meeting.gap_mm[:, None] + np.einsum("pm,ms->ps", meeting.modes_mm, drawn(meeting.blocks)))


def of_all(figures: Floats) -> float:
    """What no more than :data:`OF_ALL` of figures, one for every rail drawn, come to; 0 where that is less."""
    return max(0.0, quantile(figures, OF_ALL))


def _touching(meeting: Meeting) -> list[int]:
    """Places that may be the first to touch: all of a few; of many those farthest out and some evenly between."""
    order = np.argsort(meeting.closer[:, -1])
    at = distinct(np.linspace(0, len(order) - 1, _MOST_TOUCHING).astype(int))
    return [int(i) for i in order[distinct(np.append(at, [0, 1, len(order) - 2, len(order) - 1]))]]


@lru_cache(maxsize=_REMEMBERED)
def _home(meeting: Meeting) -> tuple[float, Floats]:
    """The gap left, and the motion for every rail drawn, one a row."""
    gap = _gaps(meeting)
    touching = _touching(meeting)
    sets, back, carried = _pressed(meeting, touching)
    if not len(sets):  # the press is a sum over all places: those farthest out every way carry it
        sets, back, carried = _pressed(meeting, [*touching, *_farthest(meeting)])
    drawn_at = (gap[:, begin : begin + _AT_ONCE] for begin in range(0, gap.shape[1], _AT_ONCE))
    first = np.concatenate([_first(sets, carried, some) for some in drawn_at])
    motion = np.einsum("sij,js->si", back[first], gap[sets[first].T, np.arange(gap.shape[1])])
    return of_all((gap - np.einsum("pf,sf->ps", meeting.closer, motion)).max(axis=0)), motion


def _first(sets: NDArray[np.intp], carried: Floats, gap: Floats) -> NDArray[np.intp]:
    """Which set of places stops the plate, for every rail drawn: where the press does the least work."""
    work = carried[:, 0, None] * gap[sets[:, 0]]
    for k in range(1, sets.shape[1]):
        work += carried[:, k, None] * gap[sets[:, k]]
    return np.asarray(work.argmin(axis=0))


def _farthest(meeting: Meeting) -> list[int]:
    """The places that the plate's motions bring closest to the rail, one or some of them at once, either way."""
    scaled = meeting.closer / np.abs(meeting.closer).max(axis=0)
    directions = np.array(list(product((-1.0, 0.0, 1.0), repeat=scaled.shape[1])))
    return [int(i) for i in distinct((scaled @ directions.T).argmax(axis=0))]


def _pressed(meeting: Meeting, touching: Sequence[int]) -> tuple[NDArray[np.intp], Floats, Floats]:
    """Which sets of places carry the press with no pull, the inverses of what brings them closer, and their shares."""
    sets = np.array(list(combinations(sorted(set(touching)), len(meeting.press))))
    closer = meeting.closer[sets]
    size = np.prod(np.linalg.norm(closer, axis=2), axis=1)
    firm = np.abs(np.linalg.det(closer)) > 1e-6 * size
    sets, back = sets[firm], np.linalg.inv(closer[firm])
    carried = (meeting.press + _aside(meeting)) @ back
    pressed = (carried >= -1e-9 * np.abs(carried).max(axis=1, keepdims=True)).all(axis=1)
    return sets[pressed], back[pressed], carried[pressed]


def _aside(meeting: Meeting) -> Floats:
    """A hair's change of where it is pressed, so that no place is pressed by nothing and two sets are never as good."""
    uneven = np.modf(np.arange(1, len(meeting.closer) + 1) * _GOLDEN)[0]
    return np.asarray(uneven @ meeting.closer * (1e-6 * np.linalg.norm(meeting.press) / np.linalg.norm(meeting.closer)))


def motions(points: Complexes, away: Complexes, ways: Complexes) -> Floats:
    """How much closer to the rail, which lies along ``away``, shifts along ``ways`` and a turn bring points."""
    shifts = (away.conj()[:, None] * ways).real
    return np.column_stack((shifts, (away.conj() * 1j * points).real))


def pressing(legs: Sequence[Chain], ways: Complexes) -> Floats:
    """The sum of :func:`motions` along an edge whose left side faces the rail.

    Along a leg from p to q the unit normals add up to i (q - p), and their turning moments to (|q|^2 - |p|^2) / 2.
    """
    shift = sum(1j * (leg.end - leg.start) for leg in legs)
    turn = sum(abs(leg.end) ** 2 - abs(leg.start) ** 2 for leg in legs) / 2.0
    return np.array([*(complex(shift).conjugate() * ways).real, turn])


def as_drawn(legs: Sequence[Chain], faces_mm: Sequence[float]) -> Meeting:
    """The meeting of an edge with a surface that is known as drawn, off by so much at each face."""
    places = [leg.place(k / 4) for leg in legs for k in range(5)]
    points, tangents = (np.tile(np.array(each), len(faces_mm)) for each in zip(*places, strict=True))
    ways = np.array([1j])
    return Meeting(
        gap_mm=np.repeat(np.array(faces_mm, dtype=float), len(places)),
        modes_mm=np.zeros((len(points), 0)),
        blocks=(),
        closer=motions(points, tangents * 1j, ways),
        press=pressing(legs, ways),
        ways=ways,
    )
