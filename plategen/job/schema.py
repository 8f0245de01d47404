"""What every table of the job file takes, key by key, read off the tables themselves.

The reader of job files, the page and the starter all ask here, so a new key has one home: its table's class.
"""

import types
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Annotated, Literal, TypeAlias, TypeVar, Union, get_args, get_origin, get_type_hints

import msgspec

from plategen.job.quantities import Allowed, ByRule, Listed, Table

Mark = TypeVar("Mark")
Form: TypeAlias = object
"""The type of a field, as written in its table's class."""


@dataclass(frozen=True, slots=True)
class Field:
    """One key of a table."""

    key: str  # As the file spells it.
    name: str  # The attribute that holds it, the key with its unit.
    form: Form  # Its type, without the None that stands for "left out".
    doc: str  # What it is, the text beside its type.
    required: bool  # True when it has no default.
    default: object  # What it is when left out.
    may_be_auto: bool  # True when it may be left out, or "auto", for a rule to choose.
    by_rule: ByRule | None = None  # When such a rule chooses a shop size in the job's units; None where it does not.
    listed: str = ""  # The published table in which its name stands; "" for no such name.

    @property
    def label(self) -> str:
        """The key as words."""
        return self.key.replace("_", " ")

    @property
    def kind(self) -> str:
        """What is to be written there, in a word or two: ``'length'``, ``'close, normal or loose'``, ``'table'``."""
        return kind_of(self.form)

    @property
    def allowed(self) -> Allowed | None:
        """Limits and units of the number, or None if it is no number."""
        return allowed_of(self.form)


@cache
def fields(table: type[Table]) -> tuple[Field, ...]:
    """The keys of a table, in the order of its class."""
    hints = get_type_hints(table, include_extras=True)
    listed = []
    for info in msgspec.structs.fields(table):
        hint = hints[info.name]
        by_rule = _mark(hint, ByRule)
        marked = get_origin(hint) is Annotated and allowed_of(hint) is None
        form, optional = _without_none(get_args(hint)[0] if marked else hint)
        named = _mark(hint, Listed) or _mark(form, Listed)
        if named is not None:
            form = str
        default = info.default if info.default is not msgspec.NODEFAULT else None
        if info.default_factory is not msgspec.NODEFAULT:
            default = info.default_factory()
        has_own = form is str or table_of(form) is not None or "auto" in choices_of(form)  # a meaning of "auto"
        listed.append(
            Field(
                key=info.encode_name,
                name=info.name,
                form=form,
                doc=_mark(hint, str) or "",
                required=info.required,
                default=default,
                may_be_auto=optional and info.default is None and not has_own,
                by_rule=by_rule,
                listed=named.table if named else "",
            )
        )
    return tuple(listed)


def allowed_of(form: Form) -> Allowed | None:
    """Which numbers a type allows, or None if it stands for no number."""
    return _mark(form, Allowed)


def choices_of(form: Form) -> tuple[str, ...]:
    """The words that a type allows; empty if it is no choice of words."""
    return get_args(form) if get_origin(form) is Literal else ()


def table_of(form: Form) -> type[Table] | None:
    """The table that a type stands for, alone or in a list or by name, or None."""
    if isinstance(form, type) and issubclass(form, Table):
        return form
    if get_origin(form) in (tuple, dict):
        return next((t for t in map(table_of, get_args(form)) if t is not None), None)
    return None


def tables(table: type[Table], name: str = "") -> Iterator[tuple[str, type[Table]]]:
    """A table and every one in it, each with its name in the job file: ``"rail.trace"``; "" for the file itself."""
    yield name, table
    for field in fields(table):
        if (inner := table_of(field.form)) is not None:
            yield from tables(inner, f"{name}.{field.key}" if name else field.key)


def kind_of(form: Form) -> str:
    """What a value of this type is called."""
    allowed, choices = allowed_of(form), choices_of(form)
    if allowed is not None:
        return allowed.kind.name
    if choices:
        return one_of(choices)
    if get_origin(form) is tuple:
        parts = [part for part in get_args(form) if part is not Ellipsis]
        count = "list of" if Ellipsis in get_args(form) else str(len(parts))
        return f"{count} {kind_of(parts[0])}" + ("s" if count != "1" else "")
    if table_of(form) is not None or get_origin(form) in (dict, Mapping):
        return "table"
    return "text" if form is str else "true or false" if form is bool else "whole number"


def one_of(words: tuple[str, ...]) -> str:
    """``'in or mm'``, ``'ears, split or seat'``."""
    return " or ".join(filter(None, (", ".join(words[:-1]), words[-1])))


def _mark(form: Form, kind: type[Mark]) -> Mark | None:
    """The mark of that kind on a type."""
    marks = get_args(form)[1:] if get_origin(form) is Annotated else ()
    return next((mark for mark in marks if isinstance(mark, kind)), None)


def _without_none(form: Form) -> tuple[Form, bool]:
    if get_origin(form) in (Union, types.UnionType):
        parts = [part for part in get_args(form) if part is not type(None)]
        if len(parts) != 1:
            raise TypeError(f"a field of the job file has one type, or none: {form}")
        return parts[0], True
    return form, False
