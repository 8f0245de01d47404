"""Correcting a trace by the gaps seen when its plate, or the paper, was held against the rail.

A gap is noted at a station of a plate. Held by the pin in its place, it is positive where the rail stands off the
notch and negative where the plate would have to go in. Pushed home until it touches, no gap is negative, and all of
them are the rail's but for the shift and turn of the plate: the shape is known, the distance from the pin only if the
pin hole was measured. What the notes say of each plate is a smooth curve along the rail
(:mod:`~plategen.rail.note.curve`); a note that does not go with the others is left out and named. The readings of
the traces are moved by the curve, and the places that the notes found are fitted beside them. Notes of a later round
were read off a plate made with those before them, so that plate's edge is made again to read them by.
"""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import TypeAlias

import numpy as np

from plategen.flat.clip import extended, where_u
from plategen.rail.fit import fit_together, fit_trace
from plategen.rail.note.curve import GAP_ERROR_MM, SHIFT_MM, TURN_RAD, Explained, Notes, explained
from plategen.rail.note.gap import Gap, HeldUp, refuse_misheld
from plategen.rail.trace import FittedTrace, Trace

Fit: TypeAlias = Callable[[Trace], FittedTrace]
"""Fits a trace."""

_STATIONS = 25
_RUN_ON_MM = 1e4


@dataclass(frozen=True, slots=True, kw_only=True)
class Correction:
    """What the notes say of one plate: how far the rail lies beyond its first trace, along the stations."""

    plate: str  # Which plate.
    w_mm: float  # Middle of the plate along the pin.
    stations_mm: tuple[float, ...]  # Stations at which it is given.
    # How far the rail lies from the trace there, square to it, positive away from the plate.
    moved_mm: tuple[float, ...]
    # Station of each note that was heeded, and how far it says that the rail lies there.
    heeded_mm: tuple[tuple[float, float], ...] = ()
    doubtful: tuple[Gap, ...]  # The notes left out.
    left_mm: float  # Root mean square of what the curve leaves unexplained.
    pin_known: bool = True  # False when the plate was only ever pushed home and the pin hole never measured.

    def at(self, station_mm: float) -> float:
        """The correction at a station; the ends are carried on straight."""
        stations, moved = self.stations_mm, self.moved_mm
        i = min(max(int(np.searchsorted(stations, station_mm)) - 1, 0), len(stations) - 2)
        share = (station_mm - stations[i]) / (stations[i + 1] - stations[i])
        return moved[i] * (1.0 - share) + moved[i + 1] * share


def corrections(
    traces: Sequence[Trace], gaps: Sequence[Gap], places: Mapping[str, HeldUp], fit: Fit = fit_trace
) -> tuple[Correction, ...]:
    """What the notes say, plate by plate, along the pin.

    Args:
        traces: As read.
        gaps: The notes of all rounds.
        places: Each plate, by its name.
        fit: Fits a trace; may be one that passes on what it has fitted before.

    Raises:
        Refusal: A note names a plate that is not there, a plate has notes at one station only, or what is said of how
            it was held does not go together.
    """
    refuse_misheld(gaps, places)
    named = dict.fromkeys(gap.plate for gap in gaps)
    once: Fit = cache(fit)
    first = fit_together([once(trace) for trace in traces])
    known: tuple[Correction, ...] = ()
    rows_of: dict[str, list[_NoteRow]] = {plate: [] for plate in named}
    for number in sorted({gap.round for gap in gaps}):
        held = fit_together([once(trace) for trace in corrected(traces, known, once)]) if known else first
        for gap in gaps:
            if gap.round == number:
                rows_of[gap.plate].append(_note_row(gap, places[gap.plate], first, held, known))
        enough = {p: rows for p, rows in rows_of.items() if len({row.gap.station_mm for row in rows}) > 1}
        by_plate = (_of_plate(plate, places[plate].w_mm, rows) for plate, rows in enough.items())
        known = tuple(sorted(by_plate, key=lambda correction: correction.w_mm))
    return known


def corrected(traces: Sequence[Trace], known: Sequence[Correction], fit: Fit = fit_trace) -> tuple[Trace, ...]:
    """The traces as they would have been read, had they been read right.

    With notes of one plate every trace moves alike. With notes of several, each trace moves by what the plates on
    both sides of its plane say; a single trace becomes one for each plate, in the middle of its thickness. What a note
    found goes to the trace nearest to its plate.
    """
    if not known:
        return tuple(traces)
    if len(traces) == 1 and len(known) > 1:
        (trace,) = traces
        shape = fit(trace)
        return tuple(_moved(replace(trace, plane_mm=c.w_mm), shape, (c,), (c,)) for c in known)
    nearest = [min(traces, key=lambda t, w=c.w_mm: abs(t.plane_mm - w)) for c in known]  # type: ignore[misc]
    return tuple(
        _moved(trace, fit(trace), known, [c for c, near in zip(known, nearest, strict=True) if near is trace])
        for trace in traces
    )


def _moved(trace: Trace, shape: FittedTrace, known: Sequence[Correction], own: Sequence[Correction]) -> Trace:
    """A trace with each reading moved square to the fitted rail there, and what notes found beside it."""
    chain = shape.chain
    readings = []
    for reading in trace.readings:
        index, t = chain.nearest(reading.point)
        away = chain.segments[index].tangent(t) * 1j
        moved = reading.point + away * _between(known, trace.plane_mm, reading.point.real)
        if not trace.round_corner:  # such a reading stays at its station: only its offset was read
            moved = _at_station(reading.point, moved, away)
        readings.append(replace(reading, point=moved))
    noted = [] if trace.round_corner else [p for c in own for p in _heeded(trace, shape, known, c)]
    return replace(trace, readings=tuple(readings), noted=tuple(sorted(noted, key=lambda p: p.real)))


