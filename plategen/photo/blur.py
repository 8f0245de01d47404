"""How blurred a picture is.

Best seen at the edges of its pages' printed squares: ink on paper has no wall and no shadow.
"""

import math

import numpy as np

from plategen.ground.message import Message, message, mm
from plategen.photo import target
from plategen.photo.adjust import Adjusted
from plategen.photo.camera import Floats
from plategen.photo.look import Look, light_about
from plategen.photo.step import Steps
from plategen.photo.unknowns import Page

BLURS_PX = 0.5 * 1.3 ** np.arange(9.0)
"""Standard deviations that a blurred edge may have."""

COLOUR_BLUR_PX = 2.0
"""What blurs colour beyond luminance: a sensor sees each colour at every second pixel, and JPEG halves them again."""

COARSE_SIDE_MM = 0.1
"""A picture that moves a side by more, one standard deviation, is not what readings to 0.3 mm were measured with."""

FEWEST = 40
"""Edges of squares; fewer tell nothing of a picture's blur."""

BESIDE_MM, WITHIN_MM = 4.5, 1.0
"""So far either side of a square's edge ink and paper are looked at, as markers begin beyond; and so far off the edge
may lie."""


def coarse_doubt(side_mm: float) -> Message | None:
    """That pixels are too few or too blurred for a fine reading, by what that moves a side, one standard deviation."""
    if side_mm < COARSE_SIDE_MM:
        return None
    words = "the photograph is coarse: a whole side may be read {} off; take it sharp, from nearer, at the full size"
    return message(words, mm(2.0 * side_mm))


def printed_blur_px(adjusted: Adjusted, picture: int) -> float | None:
    """One standard deviation of a picture's blur; None if too little of the pages is seen."""
    shown, view = adjusted.sightings[picture].picture, adjusted.views[picture]
    edges = [_square_edges(adjusted, picture, page) for page in adjusted.pages]
    edges = [each for each in edges if len(each[0])]
    if sum(len(points) for points, _ in edges) < FEWEST:
        return None
    # page by page, as all the floor between them is most of the picture
    looks = [Look(light_about(shown, view, points, 0.0), view, 0.0) for points, _ in edges]
    pixel = np.concatenate([look.mm_per_px(*each) for look, each in zip(looks, edges, strict=True)])
    s = np.arange(-BESIDE_MM, BESIDE_MM, 0.5 * float(np.median(pixel)))
    light = np.concatenate([look.across(*each, s) for look, each in zip(looks, edges, strict=True)])
    return blur_px_of(s, light.astype(float), pixel, np.zeros(len(pixel)), WITHIN_MM)


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
    left = [of.unexplained(of.nearest(first)) for of in map(steps, map(float, BLURS_PX))]
    return least(np.log(BLURS_PX), [float(each.mean()) for each in left])


def blurs_mm(blur_px: float, pixel: Floats) -> tuple[Floats, Floats]:
    """Standard deviations of the blur of luminance and of colour, (n,) each, where pixels are so large, (n,)."""
    return pixel * blur_px, pixel * math.hypot(blur_px, COLOUR_BLUR_PX)


def least(logs: Floats, values: list[float]) -> float:
    """Where a curve through values at even steps of a logarithm is least."""
    k = int(np.clip(np.argmin(values), 1, len(values) - 2))
    low, mid, high = values[k - 1 : k + 2]
    shift = 0.5 * (low - high) / max(low - 2.0 * mid + high, 1e-9)
    return float(np.exp(logs[k] + np.clip(shift, -1.0, 1.0) * (logs[k + 1] - logs[k])))


def _square_edges(adjusted: Adjusted, picture: int, page: Page) -> tuple[Floats, Floats]:
    """The middles of a page's squares' edges whose two corners are seen, (n, 2), and the ways from ink to paper."""
    seen = adjusted.sightings[picture]
    points, normals = [], []
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
