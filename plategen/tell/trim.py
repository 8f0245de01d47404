"""What can be done with an existing plate, as lines for the screen and as typed values for other programs."""

from collections.abc import Iterable

import msgspec

from plategen.ground.message import Message
from plategen.ground.show import Show
from plategen.revision.trim import Short, Trimmed, Verdict
from plategen.rules.weld import GAP_AS_IS_MM, GAP_LARGEST_MM
from plategen.tell.revision import stops_text
from plategen.tell.revision_json import StopJson, stops_json

AS_DRAWN_RAD = 5e-4
"""A smaller turn moves no point of a foot by what a scribed line is wide."""


class TrimJson(msgspec.Struct, frozen=True, kw_only=True):
    """What ``trim --json`` prints; lengths mm, angles rad, words in the job's units.

    ``job_stops`` is what stops in the job itself, ``stops`` what stops with this plate and not with a new one, ``read``
    how the drawing was read.
    """

    format: int
    plate: str
    verdict: Verdict
    turn_rad: float
    slide_mm: float
    turned_over: bool
    gap_mm: float
    proud_mm: float
    removed_mm2: float
    leg_mm: float
    short: tuple[Short, ...]
    weld_mm: float
    weld_asked_mm: float
    edge_mm: float
    edge_required_mm: float
    job_stops: tuple[StopJson, ...]
    stops: tuple[StopJson, ...]
    reasons: tuple[str, ...]
    read: tuple[str, ...]


def trim_json(answer: Trimmed, notes: Iterable[Message], show: Show) -> TrimJson:
    """The answer, with what the user should know of how the drawing was read."""
    seat = answer.seat
    return TrimJson(
        format=1,
        plate=answer.plate.name,
        verdict=answer.verdict,
        turn_rad=seat.turn_rad,
        slide_mm=seat.slide_mm,
        turned_over=seat.over,
        gap_mm=answer.gap_mm,
        proud_mm=seat.proud_mm,
        removed_mm2=answer.removed_mm2,
        leg_mm=answer.leg_mm,
        short=answer.short,
        weld_mm=answer.weld_mm,
        weld_asked_mm=answer.weld_asked_mm,
        edge_mm=answer.edge_mm,
        edge_required_mm=answer.edge_required_mm,
        job_stops=stops_json(answer.job_stops),
        stops=stops_json(answer.stops),
        reasons=tuple(map(show.text, answer.reasons)),
        read=tuple(map(show.text, notes)),
    )


def trim_lines(answer: Trimmed, show: Show) -> list[str]:
    """What can be done with the plate, and why, a line each; what stops in the job itself comes first."""
    seat = answer.seat
    lines = [f"STOP: the job itself stops: {stops_text(answer.job_stops)}"] if answer.job_stops else []
    lines.append(f"{answer.verdict.upper()}: as {answer.plate.name}")
    turned = abs(seat.turn_rad) > AS_DRAWN_RAD
    placed = f"turned {show.angle(seat.turn_rad)} about the pin" if turned else "as it is drawn"
    placed += f", slid {show.length(seat.slide_mm)}" if seat.slide_mm else ""
    lines.append(f"  {placed}{', turned over' if seat.over else ''}")
    if answer.cuts:
        lines.append(
            f"  trim {show.area(answer.removed_mm2)} away, up to {show.length(seat.proud_mm)} deep, along "
            f"{show.length(sum(cut.length for cut in answer.cuts))}"
        )
    lines.append(f"  largest gap left {show.length(answer.gap_mm)}; {_rule(answer, show)}")
    lines += [
        f"  short by up to {show.length(s.gap_mm)} from station {show.short(s.from_mm)} to {show.short(s.to_mm)}"
        for s in answer.short
    ]
    lines.append(f"  weld {show.length(answer.weld_mm)} of {show.length(answer.weld_asked_mm)} on a new plate")
    kept = "holds" if answer.edge_holds else "DOES NOT HOLD"
    asked = show.length(answer.edge_required_mm)
    lines.append(f"  pin hole to edge {show.length(answer.edge_mm)}, {asked} asked: {kept}")
    return lines + [f"  {show.text(reason)}" for reason in answer.reasons]


def _rule(answer: Trimmed, show: Show) -> str:
    if answer.gap_mm > GAP_LARGEST_MM:
        return f"more than {show.length(GAP_LARGEST_MM)} is refused: cut a new one"
    if answer.gap_mm > GAP_AS_IS_MM:
        return f"weld with a leg of {show.length(answer.leg_mm)}, grown by the gap"
    return "weld as detailed"
