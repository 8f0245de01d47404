"""Two ways to pack parts: convex hulls as far left, then as far down, as they go, and boxes in columns.

Bottom-left: the places where a part may touch what is laid are the corners of the no-fit polygons, their crossings
with one another and with the edges of the room; the furthest left of those that are free is the best for this part.
Shelves: bounding boxes in columns from the left, the longest first.
"""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from plategen.cut.nest.hull import Laid, Polygon, Spot, Way, no_fit

TOUCH_MM = 1e-6
"""A place this deep inside a no-fit polygon still counts as touching it."""


def lay_left(
    ways: Sequence[Sequence[Way]], order: Sequence[int], low: complex, high: complex, spacing_mm: float
) -> list[Spot]:
    """Every part, laid in ``order``."""
    sheets: list[list[Polygon]] = []
    spots = []
    for index in order:
        number, way, place = _best(ways[index], sheets, low, high, spacing_mm)
        if number == len(sheets):
            sheets.append([])
        sheets[number].append(way.hull + place)
        spots.append(Spot(Laid(index, way.turn, place, number), (place + way.high).real))
    return spots


def _best(
    ways: Sequence[Way], sheets: Sequence[Sequence[Polygon]], low: complex, high: complex, spacing_mm: float
) -> tuple[int, Way, complex]:
    """The sheet, way and place that keep the part's right side furthest left, on the first sheet with room."""
    for number, laid in enumerate((*sheets, ())):
        candidates: list[tuple[float, float, int, Way, complex]] = []
        for way in ways:
            place = _leftmost(way, laid, low - way.low, high - way.high, spacing_mm)
            if place is not None:
                far = place + way.high
                candidates.append((round(far.real, 6), round(far.imag, 6), len(candidates), way, place))
        if candidates:
            *_, chosen, at = min(candidates, key=lambda one: one[:3])
            return number, chosen, at
    raise AssertionError("a part that fits on an empty sheet has a place there")


def _leftmost(moving: Way, laid: Sequence[Polygon], first: complex, last: complex, spacing_mm: float) -> complex | None:
    """The furthest left, then lowest, free place of a part's origin between two corners; None if it has none."""
    if first.real > last.real + TOUCH_MM or first.imag > last.imag + TOUCH_MM:
        return None
    blocked = [no_fit(fixed, moving.hull, spacing_mm) for fixed in laid]
    corners = np.array([first, complex(first.real, last.imag), last, complex(last.real, first.imag)])
    places = np.concatenate([corners, *blocked, _edge_crossings([corners, *blocked])])
    within = (
        (places.real >= first.real - TOUCH_MM)
        & (places.real <= last.real + TOUCH_MM)
        & (places.imag >= first.imag - TOUCH_MM)
        & (places.imag <= last.imag + TOUCH_MM)
    )
    places = places[within]
    for polygon in blocked:
        places = places[~_strictly_inside(places, polygon)]
    if not places.size:
        return None
    best = min(places, key=lambda p: (round(p.real, 6), round(p.imag, 6)))
    return complex(min(max(best.real, first.real), last.real), min(max(best.imag, first.imag), last.imag))


def _strictly_inside(places: Polygon, polygon: Polygon) -> NDArray[np.bool_]:
    along = np.roll(polygon, -1) - polygon
    lengths = np.abs(along)
    along, starts = along[lengths > 1e-12] / lengths[lengths > 1e-12], polygon[lengths > 1e-12]
    depth = (along.conjugate()[:, None] * (places[None, :] - starts[:, None])).imag.min(axis=0)
    inside: NDArray[np.bool_] = depth > TOUCH_MM
    return inside


def _edge_crossings(polygons: Sequence[Polygon]) -> Polygon:
    """Where the edges of different polygons cross."""
    if len(polygons) < 2:
        return np.empty(0, dtype=complex)
    starts = np.concatenate(polygons)
    along = np.concatenate([np.roll(p, -1) - p for p in polygons])
    owner = np.repeat(np.arange(len(polygons)), [len(p) for p in polygons])
    i, j = np.nonzero(owner[:, None] < owner[None, :])
    between = starts[j] - starts[i]
    turn = (along[i].conjugate() * along[j]).imag
    with np.errstate(divide="ignore", invalid="ignore"):
        s = (between.conjugate() * along[j]).imag / turn
        t = (between.conjugate() * along[i]).imag / turn
    met = (s >= 0.0) & (s <= 1.0) & (t >= 0.0) & (t <= 1.0)
    crossings: Polygon = (starts[i] + along[i] * np.where(met, s, 0.0))[met]
    return crossings


HAIR_MM = 1e-9
"""What adding up lengths may lose."""


def lay_shelves(ways: Sequence[Sequence[Way]], low: complex, high: complex, spacing_mm: float) -> list[Spot]:
    """Every part in the first column that has room for it, turned so that its box is least long along the sheet."""
    room = high - low
    chosen = [min((w for w in choices if w.fits(room)), key=lambda w: (w.size.real, w.size.imag)) for choices in ways]
    order = sorted(range(len(chosen)), key=lambda i: (-chosen[i].size.real, -chosen[i].size.imag, i))
    columns: list[_Column] = []
    spots = []
    for i in order:
        way = chosen[i]
        column = next((c for c in columns if c.top + way.size.imag <= high.imag + HAIR_MM), None)
        if column is None:
            column = _following(columns, way.size.real, low, high, spacing_mm)
            columns.append(column)
        at = complex(column.left, column.top)
        spots.append(Spot(Laid(i, way.turn, at - way.low, column.sheet), column.left + way.size.real))
        column.top += way.size.imag + spacing_mm
    return spots


class _Column:
    """A column that is being filled from below."""

    def __init__(self, sheet: int, left: float, length: float, top: float) -> None:
        self.sheet, self.left, self.length, self.top = sheet, left, length, top


def _following(columns: list[_Column], length: float, low: complex, high: complex, spacing_mm: float) -> _Column:
    """An empty column beside the last one, or at the left of a new sheet."""
    if not columns:
        return _Column(0, low.real, length, low.imag)
    last = columns[-1]
    left = last.left + last.length + spacing_mm
    if left + length <= high.real + HAIR_MM:
        return _Column(last.sheet, left, length, low.imag)
    return _Column(last.sheet + 1, low.real, length, low.imag)
