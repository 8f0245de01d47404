"""Sections through a plate, found by sweeping a straight cut over its real outline, holes and openings out.

The sweep runs from the pin towards the rail. Each cut gives its steel as lengths on a line; area, centroid and second
moment follow exactly. Plane sections are assumed to stay plane, also where the cut passes beside a hole or opening.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from plategen.flat.loop import Circle
from plategen.flat.segment import Segment
from plategen.rules.reach import Complexes, Edges, Floats

_NUDGE_MM = 1e-6  # a cut exactly through a corner is moved by this, so that it crosses each edge clearly or not at all


@dataclass(frozen=True, slots=True)
class Sections:
    """Cuts square to the direction of the sweep; every array has one number a cut.

    Args:
        at_mm: Place of the cut along the sweep, from its origin.
        area_mm2: Steel area.
        centroid_mm: Centroid across the sweep, from its origin, positive to the left of the direction.
        inertia_mm4: Second moment of the cut about its centroid, for bending in the plate's plane.
        first_mm: Across the sweep, the right-hand end of the steel, and
        last_mm: its left-hand end.
        thickness_mm: Plate thickness.
        width_mm: Steel length of the cut.
    """

    at_mm: Floats
    area_mm2: Floats
    centroid_mm: Floats
    inertia_mm4: Floats
    first_mm: Floats
    last_mm: Floats
    width_mm: Floats
    thickness_mm: float


def cut_sections(
    edges: Edges, thickness_mm: float, origin: complex, direction: complex, at_mm: Iterable[float]
) -> Sections:
    """Cut a plate at places along a direction.

    Args:
        edges: Every edge of the plate: outline, holes, openings.
        thickness_mm: Plate thickness.
        origin: Where the sweep begins.
        direction: Unit vector of the sweep.
        at_mm: Places of the cuts; a place where the cut meets no steel is left out.

    >>> from plategen.flat.segment import Line
    >>> corners = [0j, 60 + 0j, 60 + 20j, 20j]
    >>> plate = Edges.of([Line(a, b) for a, b in zip(corners, corners[1:] + corners[:1])], [Circle(30 + 10j, 5.0)])
    >>> cuts = cut_sections(plate, 10.0, 10j, 1 + 0j, [10.0, 30.0])
    >>> cuts.area_mm2.round().tolist(), cuts.inertia_mm4.round().tolist()
    ([200.0, 100.0], [6667.0, 5833.0])
    """
    at = np.array(list(at_mm), dtype=float) + _NUDGE_MM
    cuts = at[:, None]
    turn = direction.conjugate()
    with np.errstate(divide="ignore", invalid="ignore"):
        start, along = (edges.start - origin) * turn, edges.along * turn
        share = (cuts - start.real) / along.real
        crossing = np.where((share >= 0.0) & (share < 1.0), start.imag + share * along.imag, np.inf)
        centre = (edges.centre - origin) * turn
        height = cuts - centre.real
        half = np.sqrt(edges.radius**2 - height * height)
    parts = [crossing]
    for sign in (-1.0, 1.0):
        across = centre.imag + sign * half
        good = np.isfinite(across)
        points: Complexes = origin + (cuts + 1j * np.where(good, across, 0.0)) * direction
        parts.append(np.where(good & edges.on_arc(points), across, np.inf))
    ends = np.sort(np.concatenate(parts, axis=1), axis=1)
    if ends.shape[1] % 2:
        ends = np.concatenate([ends, np.full((len(at), 1), np.inf)], axis=1)
    count = np.isfinite(ends).sum(axis=1)
    keep = (count > 0) & (count % 2 == 0)
    at, ends, count = at[keep], ends[keep], count[keep]
    low, high = ends[:, 0::2], ends[:, 1::2]
    there = np.isfinite(high)
    low, high = np.where(there, low, 0.0), np.where(there, high, 0.0)
    width = (high - low).sum(axis=1)
    centroid = ((high**2 - low**2).sum(axis=1) / 2.0) / width
    a, b = low - centroid[:, None], high - centroid[:, None]
    inertia = np.where(there, b**3 - a**3, 0.0).sum(axis=1) / 3.0
    return Sections(
        at_mm=at,
        area_mm2=thickness_mm * width,
        centroid_mm=centroid,
        inertia_mm4=thickness_mm * inertia,
        first_mm=ends[:, 0],
        last_mm=ends[np.arange(len(at)), count - 1],
        width_mm=width,
        thickness_mm=thickness_mm,
    )


def sweep_places(
    segments: Iterable[Segment], holes: Iterable[Circle], origin: complex, direction: complex, to_mm: float, count: int
) -> list[float]:
    """Where to cut between the origin and ``to_mm``: evenly, and at every corner and hole's middle on the way.

    Stress between two cuts is smooth, so its peaks lie at corners, at the middles of holes, or are flat between.
    """
    turn = direction.conjugate()
    corners = [((s.start - origin) * turn).real for s in segments]
    corners += [((hole.centre - origin) * turn).real for hole in holes]
    even = [to_mm * i / count for i in range(count)]
    return sorted([*even, *(s for s in corners if 0.0 <= s < to_mm), max(0.0, to_mm - 2.0 * _NUDGE_MM)])
