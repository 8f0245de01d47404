"""Fillet runs as lines in space: what a force does to every point of them.

All runs are given a throat of one. With L their length, c their centroid and, about it, K = integral of
(|r|^2 I - r r^T) ds, a force F through a point p makes at the point r of the runs the line load

    q(r) = F/L + (K^-1 M) x (r - c),   M = (p - c) x F,

in N/mm. For runs in one plane this is the handbook's weld group in bending and torsion. Straight and circular runs are
integrated in closed form, never sampled. The parts of q are added as vectors: all of it is taken as shear on the
throat, the conservative of the two conventions in use.

Source: statics with the usual elastic assumption (rigid parts, weld deforms in proportion to its line load).
"""

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.ground.space import Vector, cross, dot, minus

Array: TypeAlias = NDArray[np.float64]
"""Numbers in an array."""

_SERIES_BELOW_RAD = 0.02  # half sweep under which differences of near-equal numbers are replaced by their series
_SINGULAR = 1e-11  # det K over its largest possible value, under which the runs lie on one straight line


@dataclass(frozen=True, slots=True)
class Piece:
    """A straight or circular piece of a run in space."""

    middle: Vector  # Middle of the chord.
    along: Vector  # Half the chord, from the middle to the end.
    # Unit vector in the plane of the arc from the chord's middle towards the arc; zero for a straight piece.
    bow: Vector = (0.0, 0.0, 0.0)
    half_sweep: float = 0.0  # Half the sweep of the arc, rad; 0 for a straight piece.

    @property
    def half_chord(self) -> float:
        """Half the chord, mm."""
        return math.sqrt(sum(x * x for x in self.along))

    @property
    def length(self) -> float:
        """Length along the piece, mm."""
        h = self.half_sweep
        return 2.0 * self.half_chord * (h / math.sin(h) if h else 1.0)

    def ends(self) -> tuple[Vector, Vector]:
        """Both ends."""
        m, a = self.middle, self.along
        return (m[0] - a[0], m[1] - a[1], m[2] - a[2]), (m[0] + a[0], m[1] + a[1], m[2] + a[2])

    def at(self, angle: float) -> Vector:
        """The point of an arc at ``angle`` from its middle, -half_sweep to +half_sweep."""
        radius = self.half_chord / math.sin(self.half_sweep)
        out, side = radius * (math.cos(angle) - math.cos(self.half_sweep)), math.sin(angle) / math.sin(self.half_sweep)
        m, a, b = self.middle, self.along, self.bow
        return (m[0] + out * b[0] + side * a[0], m[1] + out * b[1] + side * a[1], m[2] + out * b[2] + side * a[2])

    @property
    def apex(self) -> Vector:
        """Where the end tangents of an arc of less than half a turn meet; the arc's middle for longer ones."""
        if self.half_sweep >= math.pi / 2.0:
            return self.at(0.0)
        out, m, b = self.half_chord * math.tan(self.half_sweep), self.middle, self.bow
        return (m[0] + out * b[0], m[1] + out * b[1], m[2] + out * b[2])

    def moments(self) -> tuple[float, float, float, float]:
        """Length, and integrals over the piece of x, x^2 and y^2; x along the bow from the chord, y along it."""
        h, half = self.half_sweep, self.half_chord
        if h == 0.0:
            return 2.0 * half, 0.0, 0.0, 2.0 * half**3 / 3.0
        r = half / math.sin(h)
        t = 2.0 * h
        if h < _SERIES_BELOW_RAD:
            x = 2.0 * (h**3 / 3.0 - h**5 / 30.0 + h**7 / 840.0)
            xx = t**5 / 120.0 - t**7 / 2520.0
            yy = (t**3 / 6.0 - t**5 / 120.0 + t**7 / 5040.0) / 2.0
        else:
            x = 2.0 * (math.sin(h) - h * math.cos(h))
            xx = t + h * math.cos(t) - 1.5 * math.sin(t)
            yy = h - math.sin(t) / 2.0
        return r * t, r * r * x, r**3 * xx, r**3 * yy


def straight(start: Vector, end: Vector) -> Piece:
    """A straight piece between two points of space.

    >>> straight((0.0, 0.0, 0.0), (30.0, 40.0, 0.0)).length
    50.0
    """
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2, (start[2] + end[2]) / 2)
    return Piece(middle, (end[0] - middle[0], end[1] - middle[1], end[2] - middle[2]))


