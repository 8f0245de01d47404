"""Correcting a trace by the gaps seen when its plate, or the paper, was held against the rail.

A gap is noted at a station of a plate: positive where the rail stands off the notch, negative where the plate would
have to go into the rail. What the notes say of each plate is explained by the fewest straight pieces along the rail
that the reading error allows (a straightedge out of place is one piece, a kick misread two), a note that fits none of
them is left out and named, and the readings of the traces are moved by what the pieces say. Notes of a later round
are read off a plate that was made with the earlier ones, so they add to what those say.
"""

import itertools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from plategen.rail.fit import fit_trace
from plategen.rail.trace import Trace
from plategen.refusal import Refusal

GAP_ERROR_MM = 0.5
"""One standard deviation of a gap read with a rule or feelers (common practice, no source)."""

_KNOT_COST, _WILD_COST = 9.0, 14.0
"""What a kink and a note left out must save, in squared errors over their variance: chance saves as much in one case
of a hundred, and in one of a thousand."""

_MOST_KNOTS = 3
_STEPS_BETWEEN = 4

Floats = NDArray[np.float64]
"""Numbers in an array."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Gap:
    """One note.

    Args:
        plate: The plate that was held up.
        station_mm: Where along the straightedge.
        gap_mm: From notch to rail, square to the notch.
        round: 1 for the first plate held up, 2 for one made with the notes of round 1, and so on.
    """

    plate: str
    station_mm: float
    gap_mm: float
    round: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """What the notes say of one plate: how far the rail lies beyond its first trace, along the stations.

    Args:
        plate: Which plate.
        w_mm: Middle of the plate along the pin.
        stations_mm: Where straight pieces meet, ends included.
        moved_mm: How far the rail lies from the trace there, positive away from the plate.
        doubtful: The notes left out.
        left_mm: Root mean square of what the pieces leave unexplained.
    """

    plate: str
    w_mm: float
    stations_mm: tuple[float, ...]
    moved_mm: tuple[float, ...]
    doubtful: tuple[Gap, ...]
    left_mm: float

    def at(self, station_mm: float) -> float:
        """The correction at a station; the end pieces are carried on straight."""
        shares = _bent(np.array([station_mm]), np.array(self.stations_mm))
        return float((shares @ np.array(self.moved_mm))[0])


def corrections(gaps: Sequence[Gap], places: Mapping[str, float]) -> tuple[Correction, ...]:
    """What the notes say, plate by plate, along the pin.

    Args:
        gaps: The notes of all rounds.
        places: Middle of each plate along the pin, by its name.

    Raises:
        Refusal: A note names a plate that is not there, or a plate has notes at one station only.
    """
    for gap in gaps:
        if gap.plate not in places:
            raise Refusal(f'no plate is named "{gap.plate}"; the plates are {", ".join(places)}')
    named = dict.fromkeys(gap.plate for gap in gaps)
    found = [_of_plate([gap for gap in gaps if gap.plate == plate], places[plate]) for plate in named]
    return tuple(sorted(found, key=lambda correction: correction.w_mm))


def corrected(traces: Sequence[Trace], found: Sequence[Correction]) -> tuple[Trace, ...]:
    """The traces as they would have been read, had they been read right.

    With notes of one plate every trace moves alike. With notes of several, each trace moves by what the plates on
    both sides of its plane say; a single trace becomes one for each plate, in the middle of its thickness.
    """
    if not found:
        return tuple(traces)
    if len(traces) == 1 and len(found) > 1:
        (trace,) = traces
        return tuple(_moved(replace(trace, plane_mm=c.w_mm), (c,)) for c in found)
    return tuple(_moved(trace, found) for trace in traces)


def _moved(trace: Trace, found: Sequence[Correction]) -> Trace:
    """A trace with each reading moved square to the fitted rail there."""
    chain = fit_trace(trace).chain
    readings = []
    for reading in trace.readings:
        index, t = chain.nearest(reading.point)
        away = chain.segments[index].tangent(t) * 1j
        moved = reading.point + away * _between(found, trace.plane_mm, reading.point.real)
        if not trace.round_corner:  # such a reading stays at its station: only its offset was read
            moved = _at_station(reading.point, moved, away)
        readings.append(replace(reading, point=moved))
    return replace(trace, readings=tuple(readings))


def _at_station(point: complex, moved: complex, away: complex) -> complex:
    """The offset at ``point``'s station on the line through ``moved`` square to ``away``."""
    along = away * -1j
    return complex(point.real, moved.imag + (point.real - moved.real) * along.imag / along.real)


def _between(found: Sequence[Correction], w_mm: float, station_mm: float) -> float:
    """The correction in a plane: straight along the pin between two plates, and carried on beyond them."""
    if len(found) == 1:
        return found[0].at(station_mm)
    upper = next((i for i, c in enumerate(found) if c.w_mm >= w_mm and i > 0), len(found) - 1)
    low, high = found[upper - 1], found[upper]
    share = (w_mm - low.w_mm) / (high.w_mm - low.w_mm)
    return low.at(station_mm) * (1.0 - share) + high.at(station_mm) * share


