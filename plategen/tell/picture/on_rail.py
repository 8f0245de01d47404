"""What is on the rail, as it is seen from the side of a plate: the same shape in drawings, on paper and on the page."""

from collections.abc import Iterator

from plategen.bracket.feature import Feature, in_the_way
from plategen.bracket.model import Plate
from plategen.draw.svg import element, path_data
from plategen.flat.convex import convex_hull
from plategen.flat.loop import Loop, polygon
from plategen.flat.placement import Placement, across_pin
from plategen.ground.show import Show
from plategen.tell.picture.drafter import Drafter
from plategen.work import Work

BESIDE_MM = 75.0
"""What stands no farther beside a plate than this is drawn with it."""

ALONG_PIN = across_pin(0.0)
"""The plane in which everything is seen that is looked at along the pin."""

_SAME_MM = 1e-6


def beside(work: Work, plate: Plate) -> Iterator[tuple[Feature, Loop]]:
    """What is on the rail beside a plate that stands on it, with its shape in the plate's plane."""
    if plate.role == "wall":
        yield from _on_wall(work, plate)
    if plate.notch is None:
        return
    low, high = sorted((plate.placement.origin[2], plate.placement.point(0j, plate.thickness_mm)[2]))
    for feature in work.features:
        _, v0, _, v1 = feature.outline.bounds
        if low - BESIDE_MM < feature.plane_mm + v1 and feature.plane_mm + v0 < high + BESIDE_MM:
            yield feature, side_shape(feature, work.job.rail.wall_mm, plate.placement)


def _on_wall(work: Work, wall: Plate) -> Iterator[tuple[Feature, Loop]]:
    """What stands on the wall, in its own plane, as far as the wall is drawn."""
    left, low, right, high = wall.outline.bounds
    for feature in in_the_way(work.features):
        points = [edge.point(k / 8) for edge in feature.outline.segments for k in range(8)]
        flat = [wall.placement.flat(feature.placement.point(p)) for p in points]
        held = [complex(min(max(p.real, left), right), min(max(p.imag, low), high)) for p in flat]
        shape = convex_hull(held, _SAME_MM).tolist()
        if len(shape) > 2:
            yield feature, polygon(shape)


def holes_there(work: Work) -> tuple[str, ...]:
    """Names, as the wall has them, of the holes of the rail that are there already."""
    base = work.design.base
    used = () if base is None else tuple(f"bolt {k}" for k, bolt in enumerate(base.bolts, start=1) if bolt.existing)
    return (*used, *(feature.name for feature in work.features if feature.kind == "hole"))


def side_shape(feature: Feature, wall_mm: float, place: Placement = ALONG_PIN) -> Loop:
    """The shape of something on the rail in a plane across the pin; of a hole its way through the wall."""
    u0, v0, u1, v1 = feature.outline.bounds
    depths = (0.0, feature.height_mm or -wall_mm)
    corners = [complex(u, v) for u in (u0, u1) for v in (v0, v1)]
    seen = [place.flat(feature.placement.point(p, depth)) for p in corners for depth in depths]
    return polygon(convex_hull(seen, _SAME_MM).tolist())


ROWS, ROW = 3, 1.2
"""Rows in which names stand over one another, and the height of each in heights of lettering."""


def drawn_beside(work: Work, plate: Plate, drafter: Drafter, show: Show, over: float) -> Iterator[str]:
    """Shapes and names in a plate's drawing; in a colour of their own, for they lie beside the plate.

    The names stand above the height ``over``, clear of the dimensions below it, each over its shape.
    """
    h = drafter.height_mm
    for k, (feature, shape) in enumerate(beside(work, plate)):
        u0, _, u1, v1 = shape.bounds
        yield element("path", d=path_data(shape), class_="on-rail")
        at = complex((u0 + u1) / 2, max(v1, over) + (0.9 + ROW * (k % ROWS)) * h)
        yield drafter.words(f"{feature.name}, {_off(feature, plate, show)}", at, kind="soft", size=0.95)


def room_for_names(work: Work, plate: Plate) -> float:
    """Heights of lettering that the names take above the dimensions; none where nothing is named."""
    rows = min(sum(1 for _ in beside(work, plate)), ROWS)
    return ROW * rows + 0.6 if rows else 0.0


def _off(feature: Feature, plate: Plate, show: Show) -> str:
    """How far its middle lies from the plate's near face, along the pin."""
    low, high = sorted((plate.placement.origin[2], plate.placement.point(0j, plate.thickness_mm)[2]))
    off = max(low - feature.plane_mm, feature.plane_mm - high, 0.0)
    return f"{show.short(off)} beside" if off else "under the plate"
