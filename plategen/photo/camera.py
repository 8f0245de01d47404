"""A camera: how a point above the floor comes to lie in a picture, and which point a pixel shows at a given height.

The pinhole with radial and tangential distortion (Brown, Decentering distortion of lenses, Photogrammetric
Engineering 32, 1966), as OpenCV's ``calib3d`` writes it. The floor is the plane z = 0, z grows towards the camera.
Pixels count from the middle of the upper left one.
"""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
"""Rows of numbers."""

_ROUNDS = 8
"""Rounds of undoing the distortion; each doubles the digits."""

_WITHIN = 0.999
"""Share of the widest ray that is used: there the way back still tells directions apart."""

_FLAT = 1e-6
"""A step's divisor is no less, so that it stays finite beside the widest ray."""


@dataclass(frozen=True, slots=True, eq=False)
class Lens:
    """What a camera is, wherever it stands."""

    focal_px: float
    centre_px: tuple[float, float]  # Where the axis meets the picture.
    radial: tuple[float, float] = (0.0, 0.0)  # k1, k2.
    tangential: tuple[float, float] = (0.0, 0.0)  # p1, p2.

    def to_pixels(self, rays: Floats) -> Floats:
        """Pixels (n, 2) of directions x/z, y/z (n, 2) in the camera's axes."""
        x, y = rays[:, 0], rays[:, 1]
        square = x * x + y * y
        radial = 1.0 + square * (self.radial[0] + square * self.radial[1])
        p1, p2 = self.tangential
        bent = np.stack(
            [
                x * radial + 2.0 * p1 * x * y + p2 * (square + 2.0 * x * x),
                y * radial + p1 * (square + 2.0 * y * y) + 2.0 * p2 * x * y,
            ],
            1,
        )
        return np.asarray(bent * self.focal_px + np.asarray(self.centre_px))

    @property
    def widest(self) -> float:
        """The ray, as its distance off the axis at a depth of one, from which on the formula bends pictures back."""
        turns = np.roots([5.0 * self.radial[1], 3.0 * self.radial[0], 1.0])
        squares = [turn.real for turn in turns if abs(turn.imag) < 1e-12 and turn.real > 0.0]
        return math.sqrt(min(squares, default=math.inf))

    def to_rays(self, pixels: Floats) -> Floats:
        """Directions x/z, y/z (n, 2) of pixels (n, 2): the inverse of :meth:`to_pixels`, by Newton's method.

        A pixel that no ray comes to has the widest ray in its direction.
        """
        aim = (pixels - np.asarray(self.centre_px)) / self.focal_px
        (k1, k2), (p1, p2) = self.radial, self.tangential
        plain, most = Lens(1.0, (0.0, 0.0), self.radial, self.tangential), _WITHIN * self.widest
        rays = _no_wider(aim, most)
        for _ in range(_ROUNDS):
            x, y = rays.T
            square = x * x + y * y
            radial, bend = 1.0 + square * (k1 + square * k2), 2.0 * (k1 + 2.0 * k2 * square)
            # how the picture of a ray moves with it: a symmetric matrix
            xx = radial + bend * x * x + 2.0 * p1 * y + 6.0 * p2 * x
            yy = radial + bend * y * y + 6.0 * p1 * y + 2.0 * p2 * x
            xy = bend * x * y + 2.0 * p1 * x + 2.0 * p2 * y
            u, v = (aim - plain.to_pixels(rays)).T
            step = np.stack([yy * u - xy * v, xx * v - xy * u], 1) / np.maximum(xx * yy - xy * xy, _FLAT)[:, None]
            rays = _no_wider(rays + step, most)
        return np.asarray(rays)


def _no_wider(rays: Floats, most: float) -> Floats:
    """Rays (n, 2) drawn in to a distance off the axis."""
    far = np.hypot(rays[:, 0], rays[:, 1])
    return np.asarray(rays * np.minimum(1.0, most / np.maximum(far, 1e-300))[:, None])


@dataclass(frozen=True, slots=True, eq=False)
class View:
    """A camera where it stood."""

    lens: Lens
    turn: Floats  # Rotation (3, 3) from the floor's axes to the camera's.
    shift_mm: Floats  # (3,): the floor's origin in the camera's axes.

    @property
    def eye_mm(self) -> Floats:
        """Where the camera stood, (3,) in the floor's axes."""
        return np.asarray(-self.turn.T @ self.shift_mm)

    def to_pixels(self, points_mm: Floats, height_mm: Floats | float = 0.0) -> Floats:
        """Pixels (n, 2) of points (n, 2) at a height above the floor."""
        height = np.broadcast_to(np.asarray(height_mm, float), (len(points_mm),))
        seen = np.column_stack([points_mm, height]) @ self.turn.T + self.shift_mm
        return self.lens.to_pixels(seen[:, :2] / seen[:, 2:])

    def to_floor(self, pixels: Floats, height_mm: Floats | float = 0.0) -> Floats:
        """Points (n, 2) at a height above the floor that pixels (n, 2) show."""
        rays = np.column_stack([self.lens.to_rays(pixels), np.ones(len(pixels))]) @ self.turn
        eye = self.eye_mm
        reach = (np.asarray(height_mm) - eye[2]) / rays[:, 2]
        return np.asarray(eye[:2] + rays[:, :2] * reach[:, None])
