"""The sheet's tables: rows of words made from the report, and from the solids' clearances, in the job's own units."""

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from msgspec.structs import replace

from plategen.bracket.model import Bracket
from plategen.cause import Cause
from plategen.checks.finding import Finding, Verdict
from plategen.checks.loss import Loss
from plategen.cut.table.notes import CutNotes
from plategen.cut.tolerance import WeldedClass, welded_angle, welded_length
from plategen.ground.in_words import in_words
from plategen.ground.show import Show
from plategen.rail.trace import FittedTrace
from plategen.tell.cause import cause_words, kinds_of
from plategen.tell.finding_row import finding_row
from plategen.tell.picture.plate_features import tape
from plategen.tell.report.hardware import BoltsReport, BoughtPinReport, BoughtSleevesReport
from plategen.tell.report.plate import PlateReport
from plategen.tell.sheet.cells import Cell, Table, row
from plategen.tell.table import cells, off_fit, up_to

if TYPE_CHECKING:
    from plategen.solid.clearance import Clearance


def cut_list(plates: Sequence[PlateReport], show: Show, notes: CutNotes | None = None) -> Table:
    """What to cut, and from which piece of the rack; plates that are one shape of one steel stand in one row."""
    alike: dict[tuple[str, float, str, int, tuple[str, ...]], list[PlateReport]] = {}
    pieces = {p.name: notes.from_rack(p.name) if notes else () for p in plates}
    for p in plates:
        alike.setdefault((p.shape, p.rolled_mm, p.steel, p.count, pieces[p.name]), []).append(p)
    return Table(
        "What to cut",
        ("plate", "cut", "thickness", "steel", "over all", "mass each", "cut length each", "file", "mark"),
        tuple(
            row(
                ", ".join(in_words(each.name) for each in same),
                str(p.count * len(same)),
                Cell(show.length(p.thickness_mm), small=_rolled(p, show)),
                Cell(p.steel, small=tuple(f"from {piece}" for piece in pieces[p.name])),
                f"{tape(show, p.width_mm)} × {tape(show, p.height_mm)} {show.units}",
                *cells(show, p, "mass_kg", "cut_length_mm"),
                Cell(", ".join(each.file for each in same), "code wrap"),
                Cell(p.shape, "code"),
            )
            for same in alike.values()
            for p in same[:1]
        ),
    )


def _rolled(plate: PlateReport, show: Show) -> tuple[str, ...]:
    """How a blank is rolled."""
    radius = plate.rolled_mm
    return (f"rolled along its length to {show.length(radius)} inside radius",) if radius else ()


def bolts(sets: Sequence[BoltsReport], show: Show) -> Table:
    """The bolts to buy, and how to tighten them."""
    return Table(
        "Bolts, each with a nut and washers",
        (
            "for",
            "count",
            "size",
            "grade",
            "grip",
            "washers",
            "length",
            "thread",
            "tension",
            "torque, oiled to dry",
            "turn",
        ),
        tuple(
            row(
                in_words(b.holds),
                str(b.count),
                *cells(show, b, "diameter_mm", "grade", "grip_mm"),
                Cell(str(b.washers), small=(f"{show.length(b.washers_mm)} in all",)),
                Cell(show.length(b.length_mm), small=(b.source,)),
                Cell(show.length(b.thread_mm), small=_at_the_plane(b, show)),
                show.force(b.tension_n) if b.tension_n else "snug",
                f"{show.torque(b.torque_oiled_nmm)} to {show.torque(b.torque_dry_nmm)}" if b.tension_n else "",
                f"{b.turn} from snug" if b.turn else "",
            )
            for b in sets
        ),
    )


def _at_the_plane(b: BoltsReport, show: Show) -> tuple[str, ...]:
    """Where the thread lies."""
    if b.shank_past_mm is None:
        return ()
    return ("in the shear plane" if b.shank_past_mm < 0.0 else f"begins {show.length(b.shank_past_mm)} past the plane",)


SLEEVE_STEEL = "S235 or A36"
"""What is counted of a sleeve's steel; a stronger one will do."""


def bought_sleeves(tube: BoughtSleevesReport, show: Show) -> Table:
    """The sleeves to cut from tube."""
    return Table(
        "Sleeves between the rail's walls",
        ("count", "outside", "bore", "faced square to", "steel"),
        (row(str(tube.count), *cells(show, tube, "outside_mm", "bore_mm", "length_mm"), SLEEVE_STEEL),),
        slim=True,
    )


def bought_pin(pin: BoughtPinReport, show: Show) -> Table:
    """The pin to buy."""
    return Table(
        "The pin",
        ("diameter", "steel", "grip", "length under the head", "head", "split pin", "replace when worn to"),
        (
            row(
                *cells(show, pin, "diameter_mm", "steel", "grip_mm", "length_mm", "head_mm", "split_pin_mm"),
                show.length(pin.worn_to_mm),
            ),
        ),
        slim=True,
    )


def fit_up(plates: Sequence[PlateReport], stands_on: str, show: Show) -> Table:
    """Gaps and binds to expect when the plates stand on the rail or tube, held by the pin and pushed home."""
    return Table(
        f"How the plates meet the {stands_on}: as drawn, and for 95 plates of 100",
        ("plate", "gap at the marked face", "at its back", "pin held: gap", "bind", "pushed home: gap", "pin off"),
        tuple(
            row(
                in_words(p.name),
                # the mark stands on the face away from the outline's, which is the back
                *(up_to(mm, show) for mm in (f.gap_far_mm, f.gap_near_mm, f.expected_gap_mm, f.expected_bind_mm)),
                up_to(f.home_gap_mm, show),
                "" if f.home_pin_off_mm is None else up_to(f.home_pin_off_mm, show),
            )
            for p in plates
            if (f := p.fit)
        ),
    )


