"""How deep a plate that closes a pair of ears may go: short of the ears' edges and clear of the cylinder's swing."""

import math
from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from plategen.bracket.envelope import KEPT_CLEAR_MM, Floats, cylinder_bodies, least_distances, swung
from plategen.bracket.fitted_edge import Root
from plategen.bracket.model import Plate
from plategen.design.design import Design
from plategen.flat.distance import reaches
from plategen.flat.inside import insides
from plategen.ground.shop_size import PLATE_SIZES
from plategen.job.style_tables import Closing
from plategen.rail.surface import Rail

BESIDE_BEAD_MM = 2.0
"""Room between a bead and the next edge or bead (common practice, no source)."""

ANGLES = 25
POINTS = 33
"""Angles of the swing looked at, and points along each side of the section."""

ROUGH_ANGLES = 7
ROUGH_STEPS = 40
"""The same of a rough look: angles, and depths."""

BETWEEN_MM = 0.05
"""What the distance may be less between two of those angles and points."""


@dataclass(frozen=True, slots=True)
class Box:
    """A pair of ears on their rail, the near one first, and the table of the plates that close them to a box."""

    design: Design
    closing: Closing
    rail: Rail
    ears: tuple[Plate, ...]
    leg_mm: float  # Weld leg of the closing plate.

    @property
    def thickness_mm(self) -> float:
        """Thickness of the closing plates."""
        return self.closing.thickness_mm or self.design.job.bracket.thickness_mm


def shop_depth(box: Box, root: Root) -> tuple[float, bool]:
    """How deep a plate may go for the ears and the cylinder's swing, on a shop size, and if it is the swing's doing."""
    units, (free,) = box.design.job.units, free_depths(box, [root])
    kept = kept_mm(box.design) + BETWEEN_MM
    if _room(box, root, free) >= kept:
        return PLATE_SIZES.down(free, units), False
    sizes = list(PLATE_SIZES.below(free, units, PLATE_SIZES.step_mm(units)))
    fits = bisect_left(sizes, True, key=lambda depth_mm: _room(box, root, depth_mm) >= kept)
    return (*sizes, 0.0)[fits], True


def rough_depths(box: Box, roots: Sequence[Root]) -> list[tuple[float, float]]:
    """The same of several places in one look: no deeper and up to a step shallower, which is enough to rank them by.

    Each with the step, mm.
    """
    free = np.array(free_depths(box, roots))
    at, along = np.array([root.at for root in roots]), np.array([root.along for root in roots])
    back = along * np.array([root.outward for root in roots]) * box.thickness_mm
    shares = np.linspace(0.0, 1.0, ROUGH_STEPS + 1)
    faces = at[:, None] + back[:, None] * np.array([0.0, 0.5, 1.0])
    flat = faces[:, :, None] + (-1j * along * free)[:, None, None] * shares
    near = cylinder_distances(box.design, flat.ravel(), ROUGH_ANGLES).reshape(ROUGH_ANGLES, *flat.shape).min((0, 2))
    meets = near < kept_mm(box.design) + BETWEEN_MM
    share = np.where(meets.any(axis=1), shares[np.maximum(meets.argmax(axis=1) - 1, 0)], 1.0)
    return list(zip((free * share).tolist(), (free / ROUGH_STEPS).tolist(), strict=True))


def kept_mm(design: Design) -> float:
    """The room that the cylinder keeps."""
    swing = design.job.swing
    return swing.least_mm if swing else KEPT_CLEAR_MM


def free_depths(box: Box, roots: Sequence[Root]) -> list[float]:
    """How deep plates at some places may go for the ears: a bead short of their edges; 0 where they have no steel."""
    rays = []
    for root in roots:
        down, back = -1j * root.along, root.along * root.outward * box.thickness_mm
        # an ear's notch lies a little off the rail's middle; look from a bead below it
        rays += [(foot + down * (box.leg_mm + BESIDE_BEAD_MM), down) for foot in (root.at, root.at + back)]
    least = [math.inf] * len(rays)
    for ear in box.ears:
        edges = ear.outline.segments
        within, far = insides(edges, [begin for begin, _ in rays]), reaches(edges, rays)
        least = [min(mm, to if is_in else 0.0) for mm, to, is_in in zip(least, far, within, strict=True)]
    return [min(both) for both in zip(least[::2], least[1::2], strict=True)]


def _room(box: Box, root: Root, depth_mm: float) -> float:
    """Least distance of a plate's section to the cylinder over its swing."""
    up, back = root.along * 1j, root.along * root.outward * box.thickness_mm
    corners = (root.at, root.at - up * depth_mm, root.at + back - up * depth_mm, root.at + back)
    share = np.linspace(0.0, 1.0, POINTS)
    return float(
        cylinder_distances(
            box.design, np.concatenate([p + (q - p) * share for p, q in pairwise(corners)]), ANGLES
        ).min()
    )


def cylinder_distances(design: Design, flat: NDArray[np.complex128], count: int) -> Floats:
    """Distances of points across the pin to the cylinder, at so many angles of its swing one after the other."""
    job = design.job
    bodies = cylinder_bodies(job, job.swing.barrel_start_mm if job.swing else None)
    points = np.array([flat.real, flat.imag, np.zeros(len(flat))])
    pin = (design.pin.station_mm, 0.0, 0.0)
    seen = swung(points, pin, np.linspace(*design.motion.swing_rad, count))
    return least_distances(bodies, seen)
