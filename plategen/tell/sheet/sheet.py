"""The shop sheet: one page that opens from disk, prints, and says everything a bench needs to know of a job.

The words come from the report and the findings, the pictures from the picture files; the template only lays them out.
"""

from collections.abc import Callable, Sequence
from functools import cache
from importlib import resources
from typing import TYPE_CHECKING, Any

from jinja2 import Environment, StrictUndefined, Template
from markupsafe import Markup

from plategen import __version__
from plategen.bracket.envelope import barrel_start_mm
from plategen.bracket.model import Plate
from plategen.cause import Cause, causes
from plategen.checks.access import weld_notes
from plategen.checks.caution import USUAL, not_covered
from plategen.checks.finding import must_stop, worst_first
from plategen.checks.fit_up import clear_of_rail
from plategen.checks.headline import headline
from plategen.checks.loss import losses
from plategen.checks.welding import bead_notes
from plategen.cost import cost_of
from plategen.cut.table.notes import CutNotes
from plategen.ground.in_words import in_words
from plategen.ground.message import message
from plategen.ground.show import Show
from plategen.ground.unit import CHECK_BAR
from plategen.job.steering_equipment import StopEntry
from plategen.rail.trace import FittedTrace, told
from plategen.rules.weld import GAP_AS_IS_MM, GAP_LARGEST_MM
from plategen.tell.cause import besides
from plategen.tell.cost import cost_rows
from plategen.tell.picture.drafter import style
from plategen.tell.picture.fit_words import fit_in_words
from plategen.tell.picture.labelled import labelled_view
from plategen.tell.picture.moved import moved_picture
from plategen.tell.picture.plan import plan_picture
from plategen.tell.picture.plate import plate_picture
from plategen.tell.picture.plate_features import spoken
from plategen.tell.picture.script_data import script_data
from plategen.tell.picture.trace import trace_picture
from plategen.tell.picture.turntable import script, turntable
from plategen.tell.picture.weld import weld_maps
from plategen.tell.report.job import JobReport, job_report
from plategen.tell.sheet import bench, hole_tables, tables, weld_tables
from plategen.tell.sheet.bend_table import WHICH_FACE, bend_table
from plategen.tell.sheet.cells import Table, row
from plategen.tell.sheet.cut_table import cut_table, cut_words
from plategen.tell.sheet.drilling import drill_notes, drilling_table, shim_table
from plategen.tell.sheet.facts import facts
from plategen.tell.sheet.paged import paged
from plategen.tell.sheet.places import ROUND_THEIR_STOPS, WHICH_WAY, in_place, pad_places, places
from plategen.tell.sheet.tables import barrel_words, clearance_table, welded_words
from plategen.tell.table import off_fit
from plategen.work import Work

if TYPE_CHECKING:
    from plategen.rail.note.correction import Correction
    from plategen.solid.clearance import Clearance


WELD_ORDER = (
    "Tack every plate at both ends on both sides with the pin and a spacer in place, check the line of the cylinder, "
    "then weld in this order, letting each run cool until it can be touched: outside runs first, from plate to plate, "
    "then the inside ones, so that the pull of one run is met by the next (common practice, no source)."
)
"""Why the runs are laid in the order of their table."""

ROOMY = 2
"""With so many plates at most the first printed page has room for what the checks do not cover."""

TALL = 1.3
"""A plate so many times as high as wide takes a printed page's whole height rather than its whole width."""

CHOSEN = "Chosen by rule, because the job left it open"
"""Heading of the sizes that the job did not tell."""

OPINIONS = "Second opinions by other rules; they decide nothing"
"""Caption of the findings that decide nothing."""