def checks(findings: Iterable[Finding], caption: str, show: Show) -> Table:
    """Findings in the order given, with the rule, what was assumed and what would cure them.

    Where one check by one rule holds on several parts, the row shows the part that governs and names the others; so
    where it stops or warns of several with the same cure, and where an opinion is over its limit on several. Of
    opinions that hold one row a check is enough: it names the other rules that hold with less.
    """
    groups: dict[object, list[Finding]] = {}
    for f in findings:
        rule = "" if f.opinion and f.verdict == "ok" else f.source
        said = finding_row(f, show)
        cured = () if f.opinion or f.verdict == "ok" else (said.assumed, said.cure)
        alike = (f.check, f.unit, f.verdict, rule, cured)
        groups.setdefault(alike, []).append(f)
    return Table(caption, _CHECKED, tuple(_check(group, show) for group in groups.values()))


def causes(found: Iterable[Cause], show: Show) -> tuple[Table, ...]:
    """What follows from each cause, under the cause: a row for each kind, its worst, without a cure of its own."""
    return tuple(
        Table(
            cause_words(cause, show),
            _CHECKED,
            tuple(_check([replace(f, cure=None) for f in kind], show) for kind in kinds_of(cause.followers)),
        )
        for cause in found
    )


_CHECKED = ("verdict", "check", "there is", "allowed", "used", "rule and what was assumed")
"""Heads of a table of checks."""


_OPINION: dict[Verdict, str] = {"stop": "over", "caution": "near", "ok": "holds"}
"""What is said of an opinion, which stops nothing."""


def _check(alike: Sequence[Finding], show: Show) -> tuple[Cell, ...]:
    f = finding_row(alike[0], show)
    others = [short for other in alike[1:] if (short := other.part.short) != alike[0].part.short]
    others = list(dict.fromkeys(others))
    rules = dict.fromkeys(finding_row(other, show).source for other in alike)
    apart = "; " if any("," in other for other in others) else ", "
    about = (f.part, f.case, f"less on {apart.join(others)}" if others else "")
    return row(
        Cell(_OPINION[f.verdict], "tight") if f.opinion else Cell(f.verdict.upper(), f"{f.verdict} tight"),
        Cell(f.check, "strong", tuple(words for words in about if words)),
        Cell(f.there, "tight"),
        Cell(f.limit, "tight"),
        Cell(f.used, "tight"),
        Cell(
            "; less by ".join(rules),
            "",
            tuple(words for words in (f.assumed, f"Cure: {f.cure}" if f.cure else "") if words),
        ),
    )


def readings(fitted: FittedTrace, show: Show) -> Table:
    """The readings of a trace and how far each lies off the fit."""
    return Table(
        f"{fitted.trace.file}, plane {show.short(fitted.trace.plane_mm)} {show.units}, as read",
        ("line", "station", "offset", "off the fit", "note"),
        tuple(
            row(
                str(reading.line),
                Cell(f"{show.short(reading.point.real)} {show.units}", "tight"),
                show.length(reading.point.imag),
                Cell(f"{off_fit(show, residual)} {show.units}", "stop" if i in fitted.doubtful else ""),
                Cell("DOUBTFUL, left out: read it again", "stop", (beside,) if (beside := reading.beside) else ())
                if i in fitted.doubtful
                else reading.beside,
            )
            for i, (reading, residual) in enumerate(zip(fitted.trace.readings, fitted.residuals_mm, strict=True))
        ),
        slim=True,
    )


WELDED_CLASS: WeldedClass = "B"
"""The class of ISO 13920 that careful work by hand keeps (common practice, no source)."""


def losses(parts: Iterable[Loss], show: Show) -> Table:
    """Which single part's loss takes the steering away, and which only its assist."""
    return Table(
        "The loss of one part, alone",
        ("part", "takes away", "how"),
        tuple(row(loss.part, loss.takes, show.text(loss.how)) for loss in parts),
    )


def clearance_table(clearances: Sequence["Clearance"], show: Show) -> Table:
    """How much room there is between the parts, as the solids have it."""
    return Table(
        "Room between parts, measured on the solids",
        ("part", "to", "nearest"),
        tuple(
            row(in_words(clearance.one), in_words(clearance.other), _room(clearance, show)) for clearance in clearances
        ),
        slim=True,
    )


def barrel_words(begins_mm: float, show: Show) -> str:
    """Where the barrel may begin."""
    return (
        f"The cylinder's barrel must begin at least {show.bound(begins_mm, up=True)} from the pin's centre to clear "
        "the plates: measure the real one."
    )


def welded_words(bracket: Bracket, show: Show) -> str:
    """How far a welded bracket may be off where nothing closer is asked."""
    sizes = [(u1 - u0, v1 - v0) for u0, v0, u1, v1 in (plate.outline.bounds for plate in bracket.plates)]
    longest, shorter = max(max(size) for size in sizes), min(min(size) for size in sizes)
    length, angle = welded_length(longest, WELDED_CLASS), welded_angle(shorter, WELDED_CLASS)
    return (
        f"Once welded, the longest length, {show.length(longest)}, may be off by "
        f"± {show.bound(length.value, up=False)}, a shorter one by no more, and angles by ± {show.angle(angle.value)} "
        f"where nothing closer is asked (EN ISO 13920, class {WELDED_CLASS}). The pin holes ask for closer: weld with "
        "the pin in place."
    )


def _room(clearance: "Clearance", show: Show) -> Cell:
    if clearance.overlap_mm3 > 0.0:
        return Cell(f"OVERLAP of {show.volume(clearance.overlap_mm3)}", "stop")
    return Cell("touching" if clearance.gap_mm == 0.0 else show.length(clearance.gap_mm))
