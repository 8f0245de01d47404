"""Runs of edges, each beginning where the last one ends, and the open one."""

import math
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property
from typing import Self

from plategen.flat.carrier import Carrier, carrier
from plategen.flat.segment import SAME_POINT_MM, Segment

_HAIR_MM = 1e-6


@dataclass(frozen=True)
class Run:
    """Edges joined end to end, walked in order; at least one.

    Raises:
        ValueError: If there is no edge, or an edge does not begin where the one before it ends.
    """

    segments: tuple[Segment, ...]

    def __post_init__(self) -> None:
        if not self.segments:
            raise ValueError("a chain needs at least one edge")
        for before, after in zip(self.segments, self.segments[1:], strict=False):
            if abs(before.end - after.start) > SAME_POINT_MM:
                raise ValueError(f"edges do not join: {before.end:.6g} and {after.start:.6g} mm")

    def __hash__(self) -> int:
        return hash((self.start, self.end, len(self.segments)))  # chains that differ seldom have the same of these

    def __iter__(self) -> Iterator[Segment]:
        return iter(self.segments)

    def __len__(self) -> int:
        return len(self.segments)

    @cached_property
    def carriers(self) -> tuple[Carrier, ...]:
        """The line or circle of each edge, worked out once."""
        return tuple(carrier(s) for s in self.segments)

    @property
    def start(self) -> complex:
        """Where the run begins."""
        return self.segments[0].start

    @property
    def end(self) -> complex:
        """Where the run ends: of a closed one where it begins."""
        return self.segments[-1].end

    @cached_property
    def length(self) -> float:
        """Length along the edges in mm, worked out once."""
        return sum(s.length for s in self.segments)

    def reversed(self) -> Self:
        """The same run walked the other way."""
        return type(self)(tuple(s.reversed() for s in reversed(self.segments)))

    def moved(self, turn: complex = 1 + 0j, shift: complex = 0j) -> Self:
        """Rotated by the unit complex ``turn`` about the origin, then shifted."""
        return type(self)(tuple(s.moved(turn, shift) for s in self.segments))

    def distance(self, p: complex) -> float:
        """Distance from ``p`` to the nearest edge in mm, on whichever side."""
        u, v, least = p.real, p.imag, math.inf
        for segment, box in zip(self.segments, self.carriers, strict=True):
            # an edge whose box lies farther off is farther off; a hair, so that no rounding leaves one out
            near = least + _HAIR_MM
            if box.left - u < near and u - box.right < near and box.low - v < near and v - box.high < near:
                least = min(least, abs(segment.point(segment.nearest(p)) - p))
        return least


@dataclass(frozen=True, slots=True)
class Chain(Run):
    """An open run of edges."""

    __hash__ = Run.__hash__

    def mirrored(self) -> "Chain":
        """Mirrored in the u axis (v changes sign)."""
        return Chain(tuple(s.mirrored() for s in self.segments))

    def at(self, distance_mm: float) -> tuple[int, float]:
        """The edge and the share of its length that lie ``distance_mm`` along the chain; clamped to its ends."""
        left = distance_mm
        for index, segment in enumerate(self.segments):
            length = segment.length
            if left <= length or index == len(self.segments) - 1:
                return index, min(1.0, max(0.0, left / length))
            left -= length
        raise AssertionError("a chain has at least one edge")

    def point(self, distance_mm: float) -> complex:
        """The point ``distance_mm`` along the chain."""
        index, t = self.at(distance_mm)
        return self.segments[index].point(t)

    def place(self, share: float) -> tuple[complex, complex]:
        """The point and the unit tangent at a share of the chain's length."""
        index, t = self.at(share * self.length)
        return self.segments[index].point(t), self.segments[index].tangent(t)

    def spaced(self, spacing_mm: float) -> Iterator[tuple[complex, complex]]:
        """Points and unit tangents, as near to ``spacing_mm`` apart as comes out even; at least two."""
        count = max(2, round(self.length / spacing_mm))
        return (self.place((i + 0.5) / count) for i in range(count))

    def part(self, first: tuple[int, float], last: tuple[int, float]) -> "Chain":
        """The chain from one place to a later one; a place is an edge's index and the share of its length."""
        (i, t0), (j, t1) = first, last
        spans = ((k, t0 if k == i else 0.0, t1 if k == j else 1.0) for k in range(i, j + 1))
        return Chain(tuple(self.segments[k].part(low, high) for k, low, high in spans if high > low))

    def nearest(self, p: complex) -> tuple[int, float]:
        """The edge and the share of its length at which the chain comes nearest to ``p``."""
        return min(
            ((i, s.nearest(p)) for i, s in enumerate(self.segments)),
            key=lambda place: abs(self.segments[place[0]].point(place[1]) - p),
        )
