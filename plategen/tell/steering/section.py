"""The steering's part of the shop sheet: pictures, tables, what was judged, the marks' job card; one piece of HTML."""

from functools import cache
from importlib.resources import files

from jinja2 import DictLoader, Environment, select_autoescape
from markupsafe import Markup

from plategen.checks.caution import STEERING
from plategen.checks.finding import worst_first
from plategen.checks.steering import findings
from plategen.ground.show import Show
from plategen.steering.study import SteeringStudy
from plategen.tell.finding_row import finding_row
from plategen.tell.report.steering import SteeringReport
from plategen.tell.steering import pictures
from plategen.tell.steering.circuit import bleed_steps, circuit_words
from plategen.tell.steering.equipment import CHECKLIST, marks_apart_words, order_words, setting_steps
from plategen.tell.steering.form import HOW, form_blocks, form_pictures
from plategen.tell.steering.tables import tables
from plategen.tell.steering.views import axle_pictures, three_views
from plategen.tell.table import Block


@cache
def _templates() -> Environment:
    here = files("plategen.tell.steering")
    sources = {name: here.joinpath(name).read_text(encoding="utf-8") for name in ("section.html", "table.html")}
    return Environment(loader=DictLoader(sources), autoescape=select_autoescape(default=True), trim_blocks=True)


@cache
def css() -> str:
    """The styles of the section and of its pictures."""
    return files("plategen.tell.steering").joinpath("section.css").read_text(encoding="utf-8")


def steering_section(study: SteeringStudy, report: SteeringReport, show: Show, *, pin_there: bool = False) -> str:
    """The section as HTML without a heading of its own; its styles are within it, it needs no other file; the
    sheet's script moves the linkage where it runs. ``pin_there`` says that the bracket's pin stands as advised.
    """
    judged = [finding_row(f, show) for f in worst_first(findings(study))]
    failing = [row for row in judged if row.verdict != "ok"]
    circuit = "" if study.circuit is None else pictures.circuit_picture(study.circuit, study, show)
    return (
        _templates()
        .get_template("section.html")
        .render(
            style=Markup(css()),
            cautions=STEERING,
            views=[Markup(view) for view in three_views(study)],
            judged=Block(
                "Judged",
                ("", "check", "part", "there is", "allowed", "rule"),
                tuple((r.mark, r.check, r.part, r.there, r.limit, r.source) for r in failing),
            ),
            held=len(judged) - len(failing),
            cures=[r.cure_line for r in failing if r.cure],
            axle=[Markup(picture) for picture in axle_pictures(study, show)],
            plots=[Markup(plot) for plot in pictures.plots(study, show)],
            blocks=tables(report, show, pin_there=pin_there),
            trade=Markup(pictures.trade_picture(study, show)),
            circuit=Markup(circuit),
            circuit_words="" if report.circuit is None else circuit_words(report.circuit, show),
            marks=Markup(pictures.marks_picture(study)),
            marks_apart="" if report.marks_apart is None else marks_apart_words(report.marks_apart, show),
            form=form_blocks(study.steering, show.units),
            form_pictures=[Markup(picture) for picture in form_pictures(study.steering)],
            how=HOW,
            setting=setting_steps(report, show),
            bleed=bleed_steps(report.circuit, report.ports, show),
            order=order_words(report, show),
            checklist=CHECKLIST,
            table=_table,
        )
    )


def _table(block: Block) -> Markup:
    """One table as markup; an empty one says nothing."""
    return Markup(_templates().get_template("table.html").render(block=block)) if block.rows else Markup("")
