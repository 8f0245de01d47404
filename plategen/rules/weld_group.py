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
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.ground.space import Vector, cross, minus, mixed

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
        return minus(self.middle, self.along), mixed(self.middle, 1.0, self.along, 1.0)

    def at(self, angle: float) -> Vector:
        """The point of an arc at ``angle`` from its middle, -half_sweep to +half_sweep."""
        radius = self.half_chord / math.sin(self.half_sweep)
        out, side = radius * (math.cos(angle) - math.cos(self.half_sweep)), math.sin(angle) / math.sin(self.half_sweep)
        return mixed(mixed(self.middle, 1.0, self.bow, out), 1.0, self.along, side)

    def walked(self) -> Iterator[tuple[Vector, Vector]]:
        """Both ends, and the middle of an arc, each with the unit vector along the piece there."""
        half, h = self.half_chord, self.half_sweep
        for at, angle in zip(self.ends(), (-h, h), strict=True):
            yield at, mixed(self.along, math.cos(angle) / half, self.bow, -math.sin(angle))
        if h:
            yield self.at(0.0), mixed(self.along, 1.0 / half, self.bow, 0.0)

    @property
    def apex(self) -> Vector:
        """Where the end tangents of an arc of less than half a turn meet; the arc's middle for longer ones."""
        if self.half_sweep >= math.pi / 2.0:
            return self.at(0.0)
        return mixed(self.middle, 1.0, self.bow, self.half_chord * math.tan(self.half_sweep))

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


class WeldGroup:
    """Runs that act together, ready to be loaded.

    Args:
        runs: The pieces of each run, at least one in each; the answers keep this order.
    """

    __slots__ = (
        "_answer", "_apexes", "_arcs", "_asked", "_axis", "_first", "_inverse", "_points", "centroid", "k", "length",
        "runs",
    )  # fmt: skip

    def __init__(self, runs: Sequence[Iterable[Piece]]) -> None:
        self.runs = tuple(tuple(run) for run in runs)
        pieces = [p for run in self.runs for p in run]
        self.length, self.centroid, self.k = _integrals(pieces)
        self._inverse, self._axis = _inverse(self.k)
        self._asked: Sequence[tuple[Vector, Vector]] | None = None
        self._answer: tuple[Array, Array]
        points: list[Vector] = []
        self._first: list[int] = []
        self._arcs: list[tuple[int, Piece]] = []
        for index, run in enumerate(self.runs):
            self._first.append(len(points))
            for p in run:
                points.extend(p.ends())
                if p.half_sweep:
                    self._arcs.append((index, p))
        self._points: Array = (np.array(points) - self.centroid).T
        self._apexes: Array = (np.array([p.apex for _, p in self._arcs]).reshape(-1, 3) - self.centroid).T

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
                    largest[case][run] = self._inside(arc, q[case], x[case], largest[case][run])
        return [[math.inf if value != value else value for value in row] for row in largest]

    def loads_at(self, loads: Sequence[tuple[Vector, Vector]], points: Sequence[Vector]) -> Array:
        """q, N/mm, of every load (first axis) at points of the runs (second), as vectors; NaN where nothing resists."""
        q, x = self._states(loads)
        turned = _cross_rows(x.T[:, :, None], (np.array(points) - self.centroid).T[:, None, :])
        line_loads: Array = q[:, None, :] + np.stack(turned, axis=2)
        return line_loads

    def pressed_at(
        self, loads: Sequence[tuple[Vector, Vector]], points: Sequence[Vector], ways: Sequence[Vector]
    ) -> Array:
        """The part of q along a unit vector at each of some points: of every load (rows) at every point (columns)."""
        q, x = self._states(loads)
        origin: Vector = tuple(self.centroid.tolist())
        # (x x r) . way = x . (r x way)
        arms = [cross(minus(point, origin), way) for point, way in zip(points, ways, strict=True)]
        pressed: Array = q @ np.array(ways).T + x @ np.array(arms).T
        return pressed

    def _inside(self, arc: Piece, q: Array, x: Array, known: float) -> float:
        """The largest |q| inside an arc if it exceeds ``known``, else ``known``.

        At phi from the arc's middle q is base + cos(phi) p + sin(phi) s; where its size is largest, z = exp(i phi) is a
        root of a polynomial of the fourth degree.
        """
        h = arc.half_sweep
        radius = arc.half_chord / math.sin(h)
        centre = mixed(arc.middle, 1.0, arc.bow, -radius * math.cos(h))
        base = q + np.cross(x, np.array(centre) - self.centroid)
        p, s = radius * np.cross(x, arc.bow), np.cross(x, arc.along) / math.sin(h)
        once, twice = 2.0 * complex(base @ s, base @ p), complex(2.0 * (p @ s), p @ p - s @ s)
        roots = np.roots([twice, once, 0.0, once.conjugate(), twice.conjugate()])
        phi = np.clip(np.angle(roots), -h, h)[:, None]
        sizes = np.linalg.norm(base + np.cos(phi) * p + np.sin(phi) * s, axis=1)
        return max(known, float(sizes.max(initial=0.0)))

    def _states(self, loads: Sequence[tuple[Vector, Vector]]) -> tuple[Array, Array]:
        """F/L and K^-1 M of every load; NaN for the latter when nothing resists M."""
        if loads == self._asked:  # stress, fatigue and the rail's wall ask about the same loads
            return self._answer
        force = np.array([load[0] for load in loads])
        arm = np.array([load[1] for load in loads]) - self.centroid
        moment = np.stack(_cross_rows(arm.T, force.T), axis=1)
        turned = moment @ self._inverse
        if self._axis is not None:
            size = np.linalg.norm(force, axis=1) * self.length + np.linalg.norm(moment, axis=1)
            turned[np.abs(moment @ self._axis) > 1e-9 * size] = np.nan
        self._asked = loads if isinstance(loads, tuple) else None  # a list may have changed when it comes again
        self._answer = (force / self.length, turned)
        return self._answer


