"""Every key of the job file as tables of words, read off the tables themselves."""

from collections.abc import Iterator
from difflib import get_close_matches
from typing import get_origin

from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.job.job import Job
from plategen.job.quantities import Table
from plategen.job.schema import Field, fields, one_of, table_of, tables
from plategen.tell.table import Block, Row

HEADING = ("key", "takes", "left out", "limits", "meaning")
"""Heads of a section's columns."""


def key_tables(section: str, units: Units) -> tuple[Block, ...]:
    """A table of keys for the section of that name and for each within it; for every section for ``""``.

    A section is named as the job file has it: ``"weld"``, ``"rail.trace"``; the units are those of a bare length.

    Raises:
        Refusal: There is no such section.
    """
    known = dict(_sections(Job, "", "Above all tables", Show(units)))
    chosen = tuple(block for key, block in known.items() if not section or f"{key}.".startswith(f"{section}."))
    if not chosen:
        *before, last = section.split(".")
        holding = [f"[{path}]" for path, table in tables(Job) if path and any(f.key == last for f in fields(table))]
        within = [path for path in holding if not before or path == f"[{'.'.join(before)}]"]
        near = get_close_matches(section, known, n=1)
        if within:
            raise Refusal(f"it is a key, not a section; it stands in {one_of(tuple(within))}", section)
        right = f"did you mean {near[0]}?" if near else f"known are: {', '.join(filter(None, known))}"
        raise Refusal(f"there is no such section; {right}", section)
    return chosen


def _sections(table: type[Table], name: str, title: str, show: Show) -> Iterator[tuple[str, Block]]:
    known = fields(table)
    rows = tuple(_row(field, show) for field in known if table_of(field.form) is None)
    yield name, Block(title, HEADING, rows)
    for field in known:
        inner = table_of(field.form)
        if inner is not None:
            path = f"{name}.{field.key}" if name else field.key
            yield from _sections(inner, path, f"{_head(field, path)}  {field.doc}", show)


def _head(field: Field, path: str) -> str:
    """The section's name as the file has it: ``[weld]``, ``[[rail.trace]]``."""
    return f"[[{path}]]" if get_origin(field.form) is tuple else f"[{path}]"


def _row(field: Field, show: Show) -> Row:
    allowed = field.allowed
    limits = show.text(allowed.limits) if allowed else ""
    bare = allowed.bare(show.units) if allowed else ""
    takes = f"{field.kind}, bare in {bare}" if bare else field.kind
    return field.key, takes, _left_out(field, show), limits, field.doc.replace("``", "`")


def _left_out(field: Field, show: Show) -> str:
    """What it is when it is left out; "needed" when it must not be."""
    default = field.default
    if field.required:
        return "needed"
    if default is None:
        return "a rule chooses" if field.by_rule else "stays out"
    if isinstance(default, bool):
        return str(default).lower()
    if field.allowed is not None and isinstance(default, float):
        return show.quantity(field.allowed.quantity(default))
    return str(default) or '""'
