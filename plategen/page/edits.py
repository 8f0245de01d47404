"""The draft that comes of what a page asked for; see :mod:`plategen.page.request`."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.bracket import STYLES, StyleName
from plategen.job.toml_edit import Place, add_table, held_at, path_of, path_text, remove, set_value, value_of
from plategen.page.change_style import in_style
from plategen.page.change_units import bare_lengths, with_sizes_kept
from plategen.page.draft import Draft, Drawn, named_files, plain
from plategen.page.form import belongs, form_at, job_form, text_of
from plategen.page.handles import dragged
from plategen.page.note_edit import noted, notes_file
from plategen.page.request import (
    Add,
    AddReading,
    AddReadings,
    ClearReadings,
    Drag,
    Edit,
    PutTrace,
    Remove,
    RemoveReading,
    Set,
    SetReading,
    SetUnits,
)
from plategen.page.trace_edit import EMPTY, Moved, add_row, clear_rows, read_table, remove_row, set_row
from plategen.page.trace_rows import with_rows
from plategen.rail.trace_columns import units_in_file

FOOT: Place = ("mount", "foot")
STYLE: Place = ("bracket", "style")
"""The keys that say where the bracket stands, and how it is built."""

STYLE_NAMES: Mapping[str, StyleName] = {name: name for name in STYLES}
"""Every style by its word."""


class Stale(Exception):
    """What was to be changed is something else by now; ``str()`` says what."""


def edited(draft: Draft, edits: Iterable[Edit | PutTrace], drawn: Drawn) -> Draft:
    """The draft with changes made in their order, all or none; ``drawn`` is what was last drawn, for what is dragged.

    Raises:
        Stale: Something else stands where a change was meant to go.
        Refusal: A change cannot be written.
    """
    for edit in edits:
        draft = _edited(draft, edit, drawn)
    return draft


def _edited(draft: Draft, edit: Edit | PutTrace, drawn: Drawn) -> Draft:
    match edit:
        case Drag():
            return edited(draft, dragged(edit, draft, drawn), drawn)
        case Set():
            job = _set(draft.job, edit)
            style = STYLE_NAMES.get(edit.text) if path_of(edit.path) == STYLE else None
            if style is None or job == draft.job:
                return replace(draft, job=job)
            return in_style(draft, style, _units(draft.job))
        case SetUnits():
            return _in_units(draft, edit)
        case Add():
            return _added(draft, edit)
        case Remove():
            return replace(draft, job=remove(draft.job, path_of(edit.path)))
        case ClearReadings():
            return _anew(draft, edit.file)
        case PutTrace():
            if trace_text(draft, edit.file) != edit.was:
                raise Stale(f"{edit.file} was changed meanwhile; look at it, then take the photograph's readings")
            return draft.with_file(edit.file, edit.text)
        case AddReading() | SetReading() | RemoveReading() if edit.file == notes_file(draft):
            try:
                return noted(draft, edit)
            except Moved as moved:
                raise Stale(f"{edit.file} {moved}") from None
        case AddReading():
            text = trace_text(draft, edit.file)
            return draft.with_file(edit.file, add_row(text, *edit.cells, below=edit.below))
        case AddReadings():
            text = trace_text(draft, edit.file)
            unit = units_in_file(text, _units(draft.job))
            try:
                return draft.with_file(edit.file, with_rows(text, unit, edit.rows))
            except Refusal as refusal:
                raise refusal.at(edit.file) from None
        case SetReading() | RemoveReading():
            text = trace_text(draft, edit.file)
            try:
                if isinstance(edit, RemoveReading):
                    return draft.with_file(edit.file, remove_row(text, edit.line, edit.was))
                return draft.with_file(edit.file, set_row(text, edit.line, *edit.cells, was=edit.was))
            except Moved as moved:
                raise Stale(f"{edit.file} {moved}") from None


def _set(job: str, edit: Set) -> str:
    place = path_of(edit.path)
    if belongs(place) != "value":
        raise Refusal("cannot be typed here; one of the fields of the page is right", edit.path)
    now = held_at(plain(job), place)
    if edit.was is not None and text_of(now) not in (edit.was, edit.text.strip()):
        raise Stale(f"{edit.path} is {text_of(now) or 'empty'} by now, not {edit.was or 'empty'}")
    if place == ("units",) and now != edit.text and any(bare_lengths(job_form(plain(job), _units(job)))):
        raise Refusal("there are numbers without a unit; choose whether the sizes stay or the numbers do", edit.path)
    if any(not sign.isprintable() for sign in edit.text):
        raise Refusal("something that cannot be seen was pasted along; type it anew", edit.path)
    if isinstance(place[-1], int):
        return _set_item(job, place, edit.text)
    if not edit.text.strip():
        return remove(job, place) if now is not None else job
    return set_value(job, place, _typed(place, edit.text))


def _units(job: str) -> Units:
    return "mm" if plain(job).get("units") == "mm" else "in"


def _in_units(draft: Draft, edit: SetUnits) -> Draft:
    """The draft in other units, its sizes kept or its numbers."""
    before = _units(draft.job)
    if edit.keep == "sizes" and edit.to != before:
        draft = with_sizes_kept(draft, job_form(plain(draft.job), before), before)
    return replace(draft, job=set_value(draft.job, ("units",), edit.to))


def _set_item(job: str, place: Place, text: str) -> str:
    """One number of a list: the list is made with it, and goes with the last of them."""
    *to_list, index = place
    row = held_at(plain(job), tuple(to_list))
    items = list(row) if isinstance(row, list) else []
    assert isinstance(index, int)
    if index > 20:
        raise Refusal("has no place for so many; 21 or fewer is right", "the list")
    if index < len(items) and text.strip():
        return set_value(job, place, value_of(text))
    items += [""] * (index + 1 - len(items))
    items[index] = value_of(text)
    while items and items[-1] == "":
        items.pop()
    if not items:
        return remove(job, tuple(to_list)) if row is not None else job
    return set_value(job, tuple(to_list), items)


def _typed(place: Place, text: str) -> object:
    """A flag or a whole number bare; words in quotes whatever they look like; a quantity as it was typed."""
    form = form_at(place)
    if form is bool and text in ("true", "false"):
        return text == "true"
    return text.strip() if form is str else value_of(text)


def _added(draft: Draft, edit: Add) -> Draft:
    place = path_of(edit.path)
    if edit.name:
        return replace(draft, job=_named(draft.job, place, edit.name))
    if belongs(place) == "table" and not isinstance(place[-1], int):
        if held_at(plain(draft.job), place) is not None:
            raise Stale(f"{edit.path} is there by now")
        return replace(draft, job=add_table(draft.job, place, listed=False))
    if belongs(place) != "list":
        raise Refusal("is not a part of the job that can be added; one that the page offers is right", edit.path)
    if place != ("rail", "trace"):
        return replace(draft, job=add_table(draft.job, place, listed=True))
    name = next(name for n in range(1, 10_000) if (name := f"trace-{n}.csv") not in draft.files)
    job = add_table(draft.job, place, listed=True, content={"file": name})
    return replace(draft, job=job).with_file(name, EMPTY)


def _named(job: str, place: Place, name: str) -> str:
    """The job file with one more name in a table of names."""
    inner = path_of(name)
    if len(inner) != 1 or belongs(place) != "names":
        raise Refusal("a name without dots and brackets is right", path_text(place))
    if held_at(plain(job), (*place, *inner)) is not None:
        raise Stale(f"{name} is there by now")
    return set_value(job, (*place, *inner), [0, 0, 0])


def _anew(draft: Draft, file: str) -> Draft:
    """The draft without the trace's readings; a foot that stood on the only ones is the rule's until it is placed."""
    draft = draft.with_file(file, clear_rows(trace_text(draft, file)))
    if any(read_table(text).rows for text in draft.files.values()) or held_at(plain(draft.job), FOOT) is None:
        return draft
    return replace(draft, job=remove(draft.job, FOOT))


def trace_text(draft: Draft, file: str) -> str:
    """The text of one of a draft's traces, an empty one where there is no such file yet.

    Raises:
        Refusal: It is no trace of the job, or cannot be read.
    """
    if file not in named_files(draft.job):
        raise Refusal("is no trace of this job", file[:60])
    return draft.text_of(file) if file in draft.unread else draft.files.get(file, EMPTY)
