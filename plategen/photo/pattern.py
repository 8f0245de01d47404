"""A cardboard pattern as a trace: its straight edge is the straightedge, its square left end is station 0.

Seen from above, with the straight edge towards you, the rail's edge lies beyond it and stations grow to the right:
walking round the pattern anticlockwise one comes along the straight edge, up the right end, back along the rail's edge
and down the left end.
"""

import cmath
import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from plategen.ground.message import Message, message, mm, rad
from plategen.ground.refusal import Refusal
from plategen.photo.by_hand import NOTHING, ByHand, by_hand, left_out, rail_between, said, set_right, tapped_side
from plategen.photo.camera import Floats, View
from plategen.photo.measure import Complexes, Measured, Ring
from plategen.photo.rail_edge import END_RAD, REACHES_MM, Read, rail_points, readings
from plategen.photo.sides import (
    LEAST_END_MM,
    Side,
    datum_points,
    end_points,
    in_picture,
    members,
    sides_of,
    straight_edge,
)

SQUARE_RAD = math.radians(1.5)
"""An end out of square by more than this is a doubt."""

SURE_END_MM = 20.0
"""A slanted end shorter than this may be a corner that was cut off in following it."""

SLANT_RAD, CROSS_MM = math.radians(50.0), 0.25
"""With a pen cross the left end may slant so far; one standard deviation of drawing the cross and of reading it."""

BENT_MM = 0.5
"""A straight edge that strays this far is a doubt."""

BOW = 25
"""Points of a straight edge, a millimetre apart, over whose mean it strays: it is bent, not frayed."""

HIDDEN_MM = 6.0
"""A longer stretch without readings is named."""

NO_END = (
    "the left end is too short, or too little of it can be told from the floor; cut it square, 1 in (25 mm) or "
    "more, at station 0, and photograph it in even light, with no page under it of its own colour"
)
"""Why there is no station 0."""


@dataclass(frozen=True, slots=True, eq=False)
class Pattern:
    """What was read off a pattern, in the straightedge's frame, in mm."""

    points: Complexes  # (m,): readings in their order along the rail.
    error_mm: Floats  # (m,): one standard deviation of each, square to the edge.
    by_thickness: float  # mm that the worst placed reading moves by in a mm of thickness.
    worst_at_rim: bool  # Whether the worst reading lies near the edge of a picture.
    round_corner: bool  # Whether the edge folds back, so that readings are (u, v) points.
    length_mm: float  # Of the straight edge.
    bent_mm: float  # How far the straight edge strays from its line.
    doubts: tuple[Message, ...]
    left_out: tuple[tuple[complex, complex], ...]  # Stretches of the rail's edge that could not be told.
    ring: Complexes  # (n,): the whole outline.
    good: NDArray[np.bool_]  # (n,)
    straight: NDArray[np.intp]  # (k,): which points of it are the straight edge, anticlockwise.
    rail: NDArray[np.intp]  # (j,): which are the rail's edge, towards growing stations.
    origin: complex  # Where station 0 lies on the floor.
    along: complex  # Unit vector of the stations there.

    @property
    def read_error_mm(self) -> float:
        """One standard deviation of a reading, over all."""
        return float(np.sqrt(np.mean(self.error_mm**2)))


