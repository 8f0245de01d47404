"""Whether a linkage's points, as they were measured, agree with lengths taped between them; and which point is off.

A point that was read wrong spoils every tape that ends at it and no other; so the point is looked for that alone,
moved somewhere else, brings all tapes to agree. One tape that disagrees accuses both its ends alike, and the tape.
"""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from plategen.job.steering import Steering
from plategen.steering.vector import Floats, array, length, unit

STEPS = 30
"""Steps of Gauss and Newton; a point that is off by less than the arms of its tapes needs five or six."""

TAPES, SHORTEST_TAPE_MM = 3, 100.0
"""Tapes that a point is to have, and the shortest of those that are asked for beside rods and levers: of three that are
well spread, an inch off in any direction spoils two or more nearly always, and these accuse the point alone.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Taped:
    """A tape against the points at its ends."""

    start: str
    end: str
    taped_mm: float
    drawn_mm: float

    @property
    def over_mm(self) -> float:
        """How much longer the points have it."""
        return self.drawn_mm - self.taped_mm


@dataclass(frozen=True, slots=True, kw_only=True)
class Suspect:
    """A point that, moved, brings all tapes to agree: the shortest such move, and the worst tape that is left."""

    point: str
    move_mm: tuple[float, float, float]
    left_mm: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Closing:
    """Every tape, and who is off where one disagrees; no suspect alone explains it when two points are off."""

    tapes: tuple[Taped, ...]
    suspects: tuple[Suspect, ...]

    @property
    def worst(self) -> Taped:
        """The tape that disagrees most."""
        return max(self.tapes, key=lambda tape: abs(tape.over_mm))


def tapes_to_take(steering: Steering) -> tuple[tuple[str, str], ...]:
    """Between which points tapes are best taken: along every rod, from every pivot to its balls, and then until each
    point has :data:`TAPES`, every further one where it spreads their directions the most.
    """
    places = {name: array(place) for name, place in steering.points_mm.items()}
    found = [(rod.start, rod.end) for rod in steering.rod]
    found += [(f"{lever.name}.pivot", f"{lever.name}.{ball}") for lever in steering.lever for ball in lever.balls]

    def spread(name: str, others: list[str]) -> float:
        ways = np.array([unit(places[other] - places[name]) for other in others])
        return float(np.linalg.det(0.01 * np.eye(3) + ways.T @ ways))

    for name, place in places.items():
        far = [other for other in places if float(length(places[other] - place)) >= SHORTEST_TAPE_MM]
        taken = [b if a == name else a for a, b in found if name in (a, b)]
        while len(taken) < TAPES and (free := [other for other in far if other not in taken]):
            taken.append(max(free, key=lambda other: spread(name, [*taken, other])))
            found.append((name, taken[-1]))
    return tuple(found)


def closing(steering: Steering) -> Closing | None:
    """The tapes of a steering against its points; None without tapes."""
    tapes, error_mm = steering.tape, steering.tape_error_mm
    if not tapes:
        return None
    places = {name: array(place) for name, place in steering.points_mm.items()}
    found = tuple(
        Taped(start=t.start, end=t.end, taped_mm=t.length_mm, drawn_mm=float(length(places[t.end] - places[t.start])))
        for t in tapes
    )
    if all(abs(tape.over_mm) <= error_mm for tape in found):
        return Closing(tapes=found, suspects=())
    ends = dict.fromkeys(name for tape in found for name in (tape.start, tape.end))
    moved = (_moved(name, places, found) for name in ends)
    return Closing(tapes=found, suspects=tuple(each for each in moved if each.left_mm <= error_mm))


def _moved(name: str, places: Mapping[str, Floats], tapes: tuple[Taped, ...]) -> Suspect:
    """The point moved by least squares, by the shortest move, until its own tapes agree as well as they can."""
    own = [(t.end if t.start == name else t.start, t.taped_mm) for t in tapes if name in (t.start, t.end)]
    others = max((abs(t.over_mm) for t in tapes if name not in (t.start, t.end)), default=0.0)
    at = np.array(places[name])
    for _ in range(STEPS):
        apart = at - np.array([places[other] for other, _ in own])
        spans = np.linalg.norm(apart, axis=1)
        at = at - np.linalg.lstsq(apart / spans[:, None], spans - [taped for _, taped in own], rcond=1e-9)[0]
    left = max(abs(float(np.linalg.norm(at - places[other])) - taped) for other, taped in own)
    x, y, z = (float(v) for v in at - places[name])
    return Suspect(point=name, move_mm=(x, y, z), left_mm=max(left, others))
