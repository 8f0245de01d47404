"""The parts of the page as markup, each with a mark that tells whether a tab shows it already.

A tab says which parts it has, by their marks, and is sent only the others; so a tab that slept, lost its connection or
was opened just now is brought up to date by one and the same way. What may be typed in is never sent as markup again
unless rows or tables come or go: its texts are a part of their own.
"""

import hashlib
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from markupsafe import Markup

from plategen.checks.caution import USUAL, not_covered
from plategen.checks.finding import VERDICTS
from plategen.checks.headline import headline
from plategen.delivery.manifest import Item, items
from plategen.delivery.render import Source
from plategen.delivery.starter import is_example
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.bracket import STYLES
from plategen.page import view
from plategen.page.assets import own_text, part_macro, template
from plategen.page.draft import Draft, Drawn, plain
from plategen.page.draw import drawing, sketch
from plategen.page.form import known_names
from plategen.page.history import ANY_TAB, History
from plategen.page.note_view import HELD, notes_of
from plategen.page.previews import bench_sheet, papers
from plategen.page.trace_rows import typed_points, units_of
from plategen.page.typed_texts import numbers_markup, trace_markups, typed_texts
from plategen.paper.size import PAPERS, USUAL_PAPER
from plategen.tell.picture.fit_words import fit_in_words
from plategen.tell.picture.labelled import labelled_view
from plategen.tell.picture.linkage import linkage_scene
from plategen.tell.picture.plate import plate_picture
from plategen.tell.picture.plate_features import spoken
from plategen.tell.picture.script_data import in_script, script_data
from plategen.tell.picture.trace import trace_picture
from plategen.tell.picture.turntable import turntable
from plategen.tell.steering.views import axle_pictures
from plategen.work import Work

ALWAYS = ("head", "notice", "drawing", "doubts", "readings", "numbers", "checks", "files", "cautions")
VIEWS = (("plates", "Plates"), ("traces", "Traces"), ("solid", "3-D"), ("steering", "Steering"), ("causes", "Causes"),
         ("bench", "Bench sheet"), ("paper", "Paper"))  # fmt: skip
NO_CURES = ("drawing", "doubts", "readings", "numbers", "cautions", "view-plates", "view-traces", "view-solid",
            "view-steering", "view-paper")  # fmt: skip
FOLLOWS = ("head", "notice", "drawing")
FOLDED = "all-checks"
FRACTIONS = ("space", "/", "1/8", "1/4", "3/8", "1/2", "5/8", "3/4", "7/8", "+1/16", "+1/32", "−", "abc")
"""Parts of the page that are always there, views that are opened, parts that a cure, another rule set or the nearest
size makes no difference to, parts that follow a hand that drags, the view that stands folded up among the parts, and
keys for those who type on glass."""

FEWEST_DRAWN = 2
"""Readings from which a trace that is being typed is drawn."""


@dataclass(frozen=True, slots=True)
class Offer:
    """The files that may be downloaded of the job as saved, or why there are none; "" when there are."""

    items: tuple[Item, ...] = ()
    refused: str = ""


@dataclass(frozen=True, kw_only=True)
class Moment:
    """Everything that is shown, at one moment; parts are made when asked for and kept as long as the moment lasts."""

    version: int
    draft: Draft
    saved: Draft
    drawn: Drawn
    saved_drawn: Drawn
    theirs: Draft | None
    disk: str
    unsaved: tuple[str, ...]
    history: History
    job_file: str
    job_mark: str  # What tells the job from others, for a tab to say which one it shows.
    made: dict[str, str] = field(default_factory=dict, compare=False)

    def part(self, name: str, trace: str = "") -> str:
        """One part as markup (or, for ``fields``, as JSON)."""
        key = f"{name} {trace}" if name == "drawing" else name
        if key not in self.made:
            maker = _MAKERS.get(name)
            self.made[key] = "" if maker is None else maker(self, trace)
        return self.made[key]

    def take_over(self, before: "Moment") -> None:
        """What was made a moment before, where nothing came since but what a quick redraw had left out."""
        work, last = self.drawn.work, before.drawn.work
        same = work is not None and last is not None and work.bracket is last.bracket
        if same and (self.draft, self.saved, self.theirs) == (before.draft, before.saved, before.theirs):
            self.made.update({key: text for key, text in before.made.items() if key.partition(" ")[0] in NO_CURES})

    @cached_property
    def judged(self) -> tuple[view.Judged, ...]:
        """The findings that decide."""
        return view.judged_of(self.drawn, self.saved_drawn)

    @cached_property
    def summary(self) -> Mapping[str, Any]:
        """What head and news say."""
        return _summary(self)

    @property
    def stop(self) -> str:
        """The line that heads whatever is made of a job that stops; "" where none does."""
        work = self.drawn.work
        return headline(work.findings) if work is not None and work.stopped else ""

    @cached_property
    def offer(self) -> Offer:
        """The downloads, as the list of deliverables has them for the job as saved."""
        drawn = self.saved_drawn
        try:
            if drawn.refusal is not None or drawn.work is None:
                return Offer(refused=str(drawn.refusal))
            return Offer(items(Source(drawn.work, USUAL_PAPER, solid=True)))
        except Refusal as refusal:
            return Offer(refused=str(refusal.at(self.job_file)))


