"""A job with some of its keys changed, as a cure asks, or a person at the page."""

import re
from collections.abc import Iterable, Mapping
from typing import Any, TypeVar

from plategen.ground.cure import Change, JobValue
from plategen.ground.message import Quantity
from plategen.ground.refusal import Refusal
from plategen.job.job import Job
from plategen.job.quantities import Table
from plategen.job.schema import Field, fields, table_of

AnyTable = TypeVar("AnyTable", bound=Table)


_STEP = re.compile(r"(\w+)(?:\[(\d+)\])?")


def changed(job: Job, changes: Iterable[Change]) -> Job:
    """The job with every key set to its new value, all at once, and checked anew as a job file would be.

    A table that the job leaves out is begun with its usual values. ``rod[1].diameter`` is a key of the second table of
    a list.

    Raises:
        Refusal: There is no such key, its table cannot be begun by one key, or the job's own checks refuse the value.
    """
    tree: dict[str, Any] = {}
    for change in changes:
        *tables, key = change.key.split(".")
        inner = tree
        for name in tables:
            inner = inner.setdefault(name, {})
        inner[key] = change.to
    return _changed(job, tree, "")


def _changed(table: AnyTable, tree: Mapping[str, Any], where: str) -> AnyTable:
    known = {field.key: field for field in fields(type(table))}
    new: dict[str, Any] = {}
    for step, to in tree.items():
        place = f"{where}.{step}" if where else step
        named = _STEP.fullmatch(step)
        field = known.get(named[1]) if named else None
        if named is None or field is None:
            raise Refusal("there is no such key", place)
        if not isinstance(to, Mapping):
            new[field.name] = _value(to)
            continue
        now = new.get(field.name, getattr(table, field.name))
        if named[2] is None:
            new[field.name] = _changed(_begun(now, field, place), to, place)
        else:
            new[field.name] = _with_item(now, int(named[2]), to, place)
    try:
        return table.replaced(**new)
    except Refusal as refusal:
        raise refusal.under(where) from None


def _with_item(now: object, index: int, tree: Mapping[str, Any], place: str) -> tuple[Table, ...]:
    """A list of tables with one of them changed."""
    if not isinstance(now, tuple) or index >= len(now) or not isinstance(now[index], Table):
        raise Refusal("is no table of this job", place)
    return (*now[:index], _changed(now[index], tree, place), *now[index + 1 :])


def _begun(now: object, field: Field, place: str) -> Table:
    """The table in a table, begun with its usual values where it is left out."""
    if isinstance(now, Table):
        return now
    kind = table_of(field.form)
    if now is not None or kind is None:
        raise Refusal("is no table", place)
    missing = [each.key for each in fields(kind) if each.required]
    if missing:
        raise Refusal(f"this job has no [{place}], and one key does not make it: it needs {', '.join(missing)}", place)
    try:
        return kind()
    except Refusal as refusal:
        raise refusal.under(place) from None


def _value(to: JobValue) -> object:
    if isinstance(to, Quantity):
        return to.value
    return tuple(map(_value, to)) if isinstance(to, tuple) else to
