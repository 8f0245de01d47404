"""The cylinder's swing against everything round it: the smallest clearance, where, and at which angle.

Surfaces are taken as points: sections of the rail at several places along the pin, the edges of plates on their faces
nearest the cylinder, and on those faces the places that an eye or a port faces square. The distance from a point to the
cylinder is exact. The angle is stepped through evenly, and the least is closed in on by golden section; then the
surface about the nearest point is looked at a hundred times as closely. Every loop has a fixed number of steps.
"""

import cmath
import math
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal, TypeAlias

import numpy as np
from numpy.typing import NDArray

from plategen.bracket.envelope import (
    HEAD_OVER_PIN,
    PIN_OVER,
    Body,
    CylinderPart,
    Floats,
    Post,
    cylinder_bodies,
    in_cylinder,
    nearest,
    swung,
)
from plategen.bracket.measure import box_corners, held_along_pin
from plategen.bracket.model import Bracket, Plate, PlateRole
from plategen.bracket.unfold import bodies_of
from plategen.design.design import Design
from plategen.flat.chain import Chain, Run
from plategen.flat.inside import inside
from plategen.flat.loop import Loop, polygon
from plategen.flat.segment import Arc, Segment
from plategen.ground.refusal import Refusal
from plategen.ground.space import Vector
from plategen.rail.surface import Rail
from plategen.rail.tube import Surface as RailOrTube
from plategen.rail.tube import Tube

Complexes: TypeAlias = NDArray[np.complex128]
"""Points of the plane in an array."""

SPACING_MM = 2.0
SLICES = 7
ANGLES = 13
GOLDEN_STEPS = 12
CLOSER = 20
CLOSER_SLICES = 8
CLOSER_SCALES = (1.0, 0.2)
"""How finely surfaces and the swing are sampled, and how much closer about the nearest place found."""

SAME_MM = 1e-9
"""Clearances nearer to each other than this are one, and the angle first found stands."""

REMEMBERED = 512
"""Clearances to the rail remembered: on the same rail, another plate or weld leaves them as they are."""

_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0


