"""The two edges a plate can have: a straight line and a circular arc, as frozen values.

A point or a vector of the plane is a Python ``complex``: ``u + v*1j``. That is a frozen value with exact,
fast arithmetic: rotating is multiplying by ``exp(1j * angle_rad)``, length is ``abs``, the left normal is
multiplying by ``1j``. Lengths are millimetres.

An arc is its two end points and its bulge, ``tan(sweep / 4)``, positive when it turns left (anticlockwise).
Keeping the end points, not the centre, lets neighbours share them to the last bit, makes reversing and
offsetting one line each, and stays well conditioned for an arc that is almost straight. An arc sweeps less
than a full turn; a full circle is a hole (see :mod:`plategen.flat.loop`).
"""

import cmath
import math
from dataclasses import dataclass
from typing import TypeAlias

SAME_POINT_MM = 1e-7
"""Two points closer than this are one: far above rounding on a metre-sized part, far below any tool."""

SHORTEST_EDGE_MM = 0.3
"""No edge of a plate may be shorter: cutting controls stutter on shorter ones, and no torch can draw them."""

SHORTEST_PATH_MM = 0.05
"""No edge of a torch's path beside a plate may be shorter: about a corner that is all but flat, it turns on less."""

RUN_ON_MM = 0.002
"""How far beyond the distance the point of two parallels may lie that run on where their arc is too short to cut."""


def dot(a: complex, b: complex) -> float:
    """Scalar product ``|a| |b| cos(angle)`` of two vectors."""
    return a.real * b.real + a.imag * b.imag


def cross(a: complex, b: complex) -> float:
    """Signed area of the parallelogram from ``a`` to ``b``; positive when ``b`` is to the left of ``a``."""
    return a.real * b.imag - a.imag * b.real


def angle(a: complex) -> float:
    """Direction of ``a`` in radians, anticlockwise from the u axis, within (-pi, pi].

    Not ``cmath.phase``, which raises OverflowError when the result is too small for a normal float.
    """
    return math.atan2(a.imag, a.real)


def unit(a: complex) -> complex:
    """The direction of ``a``. Raises ZeroDivisionError for the zero vector."""
    return a / abs(a)


@dataclass(frozen=True, slots=True)
class Line:
    """A straight edge from ``start`` to ``end``."""

    start: complex
    end: complex

    @property
    def length(self) -> float:
        """Length in mm."""
        return abs(self.end - self.start)

    @property
    def sweep_rad(self) -> float:
        """Turn along the edge: none."""
        return 0.0

    @property
    def start_tangent(self) -> complex:
        """Unit vector along the edge at its start."""
        return unit(self.end - self.start)

    end_tangent = start_tangent

    def point(self, t: float) -> complex:
        """The point at share ``t`` of the length, 0 at the start and 1 at the end."""
        return self.start + (self.end - self.start) * t

    def tangent(self, t: float) -> complex:
        """Unit vector along the edge at share ``t`` of the length."""
        return unit(self.end - self.start)

    def nearest(self, p: complex) -> float:
        """Share of the length, within 0..1, at which the edge comes nearest to ``p``."""
        along = self.end - self.start
        t = dot(p - self.start, along) / dot(along, along)
        return 0.0 if t < 0.0 else 1.0 if t > 1.0 else t

    def part(self, t0: float, t1: float) -> "Line":
        """The piece between two shares of the length."""
        return Line(self.point(t0) if t0 else self.start, self.point(t1) if t1 != 1.0 else self.end)

    def reversed(self) -> "Line":
        """The same edge walked the other way."""
        return Line(self.end, self.start)

    def moved(self, turn: complex, shift: complex) -> "Line":
        """Rotated by the unit complex ``turn`` about the origin, then shifted."""
        return Line(self.start * turn + shift, self.end * turn + shift)

    def mirrored(self) -> "Line":
        """Mirrored in the u axis (v changes sign)."""
        return Line(self.start.conjugate(), self.end.conjugate())


