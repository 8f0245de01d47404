"""What a picture shows across an edge: luminance in linear light, and colour as its file mixes it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.photo.camera import Floats, View
from plategen.photo.picture import Picture, linear

ACROSS_MM = (-0.6, -0.3, 0.0, 0.3, 0.6)
"""Each is the mean of so many looks across the edge, side by side."""


@dataclass(frozen=True, slots=True, eq=False)
class Light:
    """A part of a picture: its luminance in linear light, and what red and blue have more of in a screen's values.

    A lens and a sensor blur light; colour is blurred most by what packs the file, and that mixes a screen's values.
    """

    values: NDArray[np.float32]  # (rows, columns, 3)
    first: tuple[int, int]  # Column and row of its first pixel.


def light_about(picture: Picture, view: View, about_mm: Floats, height_mm: float) -> Light:
    """What a picture shows about some points (n, 2) of the floor."""
    import cv2

    at = np.concatenate([view.to_pixels(about_mm, height) for height in (0.0, height_mm)])
    margin = 40 + 0.08 * float(np.ptp(at, axis=0).max())
    height, width = picture.pixels.shape[:2]
    x0, y0 = (int(max(0.0, v)) for v in at.min(0) - margin)
    x1, y1 = (int(min(limit, v)) for v, limit in zip(at.max(0) + margin, (width, height), strict=True))
    shown = np.ascontiguousarray(picture.pixels[y0:y1, x0:x1])
    luminance = cv2.transform(cv2.LUT(shown, linear(np.arange(256))), _LUMINANCE)
    return Light(cv2.merge([luminance, cv2.transform(shown.astype(np.float32), _COLOURS)]), (x0, y0))


_LUMINANCE = np.array([[0.3, 0.6, 0.1]], np.float32)
_COLOURS = (np.array([[1.0, 0.0, 0.0], [0.0, 0.0, 1.0]], np.float32) - _LUMINANCE) / np.float32(255.0)
"""Luminance, and what red and blue have more of, out of red, green and blue: nearly as JPEG parts them."""


@dataclass(frozen=True, slots=True, eq=False)
class Look:
    """Looks across an edge."""

    light: Light
    view: View
    height_mm: float

    def across(self, path: Floats, normal: Floats, s: Floats) -> NDArray[np.float32]:
        """Luminance and colour (n, len(s), 3) at distances along the normals (n, 2) from points (n, 2).

        Each is the mean of looks abreast.
        """
        import cv2

        along = np.column_stack([-normal[:, 1], normal[:, 0]])
        total: NDArray[np.float32] = np.zeros((len(path), len(s), 3), np.float32)
        for shift in ACROSS_MM:
            at = path[:, None] + s[None, :, None] * normal[:, None] + shift * along[:, None]
            seen = self.view.to_pixels(at.reshape(-1, 2), self.height_mm) - self.light.first
            px = seen.astype(np.float32).reshape(len(path), len(s), 2)
            total = total + cv2.remap(
                self.light.values, px[..., 0], px[..., 1], cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
            )
        return np.asarray(total / np.float32(len(ACROSS_MM)))

    def mm_per_px(self, path: Floats, normal: Floats) -> Floats:
        """Size of a pixel along the normals, (n,)."""
        two = [self.view.to_pixels(path + side * normal, self.height_mm) for side in (-0.5, 0.5)]
        return np.asarray(1.0 / np.linalg.norm(two[1] - two[0], axis=1))

    def wall_mm(self, path: Floats, normal: Floats) -> Floats:
        """Width of wall that shows beyond the upper rim, (n,)."""
        eye = self.view.eye_mm
        lean = (path - eye[:2]) / eye[2]
        return np.asarray(np.maximum(0.0, -self.height_mm * np.einsum("ij,ij->i", lean, normal)))
