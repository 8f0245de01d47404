"""Where readings leave two ways open: the edge is led so that neither is far off.

Readings that stand out together may be a weld bead or spatter that nobody marked. A misreading alone gives the same
picture. If it was one, the edge has a shallow dip over a sound rail, which weld fills; if it was a bead and the edge
ran straight, the plate would not go on. So the dip is made, and the readings are still named as doubtful.

A step between two readings far apart may stand anywhere between them, or be a joggle.
"""

from collections.abc import Callable
from dataclasses import replace
from typing import TypeAlias

import numpy as np

from plategen.flat.chain import Chain
from plategen.flat.segment import Line, Segment
from plategen.rail.fit.bead import runs
from plategen.rail.fit.fair import fair
from plategen.rail.fit.model import Floats
from plategen.rail.fit.smooth import MOST_TOLERANCE_MM
from plategen.rail.spread import Spread
from plategen.rail.trace import Bead, FittedTrace

Way: TypeAlias = Callable[[complex, complex, float], list[Segment]]
"""Edges from a point to another past something of a height."""

LEAST_LENGTH_MM = 2.0
"""None is shorter, from where the readings beside it lie on the rail: a scanner's stray point is no spatter (common
practice, no source)."""

BESIDE_MM = 10.0
"""How far it may reach beyond its readings, if the next one is not nearer: half of the longest usual one, of which a
reading may have met the top or either side (common practice, no source)."""


def over_beads(fitted: FittedTrace) -> FittedTrace:
    """The fit with its chain led over every bead."""
    points = np.array([reading.point for reading in fitted.trace.readings])
    for run in runs(points, fitted.doubtful, -np.array(fitted.residuals_mm)):
        if run[0] > 0 and run[-1] < len(points) - 1:
            fitted = _over(fitted, run)
    return fitted


def _over(fitted: FittedTrace, run: list[int]) -> FittedTrace:
    """The fit led over the readings of one bead."""
    off = [-fitted.residuals_mm[index] for index in run]
    before, first, last, after = (
        fitted.trace.readings[index].point.real for index in (run[0] - 1, run[0], run[-1], run[-1] + 1)
    )
    if after - before < LEAST_LENGTH_MM:
        return fitted
    low, high = first - min(first - before, BESIDE_MM), last + min(after - last, BESIDE_MM)
    if any(low < riser.between_mm[1] and riser.between_mm[0] < high for riser in fitted.risers):
        return fitted
    bead = Bead(height_mm=max(off), between_mm=(low, high))
    led = _led(fitted, low, high, max(off), _bump)
    return replace(led[0], beads=(*fitted.beads, bead)) if led else fitted


def over_gaps(fitted: FittedTrace) -> FittedTrace:
    """The fit with its chain led straight across every step that may stand anywhere in a wide gap between readings.

    That is the mean of all the places where it can stand.
    """
    for index, riser in enumerate(fitted.risers):
        if riser.wide and (led := _led(fitted, *riser.between_mm, riser.height_mm, lambda a, b, _: [Line(a, b)])):
            fitted, edge = led
            risers = [*fitted.risers]
            risers[index] = replace(riser, edge=edge)
            fitted = replace(fitted, risers=tuple(risers))
    return fitted


def _led(fitted: FittedTrace, low: float, high: float, height_mm: float, way: Way) -> tuple[FittedTrace, int] | None:
    """The fit with its chain led another way between two stations, and which edge that begins with."""
    edges = fitted.chain.segments
    first, last = _edge_at(fitted, low), _edge_at(fitted, high)
    if first is None or last is None:
        return None
    other = way(edges[first[0]].point(first[1]), edges[last[0]].point(last[1]), height_mm)
    before = [*edges[: first[0]], edges[first[0]].part(0.0, first[1])]
    after = [edges[last[0]].part(last[1], 1.0), *edges[last[0] + 1 :]]
    longer = len(before) + len(other) - last[0]
    led = replace(
        fitted,
        chain=Chain(_joined([*before, *other, *after])),
        risers=tuple(r if r.edge < first[0] else replace(r, edge=r.edge + longer) for r in fitted.risers),
        spread=_spread(
            fitted.spread, _length(before), _length(other), fitted.chain.length - _length(after), abs(height_mm)
        ),
    )
    return led, len(before)


def _edge_at(fitted: FittedTrace, station_mm: float) -> tuple[int, float] | None:
    """The edge and the share of it at a station, well within it."""
    for index, edge in enumerate(fitted.chain):
        if edge.start.real < station_mm < edge.end.real:
            share = 0.5
            for _ in range(30):
                share -= (edge.point(share).real - station_mm) / (edge.length * edge.tangent(share).real)
            return (index, share) if edge.length * min(share, 1.0 - share) > MOST_TOLERANCE_MM else None
    return None


def _bump(start: complex, end: complex, height_mm: float) -> list[Segment]:
    """A dip ``h (1 - t^8)^2`` below the chord of two points: steep as a bead is, and of no slope at its ends."""
    half, middle = (end - start).real / 2.0, (start + end) / 2.0
    lean = (end - start).imag / (end - start).real

    def curve(x: Floats) -> tuple[Floats, Floats]:
        t = (x - middle.real) / half
        offset = middle.imag + lean * (x - middle.real) - height_mm * (1.0 - t**8) ** 2
        return offset, lean + height_mm * 16.0 * t**7 * (1.0 - t**8) / half

    return fair(curve, start.real, end.real, MOST_TOLERANCE_MM)


def _joined(edges: list[Segment]) -> tuple[Segment, ...]:
    """Edges that share their ends to the last bit."""
    joined = edges[:1]
    for edge in edges[1:]:
        joined.append(replace(edge, start=joined[-1].end))
    return tuple(joined)


def _length(edges: list[Segment]) -> float:
    return sum(edge.length for edge in edges)


def _spread(spread: Spread, begin: float, longer: float, end: float, height_mm: float) -> Spread:
    """The spread along the chain led another way: either may be true, which is half the height up or down."""
    kept = (spread.places_mm <= begin) | (spread.places_mm >= end)
    places = spread.places_mm[kept]
    places = np.where(places <= begin, places, places + begin + longer - end)
    moved, middle = replace(spread, places_mm=places, modes_mm=spread.modes_mm[kept]), begin + longer / 2.0
    at = int(np.searchsorted(places, middle))
    modes = np.insert(moved.modes_mm, at, moved.at(np.array([middle]))[0], axis=0)
    led = replace(moved, places_mm=np.insert(places, at, middle), modes_mm=modes)
    return led.with_bump(middle, longer / 2.0, height_mm / 2.0)
