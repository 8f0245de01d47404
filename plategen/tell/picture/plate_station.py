"""Where stations of the straightedge, and heights on a steep side, fall on a plate's notch: ticks as on the trace."""

import math
from dataclasses import dataclass

from plategen.bracket.model import Plate
from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, Segment, dot
from plategen.ground.show import Show
from plategen.ground.unit import Units

_STEPS_MM: dict[Units, tuple[float, ...]] = {
    "in": (12.7, 25.4, 50.8, 101.6, 152.4, 304.8),
    "mm": (10.0, 20.0, 50.0, 100.0, 200.0, 500.0),
}


@dataclass(frozen=True, slots=True)
class Station:
    """A whole station on a plate's notch: its value along the straightedge and its point in the plate's plane."""

    along_mm: float
    point: complex


def step_mm(span_mm: float, units: Units, most: int) -> float:
    """The smallest round step of the job's rule that needs no more than ``most`` ticks over the span."""
    steps = _STEPS_MM[units]
    return next((step for step in steps if span_mm / step <= most), steps[-1])


def numbered(show: Show, along_mm: float) -> str:
    """A whole station's number: no decimals when there are none."""
    return show.short(along_mm).removesuffix(".0")


def stations(plate: Plate, step: float) -> tuple[Station, ...]:
    """The whole stations that lie on the plate's notch, by growing station.

    A point p of the plate's plane lies at the station ``origin.u + p . (u.u, v.u)``, so the stations are the cuts of
    the notch with parallel lines. A line that cuts it twice, as where it goes up the rail's side, or in a relief, where
    it is off the rail, tells nothing. Empty when the plate has no notch or lies square to the straightedge.
    """
    along = complex(plate.placement.u[0], plate.placement.v[0])
    if plate.notch is None or abs(along) < 1e-9:
        return ()
    start = plate.placement.origin[0]
    cuts = (
        (along_mm, crossings(plate.notch, along / abs(along), (along_mm - start) / abs(along)))
        for along_mm in _whole(plate.notch, along, start, step)
    )
    return tuple(
        Station(along_mm, points[0])
        for along_mm, points in cuts
        if len(points) == 1 and any(seat.distance(points[0]) < 1e-6 for seat in plate.seats)
    )


def risers(plate: Plate, step: float) -> tuple[Station, ...]:
    """The whole heights over the plate frame's v = 0 at which the notch goes up a steep side of the rail, lowest first.

    ``along_mm`` is the height. A height at which the notch is cut twice, or off the rail, tells nothing.
    """
    up = complex(plate.placement.u[1], plate.placement.v[1])
    if plate.notch is None or abs(up) < 1e-9:
        return ()
    normal, start = up / abs(up), plate.placement.origin[1]
    steep = [seat for seat in plate.seats if abs(dot(seat.end - seat.start, normal)) > 0.7 * abs(seat.end - seat.start)]
    found = []
    for seat in steep:
        for high_mm in _whole(seat, up, start, step):
            points = crossings(seat, normal, (high_mm - start) / abs(up))
            if len(points) == 1:
                found.append(Station(high_mm, points[0]))
    return tuple(sorted(found, key=lambda station: station.along_mm))


def crossings(chain: Chain, normal: complex, distance_mm: float) -> tuple[complex, ...]:
    """Points of the chain on the line ``p . normal = distance_mm``, each once, in the chain's order."""
    points: list[complex] = []
    for segment in chain:
        for p in _cut(segment, normal, distance_mm):
            if all(abs(p - q) > 1e-6 for q in points):
                points.append(p)
    return tuple(points)


def _whole(chain: Chain, along: complex, start: float, step: float) -> list[float]:
    reach = [start + dot(p, along) for s in chain for p in (s.start, s.end)]
    first, last = math.ceil(min(reach) / step - 1e-6), math.floor(max(reach) / step + 1e-6)
    return [i * step for i in range(first, last + 1)]


def _cut(segment: Segment, normal: complex, distance_mm: float) -> list[complex]:
    """Cuts of one edge with a line, its ends included within a ten-thousandth of a millimetre."""
    slack = 1e-4 / max(segment.length, 1e-9)
    if isinstance(segment, Arc):
        centre, radius = segment.centre, segment.radius
        off = distance_mm - dot(centre, normal)
        if abs(off) > radius:
            return []
        half = math.sqrt(radius * radius - off * off) * 1j
        candidates = [centre + normal * (off + half), centre + normal * (off - half)]
        return [p for p in candidates if abs(segment.point(segment.nearest(p)) - p) <= 1e-4]
    from_start, to_end = dot(segment.start, normal) - distance_mm, dot(segment.end, normal) - distance_mm
    if abs(from_start - to_end) < 1e-12:
        return []
    t = from_start / (from_start - to_end)
    return [segment.point(min(1.0, max(0.0, t)))] if -slack <= t <= 1.0 + slack else []
