"""What the commands print: plain text, a line a thing, in the job's units."""

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from plategen.bracket.measure import at_home
from plategen.bracket.model import Plate
from plategen.checks.caution import not_covered
from plategen.checks.finding import Finding, stops, worst_first
from plategen.checks.fit_up import clear_of_rail
from plategen.checks.headline import headline
from plategen.flat.segment import Arc
from plategen.ground.in_words import in_words
from plategen.ground.message import message
from plategen.ground.show import Show
from plategen.rail.trace import FittedTrace, bead_words, free_words, step_words, told
from plategen.tell.cause import besides, kinds_of
from plategen.tell.finding_row import finding_row, used
from plategen.tell.table import columns, counted, off_fit, up_to
from plategen.work import Work

if TYPE_CHECKING:
    from plategen.cause import Cause


def trace_lines(fitted: FittedTrace, show: Show, inline_offset_mm: float | None = None) -> list[str]:
    """The fitted shape piece by piece, and every reading with how far it lies from it."""
    read, pieces = counted(len(fitted.trace.readings), "reading"), counted(len(fitted.chain), "piece")
    lines = [f"{fitted.trace.file}: {read}, {pieces}"]
    lines += [f"  {piece}" for piece in _pieces(fitted, show)]
    if inline_offset_mm is not None:
        near, far = (f(s.point(t).imag for s in fitted.chain for t in (0.0, 0.5, 1.0)) for f in (min, max))
        lines.append(
            f"plane {show.length(fitted.trace.plane_mm)}; from the cylinder's line to the rail "
            f"{show.length(near + inline_offset_mm)} to {show.length(far + inline_offset_mm)}"
        )
    lines.append(f"two of three readings are good to {show.length(fitted.read_error_mm)}")
    rows = [("line", "station", "offset", "off the fit", "")]
    for index, (reading, residual) in enumerate(zip(fitted.trace.readings, fitted.residuals_mm, strict=True)):
        doubt = "DOUBTFUL, left out: read it again" if index in fitted.doubtful else reading.beside
        rows.append(
            (
                str(reading.line),
                show.short(reading.point.real),
                show.short(reading.point.imag),
                off_fit(show, residual),
                doubt,
            )
        )
    return lines + columns(rows)


def cost_lines(work: Work) -> Iterator[str]:
    """What it costs, where the shop gives rates."""
    if work.job.shop is None:
        return
    from plategen.cost import cost_of
    from plategen.tell.cost import cost_words

    cost = cost_of(work)
    if cost is not None:
        yield f"cost: {cost_words(cost)}"


def _pieces(fitted: FittedTrace, show: Show) -> Iterable[str]:
    risers = {riser.edge + 1: riser for riser in fitted.risers}
    if fitted.model == "free":
        yield show.text(free_words(fitted))
        yield from (show.text(message("a step of {}", step_words(riser))) for riser in fitted.risers)
        return
    yield from (show.text(message("a bead of {}", bead_words(bead))) for bead in fitted.beads)
    for number, piece in enumerate(fitted.chain.segments, 1):
        if fitted.in_bead(piece.point(0.5).real):
            continue
        if number in risers:
            yield f"{number}  step   {show.text(step_words(risers[number]))}"
        elif isinstance(piece, Arc):
            turn = math.degrees(abs(piece.sweep_rad))
            way = "away from you" if piece.sweep_rad > 0 else "towards you"
            yield f"{number}  bend   radius {show.length(piece.radius)}, kicks {turn:.1f}° {way}"
        else:
            lean = math.degrees(math.atan2((piece.end - piece.start).imag, (piece.end - piece.start).real))
            yield f"{number}  flat   {show.length(piece.length)} long, at {lean:+.1f}° to the straightedge"


def findings_lines(findings: Iterable[Finding], show: Show, found: "Sequence[Cause]" = ()) -> list[str]:
    """The findings as a table, the failing ones first, then their cures.

    What follows from a cause has one row for each kind, its worst, and no cure of its own: the cause's goes before.
    """
    ordered = worst_first(findings)
    own = besides(ordered, found)
    more = {id(kind[0]): len(kind) - 1 for cause in found for kind in kinds_of(cause.followers)}
    kept = {*map(id, own), *more}
    heads = ("", "check", "part", "there is", "allowed", "used", "rule")
    rows = {id(finding): finding_row(finding, show) for finding in ordered if id(finding) in kept}
    cells = []
    for key, r in rows.items():
        others = more.get(key, 0)
        part = f"{r.part}, and {others} more" if others else r.part
        cells.append((r.mark, r.check, part, r.there, r.limit, r.used, r.source))
    cured = [rows[id(f)] for f in own]
    return columns([heads, *cells]) + [row.cure_line for row in cured if row.cure and not row.opinion]