class WeldGroup:
    """Runs that act together, ready to be loaded.

    Args:
        runs: The pieces of each run, at least one in each; the answers keep this order.
    """

    __slots__ = ("_apexes", "_arcs", "_axis", "_first", "_inverse", "_points", "centroid", "k", "length", "runs")

    def __init__(self, runs: Sequence[Iterable[Piece]]) -> None:
        self.runs = tuple(tuple(run) for run in runs)
        pieces = [p for run in self.runs for p in run]
        origin = pieces[0].middle
        self.length, first, second = _integrals(pieces, origin)
        offset = [f / self.length for f in first]
        self.centroid: Vector = (origin[0] + offset[0], origin[1] + offset[1], origin[2] + offset[2])
        s = [[second[i][j] - self.length * offset[i] * offset[j] for j in range(3)] for i in range(3)]
        trace = s[0][0] + s[1][1] + s[2][2]
        self.k = [[(trace if i == j else 0.0) - s[i][j] for j in range(3)] for i in range(3)]
        self._inverse, self._axis = _inverse(self.k, s)
        points: list[Vector] = []
        self._first: list[int] = []
        self._arcs: list[tuple[int, Piece]] = []
        for index, run in enumerate(self.runs):
            self._first.append(len(points))
            for p in run:
                points.extend(p.ends())
                if p.half_sweep:
                    self._arcs.append((index, p))
        centroid = np.array(self.centroid)
        self._points: Array = (np.array(points) - centroid).T
        self._apexes: Array = (np.array([p.apex for _, p in self._arcs]).reshape(-1, 3) - centroid).T

    def line_load(self, force: Vector, at: Vector, where: Vector) -> Vector:
        """Line load q, N/mm, at the point ``where`` of a run.

        Args:
            force: The force, N.
            at: A point of its line of action, mm.
            where: The point of the weld, mm.

        >>> run = straight((0.0, 0.0, 0.0), (100.0, 0.0, 0.0))
        >>> _, across, _ = WeldGroup([[run]]).line_load((0.0, 1000.0, 0.0), (100.0, 0.0, 0.0), (100.0, 0.0, 0.0))
        >>> round(across, 6)  # 1000/100, and 6 M/L^2 of the moment 1000 x 50
        40.0
        """
        q, x = self._states([(force, at)])
        r = minus(where, self.centroid)
        c = cross(_vector(x[0]), r)
        return (float(q[0, 0]) + c[0], float(q[0, 1]) + c[1], float(q[0, 2]) + c[2])

    def worst(self, loads: Sequence[tuple[Vector, Vector]]) -> list[list[float]]:
        """Largest |q|, N/mm, of every run (inner) under every load (outer), a load being a force and a point of it.

        |q| is convex along a straight piece, so its ends decide; an arc is searched inside only when the triangle
        of its end tangents, in which it lies, shows that its inside could be worse than the ends of its run.
        Infinite where the runs lie on one line and the load turns about that line.
        """
        q, x = self._states(loads)
        largest: list[list[float]] = np.maximum.reduceat(_sizes(q, x, self._points), self._first, axis=1).tolist()
        bounds = _sizes(q, x, self._apexes).tolist() if self._arcs else []
        for case, row in enumerate(bounds):
            for (run, arc), bound in zip(self._arcs, row, strict=True):
                if bound > largest[case][run] or arc.half_sweep >= math.pi / 2.0:
                    largest[case][run] = self._inside(arc, _vector(q[case]), _vector(x[case]), largest[case][run])
        return [[math.inf if value != value else value for value in row] for row in largest]

    def _inside(self, arc: Piece, q: Vector, x: Vector, known: float) -> float:
        """The largest |q| inside an arc if it exceeds ``known``, else ``known``."""
        h = arc.half_sweep
        centre = minus(arc.middle, self.centroid)
        radius = arc.half_chord / math.sin(h)
        # q(phi) = base + cos(phi) p + sin(phi) s along the arc, phi from its middle
        drop = radius * math.cos(h)
        middle = (centre[0] - drop * arc.bow[0], centre[1] - drop * arc.bow[1], centre[2] - drop * arc.bow[2])
        c = cross(x, middle)
        base = (q[0] + c[0], q[1] + c[1], q[2] + c[2])
        out = cross(x, arc.bow)
        p = (radius * out[0], radius * out[1], radius * out[2])
        t = cross(x, arc.along)
        share = 1.0 / math.sin(h)
        s = (share * t[0], share * t[1], share * t[2])
        # |q|^2 = a + b cos + c sin + d cos^2 + e sin^2 + f sin cos
        b2, c2 = 2.0 * dot(base, p), 2.0 * dot(base, s)
        d, e, f = dot(p, p), dot(s, s), 2.0 * dot(p, s)
        a = dot(base, base)

        def square(phi: float) -> float:
            u, v = math.cos(phi), math.sin(phi)
            return a + b2 * u + c2 * v + d * u * u + e * v * v + f * u * v

        steps = max(4, math.ceil(8.0 * h))
        values = [square(-h + 2.0 * h * i / steps) for i in range(steps + 1)]
        best = max(range(steps + 1), key=values.__getitem__)
        phi, width = -h + 2.0 * h * best / steps, 2.0 * h / steps
        peak = _peak(square, max(-h, phi - width), min(h, phi + width))
        return max(known, math.sqrt(peak))

    def _states(self, loads: Sequence[tuple[Vector, Vector]]) -> tuple[Array, Array]:
        """F/L and K^-1 M of every load; NaN for the latter when nothing resists M."""
        force = np.array([load[0] for load in loads])
        arm = np.array([load[1] for load in loads]) - np.array(self.centroid)
        moment = np.stack(_cross_rows(arm.T, force.T), axis=1)
        turned = moment @ np.array(self._inverse)
        if self._axis is not None:
            size = np.linalg.norm(force, axis=1) * self.length + np.linalg.norm(moment, axis=1)
            turned[np.abs(moment @ np.array(self._axis)) > 1e-9 * size] = np.nan
        return force / self.length, turned


