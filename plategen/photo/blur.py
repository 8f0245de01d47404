"""How blurred a picture is.

Best seen at the edges of its pages' printed squares: ink on paper has no wall and no shadow.
"""

import math

import numpy as np

from plategen.photo import target
from plategen.photo.adjust import Adjusted
from plategen.photo.camera import Floats
from plategen.photo.look import Look, light_about
from plategen.photo.step import Steps

BLURS_PX = 0.5 * 1.3 ** np.arange(9.0)
"""Standard deviations that a blurred edge may have."""

COLOUR_BLUR_PX = 2.0
"""What blurs colour beyond luminance: a sensor sees each colour at every second pixel, and JPEG halves them again."""

FEWEST = 40
"""Edges of squares; fewer tell nothing of a picture's blur."""

BESIDE_MM, WITHIN_MM = 4.5, 1.0
"""So far either side of a square's edge ink and paper are looked at, as markers begin beyond; and so far off the edge
may lie."""


def printed_blur_px(adjusted: Adjusted, picture: int) -> float | None:
    """One standard deviation of a picture's blur; None if too little of the pages is seen."""
    points, normals = _square_edges(adjusted, picture)
    if len(points) < FEWEST:
        return None
    view = adjusted.views[picture]
    look = Look(light_about(adjusted.sightings[picture].picture, view, points, 0.0), view, 0.0)
    pixel = look.mm_per_px(points, normals)
    s = np.arange(-BESIDE_MM, BESIDE_MM, 0.5 * float(np.median(pixel)))
    return blur_px_of(s, look.across(points, normals, s).astype(float), pixel, np.zeros(len(points)), WITHIN_MM)


def blur_px_of(s: Floats, light: Floats, pixel: Floats, wall: Floats, reach: float) -> float:
    """The blur that leaves least of some looks unexplained.

    Args:
        s: Distances along the normals, (m,), mm.
        light: What is seen there, (n, m, 3).
        pixel: A pixel's size, (n,), mm.
        wall: Width of wall that shows, (n,), mm.
        reach: How far from their zero the edges may lie.
    """

    def steps(blur_px: float) -> Steps:
        return Steps(s, light, blurs_mm(blur_px, pixel), wall)

    first = steps(float(BLURS_PX[3])).best(reach)
    return least(np.log(BLURS_PX), [steps(blur).unexplained(first) for blur in BLURS_PX])


def blurs_mm(blur_px: float, pixel: Floats) -> tuple[Floats, Floats]:
    """Standard deviations of the blur of luminance and of colour, (n,) each, where pixels are so large, (n,)."""
    return pixel * blur_px, pixel * math.hypot(blur_px, COLOUR_BLUR_PX)


def least(logs: Floats, values: list[float]) -> float:
    """Where a curve through values at even steps of a logarithm is least."""
    k = int(np.clip(np.argmin(values), 1, len(values) - 2))
    low, mid, high = values[k - 1 : k + 2]
    shift = 0.5 * (low - high) / max(low - 2.0 * mid + high, 1e-9)
    return float(np.exp(logs[k] + np.clip(shift, -1.0, 1.0) * (logs[k + 1] - logs[k])))


def _square_edges(adjusted: Adjusted, picture: int) -> tuple[Floats, Floats]:
    """The middles of the squares' edges whose two corners are seen, (n, 2), and the ways from ink to paper, (n, 2)."""
    seen = adjusted.sightings[picture]
    points, normals = [], []
    for page in adjusted.pages:
        corners = {(round(x), round(y)) for x, y in seen.board_mm[seen.page == page.number] / target.SQUARE_MM}
        for column, row in sorted(corners):
            # to the right, with the upper square beyond the edge; upwards, with the left one
            for across, beyond in (((1, 0), (column, row)), ((0, 1), (column - 1, row))):
                if (column + across[0], row + across[1]) in corners:
                    middle = np.array([column + across[0] / 2.0, row + across[1] / 2.0])
                    way = np.array([-across[1], across[0]]) * (-1.0 if target.dark(*beyond) else 1.0)
                    at, on = page.to_floor(np.stack([middle, middle + way]) * target.SQUARE_MM)
                    points.append(at)
                    normals.append((on - at) / np.linalg.norm(on - at))
    return np.reshape(points, (-1, 2)), np.reshape(normals, (-1, 2))