Passed: TypeAlias = Literal["rail", "tube"] | PlateRole
"""What the cylinder passes: what the bracket stands on, or a plate."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Room:
    """The smallest clearance between a part of the cylinder and something it passes."""

    of: str  # The part of the cylinder by name: ``"barrel"``, ``"eye"``, or as the job calls a port.
    part: CylinderPart  # What part that is.
    to: str  # What it passes by name: ``"rail"``, ``"tube"`` or a plate's name.
    kind: Passed  # What that is.
    mm: float  # The clearance; 0 or less when they meet.
    at: Vector  # Where on that, in the plate frame.
    angle_rad: float  # At which angle of the cylinder.


@dataclass(frozen=True, slots=True)
class Surface:
    """Points of something that the cylinder passes (3, n), and how to look at the surface about one of them closer."""

    name: str
    kind: Passed
    points: Floats
    closer: Callable[[Vector, float], Floats]


def swept_rooms(design: Design, rail: RailOrTube, bracket: Bracket) -> tuple[Room, ...]:
    """The smallest clearances over the design's swing: of the eye, and of the rest, to the rail and each plate.

    Where the job does not say where the barrel begins, it is held against the rail all along and against no plate, and
    plates are held against nothing but what turns between them and the pin with its heads. A plate that the pin goes
    through is not held against those nor the eye: the side play is theirs.
    """
    job, swing_rad = design.job, design.motion.swing_rad
    start = job.swing.barrel_start_mm if job.swing else None
    eye, *others = cylinder_bodies(job, start)
    ports = [b for b in others if b.part == "port"]
    pin, over, (low, high) = bracket.pin.centre, PIN_OVER * bracket.pin.diameter_mm, held_along_pin(bracket)
    heads = Post(
        "pin", "pin's head", 2, (0.0, 0.0, 0.0), low - over - pin[2], high + over - pin[2],
        HEAD_OVER_PIN / 2 * bracket.pin.diameter_mm,
    )  # fmt: skip
    entries = job.swing.port if job.swing else ()
    reach = job.cylinder.body_diameter_mm / 2 + max((port.height_mm for port in entries), default=0.0)
    rooms = [*_rail_rooms(eye, tuple(others), rail, pin, reach, swing_rad)]
    for plate in bodies_of(bracket):
        if plate.pin_hole is not None:
            held = [b for b in others if b.part != "lug"] if start is not None else ports
        else:
            held = [eye, heads, *(others if start is not None else ports)]
        if held:
            rooms.append(_least(held, _plate_surface(plate, pin[2], _faced(held, pin, swing_rad)), pin, swing_rad))
    return tuple(rooms)


@lru_cache(maxsize=REMEMBERED)
def _rail_rooms(
    eye: Body, others: tuple[Body, ...], rail: RailOrTube, pin: Vector, reach_mm: float, swing_rad: tuple[float, float]
) -> tuple[Room, Room]:
    """The smallest clearances of the eye and of the rest of the cylinder to the rail; plates and welds play no part."""
    seen = _rail_surface(rail, pin[2], reach_mm)
    return _least([eye], seen, pin, (0.0, 0.0)), _least(others, seen, pin, swing_rad)


def _least(bodies: Sequence[Body], surface: Surface, pin: Vector, swing_rad: tuple[float, float]) -> Room:
    points, near, (low, high) = surface.points, bodies, swing_rad
    if high > low:
        kept, near = _may_be_nearest(near, points, pin, (low + high) / 2, (high - low) / 2)
        points = points[:, kept]
    steps = np.linspace(low, high, ANGLES if high > low else 1)
    mm, name, index = nearest(near, swung(points, pin, steps))
    k, index = divmod(index, points.shape[1])
    angle = float(steps[k])
    left, right = float(steps[max(k - 1, 0)]), float(steps[min(k + 1, len(steps) - 1)])
    if right > left:
        kept, near = _may_be_nearest(near, points, pin, angle, right - left)
        points, index = points[:, kept], int(np.searchsorted(kept, index))
    best = (mm, name, index)

    def looked(place: float) -> float:
        nonlocal angle, best
        there = nearest(near, in_cylinder(points, pin, place))
        if there[0] < best[0] - SAME_MM:
            angle, best = place, there
        return there[0]

    if right > left:
        _close_in(looked, left, right)
    at = points[:, best[2]]
    for scale in CLOSER_SCALES:
        close = surface.closer((float(at[0]), float(at[1]), float(at[2])), scale)
        fine = nearest(bodies, in_cylinder(close, pin, angle))
        if fine[0] < best[0]:
            best, at = fine, close[:, fine[2]]
    (mm, of, _), (u, v, w) = best, (float(x) for x in at)
    return Room(of=of.name, part=of.part, to=surface.name, kind=surface.kind, mm=mm, at=(u, v, w), angle_rad=angle)


def _may_be_nearest(
    bodies: Sequence[Body], points: Floats, pin: Vector, angle_rad: float, turn_rad: float
) -> tuple[NDArray[np.intp], list[Body]]:
    """Which points may come nearest to the bodies within a turn to either side of an angle, and to which bodies.

    A point moves by its distance from the pin times the turn at most, so all others are too far whatever the angle.
    """
    seen = in_cylinder(points, pin, angle_rad)
    distances = np.array([body.distance(seen) for body in bodies])
    arms = np.hypot(points[0] - pin[0], points[1] - pin[1])
    may = distances - arms * turn_rad <= distances.min() + SAME_MM
    return np.flatnonzero(may.any(axis=0)), [body for body, of in zip(bodies, may.any(axis=1), strict=True) if of]


def _close_in(height: Callable[[float], float], left: float, right: float) -> None:
    """Look ever nearer to where a function is least, by golden section."""
    one, other = right - _GOLDEN * (right - left), left + _GOLDEN * (right - left)
    at_one, at_other = height(one), height(other)
    for _ in range(GOLDEN_STEPS):
        if at_one <= at_other:
            right, other, at_other = other, one, at_one
            one = right - _GOLDEN * (right - left)
            at_one = height(one)
        else:
            left, one, at_one = one, other, at_other
            other = left + _GOLDEN * (right - left)
            at_other = height(other)


def _rail_surface(rail: RailOrTube, middle: float, reach_mm: float) -> Surface:
    """Sections of the rail over the cylinder's width, as far along the pin as the rail is known."""
    low, high = middle - reach_mm, middle + reach_mm
    if not isinstance(rail, Tube) and len(rail.traces) > 1:
        first, last = rail.planes_mm
        low, high = max(low, first), min(high, last)
        low, high = min(low, high, middle), max(low, high, middle)
    places = sorted({middle, *(low + (high - low) * k / (SLICES - 1) for k in range(SLICES))})
    if isinstance(rail, Rail) and not rail.varies:
        places = [middle]  # straight along the pin, and the cylinder is widest in its middle
    chains = [_section(rail, w) for w in places]
    places = [w for w, chain in zip(places, chains, strict=True) if chain]
    runs = [_sampled(chain) for chain in chains if chain] or [
        _sampled(rail.section(middle))
    ]  # which says why there is none
    points = np.concatenate([_placed(run, w) for run, w in zip(runs, places, strict=True)], axis=1)

    def closer(at: Vector, scale: float) -> Floats:
        reach = scale * (places[-1] - places[0]) / SLICES
        low, high = max(at[2] - reach, places[0]), min(at[2] + reach, places[-1])
        fine = [low + (high - low) * j / CLOSER_SLICES for j in range(CLOSER_SLICES + 1)] if high > low else [low]
        seen = ((_section(rail, w), w) for w in fine)
        runs = [_placed(_about(chain, complex(at[0], at[1]), scale), w) for chain, w in seen if chain]
        return np.concatenate(runs, axis=1) if runs else points

    on: Literal["rail", "tube"] = "tube" if isinstance(rail, Tube) else "rail"
    return Surface(on, on, points, closer)


