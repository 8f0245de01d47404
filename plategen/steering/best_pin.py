"""The place of the fixed pin, within a box, that keeps the worst angle of the sweep smallest."""

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np

from plategen.ground.refusal import Refusal
from plategen.steering.mount import Mount, line_direction, pin_to_pin
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats, Point, array, as_point, dot, length

CUTS = 600
"""Most cuts made. In three dimensions each takes at least an eighth of a neper off the volume: 600 end it at e^-75."""

SETTLED_RAD = 1e-12
"""No place left in the ellipsoid is better by more."""

SAME_RAD, SAME_MM = 1e-12, 1e-9
"""What rounding makes of one angle, and of one length, worked out in two ways."""

SETTLED_MM = 0.02
"""A pin this close to a side of its box lies on it: well under what a bracket can be set to."""


@dataclass(frozen=True, slots=True)
class AwayCost:
    """What moving the pin away from its best place by a step along one vehicle axis costs."""

    axis: str
    step_mm: float
    worst_rad: float
    push_lost: float


@dataclass(frozen=True, slots=True)
class BestPin:
    """The best fixed pin within a box."""

    fixed_mm: Point  # Where.
    worst_rad: float  # Largest angle between cylinder and line with the pin there.
    drawn_worst_rad: float  # The same with the pin as drawn.
    push_lost: float  # 1 - cos of the worst angle.
    on_edge: tuple[str, ...]  # The sides of the box that hold the pin back, e.g. ``("x high",)``.
    away: tuple[AwayCost, ...]  # Cost of each step away, both ways along each axis.


def best_pin(
    sweep: Sweep,
    mount: Mount,
    low_mm: Point,
    high_mm: Point,
    *,
    lengths_mm: tuple[float, float] | None = None,
    step_mm: float = 25.4,
) -> BestPin:
    """The best fixed pin in a box between two corners, and what a step away costs; an ellipsoid closes in on it.

    The places from which the cylinder keeps within an angle of its line at one position of the sweep form a cone, which
    is convex; so do those that keep within it at all positions. Hence, where the present place is worse than the best
    so far at any position, every better one lies beyond the plane that touches that position's cone of the best angle,
    and the ellipsoid method with deep cuts (Shor; Yudin and Nemirovski, 1976) finds the best of all places, whatever
    creases the worst angle has. The places from which a closed cylinder is not too long lie outside a sphere and are
    not convex; over a box much smaller than the cylinder they are as good as a half-space, and are cut as one.
    ``lengths_mm`` are those, closed and open, pin to pin.

    Raises:
        Refusal: a box turned inside out, or one in which no place lets the cylinder reach.
    """
    low, high = array(low_mm), array(high_mm)
    if bool((low > high).any()):
        words = "the box for the fixed pin is turned inside out; give its low corner first, then its high corner"
        raise Refusal(words, key="steering.cylinder_mount.box")
    pins = pin_to_pin(sweep, mount)
    line, moving = line_direction(sweep, mount, pins), pins.moving_mm

    best, least = _over_all(low, high, moving, line, lengths_mm or (0.0, math.inf))
    if not math.isfinite(least):
        raise Refusal(
            "nowhere in the box can the fixed pin go: the cylinder's closed and open lengths do not cover the travel; "
            "enlarge the box or choose another cylinder",
            key="steering.cylinder_mount.box",
        )
    edges = tuple(
        f"{name} {side}"
        for k, name in enumerate("xyz")
        for side, bound in (("low", low[k]), ("high", high[k]))
        if high[k] > low[k] and abs(best[k] - bound) < SETTLED_MM
    )
    away = tuple(
        _away(name, k, sign * step_mm, best, moving, line) for k, name in enumerate("xyz") for sign in (-1.0, 1.0)
    )
    drawn = _worst_rad(array(mount.fixed_mm), moving, line)
    return BestPin(as_point(best), least, drawn, 1.0 - math.cos(least), edges, away)


_Position: TypeAlias = tuple[Point, Point]
"""The moving pin and the line's direction at one position of the sweep."""


