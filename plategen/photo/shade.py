"""The shadow at the foot of an edge: a strip of floor, about as wide as the piece is thick, that lies in less light.

Where the light comes from the other side, the piece's own wall keeps it from the floor beside it. Such a strip is the
floor's own colour in less light; from its foot on it grows lighter, as fast as the lamps are wide. In a picture it may
be as narrow as the blur, and beside a dark piece it looks like more of the piece. So an edge is tried with strips of
many widths and depths, over some millimetres of edge together, and where two of them explain it as well and put it in
different places, it is not known which of them is true.
"""

from dataclasses import dataclass
from itertools import product

import numpy as np
from numpy.typing import NDArray

from plategen.photo.camera import Floats

SCREEN = 1.0 / 2.4
"""A screen's value is about this power of light (IEC 61966-2-1)."""

Tries = tuple[tuple[float, ...], tuple[float, ...], tuple[float, ...]]
"""Widths, softnesses and depths of strips."""

WIDTHS_MM = (0.4, 0.8, 1.3, 2.0, 3.0)
"""How far from the foot half of the light that is kept off comes back: wider ones are a slow change of the floor."""

SOFT_MM = (0.2, 0.7)
"""One standard deviation of where it comes back: lamps are narrow or wide."""

DEPTHS = (0.3, 0.55, 0.8)
"""Share of the light that is kept off at the foot: the sky and the room's walls give some."""

ALL: Tries = (WIDTHS_MM, SOFT_MM, DEPTHS)
FEW: Tries = ((0.8, 2.0), (0.5,), (0.4, 0.8))
WITH_WALLS: Tries = ((0.4, 0.8, 1.3, 2.0), (0.4,), (0.4, 0.8))
NONE: Tries = ((), (), ())
"""All that are told apart, those that bring an edge near, those beside a wall whose light is not known, and none."""

_CELL_MM, _BACK_MM, _FAR_MM = 0.05, 12.0, 16.0
"""Spacing and ends of the tables."""


@dataclass(frozen=True, slots=True, eq=False)
class Shades:
    """Strips of shadow, the first of them none, as a blurred picture shows them."""

    depth: Floats  # (k, 3): share of the floor's light, and twice that of its colour, that is missing at the foot.
    luminance: NDArray[np.float64]  # (k, m): share of the floor's light that is missing, by distance from the foot.
    colour: NDArray[np.float64]  # (k, m): the same of its colour, in a screen's values and under colour's own blur.

    @classmethod
    def of(cls, blur_mm: float, colour_blur_mm: float, tries: Tries = ALL) -> "Shades":
        """The strips under two blurs, one standard deviation each."""
        from scipy.ndimage import gaussian_filter1d
        from scipy.special import ndtr

        x = np.arange(-_BACK_MM, _FAR_MM, _CELL_MM)
        strips = [(1.0, 1.0, 0.0), *product(*tries)]
        # a cell at the foot itself is half in shadow
        on = np.where(np.abs(x) < _CELL_MM / 2, 0.5, (x > 0.0).astype(float))
        kept = np.stack([deep * on * ndtr((wide - x) / soft) for wide, soft, deep in strips])
        blurred = [
            gaussian_filter1d(missing, blur / _CELL_MM, axis=1, mode="nearest")
            for missing, blur in ((kept, blur_mm), (1.0 - (1.0 - kept) ** SCREEN, colour_blur_mm))
        ]
        deep = np.array([deep * ndtr(wide / soft) for wide, soft, deep in strips])
        colour = 1.0 - (1.0 - deep) ** SCREEN
        return cls(np.stack([deep, colour, colour], 1), blurred[0], blurred[1])

    def __len__(self) -> int:
        return len(self.luminance)

    def missing(self, which: NDArray[np.intp], from_foot_mm: Floats, colour: bool) -> Floats:
        """What is missing, (..., n, m), at distances (n, m) from the foot, of the strips (..., n)."""
        table = self.colour if colour else self.luminance
        at = np.clip((from_foot_mm + _BACK_MM) / _CELL_MM, 0.0, table.shape[1] - 1.001)
        cell = at.astype(int)
        flat = cell + (which * table.shape[1])[..., None]
        low, high = table.ravel()[flat], table.ravel()[flat + 1]
        return np.asarray(low + (high - low) * (at - cell))