def pattern(
    of: Measured,
    view: View,
    thickness_mm: float,
    every_mm: float,
    side: Side | None = None,
    cross: complex | None = None,
    hand: ByHand = NOTHING,
) -> Pattern:
    """The trace that a pattern's edge is.

    Args:
        of: The pattern's edges.
        view: From where the picture was taken in which sides are told apart.
        thickness_mm: The pattern's.
        every_mm: Readings are this far apart.
        side: Where its straight edge lies in the picture; None for the longest straight side.
        cross: Where a pen cross marks station 0, on the floor of the ring; None if the left end is square there.
        hand: What whoever looked at the picture has set right.

    Raises:
        Refusal: It has no straight edge, no square left end, or too little of its edge could be told.
    """
    ring = set_right(of.outline, hand)
    sides = sides_of(ring)
    doubts = list(of.doubts)
    if hand.straight is None:
        datum = straight_edge(ring, sides, in_picture(ring, view, of.scale, thickness_mm), side, doubts)
    else:
        datum = tapped_side(ring, sides, hand.straight)
    zero = _Zero(ring, datum_points(ring, sides, datum), end_points(ring, sides, datum), cross)
    frame, bent = _frame(zero, doubts)
    base = members(sides, datum, len(ring.points))
    rail = rail_between(rail_points(ring, sides, datum, END_RAD if cross is None else SLANT_RAD), hand, ring, base)
    local = (ring.points - frame[0]) * frame[1].conjugate()
    made, points, folds = readings(local, ring, rail, every_mm)
    if len(points) < 3:
        raise Refusal(
            "too little of the pattern's edge can be told from the floor; lay it on a floor of another colour, in even "
            "light"
        )
    held = _Held(zero, local, frame[1])
    error = held.errors(made)
    gaps = tuple(
        (a, b)
        for a, b in pairwise([local[rail[0]], *points, local[rail[-1]]])
        if abs(b - a) > every_mm * 1.5 + HIDDEN_MM
    )
    out = left_out(hand, len(local))
    doubts += [
        message(
            "between stations {} and {} the edge cannot be told from what lies beside it and is left out",
            mm(a.real),
            mm(b.real),
        )
        for a, b in gaps
        if not by_hand((a, b), local, out, rail)
    ]
    doubts += said(hand, local)
    worst = int(np.argmax(error))
    near = int(np.argmin(np.abs(local - points[worst])))
    return Pattern(
        points=points,
        error_mm=error,
        by_thickness=float(np.abs(held.moved(ring.thicker, made)).max()),
        worst_at_rim=bool(ring.near_rim[near]),
        round_corner=folds,
        length_mm=float(np.ptp(local[base].real)),
        bent_mm=bent,
        doubts=tuple(doubts),
        left_out=gaps,
        ring=local,
        good=ring.good,
        straight=base,
        rail=rail,
        origin=frame[0],
        along=frame[1],
    )


def _line(z: Complexes, weight: Floats) -> tuple[complex, complex]:
    """A point and the unit direction of the line through points, those far off it counting less and less (Huber)."""
    for _ in range(12):
        middle = complex((weight * z).sum() / weight.sum())
        off = z - middle
        second = complex((weight * off * off).sum())
        along = cmath.exp(0.5j * cmath.phase(second))
        away = np.abs((off * along.conjugate()).imag)
        limit = max(2.0 * 1.4826 * float(np.median(away)), 0.02)
        weight = np.where(away > limit, limit / np.maximum(away, 1e-9), 1.0) * (weight > 0.0)
    return middle, along if ((z[-1] - z[0]) * along.conjugate()).real > 0.0 else -along


@dataclass(frozen=True, slots=True, eq=False)
class _Zero:
    """What station 0 and the way of the stations are read off."""

    ring: Ring
    base: NDArray[np.intp]  # The straight edge's points.
    end: NDArray[np.intp]  # Those of the left end.
    cross: complex | None  # The pen cross that stands for the end.

    def of(self, z: Complexes) -> tuple[complex, complex]:
        """Station 0 and the unit vector of the stations, the ring's points lying at z."""
        middle, along = _line(z[self.base], np.ones(len(self.base)))
        if self.cross is None:
            return _meeting(z, self.base, self.end), along
        # the cross moves as the edge nearest to it does
        near = int(np.argmin(np.where(self.ring.good, np.abs(self.ring.points - self.cross), np.inf)))
        at = self.cross + complex(z[near] - self.ring.points[near])
        return middle + along * ((at - middle) * along.conjugate()).real, along


def _frame(zero: _Zero, doubts: list[Message]) -> tuple[tuple[complex, complex], float]:
    """Where station 0 lies and which way the stations run, and how far the straight edge strays."""
    ring, base = zero.ring, zero.base
    if len(base) < 30:
        raise Refusal("too little of the straight edge can be told from the floor; lay it on a floor of another colour")
    if zero.cross is None:
        _refuse_slant(ring.points, base, zero.end, doubts)
    middle, along = _line(ring.points[base], np.ones(len(base)))
    away = ((ring.points[base] - middle) * along.conjugate()).imag
    window = np.ones(BOW) / BOW
    bent = float(np.ptp(np.convolve(away, window, "valid"))) if len(away) > BOW else 0.0
    if bent > BENT_MM:
        doubts.append(
            message("the straight edge strays {} from a straight line; check it against a straightedge", mm(bent))
        )
    return zero.of(ring.points), bent


