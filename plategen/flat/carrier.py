"""The whole line or circle that an edge lies on, in one form for both that stays exact as the arc straightens.

With ``s`` a point of the curve, ``n`` the unit normal to the left there and ``k`` the signed curvature (positive
turning left, 0 for a line), the point ``s + d`` is on the curve when

    g(d) = n . d - k |d|^2 / 2 = 0,    and its distance to the left of it is    2 g / (1 + sqrt(1 - 2 k g)).

No centre and no radius appears, so an arc of 10 km radius is treated as accurately as a line (a centre 10 km away
would carry its rounding into every result). Worked out once an edge, then asked many times.
"""

import math
from typing import NamedTuple

from plategen.flat.segment import SAME_POINT_MM, Arc, Segment


class Carrier(NamedTuple):
    """An edge with the numbers that crossings and distances ask for again and again.

    ``tangent`` is the unit vector along it at its start; ``curvature`` (1/mm) and ``sweep_rad`` are positive turning
    left, 0 for a line; ``left``, ``low``, ``right`` and ``high`` (mm) are the sides of a box that surely holds it.
    """

    start: complex
    end: complex
    tangent: complex
    curvature: float
    sweep_rad: float
    length: float
    left: float
    low: float
    right: float
    high: float

    def leftward(self, p: complex) -> float:
        """Distance of ``p`` from the whole line or circle in mm, positive to the left of it."""
        d, n, k = p - self.start, self.tangent, self.curvature
        g = n.real * d.imag - n.imag * d.real
        if k == 0.0:
            return g
        g -= k * (d.real * d.real + d.imag * d.imag) / 2
        root = 1.0 - 2.0 * k * g
        return 2.0 * g / (1.0 + math.sqrt(root)) if root > 0.0 else 1.0 / k

    def share(self, p: complex) -> float:
        """Share of the edge's length at the foot of ``p`` on its line or circle; outside 0..1 beyond the ends.

        On a circle the value before the start or after the end is the one nearer to the edge. Seen from the centre
        the turn from start to ``p`` is the angle of ``1 + i k d``, with ``d`` along and left of the start tangent.
        """
        d, t, k = p - self.start, self.tangent, self.curvature
        along = d.real * t.real + d.imag * t.imag
        if k == 0.0:
            return along / self.length
        share = math.atan2(k * along, 1.0 - k * (t.real * d.imag - t.imag * d.real)) / self.sweep_rad
        if share < 0.0:
            around = share + 2.0 * math.pi / abs(self.sweep_rad)
            return around if around - 1.0 < -share else share
        return share

    def within(self, p: complex) -> float | None:
        """Share of the length at ``p``, a point of the whole curve, if the edge reaches it; ends are snapped to."""
        t = self.share(p)
        slack = SAME_POINT_MM / self.length
        if t < -slack or t > 1.0 + slack:
            return None
        return 0.0 if t < slack else 1.0 if t > 1.0 - slack else t

    def touched(self, p: complex) -> float | None:
        """Share of the length at which the edge passes through ``p``, None if it does not."""
        return self.within(p) if abs(self.leftward(p)) <= SAME_POINT_MM else None

    def direction(self, p: complex) -> complex:
        """Unit vector along the line or circle at the foot of ``p`` on it."""
        k = self.curvature
        if k == 0.0:
            return self.tangent
        along = self.tangent + 1j * k * (p - self.start)
        return along / abs(along)

    def foot(self, p: complex) -> complex:
        """The point of the whole line or circle nearest to ``p``."""
        return p - 1j * self.direction(p) * self.leftward(p)

    def shifted(self, leftward_mm: float) -> "Carrier | None":
        """The parallel curve that far to the left; None where a circle has shrunk to its centre or beyond.

        Only the curve is meant: length, sweep and box are those of the edge before.
        """
        scale = 1.0 - self.curvature * leftward_mm
        if scale <= 0.0:
            return None
        start = self.start + 1j * self.tangent * leftward_mm
        return self._replace(start=start, curvature=self.curvature / scale)

    def nearer(self, p: complex, limit_mm: float) -> bool:
        """True when the edge comes nearer than ``limit_mm`` to ``p``."""
        leftward = self.leftward(p)
        if abs(leftward) >= limit_mm:
            return False
        if abs(p - self.start) < limit_mm or abs(p - self.end) < limit_mm:
            return True
        return 0.0 <= self.share(p) <= 1.0

    def parted(self, other: "Carrier") -> bool:
        """True when the boxes of two edges are clear of each other, so that the edges cannot touch."""
        return (
            self.right < other.left - SAME_POINT_MM
            or other.right < self.left - SAME_POINT_MM
            or self.high < other.low - SAME_POINT_MM
            or other.high < self.low - SAME_POINT_MM
        )


def carrier(segment: Segment) -> Carrier:
    """The carrier of an edge. Raises ZeroDivisionError for an edge without length."""
    start, end = segment.start, segment.end
    chord = end - start
    width = abs(chord)
    along = chord / width
    u0, u1 = (start.real, end.real) if start.real <= end.real else (end.real, start.real)
    v0, v1 = (start.imag, end.imag) if start.imag <= end.imag else (end.imag, start.imag)
    if not isinstance(segment, Arc):
        return Carrier(start, end, along, 0.0, 0.0, width, u0, v0, u1, v1)
    b = segment.bulge
    squared = 1.0 + b * b
    # exp(i sweep / 2) = (1 + i b)^2 / (1 + b^2), as b = tan(sweep / 4)
    tangent = along * complex(1.0 - b * b, -2.0 * b) / squared
    curvature = 4.0 * b / (width * squared)
    sweep = 4.0 * math.atan(b)
    if -1.0 <= b <= 1.0:
        sagitta = abs(b) * width / 2
        return Carrier(
            start, end, tangent, curvature, sweep, sweep / curvature,
            u0 - sagitta, v0 - sagitta, u1 + sagitta, v1 + sagitta,
        )  # fmt: skip
    centre, radius = start + 1j * tangent / curvature, 1.0 / abs(curvature)
    return Carrier(
        start, end, tangent, curvature, sweep, sweep / curvature,
        centre.real - radius, centre.imag - radius, centre.real + radius, centre.imag + radius,
    )  # fmt: skip
