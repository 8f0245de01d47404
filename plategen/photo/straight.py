"""A photograph straightened: what a camera would see that looked plumb down at the floor from far away."""

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.photo.camera import Floats, View
from plategen.photo.picture import Picture

HORIZON_RAD = math.radians(70.0)
"""Rays that lie flatter than this meet the floor too far off to tell anything."""


@dataclass(frozen=True, slots=True, eq=False)
class Straight:
    """A part of the floor, or of a plane above it, as a picture of even scale; rows grow with y."""

    pixels: NDArray[np.uint8]  # (height, width, 3): as a screen shows them.
    seen: NDArray[np.bool_]  # (height, width): what the photograph shows.
    low_mm: Floats  # (2,): the point that the first pixel's middle shows.
    mm_per_px: float

    def to_mm(self, at_px: Floats) -> Floats:
        """Points (n, 2) of the plane that pixels (n, 2) show."""
        return np.asarray(self.low_mm + at_px * self.mm_per_px)

    def to_px(self, points_mm: Floats) -> Floats:
        """Pixels (n, 2) of points (n, 2) of the plane."""
        return np.asarray((points_mm - self.low_mm) / self.mm_per_px)

    def jpeg(self, quality: int) -> bytes:
        """The picture as JPEG, y upwards."""
        import cv2

        made, data = cv2.imencode(".jpg", self.pixels[::-1, :, ::-1], [cv2.IMWRITE_JPEG_QUALITY, quality])
        if not made:
            raise ValueError("the picture could not be packed")
        return bytes(data)


def straightened(
    picture: Picture,
    view: View,
    bounds_mm: tuple[Floats, Floats],
    mm_per_px: float,
    height_mm: float,
    frame: tuple[complex, complex] = (0j, 1 + 0j),
) -> Straight:
    """The plane at a height between two corners of a frame.

    Args:
        picture: The photograph.
        view: Where it was taken from.
        bounds_mm: Least and greatest x and y of the frame, (2,) each.
        mm_per_px: Scale of the result.
        height_mm: The plane's height above the floor.
        frame: Where the frame's origin lies on the floor, and the direction of its x, as complex numbers.
    """
    import cv2

    low, high = bounds_mm
    wide, tall = (max(2, math.ceil(span / mm_per_px)) for span in (high - low))
    coarse = 8
    columns, rows = (np.arange(-1, size // coarse + 3) * coarse + coarse / 2 - 0.5 for size in (wide, tall))
    x, y = np.meshgrid(low[0] + columns * mm_per_px, low[1] + rows * mm_per_px)
    z = (frame[0] + (x + 1j * y) * frame[1]).ravel()
    at = view.to_pixels(np.column_stack([z.real, z.imag]), height_mm).reshape(*x.shape, 2)
    # between every eighth point the view is even to a hundredth of a pixel
    at = cv2.resize(at.astype(np.float32), None, fx=coarse, fy=coarse, interpolation=cv2.INTER_LINEAR)
    at = at[coarse : coarse + tall, coarse : coarse + wide]
    height, width = picture.pixels.shape[:2]
    steps = np.linalg.norm(np.diff(at, axis=1), axis=2)
    shrink = max(1, int(np.median(steps)))
    source = picture.pixels
    if shrink > 1:
        source = cv2.resize(source, (width // shrink, height // shrink), interpolation=cv2.INTER_AREA)
    near = (at + 0.5) / np.float32(shrink) - 0.5
    flat = cv2.remap(source, near[..., 0], near[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    seen = (at > 1.0).all(2) & (at[..., 0] < width - 2.0) & (at[..., 1] < height - 2.0)
    return Straight(flat, seen, np.asarray(low, float), mm_per_px)


def footprint(
    picture: Picture, view: View, height_mm: float, about_mm: Floats, margin_mm: float
) -> tuple[Floats, Floats]:
    """Least and greatest x and y of what a picture shows, no farther than a margin from some points (n, 2)."""
    height, width = picture.pixels.shape[:2]
    across, down = np.linspace(0.0, width - 1.0, 9), np.linspace(0.0, height - 1.0, 9)
    rim = np.array([[u, v] for u in across for v in down if u in (0.0, width - 1.0) or v in (0.0, height - 1.0)])
    rays = np.column_stack([view.lens.to_rays(rim), np.ones(len(rim))]) @ view.turn
    down_enough = -rays[:, 2] > np.linalg.norm(rays, axis=1) * math.cos(HORIZON_RAD)
    low, high = about_mm.min(0) - margin_mm, about_mm.max(0) + margin_mm
    if down_enough.all():
        at = view.to_floor(rim, height_mm)
        low, high = np.maximum(low, at.min(0)), np.minimum(high, at.max(0))
    return low, high