def _refuse_slant(z: Complexes, base: NDArray[np.intp], end: NDArray[np.intp], doubts: list[Message]) -> None:
    """Refuse or doubt a left end that is not square to the straight edge."""
    if len(end) < LEAST_END_MM / 2:
        raise Refusal(NO_END)
    _, along = _line(z[base], np.ones(len(base)))
    _, down = _line(z[end], np.ones(len(end)))
    out = cmath.phase(down / along * 1j)
    short = float(np.abs(z[end] - z[end[0]]).max()) < SURE_END_MM
    if abs(out) > math.pi / 4 or (short and abs(out) > END_RAD):
        raise Refusal(NO_END)  # the next side that is told is none at the left
    if abs(out) > END_RAD:
        raise Refusal(
            message(
                "the left end is {} out of square to the straight edge, so station 0 cannot be told; cut it square, "
                "or draw a pen cross at station 0 and say --cross",
                rad(abs(out)),
            )
        )
    if abs(out) > SQUARE_RAD:
        doubts.append(
            message("the left end is {} out of square; station 0 is where it meets the straight edge", rad(abs(out)))
        )


def _meeting(z: Complexes, base: NDArray[np.intp], end: NDArray[np.intp]) -> complex:
    """Where the lines through two sets of points meet."""
    (p, a), (q, b) = (_line(z[of], np.ones(len(of))) for of in (base, end))
    return p + a * ((q - p) * b.conjugate()).imag / (a * b.conjugate()).imag


@dataclass(frozen=True, slots=True, eq=False)
class _Held:
    """A ring in the straightedge's frame, which moves when what the frame is laid on moves."""

    zero: _Zero
    local: Complexes
    along: complex

    @property
    def normal(self) -> Complexes:
        """Unit normals of the ring's points, (n,)."""
        return self.zero.ring.outward * self.along.conjugate()

    def moved(self, move: Complexes, made: list[Read]) -> Floats:
        """How far each reading moves, square to the edge, where the ring's points move so."""
        z = self.zero.ring.points + move
        origin, along = self.zero.of(z)
        moved = (z - origin) * along.conjugate() - self.local
        off = (moved * self.normal.conjugate()).real
        return np.array([(read.share * off[read.near]).sum() for read in made])

    def errors(self, made: list[Read]) -> Floats:
        """One standard deviation of each reading, square to the edge."""
        ring = self.zero.ring
        wander = {reach: self._wander_mm(reach) for reach in REACHES_MM}
        squares = np.array([((read.share * ring.error_mm[read.near]) ** 2).sum() for read in made])
        squares = np.maximum(squares, [max(wander[read.reach_mm], read.spread_mm) ** 2 for read in made])
        if self.zero.cross is not None:
            squares += [(CROSS_MM * (read.share * self.normal.real[read.near]).sum()) ** 2 for read in made]
        squares += [(read.share * ring.shared_mm[read.near]).sum() ** 2 for read in made]
        moves = [*ring.errors, self._edge_moved(self.zero.base)]
        if self.zero.cross is None:
            moves.append(self._edge_moved(self.zero.end))
        return np.asarray(np.sqrt(squares + sum(self.moved(move, made) ** 2 for move in moves)))

    def _edge_moved(self, points: NDArray[np.intp]) -> Complexes:
        """How the ring's points move, (n,), where one edge is off by what its points have in common."""
        ring = self.zero.ring
        move = np.zeros(len(ring.points), complex)
        move[points] = ring.side_mm[points] * ring.outward[points]
        return move

    def _wander_mm(self, reach_mm: float) -> float:
        """How far the straight edge, its bow taken out, strays over a reading's reach.

        What neighbours share of the light beside an edge, and of the cut, does not average out; the rail's edge is read
        in the same light.
        """
        t, away = (
            (part(self.local[self.zero.base] - self.local[self.zero.base].mean())) / 100.0
            for part in (np.real, np.imag)
        )
        off = 100.0 * (away - np.polyval(np.polyfit(t, away, 2), t))
        width = min(round(2.0 * reach_mm) + 1, len(off))
        return float(np.sqrt(np.mean(np.convolve(off, np.ones(width) / width, "valid") ** 2)))