def _over_all(
    low: Floats, high: Floats, moving: Floats, line: Floats, lengths_mm: tuple[float, float]
) -> tuple[Floats, float]:
    """The best place found and its worst angle over all positions; infinite when no place lets the cylinder reach.

    Few of many positions bind it, so a place is tried at those that were the worst somewhere, and only where it is
    better at them at all the others too.
    """
    positions = _Positions.of(moving, line, (low + high) / 2.0)
    known: dict[int, _Position] = {}
    while True:
        place, least = _closed_in(low, high, positions, lengths_mm, known)
        best = array(place)
        if not math.isfinite(least):
            return best, least
        size, angle = _sizes_and_angles(best, moving, line)
        beyond = {int(angle.argmax())} if float(angle.max()) > least + SAME_RAD else set()
        beyond |= {int(size.argmax())} if size.max() > lengths_mm[1] + SAME_MM else set()
        beyond |= {int(size.argmin())} if size.min() < lengths_mm[0] - SAME_MM else set()
        if beyond <= known.keys():
            return best, float(angle.max())
        known |= positions.some(beyond)


@dataclass(frozen=True, slots=True)
class _Positions:
    """All positions of the sweep about an origin, with the products that every place tried there needs, (n,)."""

    moving_mm: Floats
    line: Floats
    origin_mm: Floats
    square: Floats
    along: Floats
    rows: Floats  # (3, 2n): what a place is multiplied by, to be added to square and taken from along.

    @classmethod
    def of(cls, moving_mm: Floats, line: Floats, origin_mm: Floats) -> "_Positions":
        apart = moving_mm - origin_mm
        rows = np.ascontiguousarray(np.concatenate([-2.0 * apart, line]).T)
        return cls(moving_mm, line, origin_mm, dot(apart, apart), dot(apart, line), rows)

    def some(self, numbers: Iterable[int]) -> dict[int, _Position]:
        """Some of them, by their number."""
        return {i: (as_point(self.moving_mm[i]), as_point(self.line[i])) for i in numbers}

    def binding(self, place: Point) -> dict[int, _Position]:
        """Those where the angle is greatest and the cylinder longest and shortest."""
        at = array(place) - self.origin_mm
        squares, along = (at @ self.rows).reshape(2, -1)
        squares, along = squares + self.square + float(at @ at), self.along - along
        angle = along * np.abs(along) / squares
        return self.some({int(angle.argmin()), int(squares.argmax()), int(squares.argmin())})


@dataclass(frozen=True, slots=True)
class _Cut:
    """A plane that a place lies outside of, or on: all better places lie on its other side."""

    outwards: Point
    by_mm: float
    scale_mm: float = 1.0  # How far outside a place lies that is worse by a radian.


@dataclass(frozen=True, slots=True)
class _Ellipsoid:
    """All places x that could be the best: (x - middle) shape^-1 (x - middle) <= 1, in so many directions."""

    middle: Point
    shape: tuple[Point, Point, Point]
    directions: int

    @classmethod
    def about(cls, low: Floats, high: Floats) -> "_Ellipsoid":
        """The one about a box."""
        half = (high - low) / 2.0
        n = int(np.count_nonzero(half))
        x, y, z = (as_point(row) for row in np.diag(n * half**2))
        return cls(as_point((low + high) / 2.0), (x, y, z), n)

    def cut(self, cut: _Cut) -> "_Ellipsoid | None":
        """The least one about what a plane leaves of it; None where that is no better place."""
        n, (wx, wy, wz) = self.directions, cut.outwards
        across = [x * wx + y * wy + z * wz for x, y, z in self.shape]
        reach = math.sqrt(max(across[0] * wx + across[1] * wy + across[2] * wz, 0.0))
        if n == 0 or reach - cut.by_mm < SETTLED_RAD * cut.scale_mm:
            return None
        deep = cut.by_mm / reach
        back = (1.0 + n * deep) / ((n + 1) * reach)
        u, v, w = self.middle
        middle = u - back * across[0], v - back * across[1], w - back * across[2]
        if n == 1:
            size, off = ((1.0 - deep) / 2.0) ** 2, 0.0
        else:
            size = n * n * (1.0 - deep * deep) / (n * n - 1.0)
            off = 2.0 * (1.0 + n * deep) / ((n + 1) * (1.0 + deep) * reach * reach)
        a, b, c = across  # multiplied with each other first: so the shape stays symmetric to the last bit
        x, y, z = (
            (size * (x - off * (d * a)), size * (y - off * (d * b)), size * (z - off * (d * c)))
            for (x, y, z), d in zip(self.shape, across, strict=True)
        )
        return _Ellipsoid(middle, (x, y, z), n)


