"""Paper gone over as a person would with a steel rule: its pages as points at 300 an inch."""

from collections.abc import Iterable, Iterator

import numpy as np
import pypdfium2
import pytest

from plategen.flat.segment import Segment
from plategen.paper.size import MARGIN_MM

DPI = 300
PIXEL_MM = 25.4 / DPI
ACROSS_MM = np.arange(-0.4, 0.401, 0.02)
"""Where a stroke is looked for on either side of where it belongs."""

OFF_MM = 0.2
"""So far may its middle lie from there."""


def raster(pdf: bytes, crop_mm: tuple[float, float, float, float] = (0.0, 0.0, 0.0, 0.0)) -> Iterator[np.ndarray]:
    """Every page as darkness from 0 to 255, row 0 at the bottom; ``crop_mm`` is left off at left, foot, right, top."""
    document = pypdfium2.PdfDocument(pdf)
    try:
        for page in document:
            crop = tuple(72.0 / 25.4 * off for off in crop_mm)
            yield 255 - page.render(scale=DPI / 72, grayscale=True, crop=crop).to_numpy().squeeze()[::-1]
    finally:
        document.close()


def assert_clear(dark: np.ndarray, margin_mm: float) -> None:
    """Nothing is printed as near to an edge of the page."""
    clear = int(margin_mm / PIXEL_MM)
    assert max(part.max() for part in (dark[:clear], dark[-clear:], dark[:, :clear], dark[:, -clear:])) == 0


def assert_bars(dark: np.ndarray) -> None:
    """The four bars at the page's lower left corner are right to a thousandth, across and along."""
    for across, image, start, length in (
        (MARGIN_MM + 2.95, dark, MARGIN_MM + 13.0, 100.0),
        (MARGIN_MM + 5.5 + 2.95, dark, MARGIN_MM + 13.0, 101.6),
        (MARGIN_MM + 4.0 - 2.95, dark.T, MARGIN_MM + 25.0, 100.0),
        (MARGIN_MM + 9.5 - 2.95, dark.T, MARGIN_MM + 25.0, 101.6),
    ):
        first, last = int((start - 1) / PIXEL_MM), int((start + length + 1) / PIXEL_MM)
        begin, end = _ends(image[int(across / PIXEL_MM)][first:last])
        assert end - begin == pytest.approx(length, rel=1e-3)


def _ends(row: np.ndarray) -> tuple[float, float]:
    """Middles of the first and the last stroke along a row of points, mm, weighed by darkness."""
    dark = np.flatnonzero(row > 0.25 * 255)
    assert dark.size
    centres = []
    for edge in (dark[0], dark[-1]):
        near = np.arange(max(edge - 3, 0), min(edge + 4, row.size))
        centres.append(float(np.average(near + 0.5, weights=row[near].astype(float))) * PIXEL_MM)
    return centres[0], centres[1]


def places(edges: Iterable[Segment], shares: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Points at these shares of every edge's length, and the way square to the edge at each."""
    found = [(edge.point(t), edge.tangent(t) * 1j) for edge in edges for t in shares]
    return np.array([at for at, _ in found]), np.array([square for _, square in found])


def assert_strokes(dark: np.ndarray, at: np.ndarray, square: np.ndarray) -> None:
    """A stroke is drawn through each of these places, mm from the page's lower left corner."""
    spots = at[:, None] + square[:, None] * ACROSS_MM
    values = dark[(spots.imag / PIXEL_MM).astype(int), (spots.real / PIXEL_MM).astype(int)].astype(float) / 255
    assert values.max(axis=1).min() > 0.5
    assert np.abs((values * ACROSS_MM).sum(axis=1) / values.sum(axis=1)).max() < OFF_MM
