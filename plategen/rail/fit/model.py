"""A rail's section as a walk: go straight, turn through a bend, turn at a corner; and how far readings lie from it.

A shape is a word over five letters, walked from the first reading to the last:

    ``L``  a flat: length
    ``A``  an arc: length and turn (an arc at an end of the walk: curvature, for its far end is beyond the readings)
    ``C``  a corner: turn, no length
    ``U``  a riser up, to the left: height; the walk then goes on as it came
    ``D``  a riser down, to the right

``LAL`` is a bent rail, ``LCL`` a welded or sharply folded one, ``A`` a rolled one, ``LUL`` one with
a plate on it that ends under the foot. Joints are tangent unless a ``C``
stands between them, so no constraint is ever needed: any parameters are a proper chain. Position and heading of the
start come first: a shift square to a fixed anchor, mm, and a turn from the anchor's heading, rad.

Along a piece of curvature k that starts at P with heading h the point at distance s is

    P + e^(ih) c(k, s),    c(k, s) = integral_0^s e^(i k t) dt = s sinc(k s / 2) e^(i k s / 2)

for flats (k = 0) and arcs alike, and everything below is this formula and its derivatives.
"""

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from plategen.flat.segment import Segment

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]
"""Numbers and points of the plane, in arrays."""

RISERS = {"U": 1j, "D": -1j}
"""Which way a riser leaves the walk's heading."""

WORDS = 256
"""Words of which it is remembered what their values are: every step of every shape tried asks."""

SHORTEST_LENGTH_MM = 1e-6
"""Lengths are kept above this while solving: an arc of no length has no curvature."""


def chord(curvature: Floats, distance: Floats) -> Complexes:
    """The point ``c(k, s)`` reached from the origin, heading along the real axis."""
    half = 0.5 * curvature * distance
    safe = np.where(half == 0.0, 1.0, half)
    return np.asarray(distance * np.where(half == 0.0, 1.0, np.sin(safe) / safe) * np.exp(1j * half))


def chord_by_curvature(curvature: Floats, distance: Floats) -> Complexes:
    """``dc/dk = s^2 g(ks)`` with ``g(t) = (e^(it) - (e^(it) - 1)/(it)) / t``, and ``i/2 - t/3`` near zero."""
    turn = curvature * distance
    small = np.abs(turn) < 1e-4
    safe = np.where(small, 1.0, turn)
    ahead = np.exp(1j * safe)
    steep = (ahead - (ahead - 1.0) / (1j * safe)) / safe
    return np.asarray(distance**2 * np.where(small, 0.5j - turn / 3.0, steep))


def _bent(curvature: float, distance: float) -> complex:
    """The same of one piece."""
    turn = curvature * distance
    if abs(turn) < 1e-4:
        return distance**2 * (0.5j - turn / 3.0)
    ahead = cmath.rect(1.0, turn)
    return distance**2 * (ahead - (ahead - 1.0) / (1j * turn)) / turn


@dataclass(frozen=True, slots=True)
class Shape:
    """A word of pieces, where its walk is anchored, and its parameters."""

    word: str  # The pieces in order; corners and risers only between two other pieces.
    anchor: complex  # A point near the first reading.
    heading: complex  # Unit vector near the heading there.
    values: Floats  # Shift (mm), turn (rad), then for each piece what :func:`names` lists.
    # Of each inner arc, its likeliest radius in mm and the spread of its logarithm, if more than the usual is known.
    radii: tuple[tuple[float, float], ...] = ()

    def at(self, values: Floats) -> "Shape":
        """The same word with other values."""
        return replace(self, values=values)


@lru_cache(maxsize=WORDS)
def names(word: str) -> tuple[tuple[int, str], ...]:
    """Piece and meaning of each value of a word after shift and turn: ``length``, ``turn`` or ``curvature``."""
    last = len(word) - 1
    listed: list[tuple[int, str]] = []
    for index, letter in enumerate(word):
        if letter == "A":
            listed.append((index, "curvature" if index in (0, last) else "turn"))
        if letter == "C":
            listed.append((index, "turn"))
        elif index < last:
            listed.append((index, "length"))
    return tuple(listed)


@lru_cache(maxsize=WORDS)
def lengths(word: str) -> tuple[int, ...]:
    """Which values of a word are lengths, which must stay positive."""
    return tuple(at for at, (_, name) in enumerate(names(word), 2) if name == "length")


def turns_of(shape: Shape) -> list[tuple[int, float]]:
    """Every piece that turns the walk between two others, a corner or a bend, with its turn."""
    listed = zip(names(shape.word), shape.values[2:], strict=True)
    return [(piece, float(value)) for (piece, name), value in listed if name == "turn"]


