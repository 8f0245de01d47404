"""What photographs of printed pages leave open, as one row of values: cameras, poses, and pages on the floor."""

import cmath
import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.photo import target
from plategen.photo.camera import Floats, Lens, View


@dataclass(frozen=True, slots=True, eq=False)
class Page:
    """A printed page on the floor."""

    number: int  # From 0.
    at_mm: Floats  # (2,): its board's lower left corner on the floor.
    turn_rad: float
    scale: float  # Of its print.

    def to_floor(self, board_mm: Floats) -> Floats:
        """Points (n, 2) of the page's board on the floor."""
        turn = np.array(
            [[math.cos(self.turn_rad), -math.sin(self.turn_rad)], [math.sin(self.turn_rad), math.cos(self.turn_rad)]]
        )
        return np.asarray(self.at_mm + self.scale * board_mm @ turn.T)

    def covers(self, floor_mm: Floats, rim_mm: tuple[float, float]) -> NDArray[np.bool_]:
        """Which points (n, 2) of the floor lie on its board or on so much paper beside and above it."""
        z = (floor_mm[:, 0] - self.at_mm[0] + 1j * (floor_mm[:, 1] - self.at_mm[1])) * cmath.exp(-1j * self.turn_rad)
        x, y = z.real / self.scale, z.imag / self.scale
        within = (x > -rim_mm[0]) & (x < target.WIDE_MM + rim_mm[0])
        return np.asarray(within & (y > -rim_mm[1]) & (y < target.TALL_MM + rim_mm[1]))


@dataclass(frozen=True, slots=True)
class Unknowns:
    """Where each unknown stands in the row of values."""

    cameras: tuple[int, ...]  # Which camera took each picture.
    numbers: tuple[int, ...]  # The pages; the first holds the axes.

    @property
    def count(self) -> int:
        """How many there are."""
        return 7 * (max(self.cameras) + 1) + 6 * len(self.cameras) + 4 * len(self.numbers)

    @property
    def free(self) -> int:
        """Those that only the corners tell: the first page's place is given, and scales are alike."""
        return self.count - 3 - len(self.numbers)

    def lens(self, values: Floats, picture: int) -> Lens:
        """The lens that took a picture."""
        log_focal, cx, cy, k1, k2, p1, p2 = values[7 * self.cameras[picture] :][:7]
        return Lens(math.exp(log_focal), (cx, cy), (k1, k2), (p1, p2))

    def view(self, values: Floats, picture: int) -> View:
        """A picture's view."""
        import cv2

        pose = values[7 * (max(self.cameras) + 1) + 6 * picture :][:6]
        return View(self.lens(values, picture), np.asarray(cv2.Rodrigues(pose[:3].copy())[0]), pose[3:])

    def page_at(self, page: int) -> slice:
        """Where a page's place, turn and scale stand."""
        first = self.count - 4 * (len(self.numbers) - page)
        return slice(first, first + 4)

    def page(self, values: Floats, page: int) -> Page:
        """A page as the values have it."""
        x, y, turn, log_scale = values[self.page_at(page)]
        return Page(self.numbers[page], np.array([x, y]), turn, math.exp(log_scale))
