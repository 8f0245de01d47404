"""A trace in the report: what was read, how far each reading lies off the fit, and the fitted shape."""

import math
from typing import TYPE_CHECKING, Annotated

from plategen.flat.chain import Chain
from plategen.flat.segment import Arc, Segment
from plategen.rail.question import Cause
from plategen.rail.trace import FittedTrace, Mark, Model
from plategen.tell.report.encode import Level, Pair, about, mirrored, pair

if TYPE_CHECKING:
    from plategen.rail.note.correction import Correction


class ReadingReport(Level, frozen=True, kw_only=True):
    """One reading."""

    line: Annotated[int, about("Line of the trace file, from 1.")]
    station_mm: Annotated[float, about("Along the straightedge.")]
    offset_mm: Annotated[float, about("From the straightedge to the rail.")]
    residual_mm: Annotated[float, about("How far it lies off the fitted shape, positive towards the rail.")]
    doubtful: Annotated[bool, about("True when it was left out of the fit.")]
    note: Annotated[str, about("The note beside it.")]
    mark: Annotated[Mark, about("What the user marks there, by a mark or a plain note; empty for the rail itself.")]


class FlatReport(Level, frozen=True, kw_only=True, tag_field="kind", tag="flat"):
    """A straight piece of the fitted shape, in the straightedge's frame."""

    lie_deg: Annotated[float, about("Its angle to the straightedge.")]
    start_mm: Annotated[Pair, about("Its first end.")]
    end_mm: Annotated[Pair, about("Its other end.")]
    length_mm: Annotated[float, about("Its length.")]


class BendReport(Level, frozen=True, kw_only=True, tag_field="kind", tag="bend"):
    """A bend of the fitted shape, in the straightedge's frame."""

    radius_mm: Annotated[float, about("Its radius.")]
    kick_deg: Annotated[float, about("How far it turns, positive away from the straightedge.")]
    start_mm: Annotated[Pair, about("Its first end.")]
    end_mm: Annotated[Pair, about("Its other end.")]
    length_mm: Annotated[float, about("Its length along the arc.")]
    centre_mm: Annotated[Pair, about("Its centre.")]


class QuestionReport(Level, frozen=True, kw_only=True):
    """One thing that the fit leaves open."""

    cause: Annotated[Cause, about("What it is about.")]
    stretch_mm: Annotated[tuple[Pair, Pair], about("Between which points of the rail it lies, straightedge's frame.")]
    readings: Annotated[tuple[int, int], about("Which readings along the rail are next to these, from 1.")]
    off_mm: Annotated[float, about("How far the rail may lie off the fit there, or how far its readings do.")]
    most_mm: Annotated[float, about("The most of that which is nothing to speak of.")]
    heard: Annotated[bool, about("True where it is more: a caution.")]
    read_at_mm: Annotated[tuple[Pair, ...], about("Where further readings would tell most.")]


class TraceReport(Level, frozen=True, kw_only=True):
    """One trace, as read and as fitted."""

    file: Annotated[str, about("Name of the trace file.")]
    plane_mm: Annotated[float, about("Place of its plane along the pin.")]
    readings: Annotated[int, about("How many readings.")]
    doubtful: Annotated[tuple[int, ...], about("Indexes of the readings left out, from 0.")]
    rms_mm: Annotated[float, about("Root mean square of what the fit leaves of the others.")]
    model: Annotated[Model, about("Whether flats and bends explain it, or the edge follows the readings freely.")]
    pieces: Annotated[int, about("How many flats and bends were fitted.")]
    read_error_mm: Annotated[float, about("One standard deviation of a reading.")]
    read: Annotated[tuple[ReadingReport, ...], about("Every reading.")]
    fitted: Annotated[tuple[FlatReport | BendReport, ...], about("Every piece, in order.")]
    questions: Annotated[tuple[QuestionReport, ...], about("What the fit leaves open, heard or not.")]


class MovedReport(Level, frozen=True, kw_only=True):
    """What fit notes moved at one station of a trace."""

    station_mm: Annotated[float, about("Where.")]
    before_mm: Annotated[float, about("Offset as first traced.")]
    after_mm: Annotated[float, about("Offset as corrected.")]


class DoubtfulNoteReport(Level, frozen=True, kw_only=True):
    """A fit note that was left out."""

    round: Annotated[int, about("The round in which it was noted.")]
    station_mm: Annotated[float, about("Where.")]
    gap_mm: Annotated[float, about("The gap noted.")]


class CorrectionReport(Level, frozen=True, kw_only=True):
    """What the fit notes of one plate changed in the trace nearest to it."""

    plate: Annotated[str, about("The plate.")]
    middle_mm: Annotated[float, about("Its middle along the pin.")]
    left_mm: Annotated[float, about("Root mean square of what the correction leaves of the notes.")]
    pin_known: Annotated[bool, about("False when the distance from the pin was never noted and stays as traced.")]
    moved: Annotated[tuple[MovedReport, ...], about("Every reading of that trace, before and after.")]
    doubtful: Annotated[tuple[DoubtfulNoteReport, ...], about("The notes left out.")]


def trace_report(fitted: FittedTrace) -> TraceReport:
    """One trace: counts, every reading and every fitted piece."""
    read = (
        mirrored(
            ReadingReport,
            reading,
            station_mm=reading.point.real,
            offset_mm=reading.point.imag,
            residual_mm=residual,
            doubtful=index in fitted.doubtful,
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
        questions=tuple(
            mirrored(
                QuestionReport,
                question,
                stretch_mm=tuple(map(pair, question.stretch)),
                read_at_mm=tuple(map(pair, question.read_at)),
            )
            for question in fitted.questions
        ),
    )


def chain_report(chain: Chain) -> tuple[FlatReport | BendReport, ...]:
    """The pieces of a chain in order: flats and bends with their ends."""
    return tuple(map(_piece, chain))


def correction_report(correction: "Correction", traces: tuple[FittedTrace, ...]) -> CorrectionReport:
    """What the fit notes of one plate changed in the trace that lies nearest to it."""
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