@dataclass(frozen=True, slots=True)
class Arc:
    """A circular edge from ``start`` to ``end`` with ``bulge = tan(sweep / 4)``, not zero.

    Source of the formulas: the sagitta is ``bulge * chord / 2``; the rest follows from the half-angle.
    """

    start: complex
    end: complex
    bulge: float

    @classmethod
    def about(cls, centre: complex, radius_mm: float, from_rad: float, sweep_rad: float) -> "Arc":
        """The arc about ``centre`` that begins at the angle ``from_rad`` and turns by ``sweep_rad`` (signed)."""
        start = centre + cmath.rect(radius_mm, from_rad)
        return cls(start, centre + cmath.rect(radius_mm, from_rad + sweep_rad), math.tan(sweep_rad / 4))

    @property
    def sweep_rad(self) -> float:
        """Signed turn from start to end, within (-2 pi, 2 pi)."""
        return 4.0 * math.atan(self.bulge)

    @property
    def radius(self) -> float:
        """Radius in mm."""
        b = self.bulge
        return abs(self.end - self.start) * (1.0 + b * b) / (4.0 * abs(b))

    @property
    def centre(self) -> complex:
        """Centre of the circle."""
        b, chord = self.bulge, self.end - self.start
        return (self.start + self.end) / 2 + chord * complex(0.0, (1.0 - b * b) / (4.0 * b))

    @property
    def length(self) -> float:
        """Length along the arc in mm."""
        return self.radius * abs(self.sweep_rad)

    @property
    def start_tangent(self) -> complex:
        """Unit vector along the edge at its start."""
        return unit(self.end - self.start) * _half_turn(-self.bulge)

    @property
    def end_tangent(self) -> complex:
        """Unit vector along the edge at its end."""
        return unit(self.end - self.start) * _half_turn(self.bulge)

    def point(self, t: float) -> complex:
        """The point at share ``t`` of the length, 0 at the start and 1 at the end."""
        sweep = self.sweep_rad
        chord_share = math.sin(sweep * t / 2) / math.sin(sweep / 2)
        return self.start + (self.end - self.start) * cmath.rect(chord_share, sweep * (t - 1.0) / 2)

    def tangent(self, t: float) -> complex:
        """Unit vector along the edge at share ``t`` of the length."""
        return self.start_tangent * cmath.rect(1.0, self.sweep_rad * t)

    def nearest(self, p: complex) -> float:
        """Share of the length, within 0..1, at which the edge comes nearest to ``p``."""
        # with d = p - start seen along and left of the start tangent, in chords, and k the curvature times the chord,
        # (p - centre) / (start - centre) is 1 + i k d: no centre appears, which for an arc that is almost straight
        # would be too far off to be exact
        chord, b, sweep = self.end - self.start, self.bulge, self.sweep_rad
        d = (p - self.start) / (chord * _half_turn(-b))
        turn = 4.0 * b / (1.0 + b * b)
        t = math.atan2(turn * d.real, 1.0 - turn * d.imag) / sweep
        if t < 0.0:
            t += 2.0 * math.pi / abs(sweep)
        if t <= 1.0:
            return t
        return 0.0 if abs(p - self.start) <= abs(p - self.end) else 1.0

    def part(self, t0: float, t1: float) -> "Arc":
        """The piece between two shares of the length."""
        return Arc(
            self.point(t0) if t0 else self.start,
            self.point(t1) if t1 != 1.0 else self.end,
            math.tan(self.sweep_rad * (t1 - t0) / 4),
        )

    def reversed(self) -> "Arc":
        """The same edge walked the other way."""
        return Arc(self.end, self.start, -self.bulge)

    def moved(self, turn: complex, shift: complex) -> "Arc":
        """Rotated by the unit complex ``turn`` about the origin, then shifted."""
        return Arc(self.start * turn + shift, self.end * turn + shift, self.bulge)

    def mirrored(self) -> "Arc":
        """Mirrored in the u axis (v changes sign)."""
        return Arc(self.start.conjugate(), self.end.conjugate(), -self.bulge)


def _half_turn(bulge: float) -> complex:
    """``exp(i sweep / 2)`` for ``bulge = tan(sweep / 4)``, which is (1 + i b)^2 / (1 + b^2)."""
    return complex(1.0 - bulge * bulge, 2.0 * bulge) / (1.0 + bulge * bulge)


Segment: TypeAlias = Line | Arc
"""An edge."""