def _heeded(trace: Trace, shape: FittedTrace, known: Sequence[Correction], own: Correction) -> list[complex]:
    """Where the notes of a plate found the rail, in the plane of a trace."""
    points = []
    for station, moved in own.heeded_mm:
        edge = _edge([shape], trace.plane_mm, station)
        if edge is not None:
            off = moved - own.at(station) + _between(known, trace.plane_mm, station)
            points.append(complex(station, edge.height_mm + off / edge.away.imag))
    return points


def _at_station(point: complex, moved: complex, away: complex) -> complex:
    """The offset at ``point``'s station on the line through ``moved`` square to ``away``."""
    along = away * -1j
    return complex(point.real, moved.imag + (point.real - moved.real) * along.imag / along.real)


def _between(known: Sequence[Correction], w_mm: float, station_mm: float) -> float:
    """The correction in a plane: straight along the pin between two plates, and carried on beyond them."""
    if len(known) == 1:
        return known[0].at(station_mm)
    low, high, share = _neighbours([c.w_mm for c in known], w_mm)
    return known[low].at(station_mm) * (1.0 - share) + known[high].at(station_mm) * share


def _neighbours(places: Sequence[float], w_mm: float) -> tuple[int, int, float]:
    """The two of several places, in order, between or beside which one lies, and its share of the way over."""
    high = next((i for i, w in enumerate(places) if w >= w_mm and i > 0), len(places) - 1)
    low = high - 1
    return low, high, (w_mm - places[low]) / (places[high] - places[low])


@dataclass(frozen=True, slots=True)
class _Edge:
    """A plate's edge at a station: its height, and which way the rail lies, square to it."""

    height_mm: float
    away: complex


@dataclass(frozen=True, slots=True)
class _NoteRow:
    """A note, how far it says that the rail lies beyond the first edge, and what a shift and a turn take off it."""

    gap: Gap
    says_mm: float
    shift: float
    turn_mm: float


def _note_row(
    gap: Gap, place: HeldUp, first: Sequence[FittedTrace], held: Sequence[FittedTrace], known: Sequence[Correction]
) -> _NoteRow:
    station = gap.station_mm
    now, then = (_edge(fits, place.w_mm, station) for fits in (held, first))
    of_plate = next((c for c in known if c.plate == gap.plate), None)
    if now is None or then is None:  # a trace round a corner, there square to the stations
        before = of_plate.at(station) if of_plate else 0.0
        return _NoteRow(gap, gap.gap_mm + before + (gap.pin_off_mm or 0.0), 1.0, station - place.pin.real)
    arm = complex(station, now.height_mm) - place.pin
    shift = now.away.imag
    on_first = then.away.imag * ((now.height_mm - then.height_mm) + (gap.gap_mm / shift))
    return _NoteRow(gap, on_first + (gap.pin_off_mm or 0.0) * shift, shift, (1j * arm * now.away.conjugate()).real)


def _edge(fits: Sequence[FittedTrace], w_mm: float, station_mm: float) -> _Edge | None:
    """The edge that a plate at ``w_mm`` has by these traces; None where a trace does not pass the station."""
    ordered = sorted(fits, key=lambda fitted: fitted.trace.plane_mm)
    edges = []
    for fitted in ordered:
        chain = extended(fitted.chain, _RUN_ON_MM, _RUN_ON_MM)
        places = where_u(chain, station_mm)
        if len(places) != 1:
            return None
        ((index, t),) = places
        edges.append(_Edge(chain.segments[index].point(t).imag, chain.segments[index].tangent(t) * 1j))
    if len(edges) == 1:
        return edges[0]
    low, high, share = _neighbours([fitted.trace.plane_mm for fitted in ordered], w_mm)
    away = edges[low].away * (1.0 - share) + edges[high].away * share
    return _Edge(edges[low].height_mm * (1.0 - share) + edges[high].height_mm * share, away / abs(away))


def _of_plate(plate: str, w_mm: float, rows: list[_NoteRow]) -> Correction:
    """The curve through the notes of one plate."""
    rounds = sorted({row.gap.round for row in rows if row.gap.held == "home"})
    moves = np.zeros((len(rows), 2 * len(rounds)))
    spread = np.tile([SHIFT_MM, TURN_RAD], len(rounds))
    for i, row in enumerate(rows):
        if row.gap.held == "home":
            column = 2 * rounds.index(row.gap.round)
            moves[i, column : column + 2] = row.shift, row.turn_mm
            if row.gap.pin_off_mm is not None:
                spread[column] = GAP_ERROR_MM
    notes = Notes(np.array([r.gap.station_mm for r in rows]), np.array([r.says_mm for r in rows]), moves, spread)
    curve: Explained = explained(notes)
    stations = np.linspace(notes.stations.min(), notes.stations.max(), _STATIONS)
    left = (curve.settled - curve.at(notes.stations))[curve.kept]
    return Correction(
        plate=plate,
        w_mm=w_mm,
        stations_mm=tuple(stations.tolist()),
        moved_mm=tuple(curve.at(stations).tolist()),
        heeded_mm=tuple(zip(notes.stations[curve.kept].tolist(), curve.settled[curve.kept].tolist(), strict=True)),
        doubtful=tuple(row.gap for row, kept in zip(rows, curve.kept, strict=True) if not kept),
        left_mm=float(np.sqrt(np.mean(left * left))),
        pin_known=any(row.gap.held == "pin" or row.gap.pin_off_mm is not None for row in rows),
    )
