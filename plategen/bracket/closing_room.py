"""How deep a plate between the ears may be without getting in the cylinder's way."""

from itertools import pairwise

import numpy as np

from plategen.bracket.envelope import cylinder_bodies, in_cylinder, nearest
from plategen.bracket.fitted_edge import Root
from plategen.bracket.swing import swing_range
from plategen.job import Job

ANGLES = 25
HALVINGS = 16
POINTS = 33
"""Angles of the swing looked at, halvings of the depth, and points along each side of the section."""

BETWEEN_MM = 0.05
"""What the distance may be less between two of those angles and points."""

KEPT_CLEAR_MM = 3.0
"""Room to the cylinder when the job asks for none."""


def depth_with_room(job: Job, root: Root, thickness_mm: float, depth_mm: float) -> float:
    """The depth, or as much of it as keeps the asked clearance over the whole swing; 0 when none does.

    Where the job does not say where the barrel begins, it is taken to begin at the eye.
    """
    asked = kept_clear_mm(job) + BETWEEN_MM
    if _room(job, root, thickness_mm, depth_mm) >= asked:
        return depth_mm
    low, high = 0.0, depth_mm
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        low, high = (middle, high) if _room(job, root, thickness_mm, middle) >= asked else (low, middle)
    return low


def kept_clear_mm(job: Job) -> float:
    """Room to the cylinder that is asked."""
    return job.swing.least_mm if job.swing else KEPT_CLEAR_MM


def _room(job: Job, root: Root, thickness_mm: float, depth_mm: float) -> float:
    """Least distance of the plate's section to the cylinder over its swing."""
    start = job.swing.barrel_start_mm if job.swing else None
    bodies = cylinder_bodies(job, start if start is not None else job.cylinder.base.eye_radius_mm)
    up, back = root.along * 1j, root.along * root.outward * thickness_mm
    corners = (root.at, root.at - up * depth_mm, root.at + back - up * depth_mm, root.at + back)
    share = np.linspace(0.0, 1.0, POINTS)
    flat = np.concatenate([p + (q - p) * share for p, q in pairwise(corners)])
    points = np.array([flat.real, flat.imag, np.zeros(len(flat))])
    pin = (job.mount.pin_station_mm, 0.0, 0.0)
    angles = np.linspace(*swing_range(job), ANGLES)
    swung = np.concatenate([in_cylinder(points, pin, float(a)) for a in angles], axis=1)
    return nearest(bodies, swung)[0]
