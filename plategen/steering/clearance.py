"""What the tyres clear over a sweep: the bars that are told, and the linkage itself, which moves past them.

A tyre is a ring of rectangular section, a bar the round rod about a line. From a point at s along the wheel's axle and
r from it to the section is a plane distance; along the line s is linear and r^2 quadratic, so the gap costs a handful
of products a point. It is least somewhere along the line and somewhere in the sweep: both are closed in on.
"""

from dataclasses import dataclass, field
from typing import TypeAlias

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
        return self._ring.gaps_mm(self._bar.start_mm[positions], self._bar.end_mm[positions], positions) - (
            self._bar.diameter_mm / 2.0
        )


def nearest(found: tuple[Clearance, ...], most: int) -> tuple[Clearance, ...]:
    """So many of the least gaps of the sweep at most, the axle as drawn."""
    return tuple(sorted((each for each in found if not each.axle_moved), key=lambda each: each.least_mm)[:most])


@dataclass(frozen=True, slots=True)
class _Ring:
    """A tyre on its way."""

    tyre: TyreSize
    motion: Motion

    def placed(self, positions: Integers) -> tuple[Floats, Floats]:
        """Middle and axle at some positions, (m, 3) each."""
        few = self.motion.picked(positions)
        lever = self.tyre.lever
        return few.carried_mm(lever, self.tyre.centre_mm), few.direction(lever, unit(array(self.tyre.axle)))

    def gaps_mm(self, start_mm: Floats, end_mm: Floats, positions: Integers) -> Floats:
        """From the ring to the lines between both ends at some positions, (m,): negative inside it."""
        centre, axle = self.placed(positions)
        return line_gaps_mm(self.tyre, start_mm - centre, end_mm - centre, axle)


def line_gaps_mm(tyre: TyreSize, start_mm: Floats, end_mm: Floats, axle: Floats) -> Floats:
    """From tyres with their middle at the origin, (m, 3) unit axles, to the lines between both ends, (m,) for (m, 3).

    To a full disc the gap falls and rises once along a line, so closing in finds the least of it; to a ring with
    room inside its rim it may dip twice, and is off by no more than half the spacing of the first points.
    """
    way = end_mm - start_mm
    s0, s1 = (dot(each, axle)[:, None] for each in (start_mm, way))
    square, twice, rate = (dot(*each)[:, None] for each in ((start_mm, start_mm), (start_mm, way), (way, way)))

    def gaps(t: Floats) -> Floats:
        along = s0 + t * s1
        outward = np.sqrt(np.maximum(square + t * (2.0 * twice + t * rate) - along**2, 0.0))
        beside, beyond = np.abs(along) - tyre.width_mm / 2.0, outward - tyre.radius_mm
        if tyre.rim_mm > 0.0:
            beyond = np.maximum(beyond, tyre.rim_mm - outward)
        outside = np.hypot(np.maximum(beside, 0.0), np.maximum(beyond, 0.0))
        return np.asarray(outside + np.minimum(np.maximum(beside, beyond), 0.0))

    shares = np.linspace(0.0, 1.0, ALONG_HOLLOW if tyre.rim_mm > 0.0 else ALONG)
    low, wide = np.zeros((len(start_mm), 1)), np.ones((len(start_mm), 1))
    for _ in range(CLOSER):
        t = low + wide * shares
        found = gaps(t)
        best = found.argmin(axis=1)[:, None]
        step = wide / (len(shares) - 1)
        low, high = (np.clip(low + (best + k) * step, low, low + wide) for k in (-1, 1))
        wide = high - low
        shares = np.linspace(0.0, 1.0, ALONG)
    return np.asarray(np.minimum(found.min(axis=1), gaps(low + 0.5 * wide)[:, 0]))


def clearances(
    motion: Motion, tyre: TyreSize, bars: tuple[Bar, ...], *, axle_moved: bool = False
) -> tuple[Clearance, ...]:
    """The least gap of a tyre to each bar over all positions.

    Between two positions no point of a bar goes further than its ends do, and none of the tyre further than its middle
    and the turn of its axle take it. So the gap between cannot be less than the lesser at both by more than that:
    spans in which it could be the least are halved until none is left.
    """
    if not bars:
        return ()
    ring, n = _Ring(tyre, motion), len(motion)
    starts, ends = (np.stack([getattr(bar, name) for bar in bars]) for name in ("start_mm", "end_mm"))
    first = np.unique(np.linspace(0, n - 1, min(FIRST_POSITIONS, n)).round().astype(np.int64))
    which, at = (each.ravel() for each in np.meshgrid(np.arange(len(bars)), first, indexing="ij"))
    gap = ring.gaps_mm(starts[which, at], ends[which, at], at)
    table = gap.reshape(len(bars), len(first))
    least, position = table.min(axis=1), first[table.argmin(axis=1)]
    inner = np.arange(len(at)).reshape(table.shape)
    a, b = inner[:, :-1].ravel(), inner[:, 1:].ravel()
    span = _Spans(which[a], at[a], at[b], gap[a], gap[b])
    while len(span.bar):
        span = span.where(
            (span.last - span.first > 1) & (span.lesser_mm - _moved_mm(ring, starts, ends, span) < least[span.bar])
        )
        middle = (span.first + span.last) // 2
        gap = ring.gaps_mm(starts[span.bar, middle], ends[span.bar, middle], middle)
        order = np.argsort(-gap, kind="stable")  # the least of each bar is written last
        better = order[gap[order] < least[span.bar[order]]]
        least[span.bar[better]], position[span.bar[better]] = gap[better], middle[better]
        span = span.halved(middle, gap)
    return tuple(
        Clearance(
            tyre=tyre.lever,
            bar=bar.name,
            told=bar.told,
            axle_moved=axle_moved,
            least_mm=float(mm) - bar.diameter_mm / 2.0,
            position=int(i),
            _ring=ring,
            _bar=bar,
        )
        for bar, mm, i in zip(bars, least, position, strict=True)
    )


@dataclass(frozen=True, slots=True)
class _Spans:
    """Spans of positions with the gap at both their ends, (k,) each."""

    bar: Integers
    first: Integers
    last: Integers
    first_mm: Floats
    last_mm: Floats

    @property
    def lesser_mm(self) -> Floats:
        return np.minimum(self.first_mm, self.last_mm)

    def where(self, keep: NDArray[np.bool_]) -> "_Spans":
        return _Spans(self.bar[keep], self.first[keep], self.last[keep], self.first_mm[keep], self.last_mm[keep])

    def halved(self, middle: Integers, middle_mm: Floats) -> "_Spans":
        return _Spans(
            np.concatenate([self.bar, self.bar]),
            np.concatenate([self.first, middle]),
            np.concatenate([middle, self.last]),
            np.concatenate([self.first_mm, middle_mm]),
            np.concatenate([middle_mm, self.last_mm]),
        )


def _moved_mm(ring: _Ring, starts: Floats, ends: Floats, span: _Spans) -> Floats:
    """How far bar and tyre have gone towards each other between the ends of each span at most, (k,)."""
    (centre, axle), (centre_then, axle_then) = ring.placed(span.first), ring.placed(span.last)
    bars = (length(each[span.bar, span.last] - each[span.bar, span.first]) for each in (starts, ends))
    turned_mm = length(axle_then - axle) * float(np.hypot(ring.tyre.radius_mm, ring.tyre.width_mm / 2.0))
    return np.asarray(np.maximum(*bars) + length(centre_then - centre) + turned_mm)
