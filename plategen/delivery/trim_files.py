"""A trim told and drawn: lines for the screen, plain values, and the DXF, paper and page of the trim line."""

from dataclasses import replace
from typing import Any

from plategen.bracket.model import Hole, Mark, Plate
from plategen.cut.table.cutting import cut_file_name, plate_dxf
from plategen.delivery.file_format import dxf_stamped, html_stamped
from plategen.flat.loop import Circle, Loop
from plategen.ground.show import Show
from plategen.revision.dxf_open import OpenedPlate
from plategen.revision.trim import Trimmed
from plategen.rules.weld import GAP_AS_IS_MM, GAP_LARGEST_MM
from plategen.tell.trim_page import trim_page
from plategen.work import Work

AS_DRAWN_RAD = 5e-4
"""A smaller turn moves no point of a foot by what a scribed line is wide."""


def trim_lines(answer: Trimmed, show: Show) -> list[str]:
    """What can be done with the plate, and why."""
    seat = answer.seat
    lines = [f"{answer.verdict.upper()}: as {answer.plate.name}"]
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
    kept = "holds" if answer.edge_mm >= answer.edge_required_mm - 0.01 else "DOES NOT HOLD"
    asked = show.length(answer.edge_required_mm)
    lines.append(f"  pin hole to edge {show.length(answer.edge_mm)}, {asked} asked: {kept}")
    return lines + [f"  {reason}" for reason in answer.reasons]


def trim_json(answer: Trimmed, opened: OpenedPlate) -> dict[str, Any]:
    """The same as plain values; lengths mm, angles rad."""
    seat = answer.seat
    return {
        "format": 1,
        "plate": answer.plate.name,
        "verdict": answer.verdict,
        "turn_rad": seat.turn_rad,
        "slide_mm": seat.slide_mm,
        "turned_over": seat.over,
        "gap_mm": answer.gap_mm,
        "proud_mm": seat.proud_mm,
        "removed_mm2": answer.removed_mm2,
        "leg_mm": answer.leg_mm,
        "short": [{"from_mm": s.from_mm, "to_mm": s.to_mm, "gap_mm": s.gap_mm} for s in answer.short],
        "weld_mm": answer.weld_mm,
        "weld_asked_mm": answer.weld_asked_mm,
        "edge_mm": answer.edge_mm,
        "edge_required_mm": answer.edge_required_mm,
        "reasons": list(answer.reasons),
        "read": list(opened.said),
    }


def trim_files(work: Work, answer: Trimmed, stem: str, lines: list[str], paper: str) -> dict[str, bytes]:
    """The page; and, when the plate can serve, the DXF of what stays with the trim line scribed, and its paper.

    The paper shows the plate as it is with the trim line across it, to be laid on the steel.
    """
    from plategen.paper.template import template_pdf

    name = "".join(c if c.isalnum() or c in "-_" else "_" for c in stem)[:60] or "plate"
    words = work.stamp.words if work.stamp else ""
    page = trim_page(f"{stem}: trim", answer, [*lines, *([words] if words else [])])
    files = {f"{name}_trim.html": html_stamped(page, words).encode()}
    if answer.verdict == "cut new":
        return files
    marks = tuple(Mark(name="trim line", path=cut) for cut in answer.cuts)
    stays = _drawn(answer, f"{name}_trim", answer.after, ())
    cutting = work.job.cutting
    dxf = plate_dxf(stays, work.job.units, version=cutting.dxf, entities=cutting.entities)
    files[cut_file_name(work.job, f"{name}_trim")] = dxf_stamped(dxf, f"{name}_trim: {words}").encode("ascii")
    as_it_is = _drawn(answer, f"{name}_trim", answer.before, marks)
    bracket = replace(work.bracket, plates=(as_it_is,), welds=())
    files[f"{name}_trim.pdf"] = template_pdf(replace(work, bracket=bracket), paper)
    return files


def _drawn(answer: Trimmed, name: str, outline: Loop, marks: tuple[Mark, ...]) -> Plate:
    pin = next(hole for hole in answer.plate.holes if hole.purpose == "pin")
    others = tuple(
        Hole(
            name=f"hole {i}",
            purpose="other",
            circle=c,
            bolt_mm=2 * c.radius,
            made="cut",
            edge_required_mm=0.0,
            edge_source="as drawn",
        )
        for i, c in enumerate((c for c in answer.inside if isinstance(c, Circle)), 1)
    )
    return replace(
        answer.plate, name=name, outline=outline, holes=(replace(pin, circle=answer.hole, made="cut"), *others),
        openings=tuple(c for c in answer.inside if isinstance(c, Loop)), slots=(), notch=None, fit=None, marks=marks,
        count=1,
    )  # fmt: skip


def _rule(answer: Trimmed, show: Show) -> str:
    if answer.gap_mm > GAP_LARGEST_MM:
        return f"more than {show.length(GAP_LARGEST_MM)} is refused: cut a new one"
    if answer.gap_mm > GAP_AS_IS_MM:
        return f"weld with a leg of {show.length(answer.leg_mm)}, grown by the gap"
    return "weld as detailed"
