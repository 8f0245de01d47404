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
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Complexes = NDArray[np.complex128]
"""Numbers and points of the plane, in arrays."""

RISERS = {"U": 1j, "D": -1j}
"""Which way a riser leaves the walk's heading."""

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


def names(word: str) -> list[tuple[int, str]]:
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
    return listed


def lengths(word: str) -> NDArray[np.bool_]:
    """Which values of a word are lengths, which must stay positive."""
    return np.array([False, False] + [name == "length" for _, name in names(word)])


def turns_of(shape: Shape) -> list[tuple[int, float]]:
    """Every piece that turns the walk between two others, a corner or a bend, with its turn."""
    listed = zip(names(shape.word), shape.values[2:], strict=True)
    return [(piece, float(value)) for (piece, name), value in listed if name == "turn"]


def bends(word: str) -> list[tuple[int, int]]:
    """Where the turn and the length of each inner arc stand among the values."""
    listed = names(word)
    return [(i + 2, i + 3) for i, (piece, name) in enumerate(listed) if name == "turn" and word[piece] == "A"]


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


@dataclass(frozen=True, slots=True)
class Motion:
    """How the frames move with the values: one row a piece, one column a value."""

    start: Complexes
    heading: Floats
    curvature: Floats
    length: Floats


def motion(shape: Shape, walk: Frames) -> Motion:
    """Differentiate the walk.

    From one piece to the next the start moves with the piece's own start, turns about it, bends and stretches:

        dP' = dP + i (P' - P) dh + e^(ih) dc/dk dk + e^(ih') dl,    dh' = dh + l dk + k dl
    """
    size, last = len(shape.values), len(shape.word) - 1
    rows = len(walk.piece)
    by_curvature, by_length = np.zeros((rows, size)), np.zeros((rows, size))
    by_heading, by_start = np.zeros((rows, size)), np.zeros((rows, size), complex)
    by_start[0, 0], by_heading[0, 1] = 1j * shape.heading, 1.0
    inner = slice(0, rows - 1)
    ends = chord_by_curvature(walk.curvature[inner], walk.high[inner]) * walk.heading[inner]
    column, row = 2, 0
    corner = -1
    for index, letter in enumerate(shape.word):
        if letter == "C":
            corner = column
            column += 1
            continue
        if row > 0:
            before = row - 1
            arm = 1j * (walk.start[row] - walk.start[before])
            k, length = walk.curvature[before], walk.high[before]
            forward = walk.heading[before] * cmath.rect(1.0, k * length)
            by_start[row] = (
                by_start[before]
                + arm * by_heading[before]
                + ends[before] * by_curvature[before]
                + forward * by_length[before]
            )
            by_heading[row] = by_heading[before] + length * by_curvature[before] + k * by_length[before]
            if corner >= 0:
                by_heading[row, corner] += 1.0
                corner = -1
        if letter == "A" and index in (0, last):
            by_curvature[row, column] = 1.0
            column += 1
        elif letter == "A":
            by_curvature[row, column] = 1.0 / walk.high[row]
            by_curvature[row, column + 1] = -walk.curvature[row] / walk.high[row]
            column += 1
        if index < last:
            by_length[row, column] = 1.0
            column += 1
        row += 1
    return Motion(by_start, by_heading, by_curvature, by_length)


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


def feet(walk: Frames, points: Complexes) -> Feet:
    """Drop every reading onto its nearest piece.

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
    row = np.abs(ray).argmin(axis=0)
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

    The foot at fixed s moves by ``dP + i (F - P) dh + e^(ih) dc/dk dk``; its slide along the tangent does not count,
    except at a corner, where the foot goes with the end of its piece.
    """
    row = foot.row
    back = foot.normal.conj()
    arm = -(back * (foot.point - walk.start[row])).imag
    moved = (back[:, None] * moves.start[row]).real + arm[:, None] * moves.heading[row]
    if walk.curvature.any():
        bent = (back * walk.heading[row] * chord_by_curvature(walk.curvature[row], foot.along)).real
        moved += bent[:, None] * moves.curvature[row]
    if foot.beyond.any():
        forward = walk.heading[row] * np.exp(1j * walk.curvature[row] * foot.along) * foot.beyond
        moved += (back * forward).real[:, None] * moves.length[row]
    return -moved