def _sizes(q: Array, x: Array, points: Array) -> Array:
    """|q + x x r| for every load (rows) at every point (columns)."""
    turned = _cross_rows(x.T[:, :, None], points[:, None, :])
    total = sum((q[:, i : i + 1] + turned[i]) ** 2 for i in range(3))
    size: Array = np.sqrt(total)
    return size


def _cross_rows(a: Array, b: Array) -> tuple[Array, Array, Array]:
    """Vector product of arrays whose first axis is the three components."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def _integrals(pieces: Sequence[Piece]) -> tuple[float, Array, Array]:
    """Length, centroid and K of pieces."""
    n, x, xx, yy = np.array([p.moments() for p in pieces]).T
    origin = np.array(pieces[0].middle)
    middle, bow = np.array([p.middle for p in pieces]) - origin, np.array([p.bow for p in pieces])
    along = np.array([p.along for p in pieces]) / np.array([[p.half_chord] for p in pieces])
    length = float(n.sum())
    off = (n @ middle + x @ bow) / length
    mixed_parts = (x * middle.T) @ bow
    second = (n * middle.T) @ middle + mixed_parts + mixed_parts.T + (xx * bow.T) @ bow + (yy * along.T) @ along
    second -= length * np.outer(off, off)
    return length, origin + off, np.trace(second) * np.eye(3) - second


def _inverse(k: Array) -> tuple[Array, Array | None]:
    """K^-1 and None; for runs on one line the inverse on its two stiff directions, and the line's direction."""
    stiffness, ways = np.linalg.eigh(k)  # the least first
    if stiffness.prod() > _SINGULAR * (stiffness.sum() / 2.0) ** 3:
        return (ways / stiffness) @ ways.T, None
    return (ways[:, 1:] / stiffness[1:]) @ ways[:, 1:].T, ways[:, 0]