def plates_lines(work: Work, show: Show) -> list[str]:
    """A line a plate: size, gap and bind to expect; then what cutting the plates clear of the rail would take."""
    lines: list[str] = []
    for plate in work.cut_plates:
        low_u, low_v, high_u, high_v = plate.outline.bounds
        lines += (
            f"{_times(plate)}: {show.length(plate.thickness_mm)} {plate.steel}, "
            f"{show.length(high_u - low_u)} x {show.length(high_v - low_v)}",
            *_meets(work.of(plate), plate, show),
        )
    clear = clear_of_rail(work.job, work.bracket)
    if clear is not None:
        lines.append(show.text(message("or {}", clear.words(work.job.weld.leg_mm))))
    total = sum(run.length_mm for run in work.runs)
    lines.append(f"weld: {len(work.runs)} runs, {show.length(total)} in all")
    return lines


def _meets(work: Work, plate: Plate, show: Show) -> Iterator[str]:
    home = at_home(work.bracket, plate)
    if plate.fit is None or home is None:
        return
    off = "" if home.pin_off_mm is None else f", pin off {up_to(home.pin_off_mm, show)}"
    gap, bind = up_to(plate.fit.expected_gap_mm, show), up_to(plate.fit.expected_bind_mm, show)
    yield f"  pin held: gap {gap}, bind {bind}; pushed home: gap {up_to(home.gap_mm, show)}{off}"


def _times(plate: Plate) -> str:
    """Its name, and how many are cut where it is not one."""
    name = in_words(plate.name)
    return name if plate.count == 1 else f"{name}, {plate.count} of them"


def doubt_lines(work: Work, show: Show) -> list[str]:
    """A line for every fit note that was left out, and for all that the fits of the traces leave open."""
    lines = [
        f"fit note of {gap.plate_said}, round {gap.round}, station {show.short(gap.station_mm)}: a gap of "
        f"{show.length(gap.gap_mm)} does not agree with the others and was left out; look again"
        for correction in work.corrections
        for gap in correction.doubtful
    ]
    lines += [
        f"fit notes of {in_words(correction.plate)}: it was pushed home and no pin_off noted, so they tell its notch's "
        "shape, not how far the rail is from the pin; that stays as traced"
        for correction in work.corrections
        if not correction.pin_known
    ]
    for fitted in work.rail.traces:
        lines += question_lines(fitted, show)
    return lines


def question_lines(fitted: FittedTrace, show: Show) -> list[str]:
    """A line for all that the fit of a trace leaves open, and for every step."""
    return [f"{fitted.trace.file}: {show.text(words)}" for words in told(fitted)]


def verdict_lines(findings: Sequence[Finding]) -> list[str]:
    """What all checks come to, and what they do not cover, which stands with it wherever it is said."""
    return [verdict_line(findings), "Not covered:", *(f"- {words}" for words in not_covered(findings))]


WORST = 3
"""Kinds of checks that the verdict's line names."""


def verdict_line(findings: Sequence[Finding]) -> str:
    """What all checks come to, with the worst where some stop."""
    worst = [_at_worst(kind[0]) for kind in kinds_of(stops(findings))[:WORST]]
    return f"{headline(findings)} Worst: {'; '.join(worst)}." if worst else headline(findings)


def _at_worst(finding: Finding) -> str:
    share = used(finding)
    return f"{finding.check}{'' if share[0].isdigit() else ':'} {share}, {finding.part.spoken}"


def stop_lines(findings: Iterable[Finding], show: Show, found: "Sequence[Cause]" = ()) -> list[str]:
    """A line for every check that says stop and follows from no cause: its worst finding, the other parts it stops on
    folded behind it.
    """
    lines = []
    for first, *others in kinds_of(besides(stops(findings), found)):
        more = f"; the same on {'; '.join(f.part.spoken for f in others)}" if others else ""
        lines.append(finding_row(first, show).stop_line + more)
    return lines
