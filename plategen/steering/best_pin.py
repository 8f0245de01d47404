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

    best, least = _closed_in(low, high, moving, line, lengths_mm)
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
    drawn = _worst_and_slope(array(mount.fixed_mm), moving, line)[0]
    return BestPin(as_point(best), least, drawn, 1.0 - math.cos(least), edges, away)


def _closed_in(
    low: Floats, high: Floats, moving: Floats, line: Floats, lengths_mm: tuple[float, float] | None
) -> tuple[Floats, float]:
    """The best place found and its worst angle; infinite when no place of the box lets the cylinder reach."""
    free = np.flatnonzero(high > low)
    place = (low + high) / 2.0
    n = len(free)
    shape = np.diag(np.square((high - low)[free] / 2.0 * math.sqrt(max(n, 1))))
    best, least = place.copy(), math.inf
    for _ in range(CUTS):
        cut = _broken(place, low, high, moving, lengths_mm)
        if cut is None:
            angle, cut = _worst_and_slope(place, moving, line)
            if angle < least:
                best, least = place.copy(), angle
            if angle == 0.0:
                break
        way = cut[free]
        reach = float(way @ shape @ way)
        if n == 0 or reach < 1e-24:
            break
        step = shape @ way / math.sqrt(reach)
        place = place.copy()
        if n == 1:
            place[free] -= step / 2.0
            shape = shape / 4.0
        else:
            place[free] -= step / (n + 1)
            shape = n * n / (n * n - 1.0) * (shape - 2.0 / (n + 1) * np.outer(step, step))
    return best, least


def _broken(
    place: Floats, low: Floats, high: Floats, moving: Floats, lengths_mm: tuple[float, float] | None
) -> Floats | None:
    """The outward normal of the side of the box, or of the limit of length, that a place breaks; None for none."""
    beyond = (place > high).astype(float) - (place < low)
    if beyond.any():
        return np.asarray(beyond * (np.arange(3) == np.flatnonzero(beyond)[0]))
    if lengths_mm is not None:
        span = moving - place
        size = length(span)
        short, long = int(np.argmin(size)), int(np.argmax(size))
        if size[long] > lengths_mm[1]:
            return np.asarray(-span[long] / size[long])
        if size[short] < lengths_mm[0]:
            return np.asarray(span[short] / size[short])
    return None


def _worst_and_slope(place: Floats, moving: Floats, line: Floats) -> tuple[float, Floats]:
    """Largest angle over the sweep and how it changes with the place: (r - s cos) / (|span| sin), s along the span."""
    span = moving - place
    size = length(span)
    along = dot(span, line)
    square = length(span - line * along[:, None])
    angles = np.arctan2(square, along)
    i = int(np.argmax(angles))
    if square[i] == 0.0:
        return float(angles[i]), np.zeros(3)
    towards = span[i] / size[i]
    return float(angles[i]), np.asarray((line[i] - towards * (along[i] / size[i])) / square[i])


def _away(name: str, axis: int, step: float, best: Floats, moving: Floats, line: Floats) -> AwayCost:
    place = best.copy()
    place[axis] += step
    angle = _worst_and_slope(place, moving, line)[0]
    return AwayCost(name, step, angle, 1.0 - math.cos(angle))