def _section(rail: RailOrTube, w_mm: float) -> Chain | None:
    """The section at a place along the pin; None beside a tube."""
    try:
        return rail.section(w_mm)
    except Refusal:
        return None


def _faced(bodies: Iterable[Body], pin: Vector, swing_rad: tuple[float, float]) -> Iterator[complex]:
    """Where round bodies along the pin point, over the swing.

    Such a body may stand over the middle of a plate and pass none of its edges.
    """
    for body in bodies:
        if isinstance(body, Post) and body.axis == 2:
            arm = complex(body.through[0], body.through[1])
            angles = np.linspace(*swing_rad, ANGLES) if abs(arm) > 0.0 else (0.0,)
            yield from (complex(pin[0], pin[1]) + arm * cmath.rect(1.0, float(angle)) for angle in angles)


def _plate_surface(plate: Plate, middle_w_mm: float, faced: Iterable[complex]) -> Surface:
    """The edges of a plate across the pin on its face nearest the middle, or the box of one that lies otherwise.

    Of the places that something faces, those on the plate count as well.
    """
    seen = box_corners(plate)
    low, high = min(p[2] for p in seen), max(p[2] for p in seen)
    near = min(max(middle_w_mm, low), high)
    if abs(plate.placement.normal[2]) > 1.0 - 1e-9 and plate.placement.u == (1.0, 0.0, 0.0):
        shift = plate.placement.origin
        edges = plate.outline.moved(shift=complex(shift[0], shift[1]))
        inner = [p for p in faced if inside(plate.outline, p - complex(shift[0], shift[1]))]
    else:
        edges, inner = _round_box(plate, [complex(p[0], p[1]) for p in seen]), []
    run = np.concatenate([_sampled(edges), np.array(inner, dtype=complex)])

    def closer(at: Vector, scale: float) -> Floats:
        return _placed(_about(edges, complex(at[0], at[1]), scale), near)

    return Surface(plate.name, plate.role, _placed(run, near), closer)


def _round_box(plate: Plate, corners: Sequence[complex]) -> Loop:
    """The rectangle, square to the plate, round its box as seen along the pin."""
    normal = complex(plate.placement.normal[0], plate.placement.normal[1])
    turn = normal / abs(normal) if abs(normal) > 1e-9 else 1 + 0j
    seen = [p / turn for p in corners]
    x0, x1 = min(p.real for p in seen), max(p.real for p in seen)
    y0, y1 = min(p.imag for p in seen), max(p.imag for p in seen)
    return polygon([p * turn for p in (complex(x0, y0), complex(x1, y0), complex(x1, y1), complex(x0, y1))])


def _sampled(edges: Iterable[Segment]) -> Complexes:
    """Points along edges, ends among them."""
    return np.concatenate([_along(edge, 0.0, 1.0, max(1, math.ceil(edge.length / SPACING_MM))) for edge in edges])


def _about(edges: Run, p: complex, scale: float) -> Complexes:
    """Points of the edges about a point, close together."""
    found = [np.array([p])]
    for edge in edges:
        t = edge.nearest(p)
        if abs(edge.point(t) - p) <= 2.0 * SPACING_MM:
            reach = 1.5 * scale * SPACING_MM / edge.length
            found.append(_along(edge, max(0.0, t - reach), min(1.0, t + reach), 2 * CLOSER))
    return np.concatenate(found[1:] or found)


def _along(edge: Segment, t0: float, t1: float, steps: int) -> Complexes:
    """Points of an edge, evenly from one share of its length to another; as :meth:`Arc.point`, many at once."""
    t = t0 + (t1 - t0) * _shares(steps)
    if not isinstance(edge, Arc):
        return np.asarray(edge.start + (edge.end - edge.start) * t)
    sweep = edge.sweep_rad
    chord = np.sin(sweep * t / 2) / math.sin(sweep / 2) * np.exp(1j * sweep * (t - 1.0) / 2)
    return np.asarray(edge.start + (edge.end - edge.start) * chord)


@cache
def _shares(steps: int) -> Floats:
    return np.linspace(0.0, 1.0, steps + 1)


def _placed(run: Complexes, w_mm: float) -> Floats:
    return np.array([run.real, run.imag, np.full(len(run), w_mm)])
