"""Whether points, joined in their order, cross their own path."""

from collections.abc import Sequence

import numpy as np

SPACING_MM = 2.0
"""Points closer than this are joined over: a dense scan's own noise loops below it, a hand's readings never do."""
MOST_EDGES = 800
"""Edges looked at pair by pair; of more, every so many."""


def first_crossing(points: Sequence[complex]) -> tuple[int, int] | None:
    """The indexes of the points after which the first two crossing edges begin, or None.

    Edges that only touch, as at a repeated reading or where a trace closes on its start, do not cross.

    Args:
        points: In order, mm.
    """
    spacing = SPACING_MM
    kept = _spaced(points, spacing)
    while len(kept) > MOST_EDGES:
        spacing *= len(kept) / MOST_EDGES * 1.25
        kept = _spaced(points, spacing)
    path = np.array([points[i] for i in kept])
    start, edge = path[:-1], np.diff(path)

    def side(p: np.ndarray) -> np.ndarray:
        """On which side of every edge (rows) each point (columns) lies, as a signed area."""
        return np.imag(np.conj(edge)[:, None] * (p[None, :] - start[:, None]))

    ends = side(path)
    parted = ends[:, :-1] * ends[:, 1:] < 0.0  # the edge's line parts the ends of the other edge
    crossing = np.triu(parted & parted.T, k=2)
    rows, columns = np.nonzero(crossing)
    return (kept[rows[0]], kept[columns[0]]) if rows.size else None


def _spaced(points: Sequence[complex], spacing_mm: float) -> list[int]:
    """Indexes of points that lie at least so far from the one kept before; the first always, and the last if far."""
    kept = [0] if points else []
    for index, point in enumerate(points):
        if abs(point - points[kept[-1]]) >= spacing_mm:
            kept.append(index)
    return kept
