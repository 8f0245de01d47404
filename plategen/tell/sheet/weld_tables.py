"""The sheet's table of weld runs, and the leg that is laid where a gap is to be expected."""

from collections.abc import Sequence

from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.rules.weld import GAP_AS_IS_MM, GAP_LARGEST_MM, laid_leg_mm
from plategen.tell.report.plate import PlateReport, WeldReport
from plategen.tell.sheet.cells import Cell, Table, row
from plategen.tell.table import cells, up_to


def welds(runs: Sequence[WeldReport], plates: Sequence[PlateReport], show: Show) -> Table:
    """The weld map as a table, in the order of welding."""
    return Table(
        "Weld runs, in the order of welding",
        (
            "run",
            "order",
            "plate",
            "to",
            "side",
            "leg",
            "leg to lay",
            "length",
            "angle between faces",
            "gap under it",
            "filler",
            "passes",
        ),
        tuple(
            row(
                Cell(w.name, "run"),
                str(w.order),
                in_words(w.plate),
                in_words(w.to),
                *cells(show, w, "side", "leg_mm"),
                leg_to_lay(w, plates, show),
                show.length(w.length_mm),
                _span(w.joint_angle_deg),
                up_to(w.gap_mm, show),
                w.electrode,
                str(w.passes),
            )
            for w in sorted(runs, key=lambda w: w.order)
        ),
    )


def leg_to_lay(run: WeldReport, plates: Sequence[PlateReport], show: Show) -> str:
    """The leg that carries what the drawn one does: over the gap that is drawn, and over the one to expect there."""
    if run.gap_mm > GAP_LARGEST_MM:
        return "none: refit the plate"
    drawn_mm = laid_leg_mm(run.leg_mm, run.gap_mm)
    words, gap_mm = show.bound(drawn_mm, up=True), max(run.gap_mm, _expected_gap_mm(run, plates))
    most_mm = laid_leg_mm(run.leg_mm, min(gap_mm, GAP_LARGEST_MM))
    if most_mm <= drawn_mm:
        return words
    over = show.bound(max(GAP_AS_IS_MM, run.gap_mm), up=False)
    refit = f"; over {show.bound(GAP_LARGEST_MM, up=False)} none: refit the plate" if gap_mm > GAP_LARGEST_MM else ""
    return f"{words}; where the gap is over {over}, up to {show.bound(most_mm, up=True)}{refit}"


def _expected_gap_mm(run: WeldReport, plates: Sequence[PlateReport]) -> float:
    """The gap to expect along a notch with the pin held; 0 where a run holds a plate to another one."""
    if any(run.to == plate.name for plate in plates):
        return 0.0
    return next((plate.fit.expected_gap_mm for plate in plates if plate.name == run.plate and plate.fit), 0.0)


def _span(degrees: Sequence[float]) -> str:
    low, high = degrees
    return f"{low:.1f}°" if high - low < 0.05 else f"{low:.1f}° to {high:.1f}°"
