"""A plate about its pin hole on a rail's line: what gap is left, and what stands beyond the rail, station by station.

At every station the plate is looked at from the rail: metal beyond the rail's line is trimmed away, and the gap is
the way from that line to the first metal below it, square to the line.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plategen.flat.chain import Chain
from plategen.flat.loop import Contour, Loop
from plategen.flat.segment import Arc, Segment
from plategen.ground.order import distinct

Floats = NDArray[np.float64]
Ints = NDArray[np.int64]
Complexes = NDArray[np.complex128]
"""Numbers in an array."""

FLAT_WITHIN_MM = 0.002
"""How far the arcs' chords leave them: a tenth of what two ways of finding the gap may differ by."""

NO_METAL_MM = 1e4
"""The gap where the plate has no metal below the rail at all."""

MANY = 100
"""Corners from which on looking beside each is most of the work."""

_HAIR_MM, _ASIDE_MM = 1e-4, 3.7e-5
_AT_ONCE = 100_000
"""Edges and stations of all placements looked at in one go: what fits in a processor's cache, more is slower."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Seat:
    """A placement: the plate's point ``p`` lies at ``(p - hole) * turn + pin + slide``, mirrored first if turned over.

    It turns anticlockwise and slides along the cylinder's line. ``gap_mm`` is the largest gap that stays, square to the
    rail, and ``proud_mm`` the most that stands beyond the rail and is trimmed.
    """

    turn_rad: float
    slide_mm: float
    over: bool
    gap_mm: float
    proud_mm: float


@dataclass(frozen=True, slots=True)
class Line2:
    """A rail's line as seen from the plate: heights over stations, and how it leans."""

    u: Floats
    v: Floats

    @classmethod
    def of(cls, chain: Chain) -> "Line2":
        """The chain flattened; its stations must grow along it."""
        points = np.array(flattened(chain.segments))
        u = np.maximum.accumulate(points.real)
        return cls(u, points.imag)

    def at(self, u: Floats) -> Floats:
        """Height at stations."""
        return np.interp(u, self.u, self.v)

    def cosine(self, u: Floats) -> Floats:
        """Cosine of the lean at stations."""
        step = 0.05
        rise = self.at(u + step) - self.at(u - step)
        return 2 * step / np.hypot(2 * step, rise)