def sheet_html(
    work: Work,
    *,
    report: JobReport | None = None,
    found: Sequence[Cause] | None = None,
    cutting: CutNotes | None = None,
    clearances: Callable[[], Sequence["Clearance"]] = tuple,
    nest_svg: str = "",
) -> str:
    """The sheet as one HTML file that asks for nothing outside itself; no ``clearances`` when no solids were made.

    ``report`` is the job's, and ``found`` the causes of its stops, where they were made already. ``clearances`` are
    asked for when all else is there, for the solid kernel may still be at work on them.
    """
    show, body_mm = Show(work.job.units), work.job.cylinder.body_diameter_mm
    report = job_report(work) if report is None else report
    linkage, linkage_script = _moving(work)
    decided = [f for f in worst_first(work.findings) if not f.opinion]
    opinions = [f for f in worst_first(work.findings) if f.opinion]
    found = causes(work) if found is None else found
    single, ends = besides(decided, found), {plate.name for plate in work.own_plates}
    own = tuple(plate for plate in report.plates if plate.name in ends)  # the other end has a sheet of its own
    return _template().render(
        version=__version__,
        style=Markup(style() + _text("sheet.css")),
        title=work.job.title,
        bar=CHECK_BAR[work.job.units],
        units="inches" if work.job.units == "in" else "millimetres",
        revision=work.stamp,
        status=_status(work),
        stopped=work.stopped,
        facts=facts(work, show),
        view=Markup(labelled_view(work)),
        turntable=Markup(script_data(turntable(work))),
        linkage=Markup(linkage),
        script=Markup(script() + linkage_script + _text("sheet.js")),
        usual=USUAL,
        cautions=[show.text(words) for words in work.cautions if words not in USUAL],
        cut_list=tables.cut_list(own, show, cutting),
        bends=bend_table(own, show),
        which_face=WHICH_FACE,
        nest=Markup(nest_svg),
        cutting=cut_table(cutting, show) if cutting else None,
        cutting_words=cut_words(cutting, show) if cutting else (),
        cost=_cost(work, show),
        welded=welded_words(work.bracket, show),
        barrel=barrel_words(barrel_start_mm(work.bracket, body_mm), show),
        plates=[_plate(plate, work, report, show) for plate in work.own_plates],
        plan=Markup(plan_picture(work)),
        weld_maps=[Markup(picture) for picture in weld_maps(work)],
        welds=weld_tables.welds(report.welds, report.plates, show) if report.welds else None,
        roomy=_roomy(work),
        weights=bench.weights(own, show),
        steps=bench.steps(work, report, show),
        measured=bench.measured(work, report, show),
        contents=_contents(work, report),
        paged=Markup(paged(work)),
        weld_total=show.length(report.weld_length_mm),
        weld_why=WELD_ORDER,
        weld_notes=[show.text(note) for note in (*weld_notes(work.bracket), *bead_notes(work.bracket))],
        drilling=drilling_table(report.drilling, show) if report.drilling else None,
        shims=shim_table(report.shims, show) if report.shims else None,
        drill_notes=[show.text(words) for words in drill_notes(work.job)] if report.drilling else [],
        bolts=tables.bolts(report.hardware.bolts, show) if report.hardware.bolts else None,
        bought_sleeves=(tables.bought_sleeves(report.hardware.sleeves, show) if report.hardware.sleeves else None),
        bought_pin=tables.bought_pin(report.hardware.pin, show) if report.hardware.pin else None,
        bought_notes=report.hardware.notes,
        not_covered=not_covered(work.findings),
        losses=tables.losses(losses(work.design, work.bracket), show),
        stress=[(words, Markup(picture)) for words, picture in _stress(work, show)],
        places=places(work.bracket.plates, work.job.rail.trace, show),
        which_way=WHICH_WAY.format(*[work.job.style.stands_on] * 2),
        pads=pad_places(work.loose, _stops(work), show),
        round_their_stops=ROUND_THEIR_STOPS,
        stands_on=work.job.style.stands_on,
        chosen_head=CHOSEN,
        fit_up=tables.fit_up(own, work.job.style.stands_on, show),
        gap_rule=_gap_rule(show),
        clear=_clear(work, show),
        causes=tables.causes(found, show),
        checks=tables.checks(single, "Checks, the failing ones first", show) if single else None,
        opinions=tables.checks(opinions, OPINIONS, show) if opinions else None,
        traces=[_trace(fitted, work, show) for fitted in work.rail.traces],
        chosen=[show.text(words) for words in work.bracket.chosen],
        steering=Markup(_steering(work, report, show)),
        fit_notes=[_fit_notes(correction, work, show) for correction in work.corrections],
        clearances=clearance_table(measured, show) if (measured := clearances()) else None,
    )


OTHER_END = "STOP: a check of the same job's other end fails; sheet.html names it. Do not build this."
"""The headline of a seat that holds by itself, where the bracket on the frame does not."""


def _status(work: Work) -> str:
    """What all checks come to, in one line."""
    return OTHER_END if work.stopped and not must_stop(work.findings) else headline(work.findings)


def _cost(work: Work, show: Show) -> Table | None:
    """What it costs by the shop's own rates; None without any."""
    cost = cost_of(work) if work.whole else None
    if cost is None:
        return None
    rows = tuple(row(*words) for words in cost_rows(cost, show))
    return Table("Cost, by the shop's own rates", ("of", "comes to", "counted by"), rows)


def _stops(work: Work) -> tuple[StopEntry, ...]:
    """What stops the steering, as the job has it."""
    told = None if work.job.steering is None else work.job.steering.stops
    return () if told is None else told.stop


def _contents(work: Work, report: JobReport) -> list[tuple[str, str]]:
    """The sheet's parts in their order, each by its anchor."""
    bought = bool(report.hardware.bolts or report.hardware.pin)
    parts = [("bench", "Bench sheet"), ("plates", "Cut the plates")]
    parts += [("weld", "Weld")] if report.welds else []
    parts += [("fit", "Fit up")]
    parts += [("drill", "Drill the rail")] if report.drilling else []
    parts += [("hardware", "Bolts and pin")] if bought else []
    parts += [("checks", "Checks")]
    if work.rail.traces:
        parts += [("measured", "How the rail was measured")]
    elif work.bracket.chosen:
        parts += [("measured", CHOSEN)]
    parts += [("steering", "Steering")] if work.steering is not None else []
    shown = work.corrections or not _roomy(work)
    return [*parts, ("revision", "Revision")] if shown else parts


