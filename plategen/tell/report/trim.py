"""What ``trim --json`` prints: how an existing plate sits best, and what can be done with it."""

from collections.abc import Iterable
from typing import Annotated, Literal

from plategen.ground.message import Message
from plategen.ground.show import Show
from plategen.revision.trim import Trimmed, Verdict
from plategen.tell.report.encode import Level, about, mirrored
from plategen.tell.report.revision import StopReport, stop_reports


class ShortReport(Level, frozen=True, kw_only=True):
    """A span of stations over which the plate stays short of the rail, and by how much at most."""

    from_mm: float
    to_mm: float
    gap_mm: float


class TrimReport(Level, frozen=True, kw_only=True):
    """The answer; lengths mm, angles rad, words in the job's units."""

    format: Literal[1]
    plate: str
    verdict: Verdict
    turn_rad: float
    slide_mm: float
    turned_over: bool
    gap_mm: float
    proud_mm: float
    removed_mm2: float
    leg_mm: float
    short: tuple[ShortReport, ...]
    weld_mm: float
    weld_asked_mm: float
    edge_mm: float
    edge_required_mm: float
    job_stops: Annotated[tuple[StopReport, ...], about("What stops in the job itself.")]
    stops: Annotated[tuple[StopReport, ...], about("What stops with this plate and not with a new one.")]
    reasons: tuple[str, ...]
    read: Annotated[tuple[str, ...], about("How the drawing was read.")]


def trim_report(answer: Trimmed, notes: Iterable[Message], show: Show) -> TrimReport:
    """The answer, with what the user should know of how the drawing was read."""
    return mirrored(
        TrimReport,
        answer,
        answer.seat,
        format=1,
        plate=answer.plate.name,
        turned_over=answer.seat.over,
        short=tuple(mirrored(ShortReport, span) for span in answer.short),
        job_stops=stop_reports(answer.job_stops),
        stops=stop_reports(answer.stops),
        reasons=tuple(map(show.text, answer.reasons)),
        read=tuple(map(show.text, notes)),
    )
