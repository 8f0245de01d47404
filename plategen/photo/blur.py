"""How blurred a picture is, off the edges of its pages' printed squares: ink on paper has no wall and no shadow."""

import numpy as np

from plategen.photo import target
from plategen.photo.adjust import Adjusted
from plategen.photo.camera import Floats
from plategen.photo.edge import blur_of

FEWEST = 40
"""Edges of squares; fewer tell nothing of a picture's blur."""

REACH_MM = 4.5
"""So far either side of an edge the ink and the paper are looked at: markers begin beyond it."""


def printed_blur_px(adjusted: Adjusted, picture: int) -> float | None:
    """One standard deviation of a picture's blur; None if too little of the pages is seen."""
    points, normals = _square_edges(adjusted, picture)
    if len(points) < FEWEST:
        return None
    return blur_of(adjusted.sightings[picture].picture, adjusted.views[picture], points, normals, REACH_MM)


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
