"""What the tyres clear over a sweep: the bars that are told, and the linkage itself, which moves past them.

A tyre is a ring of rectangular section, a bar the round rod about a line. From a point at s along the wheel's axle and
r from it to the section is a plane distance; along the line s is linear and r^2 quadratic, so the gap costs a handful
of products a point. It is least somewhere along the line and somewhere in the sweep: both are closed in on.
"""

from dataclasses import dataclass, field
from typing import Any, TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.steering.motion import Motion
from plategen.steering.vector import Floats, Point, array, dot, length, unit

Integers: TypeAlias = NDArray[np.int64]
"""Indices of positions."""

DEFLECTION_MM = (12.7, 25.4)
"""How far a tyre's side moves under load: half an inch to an inch (common practice, no source)."""

FIRST_POSITIONS = 65
"""Positions looked at first; between them only where the gap could still be less."""

ROUNDING_MM = 1e-9
"""What rounding makes of one gap that is worked out at two positions."""

ALONG, ALONG_HOLLOW, CLOSER = 9, 65, 9
"""Points along a bar, along one that may reach into a rim, and times that the spans about the best are divided anew:
what is left is less than a millionth of the bar."""


@dataclass(frozen=True, slots=True, kw_only=True)
class TyreSize:
    """A tyre as a plain ring, drawn straight ahead."""

    lever: str  # The spindle that carries it.
    centre_mm: Point  # Middle of the tyre.
    radius_mm: float  # Outside radius.
    width_mm: float  # Section width.
    rim_mm: float = 0.0  # Radius inside of which there is room for arms and rods; 0 for a full disc.
    axle: Point = (0.0, 1.0, 0.0)  # Direction of the wheel's spindle; level and to the left when left out.


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
    _ring: "_Ring" = field(repr=False, compare=False)
    _bar: Bar = field(repr=False, compare=False)

    def left_mm(self, deflection_mm: float) -> float:
        """What is left of it with the tyre deflected by so much."""
        return self.least_mm - deflection_mm

    def gaps_mm(self, positions: Integers) -> Floats:
        """The gap at each of some positions, (m,)."""
        start, end = (each[positions] for each in (self._bar.start_mm, self._bar.end_mm))
        return self._ring.gaps(start, end, positions).mm - self._bar.diameter_mm / 2.0


def nearest(found: tuple[Clearance, ...], most: int) -> tuple[Clearance, ...]:
    """So many of the least gaps of the sweep at most, the axle as drawn."""
    return tuple(sorted((each for each in found if not each.axle_moved), key=lambda each: each.least_mm)[:most])


@dataclass(frozen=True, slots=True)
class Gaps:
    """Gaps of lines to a ring, (m,) each, and how fast each gap grows from an end of its line that is the nearest."""

    mm: Floats
    # What it grows by at least from start to end where the start is the nearest, and from end to start where that is.
    from_start_mm: Floats
    from_end_mm: Floats


@dataclass(frozen=True, slots=True)
class _Ring:
    """A tyre on its way, as it sees what it passes: it stands where it is drawn, and the bars move about it."""

    tyre: TyreSize
    motion: Motion

    def seen(self, bar_mm: Floats, positions: Integers) -> Floats:
        """Points of space, (m, 3), from the tyre's middle at each position."""
        few = self.motion.picked(positions)
        return few.seen_from(self.tyre.lever, bar_mm) - array(self.tyre.centre_mm)

    def gaps(self, start_mm: Floats, end_mm: Floats, positions: Integers) -> Gaps:
        """From the ring to the lines between both ends at some positions: negative inside it."""
        return line_gaps(self.tyre, self.seen(start_mm, positions), self.seen(end_mm, positions))


def line_gaps(tyre: TyreSize, start_mm: Floats, end_mm: Floats) -> Gaps:
    """From a tyre with its middle at the origin to the lines between both ends, (m, 3) each.

    To a full disc the gap falls and rises once along a line, so closing in finds the least of it; to a ring with
    room inside its rim it may dip twice, and is off by no more than half the spacing of the first points.
    """
    way, axle = end_mm - start_mm, unit(array(tyre.axle))
    s0, s1 = (dot(each, axle)[:, None] for each in (start_mm, way))
    square, twice, rate = (dot(*each)[:, None] for each in ((start_mm, start_mm), (start_mm, 2.0 * way), (way, way)))
    hollow = tyre.rim_mm > 0.0

    def gaps(t: Floats) -> Floats:
        along = s0 + t * s1
        outward = np.sqrt(np.maximum(square + t * (twice + t * rate) - along * along, 0.0))
        beside, beyond = np.abs(along) - tyre.width_mm / 2.0, outward - tyre.radius_mm
        if hollow:
            beyond = np.maximum(beyond, tyre.rim_mm - outward)
        outside = np.maximum(beside, 0.0) ** 2 + np.maximum(beyond, 0.0) ** 2
        return np.asarray(np.sqrt(outside) + np.minimum(np.maximum(beside, beyond), 0.0))

    shares = np.linspace(0.0, 1.0, ALONG_HOLLOW if hollow else ALONG)
    low, wide = np.zeros((len(start_mm), 1)), np.ones((len(start_mm), 1))
    for _ in range(CLOSER):
        t = low + wide * shares
        found = gaps(t)
        best = found.argmin(axis=1)[:, None]
        at, step = np.take_along_axis(t, best, axis=1), wide / (len(shares) - 1)
        low, high = np.maximum(at - step, 0.0), np.minimum(at + step, 1.0)
        wide = high - low
        shares = np.linspace(0.0, 1.0, ALONG)
    least = found.min(axis=1)
    # a gap that rises and falls but once grows along the line by no less than next to its nearest end
    grows = np.zeros_like(least) if hollow else (found[:, -1] - found[:, 0]) / (t[:, -1] - t[:, 0])
    at_start, at_end = at[:, 0] == 0.0, at[:, 0] == 1.0
    return Gaps(least, np.where(at_start, grows, 0.0), np.where(at_end, -grows, 0.0))


