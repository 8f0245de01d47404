"""The draft that comes of what a page asked for; see :mod:`plategen.page.request`."""

from collections.abc import Iterable
from typing import Any

from plategen.ground.refusal import Refusal
from plategen.job.toml_edit import Place, add_table, path_of, path_text, remove, set_value, value_of
from plategen.page.draft import Draft, named_files, plain
from plategen.page.drag import dragged
from plategen.page.form import form_at, is_list, is_named, is_table, is_value, text_of
from plategen.page.redraw import Drawn
from plategen.page.request import Add, AddReading, ClearReadings, Drag, Edit, Remove, RemoveReading, Set, SetReading
from plategen.page.trace_edit import EMPTY, Moved, add_row, clear_rows, remove_row, set_row


class Stale(Exception):
    """What was to be changed is something else by now; ``str()`` says what."""


def edited(draft: Draft, edits: Iterable[Edit], drawn: Drawn) -> Draft:
    """The draft with changes made, all or none.

    Args:
        draft: What is changed.
        edits: In their order.
        drawn: What was last drawn, for what is dragged in a drawing.

    Raises:
        Stale: Something else stands where a change was meant to go.
        Refusal: A change cannot be written.
    """
    for edit in edits:
        draft = _edited(draft, edit, drawn)
    return draft


def _edited(draft: Draft, edit: Edit, drawn: Drawn) -> Draft:
    match edit:
        case Drag():
            return edited(draft, dragged(edit, draft, drawn), drawn)
        case Set():
            return _with_job(draft, _set(draft.job, edit))
        case Add():
            return _added(draft, edit)
        case Remove():
            return _with_job(draft, remove(draft.job, path_of(edit.path)))
        case ClearReadings():
            return draft.with_file(edit.file, clear_rows(_trace(draft, edit.file)))
        case AddReading():
            text = _trace(draft, edit.file)
            return draft.with_file(edit.file, add_row(text, *edit.cells, below=edit.below))
        case SetReading() | RemoveReading():
            text = _trace(draft, edit.file)
            try:
                if isinstance(edit, RemoveReading):
                    return draft.with_file(edit.file, remove_row(text, edit.line, edit.was))
                return draft.with_file(edit.file, set_row(text, edit.line, *edit.cells, was=edit.was))
            except Moved as moved:
                raise Stale(f"{edit.file} {moved}") from None


def _set(job: str, edit: Set) -> str:
    place = path_of(edit.path)
    if not is_value(place):
        raise Refusal("is no value of a job file", edit.path)
    now = _at(plain(job), place)
    if edit.was is not None and text_of(now) not in (edit.was, edit.text.strip()):
        raise Stale(f"{edit.path} is {text_of(now) or 'empty'} by now, not {edit.was or 'empty'}")
    if any(not sign.isprintable() for sign in edit.text):
        raise Refusal("holds signs that cannot be seen; type it anew", edit.path)
    if isinstance(place[-1], int):
        return _set_item(job, place, edit.text)
    if not edit.text.strip():
        return remove(job, place) if now is not None else job
    return set_value(job, place, _typed(place, edit.text))


def _set_item(job: str, place: Place, text: str) -> str:
    """One number of a list: the list is made with it, and goes with the last of them."""
    *to_list, index = place
    row = _at(plain(job), tuple(to_list))
    items = list(row) if isinstance(row, list) else []
    assert isinstance(index, int)
    if index > 20:
        raise Refusal("is no place in a job file", "the list")
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
        return _with_job(draft, _named(draft.job, place, edit.name))
    if is_table(place) and not isinstance(place[-1], int):
        if _at(plain(draft.job), place) is not None:
            raise Stale(f"{edit.path} is there by now")
        return _with_job(draft, add_table(draft.job, place, listed=False))
    if not is_list(place):
        raise Refusal("is no table of a job file", edit.path)
    if place != ("rail", "trace"):
        return _with_job(draft, add_table(draft.job, place, listed=True))
    name = _free_name(draft)
    job = add_table(draft.job, place, listed=True, content={"file": name})
    return Draft(job, draft.files).with_file(name, EMPTY)


def _named(job: str, place: Place, name: str) -> str:
    """The job file with one more name in a table of names."""
    inner = path_of(name)
    if len(inner) != 1 or not is_named(place):
        raise Refusal("a name without dots and brackets is right", path_text(place))
    if _at(plain(job), (*place, *inner)) is not None:
        raise Stale(f"{name} is there by now")
    return set_value(job, (*place, *inner), [0, 0, 0])


def _free_name(draft: Draft) -> str:
    taken = set(draft.files)
    return next(name for n in range(1, 10_000) if (name := f"trace-{n}.csv") not in taken)


def _at(data: Any, place: Place) -> Any:
    """What the file says at a place; None if nothing."""
    for step in place:
        inside = isinstance(data, dict) if isinstance(step, str) else isinstance(data, list) and step < len(data)
        if not inside or (isinstance(step, str) and step not in data):
            return None
        data = data[step]
    return data


def _with_job(draft: Draft, job: str) -> Draft:
    return Draft(job, draft.files)


def _trace(draft: Draft, file: str) -> str:
    if file not in named_files(draft.job):
        raise Refusal("is no trace of this job", file[:60])
    return draft.files.get(file, EMPTY)
