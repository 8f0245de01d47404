"""What may be typed in: the form of the numbers as markup, and every field's text beside it.

The markup is the same while no table comes or goes, so that a field that is being typed in is never sent anew.
"""

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from functools import lru_cache

import msgspec
from markupsafe import Markup

from plategen.ground.show import Show
from plategen.job.bracket import STYLES
from plategen.page import view
from plategen.page.assets import part_macro
from plategen.page.change_style import lets_go
from plategen.page.draft import Draft, Drawn
from plategen.page.form import Group, all_inputs
from plategen.page.note_view import rows_of
from plategen.page.trace_rows import TraceRows, traces_of, units_of


def typed_texts(draft: Draft, saved: Draft, drawn: Drawn, job_file: str) -> str:
    """The texts of every field, which of them are not saved, and how each reading lies to the fit, as JSON."""
    kept = {i.path: i.text for i in all_inputs(view.form_of(saved))}
    form = {i.path: [i.text, int(kept.get(i.path, "") != i.text)] for i in all_inputs(view.form_of(draft))}
    rows: dict[str, list[object]] = {}
    for trace in traces_of(draft):
        for row in trace.rows:
            name = f"{trace.file}#{row.line}"
            form |= {f"{name}:{i}": [text, 0] for i, text in enumerate((row.first, row.second, row.note))}
    file, noted = rows_of(draft)
    form |= {f"{file}#{row.line}:{i}": [text, 0] for row in noted for i, text in enumerate(row.typed)}
    if (work := drawn.work) is not None and drawn.refusal is None:
        show = Show(work.job.units)
        for fitted in work.rail.traces:
            off = view.residuals_of(fitted, show)
            rows |= {f"{fitted.trace.file}#{line}": [words, int(d)] for line, (words, d) in off.items()}
    problem = view.problem_of(drawn, job_file) or view.Problem("", "")
    bad = [problem.field, problem.words]
    asked = {f"bracket.style={name}": words for name in STYLES if (words := lets_go(draft, name))}
    placed = dict(_placed(drawn))
    told = {
        "fields": form,
        "rows": rows,
        "bad": bad,
        "bare": view.bare_example(draft),
        "asked": asked,
        "placed": placed,
    }
    return msgspec.json.encode(told).decode()


def _placed(drawn: Drawn) -> Iterator[tuple[str, str]]:
    """What stands beside each number that the steering study answers for: whatever is typed there, it says where."""
    work = drawn.work
    if work is None or work.job.mount.pin != "study":
        return
    show, pin = Show(work.job.units), work.design.pin
    for path, mm in (
        ("mount.pin_station", pin.station_mm),
        ("mount.inline_offset", pin.inline_offset_mm),
        ("bracket.plane", pin.plane_mm),
    ):
        yield path, f'The steering study places the pin, at {show.length(mm)}; pin = "here" lets this number say it.'


def numbers_markup(draft: Draft) -> str:
    """The form without what is typed in it."""
    form = view.form_of(draft)
    return _form_of_shape(_Shaped(form, (units_of(draft), *_shape(form))))


@dataclass(frozen=True, slots=True)
class _Shaped:
    """A form, told from others by its shape alone."""

    form: Group = field(compare=False)
    shape: tuple[object, ...]


def trace_markups(draft: Draft) -> Iterator[Markup]:
    """The table of each trace without what is typed in it."""
    for number, trace in enumerate(traces_of(draft), 1):
        yield _table_of_shape(
            replace(trace, rows=tuple(replace(r, first="", second="", note="") for r in trace.rows)), number
        )


@lru_cache(maxsize=16)
def _table_of_shape(trace: TraceRows, number: int) -> Markup:
    return Markup(part_macro("trace")(trace, number))


def _shape(group: Group) -> Iterator[object]:
    """What the markup of a form hangs on beside the units: its tables and fields, and what they are called."""
    yield from (group.path, group.label, group.state)
    yield from (each.path for each in group.inputs)
    for inner in group.groups:
        yield from _shape(inner)


@lru_cache(maxsize=8)
def _form_of_shape(shaped: _Shaped) -> str:
    return part_macro("numbers")(shaped.form)
