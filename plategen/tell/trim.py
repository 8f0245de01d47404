"""What can be done with an existing plate, as lines for the screen."""

from plategen.ground.show import Show
from plategen.revision.trim import Trimmed
from plategen.rules.weld import GAP_AS_IS_MM, GAP_LARGEST_MM
from plategen.tell.revision import stops_text

AS_DRAWN_RAD = 5e-4
"""A smaller turn moves no point of a foot by what a scribed line is wide."""


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