def _closed_in(
    low: Floats,
    high: Floats,
    positions: _Positions,
    lengths_mm: tuple[float, float],
    known: dict[int, _Position],
) -> tuple[Point, float]:
    """The best place found and its worst angle; infinite when no place of the box lets the cylinder reach.

    What is met on the way is added to the ``known`` positions.
    """
    left: _Ellipsoid | None = _Ellipsoid.about(low, high)
    sides = tuple(zip(low.tolist(), high.tolist(), strict=True))
    best, least = as_point(low), math.inf
    for _ in range(CUTS):
        assert left is not None
        at = left.middle
        found = _outside(at, sides) or _tried(at, known, lengths_mm)
        if found is None or (isinstance(found, _Lean) and found.angle_rad < least):
            known |= positions.binding(at)
            found = _tried(at, known, lengths_mm)
            assert found is not None
            if isinstance(found, _Lean) and found.angle_rad < least:
                best, least = at, found.angle_rad
        left = left.cut(found if isinstance(found, _Cut) else found.cut(least))
        if left is None or least == 0.0:
            break
    return best, least


def _outside(at: Point, sides: tuple[tuple[float, float], ...]) -> _Cut | None:
    """The side of the box that a place lies outside of."""
    for axis, (x, (least, most)) in enumerate(zip(at, sides, strict=True)):
        if not least <= x <= most:
            out = [0.0, 0.0, 0.0]
            out[axis] = 1.0 if x > most else -1.0
            return _Cut((out[0], out[1], out[2]), max(x - most, least - x))
    return None


@dataclass(frozen=True, slots=True)
class _Lean:
    """The cylinder at the known position at which its angle to the line is greatest."""

    angle_rad: float
    span_mm: float  # From the place to the moving pin.
    line: Point
    off: Point  # Unit, square to the line: the way the cylinder leans.

    def cut(self, least_rad: float) -> _Cut:
        """The plane that touches the cone of a lesser angle, or of this one, on this side of it."""
        cos, sin = math.cos(least_rad), math.sin(least_rad)
        (lx, ly, lz), (ox, oy, oz) = self.line, self.off
        outwards = sin * lx - cos * ox, sin * ly - cos * oy, sin * lz - cos * oz
        return _Cut(outwards, self.span_mm * math.sin(self.angle_rad - least_rad), self.span_mm)


def _tried(at: Point, known: dict[int, _Position], lengths_mm: tuple[float, float]) -> _Cut | _Lean | None:
    """The limit of length that a place breaks at a known position, else the greatest angle; None with none known."""
    (x, y, z), longest = at, lengths_mm[1]
    least_2, most_2 = lengths_mm[0] ** 2, longest**2
    steepest, lean = -math.inf, None
    for (mx, my, mz), line in known.values():
        lx, ly, lz = line
        sx, sy, sz = mx - x, my - y, mz - z
        span_2 = sx * sx + sy * sy + sz * sz
        if not least_2 <= span_2 <= most_2:
            span, long = math.sqrt(span_2), span_2 > most_2
            way = -1.0 / span if long else 1.0 / span
            return _Cut((sx * way, sy * way, sz * way), span - longest if long else 0.0)
        on = sx * lx + sy * ly + sz * lz
        ox, oy, oz = sx - lx * on, sy - ly * on, sz - lz * on
        off_2 = ox * ox + oy * oy + oz * oz
        steep = off_2 / (on * on) if on > 0.0 else math.inf
        if steep > steepest:
            steepest, lean = steep, (span_2, line, on, off_2, (ox, oy, oz))
    if lean is None:
        return None
    span_2, line, on, off_2, (ox, oy, oz) = lean
    span, off = math.sqrt(span_2), math.sqrt(off_2)
    return _Lean(math.atan2(off, on), span, line, (ox / off, oy / off, oz / off) if off else (0.0, 0.0, 0.0))


def _sizes_and_angles(place: Floats, moving: Floats, line: Floats) -> tuple[Floats, Floats]:
    """Pin to pin and the angle to the line at every position, (n,) each."""
    span = moving - place
    along = dot(span, line)
    return length(span), np.arctan2(length(span - line * along[..., None]), along)


def _worst_rad(place: Floats, moving: Floats, line: Floats) -> float:
    span = moving - place
    along = dot(span, line)
    i = int(np.argmin(along * np.abs(along) / dot(span, span)))
    return float(_sizes_and_angles(place, moving[i], line[i])[1])


def _away(name: str, axis: int, step: float, best: Floats, moving: Floats, line: Floats) -> AwayCost:
    place = best.copy()
    place[axis] += step
    angle = _worst_rad(place, moving, line)
    return AwayCost(name, step, angle, 1.0 - math.cos(angle))