def clearances(
    motion: Motion, tyres: tuple[TyreSize, ...], bars: tuple[Bar, ...], *, axle_moved: bool = False
) -> tuple[Clearance, ...]:
    """The least gap of each tyre to each bar over all positions.

    Seen from the tyre no point of a bar goes further between two positions than its ends do, each in its share. So the
    gap between cannot be less than the lesser at both by more than that: spans in which it could be the least are
    halved until none is left.
    """
    if not bars:
        return ()
    found: list[Clearance] = []
    for ring in (_Ring(tyre, motion) for tyre in tyres):
        least, position = _least(ring, bars)
        found += [
            Clearance(
                tyre=ring.tyre.lever,
                bar=bar.name,
                told=bar.told,
                axle_moved=axle_moved,
                least_mm=float(mm) - bar.diameter_mm / 2.0,
                position=int(i),
                _ring=ring,
                _bar=bar,
            )
            for bar, mm, i in zip(bars, least, position, strict=True)
        ]
    return tuple(found)


def _least(ring: _Ring, bars: tuple[Bar, ...]) -> tuple[Floats, Integers]:
    """The least gap to the middle line of each bar and its position, (b,) each."""
    n = len(ring.motion)
    first = np.unique(np.linspace(0, n - 1, min(FIRST_POSITIONS, n)).round().astype(np.int64))
    seen = _Looked.at(ring, bars, np.repeat(np.arange(len(bars)), len(first)), np.tile(first, len(bars)))
    table = seen.gap.mm.reshape(len(bars), len(first))
    least, position = table.min(axis=1), first[table.argmin(axis=1)]
    inner = np.arange(table.size).reshape(table.shape)
    a, b = seen.of(inner[:, :-1].ravel()), seen.of(inner[:, 1:].ravel())
    while len(a.bar):
        keep = np.flatnonzero((b.position - a.position > 1) & (a.least_until(b) < least[a.bar] - ROUNDING_MM))
        a, b = a.of(keep), b.of(keep)
        middle = _Looked.at(ring, bars, a.bar, (a.position + b.position) // 2)
        order = np.argsort(-middle.gap.mm, kind="stable")  # the least of each bar is written last
        better = order[middle.gap.mm[order] < least[middle.bar[order]]]
        least[middle.bar[better]], position[middle.bar[better]] = middle.gap.mm[better], middle.position[better]
        a, b = a.and_also(middle), middle.and_also(b)
    return least, position


@dataclass(frozen=True, slots=True)
class _Looked:
    """Bars that were looked at, each at a position: where the tyre sees both ends, and the gap; (k,) or (k, 3)."""

    bar: Integers
    position: Integers
    start_mm: Floats
    end_mm: Floats
    gap: Gaps

    @classmethod
    def at(cls, ring: _Ring, bars: tuple[Bar, ...], bar: Integers, position: Integers) -> "_Looked":
        places = np.empty((2, len(bar), 3))
        for b, each in enumerate(bars):
            rows = np.flatnonzero(bar == b)
            if len(rows):
                places[0, rows], places[1, rows] = each.start_mm[position[rows]], each.end_mm[position[rows]]
        start, end = (ring.seen(place, position) for place in places)
        return cls(bar, position, start, end, line_gaps(ring.tyre, start, end))

    def of(self, some: Integers) -> "_Looked":
        gap = Gaps(self.gap.mm[some], self.gap.from_start_mm[some], self.gap.from_end_mm[some])
        return _Looked(self.bar[some], self.position[some], self.start_mm[some], self.end_mm[some], gap)

    def and_also(self, other: "_Looked") -> "_Looked":
        def both(one: Any, two: Any) -> Any:
            return np.concatenate([one, two])

        mine, others = self.gap, other.gap
        gap = Gaps(
            both(mine.mm, others.mm),
            both(mine.from_start_mm, others.from_start_mm),
            both(mine.from_end_mm, others.from_end_mm),
        )
        return _Looked(
            both(self.bar, other.bar),
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