def mark(text: str) -> str:
    """What tells one text of a part from another."""
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def update(
    moment: Moment, have: Mapping[str, str], opened: Iterable[str], tab: str = ANY_TAB, *, held: bool = False
) -> dict[str, Any]:
    """The parts that a tab has not, for it to show, and whether it can undo and redo.

    ``have`` are the marks of those that it shows.

    ``opened`` are the views that are open there, and ``trace:NAME`` for the trace that its drawing shows. While
    something is ``held`` and dragged there, only what follows the hand is sent.
    """
    opened = list(opened)
    trace = next((name.removeprefix("trace:") for name in opened if name.startswith("trace:")), "")
    views = (f"view-{name}" for name in (*dict(VIEWS), FOLDED) if name in opened)
    parts = {}
    for name in FOLLOWS if held else (*ALWAYS, "fields", *views):
        text = moment.part(name, trace)
        if have.get(name) != (now := mark(text)):
            parts[name] = {"mark": now, "text": text}
    can = {"undo": moment.history.undoable(tab) is not None, "redo": moment.history.redoable(tab) is not None}
    return {"version": moment.version, "parts": parts, **can}


def page(moment: Moment) -> str:
    """The whole page."""
    parts = {name: moment.part(name) for name in ALWAYS}
    whole: str = template("page.html").render(
        title=_title(moment.draft),
        units=units_of(moment.draft),
        version=moment.version,
        job_mark=moment.job_mark,
        parts={name: Markup(text) for name, text in parts.items()},
        marks={name: mark(text) for name, text in parts.items()},
        views=VIEWS,
        known=known_names().items(),
        fractions=FRACTIONS,
        trials=Markup(own_text("templates/trial_forms.html")),
        fields=Markup(in_script(moment.part("fields"))),
    )
    return whole


def _title(draft: Draft) -> str:
    title = plain(draft.job).get("title")
    return title if isinstance(title, str) and title.strip() else "A job without a title"


def _summary(moment: Moment) -> dict[str, Any]:
    return {
        "title": _title(moment.draft),
        "problem": view.problem_of(moment.drawn, moment.job_file),
        "drawn": moment.drawn.work is not None,
        "sought": moment.drawn.sought,
        "count": {v: sum(each.verdict == v for each in moment.judged) for v in VERDICTS},
        "doubtful": sum(1 for _ in view.doubts_of(moment.drawn)),
        "unsaved": moment.unsaved,
        "can_undo": moment.history.undoable() is not None,
        "disk": moment.disk,
        "example": is_example(plain(moment.draft.job), moment.draft.files.values()),
        "sketched": bool(_sketched(moment)),
        "clash": None if moment.theirs is None else view.clash_of(moment.draft, moment.theirs, moment.job_file),
    }


def _files(moment: Moment, _: str) -> str:
    """The downloads; only of what is saved, so that what is cut is what is written down."""
    if moment.unsaved:
        return part_macro("files")(None, "", PAPERS, USUAL_PAPER, "")
    dxf = moment.saved_drawn.work.job.cutting.dxf if moment.saved_drawn.work else ""
    return part_macro("files")(moment.offer, moment.stop, PAPERS, USUAL_PAPER, dxf)


def _drawing(moment: Moment, trace: str) -> str:
    work, saved = moment.drawn.work, moment.saved_drawn.work
    if typed := _sketched(moment, trace):
        return f"<div>{sketch(typed, units_of(moment.draft))}</div>"
    if work is None:
        return '<p class="soft">The drawing appears as soon as the numbers and readings are there.</p>'
    ghost = saved if saved is not None and moment.unsaved else None
    stale = ' class="stale"' if moment.drawn.refusal is not None else ""
    return f"<div{stale}>{drawing(work, ghost, trace)}</div>"