def _sizes(q: Array, x: Array, points: Array) -> Array:
    """|q + x x r| for every load (rows) at every point (columns)."""
    turned = _cross_rows(x.T[:, :, None], points[:, None, :])
    total = sum((q[:, i : i + 1] + turned[i]) ** 2 for i in range(3))
    size: Array = np.sqrt(total)
    return size


def _cross_rows(a: Array, b: Array) -> tuple[Array, Array, Array]:
    """Vector product of arrays whose first axis is the three components."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def _vector(row: Array) -> Vector:
    return (float(row[0]), float(row[1]), float(row[2]))


def _peak(square: Callable[[float], float], low: float, high: float) -> float:
    """Largest value of a smooth one-humped function between two places, by golden section; flat there to 1e-12."""
    golden = (math.sqrt(5.0) - 1.0) / 2.0
    a, b = high - golden * (high - low), low + golden * (high - low)
    at_a, at_b = square(a), square(b)
    while high - low > 2e-6:
        if at_a > at_b:
            high, b, at_b = b, a, at_a
            a = high - golden * (high - low)
            at_a = square(a)
        else:
            low, a, at_a = a, b, at_b
            b = low + golden * (high - low)
            at_b = square(b)
    return max(at_a, at_b, square(low), square(high))


def _integrals(pieces: Sequence[Piece], origin: Vector) -> tuple[float, list[float], list[list[float]]]:
    """Length, first moments and second moments (r r^T) of pieces about a point."""
    length = 0.0
    first = [0.0, 0.0, 0.0]
    second = [[0.0] * 3 for _ in range(3)]
    for p in pieces:
        n, x, xx, yy = p.moments()
        m, bow, half = minus(p.middle, origin), p.bow, p.half_chord
        along = (p.along[0] / half, p.along[1] / half, p.along[2] / half)
        length += n
        for i in range(3):
            first[i] += n * m[i] + x * bow[i]
            for j in range(i, 3):
                second[i][j] += (
                    n * m[i] * m[j]
                    + x * (m[i] * bow[j] + bow[i] * m[j])
                    + xx * bow[i] * bow[j]
                    + yy * along[i] * along[j]
                )
    second[1][0], second[2][0], second[2][1] = second[0][1], second[0][2], second[1][2]
    return length, first, second


def _inverse(
    k: Sequence[Sequence[float]], s: Sequence[Sequence[float]]
) -> tuple[tuple[Vector, Vector, Vector], Vector | None]:
    """K^-1 and None; for runs on one line the inverse on its two stiff directions, and the line's direction."""
    (a, b, c), (_, d, e), (_, _, f) = k
    A, B, C = d * f - e * e, c * e - b * f, b * e - c * d
    D, E, F = a * f - c * c, b * c - a * e, a * d - b * b
    det = a * A + b * B + c * C
    stiff = (a + d + f) / 2.0
    if det > _SINGULAR * stiff**3:
        return ((A / det, B / det, C / det), (B / det, D / det, E / det), (C / det, E / det, F / det)), None
    column = max(range(3), key=lambda i: s[i][i])
    size = math.sqrt(sum(s[i][column] ** 2 for i in range(3)))
    axis = (s[0][column] / size, s[1][column] / size, s[2][column] / size)
    rows = [tuple(((1.0 if i == j else 0.0) - axis[i] * axis[j]) / stiff for j in range(3)) for i in range(3)]
    return (
        (rows[0][0], rows[0][1], rows[0][2]),
        (rows[1][0], rows[1][1], rows[1][2]),
        (rows[2][0], rows[2][1], rows[2][2]),
    ), axis
