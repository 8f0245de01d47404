"""A camera: how a point above the floor comes to lie in a picture, and which point a pixel shows at a given height.

The pinhole with radial and tangential distortion (Brown, Decentering distortion of lenses, Photogrammetric
Engineering 32, 1966), as OpenCV's ``calib3d`` writes it. The floor is the plane z = 0, z grows towards the camera.
Pixels count from the middle of the upper left one.
"""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
"""Rows of numbers."""

_ROUNDS = 12
"""Rounds of undoing the distortion; each gains a digit and more at a telephone's distortion."""


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

    def to_rays(self, pixels: Floats) -> Floats:
        """Directions x/z, y/z (n, 2) of pixels (n, 2): the inverse of :meth:`to_pixels`, by fixed point."""
        aim = (pixels - np.asarray(self.centre_px)) / self.focal_px
        plain = Lens(1.0, (0.0, 0.0), self.radial, self.tangential)
        rays = aim
        for _ in range(_ROUNDS):
            rays = rays + aim - plain.to_pixels(rays)
        return np.asarray(rays)


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
