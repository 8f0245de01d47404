"""The printed pages that tell a photograph its scale and its view: a chequered board of markers, each page another.

The board's corners, where two dark and two light squares meet, are found to a small part of a pixel whatever the blur;
the markers in the light squares say which corner of which page each one is. Markers: the 5 x 5 family of OpenCV's
``aruco`` module, whose words differ in so many cells that a stain does not turn one into another.
"""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

SQUARE_MM = 25.0
"""Side of a square of the board."""

COLUMNS, ROWS = 6, 8
"""Squares of the board: 150 mm by 200 mm stands inside the margins of every paper."""

MARKER_MM = 15.0
"""Side of a marker in its light square."""

CELLS = 7
"""Cells along a marker's side: five of its word, and its dark rim."""

MOST_PAGES = 4
"""Pages that differ."""

DICTIONARY = "DICT_5X5_100"
"""Name of the family of markers."""

WIDE_MM, TALL_MM = COLUMNS * SQUARE_MM, ROWS * SQUARE_MM
"""Size of the board."""


def dark(column: int, row: int) -> bool:
    """Whether a square is dark; the one at the lower left is.

    >>> dark(0, 0), dark(1, 0)
    (True, False)
    """
    return (column + row) % 2 == 0


def light_squares() -> tuple[tuple[int, int], ...]:
    """Column and row of the light squares, in the order of their markers."""
    return tuple((column, row) for row in range(ROWS) for column in range(COLUMNS) if not dark(column, row))


MARKERS = len(light_squares())
"""Markers on a page."""


def page_of(marker: int) -> tuple[int, int]:
    """The page, from 0, and the place on it of a marker's number.

    >>> page_of(25)
    (1, 1)
    """
    return divmod(marker, MARKERS)


def marker_corners(place: int) -> NDArray[np.float64]:
    """The four corners (4, 2) of a marker in mm from the board's lower left, clockwise from its upper left."""
    column, row = light_squares()[place]
    middle = (np.array([column, row]) + 0.5) * SQUARE_MM
    half = MARKER_MM / 2
    return np.asarray(middle + np.array([[-half, half], [half, half], [half, -half], [-half, -half]]))


def board_corners() -> NDArray[np.float64]:
    """Where four squares meet, (35, 2) in mm from the board's lower left, row by row."""
    columns, rows = np.meshgrid(np.arange(1, COLUMNS), np.arange(1, ROWS))
    return np.stack([columns.ravel(), rows.ravel()], 1).astype(float) * SQUARE_MM


def beside(corner: int) -> tuple[int, int]:
    """The places of both markers that touch a corner of the board: where both are seen, so is the corner."""
    row, column = divmod(corner, COLUMNS - 1)
    squares = [(column + i, row + j) for i in (0, 1) for j in (0, 1) if not dark(column + i, row + j)]
    first, second = (light_squares().index(square) for square in squares)
    return first, second


def rectangles(page: int) -> Iterator[tuple[float, float, float, float]]:
    """The dark rectangles of a page's board: left, bottom, width and height in mm from the board's lower left.

    Args:
        page: Which page, from 0.
    """
    import cv2

    for row in range(ROWS):
        yield from (
            (column * SQUARE_MM, row * SQUARE_MM, SQUARE_MM, SQUARE_MM)
            for column in range(COLUMNS)
            if dark(column, row)
        )
    words = cv2.aruco.getPredefinedDictionary(getattr(cv2.aruco, DICTIONARY))
    cell = MARKER_MM / CELLS
    for place in range(MARKERS):
        left, top = marker_corners(place)[0]
        cells = cv2.aruco.generateImageMarker(words, page * MARKERS + place, CELLS)
        for down, line in enumerate(cells):
            # runs of dark cells in one piece, so that no hairline shows between them
            edges = np.flatnonzero(np.diff(np.concatenate(([0], (line < 128).astype(int), [0]))))
            for begin, end in zip(edges[::2], edges[1::2], strict=True):
                yield left + begin * cell, top - (down + 1) * cell, (end - begin) * cell, cell
