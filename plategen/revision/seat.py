"""Where an existing plate sits best on a rail: turned about its pin and slid a little, so that trimming leaves no gap.

At every station the plate is looked at from the rail: metal beyond the rail's line is trimmed away, and the gap is
the way from that line to the first metal below it, square to the line. The largest gap is made small by halving and
halving again the placements that can still be the best: turning by an angle moves no point of the foot by more than
the angle times its distance from the pin, so a placement bounds those around it.
"""

import copy
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from plategen.flat.chain import Chain
from plategen.flat.loop import Contour, Loop
from plategen.flat.segment import Arc, Segment

Floats = NDArray[np.float64]
"""Numbers in an array."""

FLAT_WITHIN_MM = 0.002
"""How far the arcs' chords leave them: a tenth of what two ways of finding the gap may differ by."""

NO_METAL_MM = 1e4
"""The gap where the plate has no metal below the rail at all."""

_HAIR_MM, _ASIDE_MM = 1e-4, 3.7e-5
_AT_ONCE = 300_000
"""Stations times edges times placements looked at in one go: what fits in a processor's cache, more is slower."""


FOUND_WITHIN_MM = 0.005
"""The search ends when no placement left can be better by more."""

TRIMMING_COUNTS, SLIDING_COUNTS = 1e-4, 2e-3
"""Of placements that leave the same gap the one with less to trim, and less slid, is taken: what a millimetre of each
weighs against one of gap."""

_FIRST_STEP_RAD = math.radians(0.5)
_STEEP = 1.2
"""How much faster than the bound the gap may grow where the edges lean."""

