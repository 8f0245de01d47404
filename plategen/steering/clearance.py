"""What the tyres clear over a sweep: the bars that are told, and the linkage itself, which moves past them.

A tyre is a ring of rectangular section, a bar the round rod about a line. The gap is least somewhere along the line and
somewhere in the sweep: both are closed in on.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from typing import Any, TypeAlias

import numpy as np

from plategen.ground.order import distinct
from plategen.steering.motion import Motion
from plategen.steering.ring import Gaps, Integers, TyreSize, line_gaps, nearest_on_ring
from plategen.steering.vector import Floats, array, length

DEFLECTION_MM = (12.7, 25.4)
"""How far a tyre's side moves under load: half an inch to an inch (common practice, no source)."""

FIRST_POSITIONS, AT_ONCE, MOST_PARTS = 33, 600, 8
"""Positions looked at first; between them only where the gap could still be less: few spans are parted into more each,
as with few it costs most to start."""

ROUNDING_MM = 1e-9
"""What rounding makes of one gap that is worked out at two positions."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """A round bar at n positions: both ends of its middle line, (n, 3) each, and its diameter."""

    name: str
    start_mm: Floats
    end_mm: Floats
    diameter_mm: float
    told: bool = False  # True for a bar of the job, which stands on the frame; False for a part of the linkage.


@dataclass(frozen=True, slots=True, kw_only=True)
class Clearance:
    """The least gap of one tyre to one bar, tyre undeflected, and at which position it is."""

    tyre: str
    bar: str
    told: bool  # True for a bar of the job, False for a part of the linkage.
    axle_moved: bool  # True over the axle's travel, False over the sweep with the axle as drawn.
    least_mm: float
    position: int
    _rings: "_Rings" = field(repr=False, compare=False)
    _pair: "Pair" = field(repr=False, compare=False)

    def left_mm(self, deflection_mm: float) -> float:
        """What is left of it with the tyre deflected by so much."""
        return self.least_mm - deflection_mm

    def gaps_mm(self, positions: Integers) -> Floats:
        """The gap at each of some positions, (m,)."""
        return np.asarray(gaps_at((self,), positions)[0])

    def ends_mm(self, positions: Integers) -> tuple[Floats, Floats]:
        """Where the gap is at each of some positions: the nearest point of the tyre and of the bar, (m, 3) each."""
        which, bar = self._pair
        looked = _Looked.at(self._rings, [self._pair], np.zeros_like(positions), positions)
        on_line = looked.start_mm + looked.gap.share[:, None] * (looked.end_mm - looked.start_mm)
        on_tyre, into = nearest_on_ring(self._rings.tyres[which], on_line)
        on_bar = on_line + bar.diameter_mm / 2.0 * into
        return self._rings.stood(which, on_tyre, positions), self._rings.stood(which, on_bar, positions)


def gaps_at(found: tuple[Clearance, ...], positions: Integers) -> Floats:
    """The gaps of clearances of one motion at some positions, all at once, (k, m)."""
    if not found:
        return np.zeros((0, len(positions)))
    pairs = [each._pair for each in found]
    looked = _Looked.at(
        found[0]._rings, pairs, np.repeat(np.arange(len(pairs)), len(positions)), np.tile(positions, len(pairs))
    )
    bar_mm = np.array([[bar.diameter_mm / 2.0] for _, bar in pairs])
    return np.asarray(looked.gap.mm.reshape(len(pairs), -1) - bar_mm)


def nearest(found: tuple[Clearance, ...], most: int) -> tuple[Clearance, ...]:
    """So many of the least gaps of the sweep at most, the axle as drawn."""
    return tuple(sorted((each for each in found if not each.axle_moved), key=lambda each: each.least_mm)[:most])


@dataclass(frozen=True, slots=True)
class _Rings:
    """Tyres on their way, as they see what they pass: they stand where they are drawn, and the bars move about them."""

    tyres: tuple[TyreSize, ...]
    motion: Motion

    def seen(self, which: int, points_mm: Floats, positions: Integers) -> Floats:
        """Points of space, (m, 3), from one tyre's middle at each position."""
        few, tyre = self.motion.picked(positions), self.tyres[which]
        return few.seen_from(tyre.lever, points_mm) - array(tyre.centre_mm)

    def stood(self, which: int, seen_mm: Floats, positions: Integers) -> Floats:
        """Points that one tyre sees from its middle at each position, (m, 3), where they stand in space."""
        tyre = self.tyres[which]
        return self.motion.picked(positions).stood(tyre.lever, seen_mm + array(tyre.centre_mm))


def clearances(
    motion: Motion, tyres: tuple[TyreSize, ...], bars: tuple[Bar, ...], *, axle_moved: bool = False
) -> tuple[Clearance, ...]:
    """The least gap of each tyre to each bar over all positions.

    Seen from the tyre no point of a bar goes further between two positions than its ends do, each in its share. So the
    gap between cannot be less than the lesser at both by more than that: spans in which it could be the least are
    halved until none is left.
    """
    pairs = [(k, bar) for k in range(len(tyres)) for bar in bars]
    if not pairs:
        return ()
    rings = _Rings(tyres, motion)
    least, position = _least(rings, pairs)
    return tuple(
        Clearance(
            tyre=tyres[k].lever,
            bar=bar.name,
            told=bar.told,
            axle_moved=axle_moved,
            least_mm=float(mm) - bar.diameter_mm / 2.0,
            position=int(i),
            _rings=rings,
            _pair=(k, bar),
        )
        for (k, bar), mm, i in zip(pairs, least, position, strict=True)
    )


