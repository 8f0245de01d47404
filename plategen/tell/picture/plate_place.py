"""Places on a plate that drawings need: which way its steel lies, where there is room for words, its foot's corners."""

import math
from collections.abc import Iterator, Sequence

from plategen.bracket.model import Plate
from plategen.flat.chain import Chain
from plategen.flat.distance import offset_from
from plategen.flat.segment import Line, dot


def inward(plate: Plate, at: complex, along: complex) -> complex:
    """The unit vector square to ``along`` that points from an edge of the plate at ``at`` into its steel."""
    side = along / abs(along) * 1j
    return side if offset_from(Chain(plate.outline.segments), at + 0.5 * side) > 0.0 else -side


def spaced(chain: Chain, spacing_mm: float) -> Iterator[tuple[complex, complex]]:
    """Points and unit tangents along a chain, evenly spaced as near to ``spacing_mm`` as comes out even."""
    count = max(2, round(chain.length / spacing_mm))
    for i in range(count):
        index, t = chain.at((i + 0.5) * chain.length / count)
        yield chain.segments[index].point(t), chain.segments[index].tangent(t)


def on_chain(chain: Chain, share: float) -> tuple[complex, complex]:
    """The point and unit tangent at a share of a chain's length."""
    index, t = chain.at(share * chain.length)
    return chain.segments[index].point(t), chain.segments[index].tangent(t)


def corners(plate: Plate) -> tuple[complex, complex] | None:
    """The notch's two ends, the one of smaller u first; None without a notch."""
    if plate.notch is None:
        return None
    first, last = sorted((plate.notch.start, plate.notch.end), key=lambda p: p.real)
    return first, last


def clearance(plate: Plate, p: complex) -> float:
    """Distance from a point to the nearest edge of any kind; negative where there is no steel."""
    edge = offset_from(Chain(plate.outline.segments), p)
    holes = (abs(p - hole.circle.centre) - hole.circle.radius for hole in plate.holes)
    openings = (-offset_from(Chain(o.segments), p) * math.copysign(1.0, o.area) for o in plate.openings)
    return min(edge, *holes, *openings, math.inf)


def clear_place(plate: Plate, lines: Sequence[Line] = ()) -> complex:
    """The place on the plate that lies farthest from its edges and holes, and from ``lines``.

    Sought on a grid of 9 by 9 over the plate and then on one of 5 by 5 about the best place found: for words, near
    enough.
    """
    u0, v0, u1, v1 = plate.outline.bounds

    def room(p: complex) -> float:
        return min(*(abs(line.point(line.nearest(p)) - p) for line in lines), clearance(plate, p), math.inf)

    cell = complex(u1 - u0, v1 - v0) / 9
    best = max(_grid(complex(u0, v0) + cell / 2, cell, 9), key=room)
    return max(_grid(best - cell / 2, cell / 4, 5), key=room)


def _grid(corner: complex, cell: complex, count: int) -> list[complex]:
    return [corner + complex(cell.real * i, cell.imag * j) for i in range(count) for j in range(count)]


def meeting(a: Line, b: Line) -> complex:
    """Where two straight edges that are not parallel meet when carried on."""
    along, square = a.end - a.start, (b.end - b.start) * 1j
    return a.start + along * dot(b.start - a.start, square) / dot(along, square)
