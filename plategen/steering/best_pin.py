"""The place of the fixed pin, within a box, that keeps the worst angle of the sweep smallest."""

import math
from dataclasses import dataclass
from itertools import product

import numpy as np

from plategen.refusal import Refusal
from plategen.steering.alignment import line_direction
from plategen.steering.mount import Mount, pin_to_pin
from plategen.steering.sweep import Sweep
from plategen.steering.vector import Floats, Point, array, as_point, dot, length

GRID = 9
"""Places along each side of the box that are tried at once."""

SHRINK = 0.4
"""Each round looks in a box this much smaller about the best place so far, overlapping its neighbours."""

SETTLED_MM = 0.01
"""The search ends when the box is this small: well under what a bracket can be set to."""


@dataclass(frozen=True, slots=True)
class AwayCost:
    """What moving the pin away from its best place by a step along one vehicle axis costs."""

    axis: str
    step_mm: float
    worst_rad: float
    push_lost: float


@dataclass(frozen=True, slots=True)
class BestPin:
    """The best fixed pin within a box.

    Args:
        fixed_mm: Where.
        worst_rad: Largest angle between cylinder and line with the pin there.
        drawn_worst_rad: The same with the pin as drawn.
        push_lost: 1 - cos of the worst angle.
        on_edge: The sides of the box that hold the pin back, e.g. ``("x high",)``.
        away: Cost of each step away, both ways along each axis.
    """

    fixed_mm: Point
    worst_rad: float
    drawn_worst_rad: float
    push_lost: float
    on_edge: tuple[str, ...]
    away: tuple[AwayCost, ...]


def best_pin(
    sweep: Sweep,
    mount: Mount,
    low_mm: Point,
    high_mm: Point,
    *,
    lengths_mm: tuple[float, float] | None = None,
    step_mm: float = 25.4,
) -> BestPin:
    """Search the box on ever finer grids, every place of a grid over the whole sweep at once.

    The worst angle is a maximum over the sweep, so it has creases where two positions are equally bad; a grid does not
    mind them, and the smooth bowl about the best place is far wider than the first grid.

    Args:
        sweep: Lock to lock.
        mount: As drawn.
        low_mm: Corner of the box for the fixed pin with the smaller x, y and z.
        high_mm: The corner with the larger ones.
        lengths_mm: Closed and open pin-to-pin length to stay within, when the cylinder is known.
        step_mm: How far away the costs are told for.

    Raises:
        Refusal: a box turned inside out, or one in which no place lets the cylinder reach.
    """
    low, high = array(low_mm), array(high_mm)
    if bool((low > high).any()):
        raise Refusal(
            "the box for the fixed pin is turned inside out; give its low corner first, then its high corner",
            where="steering.cylinder_mount.box",
        )
    pins = pin_to_pin(sweep, mount)
    line, moving = line_direction(sweep, mount, pins), pins.moving_mm

    def worst(places: Floats) -> Floats:
        return _worst(places, moving, line, lengths_mm)

    centre, half = (low + high) / 2.0, (high - low) / 2.0
    best, least = centre, math.inf
    size = half.copy()
    while True:
        sides = [
            np.unique(np.clip(np.linspace(best[k] - size[k], best[k] + size[k], GRID), low[k], high[k]))
            for k in range(3)
        ]
        places = np.array(list(product(*sides)))
        found = worst(places)
        i = int(np.argmin(found))
        if found[i] < least:
            best, least = places[i], float(found[i])
        if float(size.max()) < SETTLED_MM:
            break
        size = size * SHRINK
    if not math.isfinite(least):
        raise Refusal(
            "nowhere in the box can the fixed pin go: the cylinder's closed and open lengths do not cover the travel; "
            "enlarge the box or choose another cylinder",
            where="steering.cylinder_mount.box",
        )
    edges = tuple(
        f"{name} {side}"
        for k, name in enumerate("xyz")
        for side, bound in (("low", low[k]), ("high", high[k]))
        if half[k] > 0.0 and abs(best[k] - bound) < 2.0 * SETTLED_MM
    )
    away = tuple(
        _away(name, k, sign * step_mm, best, moving, line) for k, name in enumerate("xyz") for sign in (-1.0, 1.0)
    )
    drawn = float(_worst(array(mount.fixed_mm)[None, :], moving, line, None)[0])
    return BestPin(as_point(best), least, drawn, 1.0 - math.cos(least), edges, away)


def _worst(places: Floats, moving: Floats, line: Floats, lengths_mm: tuple[float, float] | None) -> Floats:
    """Largest angle over the sweep for each of m places, (m,); infinite where the cylinder cannot reach."""
    span = moving[None, :, :] - places[:, None, :]
    size = length(span)
    along = dot(span, line[None, :, :])
    square = np.sqrt(np.maximum(size * size - along * along, 0.0))
    found = np.arctan2(square, along).max(axis=1)
    if lengths_mm is not None:
        closed, opened = lengths_mm
        found = np.where((size.min(axis=1) >= closed) & (size.max(axis=1) <= opened), found, np.inf)
    return np.asarray(found)


def _away(name: str, axis: int, step: float, best: Floats, moving: Floats, line: Floats) -> AwayCost:
    place = best.copy()
    place[axis] += step
    angle = float(_worst(place[None, :], moving, line, None)[0])
    return AwayCost(name, step, angle, 1.0 - math.cos(angle))
