"""The place of the fixed pin, within a box, that keeps the worst angle of the sweep smallest."""

import math
from dataclasses import dataclass

import numpy as np

from plategen.ground.refusal import Refusal
from plategen.steering.mount import Mount, line_direction, pin_to_pin
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats, Point, array, as_point, dot, length

CUTS = 600
"""Most cuts made. In three dimensions each takes at least an eighth of a neper off the volume: 600 end it at e^-75."""

FIRST_ASKED = 201
"""Positions that are asked first; a usual sweep has no more."""

SETTLED_RAD, ROUGHLY_RAD = 1e-12, 1e-5
"""No place left in the ellipsoid is better by more: at last, and to find which positions bind it."""

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
    is convex; so do those that keep within it at all positions. Hence no better place lies behind the plane through
    the present one along which its worst angle does not change, and the ellipsoid method (Shor; Yudin and
    Nemirovski, 1976) finds the best of all places, whatever creases the worst angle has. The places from which a
    closed cylinder is not too long lie outside a sphere and are not convex; over a box much smaller than the cylinder
    they are as good as a half-space, and are cut as one. ``lengths_mm`` are those, closed and open, pin to pin.

    Raises:
        Refusal: a box turned inside out, or one in which no place lets the cylinder reach.
    """
    low, high = array(low_mm), array(high_mm)
    if bool((low > high).any()):
        words = "the box for the fixed pin is turned inside out; give its low corner first, then its high corner"
        raise Refusal(words, key="steering.cylinder_mount.box")
    pins = pin_to_pin(sweep, mount)
    line, moving = line_direction(sweep, mount, pins), pins.moving_mm

    best, least = _over_all(low, high, moving, line, lengths_mm)
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


def _over_all(
    low: Floats, high: Floats, moving: Floats, line: Floats, lengths_mm: tuple[float, float] | None
) -> tuple[Floats, float]:
    """The best place found and its worst angle over all positions; infinite when no place lets the cylinder reach.

    Few of many positions bind it. The best for some of them is the best for all if none of the others is worse there;
    else those about the worse one are asked as well, and so on: a place that is the best for fewer never has the
    greater worst angle, so what comes out is the best for all.
    """
    n = len(moving)
    asked = np.unique(np.linspace(0, n - 1, min(n, FIRST_ASKED)).round().astype(np.int64))
    about, settled_rad = n // len(asked) + 1, SETTLED_RAD if len(asked) == n else ROUGHLY_RAD
    while True:
        few = _Positions.of(moving[asked], line[asked], (low + high) / 2.0)
        best, least = _closed_in(low, high, few, lengths_mm, settled_rad)
        if not math.isfinite(least):
            return best, least
        size, angle = _sizes_and_angles(best, moving, line)
        beyond = [int(np.argmax(angle))] if float(angle.max()) > least + SAME_RAD else []
        if lengths_mm is not None:
            beyond += [int(np.argmax(size))] * bool(size.max() > lengths_mm[1] + SAME_MM)
            beyond += [int(np.argmin(size))] * bool(size.min() < lengths_mm[0] - SAME_MM)
        more = [np.arange(max(i - about, 0), min(i + about + 1, n)) for i in beyond]
        wider = np.union1d(asked, np.concatenate(more)) if more else asked
        if len(wider) == len(asked) and settled_rad == SETTLED_RAD:
            return best, float(angle.max())
        asked, settled_rad = wider, SETTLED_RAD


@dataclass(frozen=True, slots=True)
class _Positions:
    """Positions of the sweep about an origin, with the products that every place tried there needs, (n,)."""

    origin_mm: Floats
    moving_mm: Floats
    line: Floats
    square: Floats
    along: Floats

    @classmethod
    def of(cls, moving_mm: Floats, line: Floats, origin_mm: Floats) -> "_Positions":
        apart = np.ascontiguousarray(moving_mm - origin_mm)
        return cls(origin_mm, apart, np.ascontiguousarray(line), dot(apart, apart), dot(apart, line))

    def squares(self, place: Floats) -> Floats:
        """Square of the distance from a place to the moving pin, (n,)."""
        at = place - self.origin_mm
        return np.asarray(self.square - 2.0 * (self.moving_mm @ at) + float(at @ at))

    def worst(self, place: Floats, squares: Floats) -> tuple[float, Floats]:
        """Largest angle and how it changes with the place: (r - s cos) / (|span| sin), s along the span."""
        along = self.along - self.line @ (place - self.origin_mm)
        i = int(np.argmin(along * np.abs(along) / squares))
        span, line = (self.moving_mm[i] - (place - self.origin_mm)).tolist(), self.line[i].tolist()
        on = sum(s * a for s, a in zip(span, line, strict=True))
        off = math.sqrt(sum((s - a * on) ** 2 for s, a in zip(span, line, strict=True)))
        if off == 0.0:
            return math.atan2(off, on), np.zeros(3)
        share = on / sum(s * s for s in span)
        return math.atan2(off, on), np.array([(a - s * share) / off for s, a in zip(span, line, strict=True)])


def _closed_in(
    low: Floats, high: Floats, positions: _Positions, lengths_mm: tuple[float, float] | None, settled_rad: float
) -> tuple[Floats, float]:
    """The best place found and its worst angle; infinite when no place of the box lets the cylinder reach."""
    place = (low + high) / 2.0
    free = np.flatnonzero(high > low)
    n = len(free)
    shape = np.diag(np.square((high - low)[free] / 2.0 * math.sqrt(max(n, 1))))
    best, least = place.copy(), math.inf
    for _ in range(CUTS):
        squares = positions.squares(place)
        cut = _broken(place, low, high, positions, squares, lengths_mm)
        if cut is None:
            angle, cut = positions.worst(place, squares)
            if angle < least:
                best, least = place.copy(), angle
            if angle == 0.0:
                break
        way = cut[free]
        across = shape @ way
        reach = float(way @ across)
        if n == 0 or reach < settled_rad**2:
            break
        step = across / math.sqrt(reach)
        place = place.copy()
        if n == 1:
            place[free] -= step / 2.0
            shape = shape / 4.0
        else:
            place[free] -= step / (n + 1)
            shape = n * n / (n * n - 1.0) * (shape - 2.0 / (n + 1) * (step[:, None] * step))
    return best, least


def _broken(
    place: Floats,
    low: Floats,
    high: Floats,
    positions: _Positions,
    squares: Floats,
    lengths_mm: tuple[float, float] | None,
) -> Floats | None:
    """The outward normal of the side of the box, or of the limit of length, that a place breaks; None for none."""
    for axis, (at, least, most) in enumerate(zip(place.tolist(), low.tolist(), high.tolist(), strict=True)):
        if not least <= at <= most:
            out = np.zeros(3)
            out[axis] = 1.0 if at > most else -1.0
            return out
    if lengths_mm is not None:
        long, short = int(np.argmax(squares)), int(np.argmin(squares))
        for i, over, way in (
            (long, squares[long] > lengths_mm[1] ** 2, -1.0),
            (short, squares[short] < lengths_mm[0] ** 2, 1.0),
        ):
            if over:
                span = positions.moving_mm[i] + positions.origin_mm - place
                return np.asarray(way * span / math.sqrt(float(span @ span)))
    return None


def _sizes_and_angles(place: Floats, moving: Floats, line: Floats) -> tuple[Floats, Floats]:
    """Pin to pin and the angle to the line at every position, (n,) each."""
    span = moving - place
    along = dot(span, line)
    return length(span), np.arctan2(length(span - line * along[:, None]), along)


def _worst_rad(place: Floats, moving: Floats, line: Floats) -> float:
    return float(_sizes_and_angles(place, moving, line)[1].max())


def _away(name: str, axis: int, step: float, best: Floats, moving: Floats, line: Floats) -> AwayCost:
    place = best.copy()
    place[axis] += step
    angle = _worst_rad(place, moving, line)
    return AwayCost(name, step, angle, 1.0 - math.cos(angle))