def _of_plate(gaps: list[Gap], w_mm: float) -> Correction:
    plate = gaps[0].plate
    if len({gap.station_mm for gap in gaps}) < 2:
        raise Refusal(f"the notes of {plate} are all at one station; note the gap at two stations or more")
    told: list[tuple[Gap, float]] = []
    correction = None
    for _, of_round in itertools.groupby(sorted(gaps, key=lambda g: g.round), key=lambda g: g.round):
        told += [(g, g.gap_mm + (correction.at(g.station_mm) if correction else 0.0)) for g in of_round]
        if len({gap.station_mm for gap, _ in told}) > 1:
            correction = _explained(plate, w_mm, told)
    assert correction is not None  # two stations among all rounds
    return correction


def _explained(plate: str, w_mm: float, told: list[tuple[Gap, float]]) -> Correction:
    """The fewest straight pieces through what was noted, wild notes left out."""
    stations = np.array([gap.station_mm for gap, _ in told])
    values = np.array([value for _, value in told])
    ends = np.array([stations.min(), stations.max()])
    best: tuple[float, Floats, Floats, NDArray[np.bool_]] | None = None
    places = np.unique(stations)
    inner = _knot_places(places)
    for count in range(_MOST_KNOTS + 1):
        if len(places) < count + 2:
            break
        for knots in itertools.combinations(inner, count):
            if not _told_between(knots, places):
                continue
            corners = np.array([ends[0], *knots, ends[1]])
            heights, kept, score = _solved(_bent(stations, corners), values)
            if best is None or score + _KNOT_COST * count < best[0] - 1e-9:
                best = score + _KNOT_COST * count, corners, heights, kept
        if best is not None and best[0] < _KNOT_COST * (count + 1):
            break  # another kink costs more than everything that is left
    assert best is not None
    _, corners, heights, kept = best
    left = (values - _bent(stations, corners) @ heights)[kept]
    return Correction(
        plate=plate,
        w_mm=w_mm,
        stations_mm=tuple(corners.tolist()),
        moved_mm=tuple(heights.tolist()),
        doubtful=tuple(gap for (gap, _), keep in zip(told, kept, strict=True) if not keep),
        left_mm=float(np.sqrt(np.mean(left * left))),
    )


def _knot_places(places: Floats) -> Floats:
    """Where the line may be bent: from the second station to the last but one, so that both end pieces are told."""
    if len(places) < 3:
        return np.empty(0)
    steps = [np.linspace(a, b, _STEPS_BETWEEN + 1) for a, b in itertools.pairwise(places[1:-1])]
    return np.unique(np.concatenate([places[1:2], *steps]))


def _told_between(knots: Sequence[float], places: Floats) -> bool:
    """True when a station lies between each knot and the next: a peak that nobody saw is none."""
    return all(bool(np.any((places >= a) & (places <= b))) for a, b in itertools.pairwise(knots))


def _solved(design: Floats, values: Floats) -> tuple[Floats, NDArray[np.bool_], float]:
    """Least squares with the worst note left out as long as that pays; heights, notes kept, cost."""
    kept = np.ones(len(values), dtype=bool)
    heights, score = _least(design, values, kept)
    while kept.sum() > max(design.shape[1] + 1, 0.7 * len(values)):
        trials = []
        for index in np.flatnonzero(kept):
            fewer = kept.copy()
            fewer[index] = False
            if np.linalg.matrix_rank(design[fewer]) == design.shape[1]:
                trials.append((*_least(design, values, fewer), fewer))
        if not trials:
            break
        better, cost, fewer = min(trials, key=lambda trial: trial[1])
        cost += _WILD_COST * int(len(values) - fewer.sum())
        if cost >= score:
            break
        heights, score, kept = better, cost, fewer
    return heights, kept, score


def _least(design: Floats, values: Floats, kept: NDArray[np.bool_]) -> tuple[Floats, float]:
    heights: Floats = np.linalg.lstsq(design[kept], values[kept], rcond=None)[0].astype(np.float64)
    left = (values - design @ heights)[kept] / GAP_ERROR_MM
    return heights, float(left @ left)


def _bent(stations: Floats, corners: Floats) -> Floats:
    """The share of each corner's height in a line bent at the corners, at the stations; its ends carried on."""
    piece = np.clip(np.searchsorted(corners, stations, side="right") - 1, 0, len(corners) - 2)
    share = (stations - corners[piece]) / (corners[piece + 1] - corners[piece])
    rows = np.zeros((len(stations), len(corners)))
    index = np.arange(len(stations))
    rows[index, piece], rows[index, piece + 1] = 1.0 - share, share
    return rows