def _roomy(work: Work) -> bool:
    """Whether two printed pages hold the bench sheet with room to spare."""
    few = len(work.own_plates) <= ROOMY and work.steering is None
    return few and len(work.cautions) <= len(USUAL) + 2


def _stress(work: Work, show: Show) -> list[tuple[str, str]]:
    """A line of words and the stress picture for each ear that was solved with finite elements."""
    if not work.ear_fields:
        return []
    from plategen.tell.picture.stress import stress_svg

    words = [f"{solved.plate.replace('_', ' ')}: {solved.case}" for solved in work.ear_fields]
    return [(caption, stress_svg(f.field, show, caption)) for caption, f in zip(words, work.ear_fields, strict=True)]


def _moving(work: Work) -> tuple[str, str]:
    """The linkage that moves, and the script that moves it, of a job that draws one; others need not load them."""
    if work.steering is None:
        return "", ""
    from plategen.tell.picture.linkage import linkage_scene
    from plategen.tell.picture.linkage import script as linkage_script

    scene = linkage_scene(work.steering)
    return (script_data(scene), linkage_script()) if scene else ("", "")


def _steering(work: Work, report: JobReport, show: Show) -> str:
    """The steering study's section of a job that has one; others need not load it."""
    if work.steering is None or report.steering is None:
        return ""
    from plategen.tell.steering.section import steering_section

    return steering_section(work.steering, report.steering, show, pin_there=work.job.mount.pin == "study")


def _gap_rule(show: Show) -> str:
    small, large = show.bound(GAP_AS_IS_MM, up=False), show.bound(GAP_LARGEST_MM, up=False)
    return (
        f"A fillet may bridge a gap of at most {small} as it is. Over that, and at most {large}, the leg grows by the "
        "gap. No fillet fills a larger gap: refit the plate (AWS D1.1, 5.21 in editions to 2015, 7.21 from 2020)."
    )


def _clear(work: Work, show: Show) -> str:
    """How the plates could be cut clear of the rail, where they may bind."""
    clear = clear_of_rail(work.job, work.bracket)
    if clear is None:
        return ""
    words = message(
        "The readings leave open where the rail is, so with the pin held a plate may bind as well as gap: grind where "
        "it rubs. Or {}.",
        clear.words(work.job.weld.leg_mm),
    )
    return show.text(words)


def _plate(plate: Plate, work: Work, report: JobReport, show: Show) -> dict[str, Any]:
    told = next(told for told in report.plates if told.name == plate.name)
    u0, v0, u1, v1 = plate.outline.bounds
    return {
        "name": spoken(plate),
        "in_place": "" if plate in work.loose else in_place(plate, show),
        "tall": v1 - v0 > TALL * (u1 - u0),
        "picture": Markup(plate_picture(work, plate)),
        "holes": hole_tables.holes(told, show),
        "edges": hole_tables.edges(told, show),
    }


def _trace(fitted: FittedTrace, work: Work, show: Show) -> dict[str, Any]:
    return {
        "file": fitted.trace.file,
        "plane": show.length(fitted.trace.plane_mm),
        "picture": Markup(trace_picture(fitted, work.job.units)),
        "pieces": fit_in_words(fitted, show),
        "error": show.length(fitted.read_error_mm),
        "rms": show.length(fitted.rms_mm),
        "doubtful": len(fitted.doubtful),
        "told": [show.text(words) for words in told(fitted)],
        "table": tables.readings(fitted, show),
    }


def _text(name: str) -> str:
    return resources.files("plategen.tell.sheet").joinpath(name).read_text(encoding="utf-8")


@cache
def _template() -> Template:
    environment = Environment(autoescape=True, undefined=StrictUndefined, trim_blocks=True, lstrip_blocks=True)
    return environment.from_string(_text("sheet.html"))


def _fit_notes(correction: "Correction", work: Work, show: Show) -> dict[str, Any]:
    """What the fit notes of one plate changed in the trace that lies nearest to it."""
    fitted = min(work.rail.traces, key=lambda fitted: abs(fitted.trace.plane_mm - correction.w_mm))
    rows = [(r.point.real, r.point.imag, correction.at(r.point.real)) for r in fitted.trace.readings]
    return {
        "plate": in_words(correction.plate),
        "picture": Markup(moved_picture(fitted, correction.at, correction.plate, show)),
        "rows": [
            (show.short(at), show.length(now - by), show.length(now), f"{off_fit(show, by)} {show.units}")
            for at, now, by in rows
        ],
        "left": show.length(correction.left_mm),
        "doubtful": [(g.round, show.short(g.station_mm), show.length(g.gap_mm)) for g in correction.doubtful],
    }