@lru_cache(maxsize=WORDS)
def heights(word: str) -> tuple[int, ...]:
    """Which of them are heights of risers."""
    return tuple(at for at, (piece, _) in enumerate(names(word), 2) if word[piece] in RISERS)


@lru_cache(maxsize=WORDS)
def bends(word: str) -> tuple[tuple[int, int], ...]:
    """Where the turn and the length of each inner arc stand among the values."""
    listed = enumerate(names(word), 2)
    return tuple((at, at + 1) for at, (piece, name) in listed if name == "turn" and word[piece] == "A")


@dataclass(frozen=True, slots=True)
class Frames:
    """Where each flat or arc starts; corners are spent. One row a piece."""

    start: Complexes  # Start points.
    heading: Complexes  # Unit vectors there.
    curvature: Floats  # Positive to the left.
    low: Floats  # Distance at which the piece begins: 0, or minus infinity for the first.
    high: Floats  # Distance at which it ends: its length, or infinity for the last.
    piece: tuple[int, ...]  # Its index in the word.


def frames(shape: Shape) -> Frames:
    """Walk the shape once."""
    shift, turn, *values = shape.values.tolist()
    value = iter(values)
    last = len(shape.word) - 1
    point = shape.anchor + shift * 1j * shape.heading
    heading = shape.heading * cmath.rect(1.0, turn)
    rows = []
    for index, letter in enumerate(shape.word):
        if letter == "C":
            heading *= cmath.rect(1.0, next(value))
            continue
        if letter in RISERS:
            across, height = heading * RISERS[letter], next(value)
            rows.append((point, across, 0.0, 0.0, height, index))
            point += across * height
            continue
        bend = next(value) if letter == "A" else 0.0
        length = next(value) if index < last else math.inf
        curvature = bend if index in (0, last) else bend / length
        rows.append((point, heading, curvature, 0.0 if index else -math.inf, length, index))
        if index < last:
            half = 0.5 * curvature * length
            step = length * (math.sin(half) / half if half else 1.0)
            point += heading * cmath.rect(step, half)
            heading *= cmath.rect(1.0, 2.0 * half)
    start, direction, curvatures, low, high, piece = zip(*rows, strict=True)
    return Frames(np.array(start), np.array(direction), np.array(curvatures), np.array(low), np.array(high), piece)


def walk_of(edges: Sequence[Segment]) -> Frames:
    """The edges of a chain as a walk that begins and ends with it."""
    length = np.array([edge.length for edge in edges])
    return Frames(
        start=np.array([edge.start for edge in edges]),
        heading=np.array([edge.start_tangent for edge in edges]),
        curvature=np.array([edge.sweep_rad for edge in edges]) / length,
        low=np.zeros(len(edges)),
        high=length,
        piece=tuple(range(len(edges))),
    )


def placed(walk: Frames, row: NDArray[np.intp], along: Floats) -> tuple[Complexes, Complexes]:
    """Points at distances along pieces of a walk, and the left normals there."""
    heading, curvature = walk.heading[row], walk.curvature[row]
    point = walk.start[row] + heading * chord(curvature, along)
    return point, np.asarray(1j * heading * np.exp(1j * curvature * along))


def placed_along(edges: Sequence[Segment], along: Floats) -> tuple[Complexes, Complexes]:
    """Points at distances along a chain's edges, N of them, and the left normals there; held to its ends."""
    walk = walk_of(edges)
    begin = np.concatenate(([0.0], np.cumsum(walk.high)[:-1]))
    row = np.maximum(np.searchsorted(begin, along) - 1, 0)
    return placed(walk, row, np.clip(along - begin[row], 0.0, walk.high[row]))


@dataclass(frozen=True, slots=True)
class Motion:
    """How the places of a shape move with its values, one entry a value.

    A value is of one piece. All that lies beyond it moves as one rigid body, a point P by ``shift + i P turn``; the
    piece itself bends and stretches.
    """

    row: NDArray[np.intp]  # The frame of the piece; -1 for the walk's start.
    shift: Complexes
    turn: Floats
    curvature: Floats
    length: Floats