_NEAR_RAD = math.radians(5.0)
_SLIDE_STEP_MM = 0.5
_MOST_CELLS = 1000


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
        self._rail, self._pin = rail, pin
        self._foot = foot_mm
        inner = rail.u[(rail.u > foot_mm[0]) & (rail.u < foot_mm[1])]
        looked = np.unique(np.concatenate([np.linspace(*foot_mm, 61), inner[:: max(1, len(inner) // 100)]]))
        # a plate made for this very rail has its corners at the rail's: an edge must not be met just at its end
        self._stations = np.clip(looked + _ASIDE_MM, *foot_mm)

    @property
    def reach_mm(self) -> float:
        """Farthest point of the foot's line from the pin."""
        u = self._stations
        return float(np.max(np.abs(u + 1j * self._rail.at(u) - self._pin)))

    def gaps(self, turn_rad: Floats, slide_mm: Floats, over: bool) -> tuple[Floats, Floats]:
        """Largest gap and largest height beyond the rail, for each placement."""
        gap, proud = np.empty(len(turn_rad)), np.empty(len(turn_rad))
        edges = len(self._lines.bulge) + 2 * len(self._arcs.bulge)
        batch = max(1, _AT_ONCE // ((len(self._stations) + 2 * len(self._corners)) * edges))
        for low in range(0, len(turn_rad), batch):
            part = slice(low, low + batch)
            _, gaps, prouds = self._looked_at(turn_rad[part], slide_mm[part], over)
            gap[part], proud[part] = gaps.max(axis=1), prouds.max(axis=1)
        return gap, proud

    def profile(self, seat: Seat) -> tuple[Floats, Floats, Floats]:
        """Stations, gap and height beyond the rail at each, for one placement."""
        u, gap, proud = self._looked_at(np.array([seat.turn_rad]), np.array([seat.slide_mm]), seat.over)
        order = np.argsort(u[0])
        return u[0][order], gap[0][order], proud[0][order]

    def gaps_at(self, seat: Seat, stations_mm: Sequence[float]) -> list[float]:
        """The gap at stations of one's own choice, for one placement."""
        looked = copy.copy(self)
        looked._stations = np.array(stations_mm)
        _, gap, _ = looked._looked_at(np.array([seat.turn_rad]), np.array([seat.slide_mm]), seat.over)
        return [float(one) for one in gap[0][: len(stations_mm)]]

    def _looked_at(self, turn: Floats, slide: Floats, over: bool) -> tuple[Floats, Floats, Floats]:
        spin, shift = np.exp(1j * turn)[:, None], (self._pin + slide)[:, None]
        corners = ((self._corners.conj() if over else self._corners)[None, :] * spin + shift).real
        # a hair beside each corner, on both sides: there the gap can jump, and at it an edge could be met twice
        beside = np.clip(np.concatenate([corners - _HAIR_MM, corners + _HAIR_MM], axis=1), *self._foot)
        stations = np.broadcast_to(self._stations, (len(turn), len(self._stations)))
        u = np.concatenate([stations, beside], axis=1)
        height = self._rail.at(u)
        met = np.concatenate(
            [_met_lines(self._lines.placed(spin, shift, over), u), _met_arcs(self._arcs.placed(spin, shift, over), u)],
            axis=2,
        )
        above = met > height[:, :, None]  # never true of the NaN that stands for an edge not met
        buried = above.sum(axis=2) % 2 == 1
        below = np.where(met <= height[:, :, None], met, -NO_METAL_MM).max(axis=2)
        gap = np.where(buried, 0.0, np.minimum(height - below, NO_METAL_MM)) * self._rail.cosine(u)
        proud = np.where(above, met - height[:, :, None], 0.0).max(axis=2)
        return u, gap, proud


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


def _met_lines(lines: _Ends, u: Floats) -> Floats:
    """Heights at which straight edges are met at the stations: placement, station, edge; NaN if not."""
    at, a, b = u[:, :, None], lines.start[:, None, :], lines.end[:, None, :]
    spans = (a.real <= at) != (b.real <= at)
    with np.errstate(divide="ignore", invalid="ignore"):
        height = a.imag + (at - a.real) / (b.real - a.real) * (b.imag - a.imag)
    return np.where(spans, height, np.nan)


def _met_arcs(arcs: _Ends, u: Floats) -> Floats:
    """The same for arcs, each met twice at the most: an arc is what of its circle lies on one side of its chord."""
    a, b = arcs.start[:, None, :], arcs.end[:, None, :]
    bulge, chord = arcs.bulge, b - a
    centre = (a + b) / 2 + chord * 1j * ((1 - bulge * bulge) / (4 * bulge))
    radius = np.abs(chord) * (1 + bulge * bulge) / (4 * np.abs(bulge))
    across = u[:, :, None] - centre.real
    with np.errstate(invalid="ignore"):
        half = np.sqrt(radius * radius - across * across)
    met = []
    for height in (centre.imag + half, centre.imag - half):
        p = u[:, :, None] + 1j * height - a
        side = (chord.real * p.imag - chord.imag * p.real) * np.sign(bulge)
        met.append(np.where(side < 0.0, height, np.nan))
    return np.concatenate(met, axis=2)


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


def best_seat(
    plate: PlateOnRail, most_turn_rad: float = math.pi, play_mm: float = 0.0, over: tuple[bool, ...] = (False, True)
) -> Seat:
    """The placement that leaves the smallest gap.

    From how it was drawn it may turn by ``most_turn_rad`` and slide by ``play_mm``, each either way; ``over`` says
    which faces may be up.
    """
    seat = _turned(plate, 0.0, most_turn_rad, 0.0, over)
    if play_mm <= 0.0:
        return seat
    tried = [_turned(plate, 0.0, most_turn_rad, slide, over) for slide in (-play_mm, play_mm)]
    seat = min(seat, *tried, key=cost)
    # which way up is settled: what is left is to slide, and to turn a little at each place
    near, sides = min(most_turn_rad, _NEAR_RAD), (seat.over,)
    step = min(_SLIDE_STEP_MM, play_mm / 4)
    slides = [step * i for i in range(-round(play_mm / step), round(play_mm / step) + 1)]
    while True:
        seats = [_turned(plate, seat.turn_rad, near, min(play_mm, max(-play_mm, s)), sides) for s in slides]
        seats.sort(key=cost)
        seat = min(seat, seats[0], key=cost)
        step /= 3
        if step < FOUND_WITHIN_MM:
            return seat
        slides = [s.slide_mm + sign * step for s in seats[:3] for sign in (-1, 1)]


def cost(seat: Seat) -> float:
    """What is made small: the gap, and of equal gaps the trimming and the sliding."""
    return seat.gap_mm + TRIMMING_COUNTS * seat.proud_mm + SLIDING_COUNTS * abs(seat.slide_mm)


def _turned(plate: PlateOnRail, about_rad: float, most_rad: float, slide_mm: float, over: tuple[bool, ...]) -> Seat:
    """The best placement at one slide, turned by up to ``most_rad`` either way from ``about_rad``."""
    return min((_one_face(plate, about_rad, most_rad, slide_mm, side) for side in over), key=cost)


def _one_face(plate: PlateOnRail, about_rad: float, most_rad: float, slide_mm: float, over: bool) -> Seat:
    half = min(_FIRST_STEP_RAD, most_rad)
    turn = about_rad + _centres(most_rad, half)
    reach = plate.reach_mm * _STEEP
    best = Seat(turn_rad=about_rad, slide_mm=slide_mm, over=over, gap_mm=math.inf, proud_mm=0.0)
    while True:
        best, gap, costs = _best_turn(plate, best, turn)
        # no gap is less than none: a cell that could at best reach zero is kept only while zero is not reached
        least = np.maximum(gap - half * reach, 0.0)
        alive = np.flatnonzero(least < best.gap_mm - FOUND_WITHIN_MM)
        if not len(alive) or half * reach <= FOUND_WITHIN_MM / 2:
            return _least_trimmed(plate, best, half)
        alive = alive[np.argsort(costs[alive])][:_MOST_CELLS]
        half /= 2
        turn = np.concatenate([turn[alive] - half, turn[alive] + half])


def _least_trimmed(plate: PlateOnRail, seat: Seat, half_rad: float) -> Seat:
    """The same gap with less to trim, if turning a little from there gives it."""
    while half_rad * plate.reach_mm > FOUND_WITHIN_MM:
        seat, _, _ = _best_turn(plate, seat, seat.turn_rad + half_rad * np.linspace(-1.0, 1.0, 5))
        half_rad /= 2
    return seat


def _best_turn(plate: PlateOnRail, seat: Seat, turn: Floats) -> tuple[Seat, Floats, Floats]:
    """The placement turned by the best of these angles if that is better, and the gap and the cost of each."""
    gap, proud = plate.gaps(turn, np.full(len(turn), seat.slide_mm), seat.over)
    costs = gap + TRIMMING_COUNTS * proud + SLIDING_COUNTS * abs(seat.slide_mm)
    i = int(np.argmin(costs))
    if costs[i] < cost(seat):
        seat = replace(seat, turn_rad=float(turn[i]), gap_mm=float(gap[i]), proud_mm=float(proud[i]))
    return seat, gap, costs


def _centres(most: float, half: float) -> Floats:
    """Middles of cells of at most ``half`` either way that cover from ``-most`` to ``most``."""
    if most <= 0.0:
        return np.zeros(1)
    count = math.ceil(most / half - 1e-9)
    return np.asarray((2.0 * np.arange(count) + 1.0 - count) * (most / count), dtype=np.float64)
