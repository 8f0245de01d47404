"""Where a picture shows the corners of the printed pages.

Markers are read first; a corner of the board is looked for where the markers beside it say it must be, and only if both
are seen whole, so that a board half under the cardboard gives the half that is seen.
"""

from collections import Counter
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from plategen.ground.message import message
from plategen.ground.refusal import Refusal
from plategen.photo import target
from plategen.photo.picture import Picture

FEWEST_CORNERS = 6
"""Corners with which a page counts as seen."""

FEWEST_SIDE_PX = 14.0
"""Of a marker in the picture: two pixels for a cell."""

_WINDOW = 0.18
"""Half of the window in which a corner is looked for, as a share of the square: short of the markers, which draw it."""

_STRAYED = 0.12
"""A corner found farther than this share of a square from where it must be is none."""


@dataclass(frozen=True, slots=True, eq=False)
class Sighting:
    """The corners of the pages in one picture."""

    picture: Picture
    page: NDArray[np.intp]  # (n,) which page, from 0.
    board_mm: NDArray[np.float64]  # (n, 2) in the page's frame.
    pixels: NDArray[np.float64]  # (n, 2)

    @property
    def pages(self) -> tuple[int, ...]:
        """The pages that are seen."""
        return tuple(int(page) for page in np.unique(self.page))


def sighting(picture: Picture) -> Sighting:
    """The corners that a picture shows.

    Raises:
        Refusal: If a page is seen twice, or too little of any page is seen.
    """
    import cv2

    grey = cv2.cvtColor(picture.pixels, cv2.COLOR_RGB2GRAY)
    found = _markers(grey)
    twice = [number for number, times in Counter(number for number, _ in found).items() if times > 1]
    if twice:
        page = target.page_of(min(twice))[0] + 1
        raise Refusal(
            message(
                "two prints of page {} lie in the picture, or a mirror shows one twice; take one away: every page must "
                "be another",
                page,
            ),
            picture.file,
        )
    pages, boards, pixels = [], [], []
    for page in range(target.MOST_PAGES):
        seen = {place: corners for number, corners in found if (place := _on_page(number, page)) is not None}
        corners, at = _corners(grey, seen)
        if len(corners) >= FEWEST_CORNERS:
            pages.append(np.full(len(corners), page))
            boards.append(target.board_corners()[corners])
            pixels.append(at)
    if not pages:
        raise Refusal(
            "no printed page is seen well enough to measure from; lay two or more pages of `plategen target` flat "
            "beside the cardboard, in good light, and photograph from nearer, sharp and from above",
            picture.file,
        )
    return Sighting(picture, np.concatenate(pages), np.concatenate(boards), np.concatenate(pixels))


def _on_page(marker: int, page: int) -> int | None:
    of, place = target.page_of(marker)
    return place if of == page else None


def _markers(grey: NDArray[np.uint8]) -> list[tuple[int, NDArray[np.float64]]]:
    """Number and corners (4, 2) of every marker."""
    import cv2

    settings = cv2.aruco.DetectorParameters()
    settings.cornerRefinementMethod = cv2.aruco.CORNER_REFINE_SUBPIX
    settings.minMarkerPerimeterRate = 4.0 * FEWEST_SIDE_PX / max(grey.shape)
    settings.adaptiveThreshWinSizeMin, settings.adaptiveThreshWinSizeMax = 13, 53
    settings.adaptiveThreshWinSizeStep = 20
    # of a cell that is few pixels wide only the middle is its own
    settings.perspectiveRemovePixelPerCell, settings.perspectiveRemoveIgnoredMarginPerCell = 8, 0.25
    words = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, target.DICTIONARY))
    corners, numbers, _ = cv2.aruco.ArucoDetector(words, settings).detectMarkers(grey)
    if numbers is None:
        return []
    return [
        (int(number), np.asarray(at, float).reshape(4, 2))
        for number, at in zip(np.ravel(numbers), corners, strict=True)
        if number < target.MOST_PAGES * target.MARKERS
    ]


def _corners(grey: NDArray[np.uint8], seen: dict[int, NDArray[np.float64]]) -> tuple[list[int], NDArray[np.float64]]:
    """The board's corners both of whose markers are seen, and where (n, 2)."""
    import cv2

    nothing: tuple[list[int], NDArray[np.float64]] = [], np.empty((0, 2))
    if len(seen) < 2:
        return nothing
    flat = np.concatenate([target.marker_corners(place) for place in seen])
    where = np.concatenate(list(seen.values()))
    whole, _ = cv2.findHomography(flat, where, cv2.RANSAC, 3.0)
    if whole is None:
        return nothing
    wanted = [c for c in range(len(target.board_corners())) if all(place in seen for place in target.beside(c))]
    if not wanted:
        return nothing
    points = target.board_corners()[wanted]
    expected = np.stack([_near(seen, corner, point) for corner, point in zip(wanted, points, strict=True)])
    side = np.sqrt(np.abs(np.linalg.det(_scale(whole, points)))) * target.SQUARE_MM
    half = max(3, round(float(np.median(side)) * _WINDOW))
    until = (cv2.TERM_CRITERIA_EPS + cv2.TERM_CRITERIA_MAX_ITER, 60, 1e-4)
    room = half + 2
    within = np.all((expected > room) & (expected < np.array(grey.shape[::-1]) - 1.0 - room), axis=1)
    if not within.any():
        return nothing
    wanted = [corner for corner, good in zip(wanted, within, strict=True) if good]
    expected, side = expected[within], side[within]
    start = np.ascontiguousarray(expected, np.float32).reshape(-1, 1, 2)
    at = cv2.cornerSubPix(grey, start, (half, half), (-1, -1), until).reshape(-1, 2).astype(float)
    near = np.linalg.norm(at - expected, axis=1) < np.maximum(_STRAYED * side, 1.5)
    return [corner for corner, good in zip(wanted, near, strict=True) if good], at[near]


def _near(seen: dict[int, NDArray[np.float64]], corner: int, point: NDArray[np.float64]) -> NDArray[np.float64]:
    """Where a corner must be, by the two markers that touch it: a lens bends a page, two squares hardly."""
    import cv2

    places = target.beside(corner)
    flat = np.concatenate([target.marker_corners(place) for place in places])
    homography, _ = cv2.findHomography(flat, np.concatenate([seen[place] for place in places]))
    if homography is None:
        return np.full(2, np.inf)
    at = homography @ [*point, 1.0]
    return np.asarray(at[:2] / at[2])


def _scale(homography: NDArray[np.float64], points: NDArray[np.float64]) -> NDArray[np.float64]:
    """Derivatives (n, 2, 2) of a homography at points (n, 2)."""
    seen = np.column_stack([points, np.ones(len(points))]) @ homography.T
    at = seen[:, :2] / seen[:, 2:]
    return np.asarray((homography[:2, :2] - at[:, :, None] * homography[2, :2]) / seen[:, 2, None, None])
