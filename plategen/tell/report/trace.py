"""A trace in the report: what was read, how far each reading lies off the fit, and the fitted shape."""

import math

from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, Segment
from plategen.rail.note.correction import Correction
from plategen.rail.trace import FittedTrace
from plategen.tell.report.encode import Level, Pair, mirrored, pair


class ReadingReport(Level, frozen=True, kw_only=True):
    """One reading.

    Args:
        line: Line of the trace file, from 1.
        station_mm: Along the straightedge.
        offset_mm: From the straightedge to the rail.
        residual_mm: How far it lies off the fitted shape, positive towards the rail.
        doubtful: True when it was left out of the fit.
        note: The note beside it.
    """

    line: int
    station_mm: float
    offset_mm: float
    residual_mm: float
    doubtful: bool
    note: str


class FlatReport(Level, frozen=True, kw_only=True, tag_field="kind", tag="flat"):
    """A straight piece of the fitted shape, in the straightedge's frame.

    Args:
        lie_deg: Its angle to the straightedge.
        start_mm: Its first end.
        end_mm: Its other end.
        length_mm: Its length.
    """

    lie_deg: float
    start_mm: Pair
    end_mm: Pair
    length_mm: float


class BendReport(Level, frozen=True, kw_only=True, tag_field="kind", tag="bend"):
    """A bend of the fitted shape, in the straightedge's frame.

    Args:
        radius_mm: Its radius.
        kick_deg: How far it turns, positive away from the straightedge.
        start_mm: Its first end.
        end_mm: Its other end.
        length_mm: Its length along the arc.
        centre_mm: Its centre.
    """

    radius_mm: float
    kick_deg: float
    start_mm: Pair
    end_mm: Pair
    length_mm: float
    centre_mm: Pair


class TraceReport(Level, frozen=True, kw_only=True):
    """One trace, as read and as fitted.

    Args:
        file: Name of the trace file.
        plane_mm: Place of its plane along the pin.
        readings: How many readings.
        doubtful: Indexes of the readings left out, from 0.
        rms_mm: Root mean square of what the fit leaves of the others.
        pieces: How many flats and bends were fitted.
        read_error_mm: One standard deviation of a reading.
        read: Every reading.
        fitted: Every piece, in order.
    """

    file: str
    plane_mm: float
    readings: int
    doubtful: tuple[int, ...]
    rms_mm: float
    pieces: int
    read_error_mm: float
    read: tuple[ReadingReport, ...]
    fitted: tuple[FlatReport | BendReport, ...]


class MovedReport(Level, frozen=True, kw_only=True):
    """What fit notes moved at one station of a trace.

    Args:
        station_mm: Where.
        before_mm: Offset as first traced.
        after_mm: Offset as corrected.
    """

    station_mm: float
    before_mm: float
    after_mm: float


class DoubtfulNoteReport(Level, frozen=True, kw_only=True):
    """A fit note that was left out.

    Args:
        round: The round in which it was noted.
        station_mm: Where.
        gap_mm: The gap noted.
    """

    round: int
    station_mm: float
    gap_mm: float


class CorrectionReport(Level, frozen=True, kw_only=True):
    """What the fit notes of one plate changed in the trace nearest to it.

    Args:
        plate: The plate.
        middle_mm: Its middle along the pin.
        left_mm: Root mean square of what the correction leaves of the notes.
        pin_known: False when the distance from the pin was never noted and stays as traced.
        moved: Every reading of that trace, before and after.
        doubtful: The notes left out.
    """

    plate: str
    middle_mm: float
    left_mm: float
    pin_known: bool
    moved: tuple[MovedReport, ...]
    doubtful: tuple[DoubtfulNoteReport, ...]


def trace_report(fitted: FittedTrace) -> TraceReport:
    """One trace: counts, every reading and every fitted piece."""
    read = (
        ReadingReport(
            line=reading.line,
            station_mm=reading.point.real,
            offset_mm=reading.point.imag,
            residual_mm=residual,
            doubtful=index in fitted.doubtful,
            note=reading.note,
        )
        for index, (reading, residual) in enumerate(zip(fitted.trace.readings, fitted.residuals_mm, strict=True))
    )
    return mirrored(
        TraceReport,
        fitted,
        fitted.trace,
        readings=len(fitted.trace.readings),
        pieces=len(fitted.chain),
        read=tuple(read),
        fitted=chain_report(fitted.chain),
    )


def chain_report(chain: Chain) -> tuple[FlatReport | BendReport, ...]:
    """The pieces of a chain in order: flats and bends with their ends."""
    return tuple(map(_piece, chain))


def correction_report(correction: Correction, traces: tuple[FittedTrace, ...]) -> CorrectionReport:
    """What fit notes changed in the trace that lies nearest to their plate.

    Args:
        correction: What the notes of one plate say.
        traces: The corrected traces.
    """
    nearest = min(traces, key=lambda fitted: abs(fitted.trace.plane_mm - correction.w_mm))
    return mirrored(
        CorrectionReport,
        correction,
        middle_mm=correction.w_mm,
        moved=tuple(
            MovedReport(station_mm=p.real, before_mm=p.imag - correction.at(p.real), after_mm=p.imag)
            for p in (reading.point for reading in nearest.trace.readings)
        ),
        doubtful=tuple(mirrored(DoubtfulNoteReport, gap) for gap in correction.doubtful),
    )


def _piece(segment: Segment) -> FlatReport | BendReport:
    start, end = pair(segment.start), pair(segment.end)
    if isinstance(segment, Arc):
        return BendReport(
            radius_mm=segment.radius,
            kick_deg=math.degrees(segment.sweep_rad),
            start_mm=start,
            end_mm=end,
            length_mm=segment.length,
            centre_mm=pair(segment.centre),
        )
    along = segment.start_tangent
    lie_deg = math.degrees(math.atan2(along.imag, along.real))
    return FlatReport(lie_deg=lie_deg, start_mm=start, end_mm=end, length_mm=segment.length)