def _sketched(moment: Moment, trace: str = "") -> tuple[complex, ...]:
    """The readings that are drawn alone; none while what is drawn stands on them."""
    work = moment.drawn.work
    typed = typed_points(moment.draft, trace) if moment.drawn.refusal is not None else ()
    fits = () if work is None else work.rail.traces
    stands = any(tuple(r.point for r in fit.trace.readings) == typed for fit in fits)
    return () if stands or len(typed) < FEWEST_DRAWN else typed


def _readings(moment: Moment, _: str) -> str:
    bracket = plain(moment.draft.job).get("bracket", {})
    entry = STYLES.get(bracket.get("style", "ears")) if isinstance(bracket, dict) else None
    traced = entry is None or entry.stands_on == "rail"
    notes = notes_of(moment.draft, moment.drawn)
    return part_macro("readings")(list(trace_markups(moment.draft)), traced, notes, HELD)


def _checks(moment: Moment, _: str) -> str:
    work = moment.drawn.work
    opinions = sum(f.opinion for f in work.findings) if work else 0
    first = view.checks_of(moment.drawn, view.at_once(moment.judged))
    findings = work.findings if work else ()
    refused, waiting, many = moment.drawn.refusal is not None, moment.drawn.quick, view.in_common(findings)
    said = headline(findings), not_covered(findings)
    return part_macro("checks")(first, opinions, refused, waiting, *said, many)


def _all_checks(moment: Moment, _: str) -> str:
    """Every check, once somebody looks: most of them hold, and a hundred rows take their time."""
    return part_macro("all_checks")(view.checks_of(moment.drawn, moment.judged), moment.drawn.quick)


def _cautions(moment: Moment, _: str) -> str:
    work = moment.drawn.work
    return part_macro("cautions")(
        USUAL if work is None else [Show(work.job.units).text(words) for words in work.cautions]
    )


def _of_work(view_of: Callable[[Work], str]) -> Callable[[Moment, str], str]:
    """A view of what is drawn; empty while nothing is."""
    return lambda moment, _: view_of(moment.drawn.work) if moment.drawn.work is not None else ""


def _plates(work: Work) -> str:
    seat = work.rod_end
    ahead = [] if seat is None else [("the seat at the rod's end", Markup(labelled_view(seat)))]
    return part_macro("plates")([*ahead, *((spoken(p), Markup(plate_picture(work.of(p), p))) for p in work.cut_plates)])


def _traces(work: Work) -> str:
    units, fits = work.job.units, work.rail.traces
    pieces = ((f.trace.file, Markup(trace_picture(f, units)), fit_in_words(f, Show(units))) for f in fits)
    return part_macro("trace_views")(list(pieces))


def _solid(work: Work) -> str:
    return part_macro("solid")(Markup(script_data(turntable(work))))


def _bench(work: Work) -> str:
    return part_macro("bench")(*bench_sheet(work))


def _paper(work: Work) -> str:
    return part_macro("paper")([(name, Markup(picture), pages) for name, picture, pages in papers(work)])


def _causes(moment: Moment, _: str) -> str:
    """A view of its own, so that no redraw looks for causes before it is asked to."""
    waiting = moment.drawn.quick  # a cause is told with its cure
    return part_macro("causes")(*(((), []) if waiting else view.causes_of(moment.drawn)), waiting)


def _steering(moment: Moment, _: str) -> str:
    study = moment.drawn.study
    scene = linkage_scene(study)
    if study is None or scene is None:
        return part_macro("steering")("", [])
    moved = [Markup(picture) for picture in axle_pictures(study, Show(study.units))]
    return part_macro("steering")(Markup(script_data(scene)), moved)


_MAKERS: Mapping[str, Callable[[Moment, str], str]] = {
    "head": lambda m, _: part_macro("head")(m.summary),
    "notice": lambda m, _: part_macro("notice")(m.summary),
    "drawing": _drawing,
    "doubts": lambda m, _: part_macro("doubts")(list(view.doubts_of(m.drawn)), list(view.questions_of(m.drawn))),
    "readings": _readings,
    "numbers": lambda m, _: numbers_markup(m.draft),
    "checks": _checks,
    "files": _files,
    "cautions": _cautions,
    "fields": lambda m, _: typed_texts(m.draft, m.saved, m.drawn, m.job_file),
    "view-plates": _of_work(_plates),
    "view-traces": _of_work(_traces),
    "view-solid": _of_work(_solid),
    "view-causes": _causes,
    "view-all-checks": _all_checks,
    "view-steering": _steering,
    "view-bench": _of_work(_bench),
    "view-paper": _of_work(_paper),
}
