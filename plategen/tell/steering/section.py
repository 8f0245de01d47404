"""The steering's part of the shop sheet: pictures, tables, what was judged, the marks' job card; one piece of HTML."""

from functools import cache
from importlib.resources import files

from jinja2 import DictLoader, Environment, select_autoescape
from markupsafe import Markup

from plategen.checks.steering import findings
from plategen.ground.show import Show
from plategen.steering.marks import CHECKLIST
from plategen.steering.study import SteeringStudy
from plategen.tell.steering import pictures
from plategen.tell.steering.block import Block
from plategen.tell.steering.lines import cures, judged_block
from plategen.tell.steering.svg import STYLE
from plategen.tell.steering.words import CAUTIONS, blocks, circuit_words, marks_apart

_ORDER = {"stop": 0, "caution": 1, "ok": 2}


@cache
def _templates() -> Environment:
    here = files("plategen.tell.steering")
    sources = {name: here.joinpath(name).read_text(encoding="utf-8") for name in ("section.html", "table.html")}
    return Environment(loader=DictLoader(sources), autoescape=select_autoescape(default=True), trim_blocks=True)


def steering_section(study: SteeringStudy, show: Show) -> str:
    """The section as HTML without a heading of its own; its styles are within it, it needs no script and no other file.

    Args:
        study: What was found.
        show: The job's units.
    """
    judged = sorted(findings(study), key=lambda f: (_ORDER[f.verdict], -f.ratio))
    wrong = [f for f in judged if f.verdict != "ok"]
    circuit = "" if study.circuit is None else pictures.circuit_picture(study.circuit, study, show)
    css = files("plategen.tell.steering").joinpath("section.css").read_text(encoding="utf-8")
    return (
        _templates()
        .get_template("section.html")
        .render(
            style=Markup(STYLE + css),
            cautions=CAUTIONS,
            views=[Markup(view) for view in pictures.three_views(study)],
            judged=judged_block(wrong, show),
            held=len(judged) - len(wrong),
            cures=[f"{f.verdict}: {cure}" for f, cure in cures(judged, show)],
            plots=[Markup(plot) for plot in pictures.plots(study, show)],
            blocks=blocks(study, show),
            trade=Markup(pictures.trade_picture(study, show)),
            circuit=Markup(circuit),
            circuit_words=circuit_words(study, show),
            marks=Markup(pictures.marks_picture(study)),
            marks_apart=marks_apart(study, show),
            checklist=CHECKLIST,
            table=_table,
        )
    )


def _table(block: Block) -> Markup:
    """One table as markup; an empty one says nothing."""
    return Markup(_templates().get_template("table.html").render(block=block)) if block.rows else Markup("")
