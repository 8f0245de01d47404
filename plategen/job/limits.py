"""The limits of every key, held against a job that was read from elsewhere than a job file."""

from collections.abc import Mapping
from typing import get_args

from plategen.ground.message import message
from plategen.ground.refusal import Refusal
from plategen.job.parse import MOST_ROWS, MOST_TEXT
from plategen.job.quantities import Table
from plategen.job.schema import Form, allowed_of, fields


def refuse_beyond_limits(table: Table) -> None:
    """Hold every value of a table, and of those below it, to what a job file may say.

    Raises:
        Refusal: A number is out of range, a text too long, a list too long; with its key.
    """
    for field in fields(type(table)):
        value = getattr(table, field.name)
        if value is not None:
            _refuse(field.form, value, field.key)


def _refuse(form: Form, value: object, key: str) -> None:
    allowed = allowed_of(form)
    if isinstance(value, Table):
        refuse_beyond_limits(value)
    elif isinstance(value, float) and allowed is not None and not allowed.least <= value <= allowed.most:
        raise Refusal(message("{} is out of range; {}", allowed.quantity(value), allowed.beyond(value)), key)
    elif isinstance(value, str) and not (len(value) <= MOST_TEXT and value.isprintable()):
        raise Refusal(f"must be one line of at most {MOST_TEXT} characters", key)
    elif isinstance(value, tuple | Mapping):
        if len(value) > MOST_ROWS:
            raise Refusal(f"{len(value)} entries are too many; at most {MOST_ROWS} is right", key)
        for part, item in _parts(form, value):
            _refuse(part, item, key)


def _parts(form: Form, value: tuple[object, ...] | Mapping[str, object]) -> list[tuple[Form, object]]:
    """The entries of a list or of a table of values by name, each with its type."""
    each = get_args(form)
    if isinstance(value, Mapping):
        return [(each[1], item) for item in value.values()]
    return [(each[0] if Ellipsis in each else each[i], item) for i, item in enumerate(value)]
