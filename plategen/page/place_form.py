"""What belongs at a place of the job file: the type that its tables give it."""

from typing import get_args, get_origin

from plategen.job import Job
from plategen.job.quantities import Table
from plategen.job.schema import fields
from plategen.job.toml_edit import Place


def form_at(place: Place) -> object | None:
    """The type of what belongs at a place; None if nothing does."""
    form: object = Job
    for step in place:
        inner = _inner(form, step)
        if inner is None:
            return None
        form = inner
    return form


def is_list(place: Place) -> bool:
    """Whether a list of tables belongs at a place."""
    form = form_at(place)
    return get_origin(form) is tuple and any(_is_table(part) for part in get_args(form))


def is_table(place: Place) -> bool:
    """Whether a table belongs at a place."""
    return _is_table(form_at(place))


def is_named(place: Place) -> bool:
    """Whether a table of names belongs at a place."""
    return get_origin(form_at(place)) is dict


def is_value(place: Place) -> bool:
    """Whether a single value belongs at a place: a number, a word, a flag."""
    form = form_at(place)
    return form is not None and not _is_table(form) and get_origin(form) not in (tuple, dict)


def _inner(form: object, step: str | int) -> object | None:
    if isinstance(step, int):
        parts = get_args(form) if get_origin(form) is tuple else ()
        return parts[0] if parts and (Ellipsis in parts or step < len(parts)) else None
    if get_origin(form) is dict:
        return get_args(form)[1]  # type: ignore[no-any-return]
    if not _is_table(form):
        return None
    return next((field.form for field in fields(form) if field.key == step), None)


def _is_table(form: object) -> bool:
    return isinstance(form, type) and issubclass(form, Table)