def motion(shape: Shape, walk: Frames) -> Motion:
    """Differentiate the walk.

    With a piece's curvature k and length l its end P' and the heading there move by

        dP' = e^(ih) dc/dk dk + e^(ih') dl,    dh' = l dk + k dl,

    and what lies beyond turns about P'. An inner arc has its turn and its length as values, and k is their quotient.
    """
    start, heading, curvature, high = (a.tolist() for a in (walk.start, walk.heading, walk.curvature, walk.high))
    last, row = len(shape.word) - 1, -1
    moved = [(-1, 1j * shape.heading, 0.0, 0.0, 0.0), (-1, -1j * start[0], 1.0, 0.0, 0.0)]
    for index, letter in enumerate(shape.word):
        if letter == "C":
            moved.append((row, -1j * start[row + 1], 1.0, 0.0, 0.0))
            continue
        row += 1
        if letter == "A" and index == last:
            moved.append((row, 0j, 0.0, 1.0, 0.0))
        elif letter == "A":
            k, length, end = curvature[row], high[row], start[row + 1]
            bent = _bent(k, length) * heading[row]
            ahead = heading[row] * cmath.rect(1.0, k * length)
            if index == 0:
                moved.append((row, bent - 1j * end * length, length, 1.0, 0.0))
                moved.append((row, ahead - 1j * end * k, k, 0.0, 1.0))
            else:
                moved.append((row, bent / length - 1j * end, 1.0, 1.0 / length, 0.0))
                moved.append((row, ahead - bent * k / length, 0.0, -k / length, 1.0))
        elif index < last:
            moved.append((row, heading[row], 0.0, 0.0, 1.0))
    rows, shift, turn, bends_by, longer_by = zip(*moved, strict=True)
    return Motion(np.array(rows), np.array(shift), np.array(turn), np.array(bends_by), np.array(longer_by))


@dataclass(frozen=True, slots=True)
class Feet:
    """The nearest place of a shape to each reading."""

    row: NDArray[np.intp]  # Which of the frames.
    along: Floats  # Distance along that piece, mm.
    point: Complexes  # The foot itself.
    # Unit vector from which the distance is measured: the left normal, or at a corner the ray to the reading.
    normal: Complexes
    distance: Floats  # Signed, positive to the left of the walk.
    beyond: NDArray[np.bool_]  # True where the foot is the far end of its piece (a corner).


def feet(walk: Frames, points: Complexes, may: NDArray[np.bool_] | None = None) -> Feet:
    """Drop every reading onto its nearest piece, or onto the nearest of those that ``may`` (pieces x readings) allows.

    In the frame of a piece a reading is x + iy; its foot on a circle of curvature k through the origin lies at
    ``s = atan2(kx, 1 - ky) / k``, on a line at ``s = x``, and is held between the piece's ends.
    """
    local = (points - walk.start[:, None]) * walk.heading.conj()[:, None]
    bend = walk.curvature[:, None]
    straight = not walk.curvature.any()
    along = local.real
    if not straight:
        safe = np.where(bend == 0.0, 1.0, bend)
        along = np.where(bend == 0.0, along, np.arctan2(bend * along, 1.0 - bend * local.imag) / safe)
    held = np.minimum(np.maximum(along, walk.low[:, None]), walk.high[:, None])
    ray = local - (held if straight else chord(bend, held))
    far = np.abs(ray)
    row = (far if may is None else np.where(may, far, np.inf)).argmin(axis=0)
    pick = (row, np.arange(len(points)))
    s, free = held[pick], along[pick]
    heading = walk.heading[row]
    away = heading * ray[pick]
    forward = heading if straight else heading * np.exp(1j * walk.curvature[row] * s)
    distance = (away * forward.conj()).imag
    normal = 1j * forward
    ends = np.flatnonzero(free != s)
    if len(ends):
        reach = np.copysign(np.maximum(np.abs(away[ends]), 1e-12), distance[ends])
        distance[ends] = reach
        normal[ends] = np.where(np.abs(reach) < 1e-9, normal[ends], away[ends] / reach)
    return Feet(row, s, points - away, normal, distance, free > s)


def slopes(walk: Frames, moves: Motion, foot: Feet) -> Floats:
    """Derivative of each distance by each value: minus what the foot moves along its normal.

    A foot at fixed s moves with the pieces before its own, and as its own piece bends; its slide along the tangent does
    not count, except at a corner, where the foot goes with the end of its piece.
    """
    row = foot.row
    back = foot.normal.conj()
    moved = (back[:, None] * moves.shift).real - (back * foot.point).imag[:, None] * moves.turn
    moved *= row[:, None] > moves.row
    own = row[:, None] == moves.row
    if moves.curvature.any():
        bent = (back * walk.heading[row] * chord_by_curvature(walk.curvature[row], foot.along)).real
        moved += own * bent[:, None] * moves.curvature
    if foot.beyond.any():
        forward = walk.heading[row] * np.exp(1j * walk.curvature[row] * foot.along) * foot.beyond
        moved += own * (back * forward).real[:, None] * moves.length
    return -moved