Pair: TypeAlias = tuple[int, Bar]
"""One of the tyres, and a bar that it is to clear."""


def _runs(numbers: Integers, n: int) -> Iterator[tuple[int, slice]]:
    """Where each of n numbers stands in rising ones, for those that do."""
    ends = np.searchsorted(numbers, np.arange(n + 1)).tolist()
    return ((i, slice(low, high)) for i, (low, high) in enumerate(pairwise(ends)) if high > low)


def _least(rings: _Rings, pairs: list[Pair]) -> tuple[Floats, Integers]:
    """The least gap of each pair, to the bar's middle line, and its position, (p,) each."""
    n = len(rings.motion)
    first = distinct(np.linspace(0, n - 1, min(FIRST_POSITIONS, n)).round().astype(np.int64))
    seen = _Looked.at(rings, pairs, np.repeat(np.arange(len(pairs)), len(first)), np.tile(first, len(pairs)))
    table = seen.gap.mm.reshape(len(pairs), len(first))
    least, position = table.min(axis=1), first[table.argmin(axis=1)]
    inner = np.arange(table.size).reshape(table.shape)
    a, b = seen.of(inner[:, :-1].ravel()), seen.of(inner[:, 1:].ravel())
    while True:
        keep = np.flatnonzero((b.position - a.position > 1) & (a.least_until(b) < least[a.pair] - ROUNDING_MM))
        if not len(keep):
            return least, position
        a, b, n = a.of(keep), b.of(keep), len(keep)
        parts = min(max(AT_ONCE // n, 2), MOST_PARTS)
        parting = np.arange(1, parts)
        between = a.position[:, None] + (b.position - a.position)[:, None] * parting // parts
        looked = _Looked.at(rings, pairs, a.pair.repeat(parts - 1), between.ravel())
        order = np.argsort(-looked.gap.mm, kind="stable")  # the least of each pair is written last
        better = order[looked.gap.mm[order] < least[looked.pair[order]]]
        least[looked.pair[better]], position[looked.pair[better]] = looked.gap.mm[better], looked.position[better]
        row = np.arange(n)[:, None]
        ends = np.hstack([row, 2 * n + row * (parts - 1) + parting - 1, n + row])
        every = a.and_also(b).and_also(looked)
        a, b = every.of(ends[:, :-1].ravel()), every.of(ends[:, 1:].ravel())


@dataclass(frozen=True, slots=True)
class _Looked:
    """Pairs that were looked at, each at a position: where the tyre sees both ends, and the gap; (k,) or (k, 3)."""

    pair: Integers
    position: Integers
    start_mm: Floats
    end_mm: Floats
    gap: Gaps

    @classmethod
    def at(cls, rings: _Rings, pairs: list[Pair], pair: Integers, position: Integers) -> "_Looked":
        """So many pairs, by their number, which never falls, each at a position."""
        places = np.empty((2, len(pair), 3))
        which = np.array([k for k, _ in pairs])[pair]
        for number, rows in _runs(pair, len(pairs)):
            bar, at = pairs[number][1], position[rows]
            places[0, rows], places[1, rows] = bar.start_mm[at], bar.end_mm[at]
        for k, rows in _runs(which, len(rings.tyres)):
            both = rings.seen(k, places[:, rows].reshape(-1, 3), np.tile(position[rows], 2))
            places[:, rows] = both.reshape(2, -1, 3)
        start, end = places
        return cls(pair, position, start, end, line_gaps(rings.tyres, which, start, end))

    def of(self, some: Integers) -> "_Looked":
        mine = self.gap
        gap = Gaps(mine.mm[some], mine.share[some], mine.from_start_mm[some], mine.from_end_mm[some])
        return _Looked(self.pair[some], self.position[some], self.start_mm[some], self.end_mm[some], gap)

    def and_also(self, other: "_Looked") -> "_Looked":
        def both(one: Any, two: Any) -> Any:
            return np.concatenate([one, two])

        mine, others = self.gap, other.gap
        gap = Gaps(
            both(mine.mm, others.mm),
            both(mine.share, others.share),
            both(mine.from_start_mm, others.from_start_mm),
            both(mine.from_end_mm, others.from_end_mm),
        )
        return _Looked(
            both(self.pair, other.pair),
            both(self.position, other.position),
            both(self.start_mm, other.start_mm),
            both(self.end_mm, other.end_mm),
            gap,
        )

    def least_until(self, then: "_Looked") -> Floats:
        """What the gap cannot fall below between these positions and those of another, (k,).

        A point at the share t of a bar goes no further than (1 - t) of its start's way and t of its end's; where one
        end is the nearest, the gap there is greater by the share that it grows by.
        """
        at_start, at_end = length(then.start_mm - self.start_mm), length(then.end_mm - self.end_mm)
        nearer = np.maximum(
            at_start - np.minimum(self.gap.from_end_mm, then.gap.from_end_mm),
            at_end - np.minimum(self.gap.from_start_mm, then.gap.from_start_mm),
        )
        return np.asarray(np.minimum(self.gap.mm, then.gap.mm) - nearer)