class PlateOnRail:
    """A plate about its pin hole, and a rail's line about the pin: gaps for many placements at once."""

    def __init__(
        self, outline: Loop, inside: tuple[Contour, ...], hole: complex, rail: Line2, pin: complex,
        foot_mm: tuple[float, float],
    ) -> None:  # fmt: skip
        edges = [edge for contour in (outline, *inside) for edge in contour.segments]
        self._lines = _Ends.of([edge for edge in edges if not isinstance(edge, Arc)], hole)
        self._arcs = _Ends.of([edge for edge in edges if isinstance(edge, Arc)], hole)
        self._corners = np.array([s.start for s in outline]) - hole
        # no point of an edge is farther from the middle of its chord than half of that, or its rise
        self._size_mm = max(
            abs((s.start + s.end) / 2 - hole) + abs(s.end - s.start) / 2 * max(1.0, abs(getattr(s, "bulge", 0.0)))
            for s in outline
        )
        self._rail, self._pin = rail, pin
        self._foot = foot_mm
        inner = rail.u[(rail.u > foot_mm[0]) & (rail.u < foot_mm[1])]
        looked = distinct(np.concatenate([np.linspace(*foot_mm, 61), inner[:: max(1, len(inner) // 100)]]))
        # a plate made for this very rail has its corners at the rail's: an edge must not be met just at its end
        self._stations = np.clip(looked + _ASIDE_MM, *foot_mm)

    @property
    def reach_mm(self) -> float:
        """Farthest point of the foot's line from the pin."""
        u = self._stations
        return float(np.max(np.abs(u + 1j * self._rail.at(u) - self._pin)))

    def can_reach(self, slide_mm: float) -> bool:
        """False where no turn about the hole, which slid so far, brings any of it to one end of the foot."""
        away = np.abs(self._stations[[0, -1]] - self._pin.real - slide_mm)
        return bool(away.max() <= self._size_mm)

    @property
    def many_corners(self) -> bool:
        """True when looking beside every corner is most of the work."""
        return len(self._corners) > MANY

    def gaps(self, turn_rad: Floats, slide_mm: Floats, over: bool, *, corners: bool = True) -> tuple[Floats, Floats]:
        """Largest gap and largest height beyond the rail, for each placement.

        Without looking beside the ``corners`` neither is more than with it, and much sooner known.
        """
        gap, proud = np.empty(len(turn_rad)), np.empty(len(turn_rad))
        looked = len(self._stations) + (2 * len(self._corners) if corners else 0)
        batch = max(1, _AT_ONCE // (len(self._lines.bulge) + len(self._arcs.bulge) + 4 * looked))
        for low in range(0, len(turn_rad), batch):
            part = slice(low, low + batch)
            row, u = self._places(turn_rad[part], slide_mm[part], over, corners=corners)
            gaps, prouds = self._looked_at(turn_rad[part], slide_mm[part], over, row, u)
            first = np.searchsorted(row, np.arange(len(turn_rad[part])))
            gap[part], proud[part] = np.maximum.reduceat(gaps, first), np.maximum.reduceat(prouds, first)
        return gap, proud

    def profile(self, seat: Seat) -> tuple[Floats, Floats, Floats]:
        """Stations, gap and height beyond the rail at each, for one placement."""
        turn, slide = np.array([seat.turn_rad]), np.array([seat.slide_mm])
        row, u = self._places(turn, slide, seat.over, corners=True)
        return u, *self._looked_at(turn, slide, seat.over, row, u)

    def gaps_at(self, seat: Seat, stations_mm: Sequence[float]) -> list[float]:
        """The gap at stations of one's own choice, growing, for one placement."""
        u = np.array(stations_mm)
        turn, slide = np.array([seat.turn_rad]), np.array([seat.slide_mm])
        gap, _ = self._looked_at(turn, slide, seat.over, np.zeros(len(u), dtype=int), u)
        return [float(one) for one in gap]

    def _places(self, turn: Floats, slide: Floats, over: bool, *, corners: bool) -> tuple[Ints, Floats]:
        """Where each placement is looked at: its number, and the stations, growing."""
        row, u = np.repeat(np.arange(len(turn)), len(self._stations)), np.tile(self._stations, len(turn))
        if corners:
            spin, shift = np.exp(1j * turn)[:, None], (self._pin + slide)[:, None]
            at = ((self._corners.conj() if over else self._corners)[None, :] * spin + shift).real
            # a hair beside each corner, on both sides: there the gap can jump, and at it an edge could be met twice
            beside = np.concatenate([at - _HAIR_MM, at + _HAIR_MM], axis=1)
            rows, columns = np.nonzero((beside > self._foot[0]) & (beside < self._foot[1]))
            row, u = np.concatenate([row, rows]), np.concatenate([u, beside[rows, columns]])
            order = np.lexsort((u, row))
            row, u = row[order], u[order]
        return row, u

    def _looked_at(self, turn: Floats, slide: Floats, over: bool, row: Ints, u: Floats) -> tuple[Floats, Floats]:
        """Gap and height beyond the rail of each placement at its stations, which grow."""
        spin, shift = np.exp(1j * turn)[:, None], (self._pin + slide)[:, None]
        height = self._rail.at(u)
        met = [_met(edges.placed(spin, shift, over), row, u) for edges in (self._lines, self._arcs)]
        at, v = np.concatenate([one[0] for one in met]), np.concatenate([one[1] for one in met])
        above = v > height[at]
        below, proud = np.full(len(u), -NO_METAL_MM), np.zeros(len(u))
        np.maximum.at(below, at[~above], v[~above])
        np.maximum.at(proud, at[above], (v - height[at])[above])
        buried = np.bincount(at[above], minlength=len(u)) % 2 == 1
        gap = np.where(buried, 0.0, np.minimum(height - below, NO_METAL_MM)) * self._rail.cosine(u)
        return gap, proud


@dataclass(frozen=True, slots=True)
class _Ends:
    """Edges as arrays of starts, ends and bulges, about the pin hole."""

    start: NDArray[np.complex128]
    end: NDArray[np.complex128]
    bulge: Floats

    @classmethod
    def of(cls, edges: list[Segment], hole: complex) -> "_Ends":
        return cls(
            np.array([e.start for e in edges], dtype=complex) - hole,
            np.array([e.end for e in edges], dtype=complex) - hole,
            np.array([getattr(e, "bulge", 0.0) for e in edges]),
        )

    def placed(self, spin: Any, shift: Any, over: bool) -> "_Ends":
        """The edges of many placements, one a row; turned over, arcs turn the other way."""
        start, end = (self.start.conj(), self.end.conj()) if over else (self.start, self.end)
        return _Ends(start * spin + shift, end * spin + shift, -self.bulge if over else self.bulge)


def _met(edges: _Ends, row: Ints, u: Floats) -> tuple[Ints, Floats]:
    """Where edges, a placement a row, are met at stations that grow row by row: which station, and the height there.

    An edge is looked at only at the stations between its ends, which stand side by side.
    """
    if not len(edges.bulge) or not len(u):
        return np.zeros(0, dtype=int), np.zeros(0)
    a, b = edges.start.ravel(), edges.end.ravel()
    bulge = np.broadcast_to(edges.bulge, edges.start.shape).ravel()
    count, origin = len(edges.bulge), float(u.min())
    width = float(u.max()) - origin + 1.0
    low, high = np.minimum(a.real, b.real), np.maximum(a.real, b.real)
    bow = np.abs(b - a) * np.maximum(np.abs(bulge), 1.0) * (bulge != 0.0)  # no arc reaches farther beyond its ends
    rows = np.repeat(np.arange(len(a) // count), count) * width - origin
    place = row * width + (u - origin)
    first = np.searchsorted(place, rows + np.clip(low - bow - _HAIR_MM, origin - 0.4, origin + width), "left")
    last = np.searchsorted(place, rows + np.clip(high + bow + _HAIR_MM, origin - 0.4, origin + width - 0.6), "right")
    many = np.maximum(last - first, 0)
    edge = np.repeat(np.arange(len(a)), many)
    at = np.arange(len(edge)) - np.repeat(np.cumsum(many) - many - first, many)
    return _heights(a[edge], b[edge], bulge[edge], at, u[at])


def _heights(a: Complexes, b: Complexes, bulge: Floats, at: Ints, u: Floats) -> tuple[Ints, Floats]:
    """The heights at which edges, each at a station, are met, as far as they are: lines once, arcs up to twice."""
    straight = bulge == 0.0
    spans = straight & ((a.real <= u) != (b.real <= u))
    p, q, here = a[spans], b[spans], u[spans]
    lines = p.imag + (here - p.real) / (q.real - p.real) * (q.imag - p.imag)
    a, b, bulge, u, arc = a[~straight], b[~straight], bulge[~straight], u[~straight], at[~straight]
    chord = b - a
    centre = (a + b) / 2 + chord * 1j * ((1 - bulge * bulge) / (4 * bulge))
    radius, across = np.abs(chord) * (1 + bulge * bulge) / (4 * np.abs(bulge)), u - centre.real
    with np.errstate(invalid="ignore"):
        half = np.sqrt(radius * radius - across * across)
    which, found = [at[spans]], [lines]
    for height in (centre.imag + half, centre.imag - half):
        away = u + 1j * height - a
        # an arc is what of its circle lies on one side of its chord; never true of the NaN beside the circle
        on = (chord.real * away.imag - chord.imag * away.real) * np.sign(bulge) < 0.0
        which.append(arc[on])
        found.append(height[on])
    return np.concatenate(which), np.concatenate(found)


def flattened(segments: Sequence[Segment]) -> list[complex]:
    """Points along edges, ends included, whose chords leave the arcs by no more than :data:`FLAT_WITHIN_MM`."""
    points = [segments[0].start]
    for segment in segments:
        count = 1
        if isinstance(segment, Arc):
            step = 2 * math.acos(max(-1.0, 1.0 - min(1.0, FLAT_WITHIN_MM / segment.radius)))
            count = max(1, math.ceil(abs(segment.sweep_rad) / step))
        points += [segment.point(i / count) for i in range(1, count + 1)]
    return points
