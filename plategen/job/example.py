"""A line of a job file written right, for the message that asks for it."""

import re
from itertools import cycle
from typing import get_args, get_origin

from plategen.ground.unit import Units
from plategen.job.schema import Form, allowed_of, choices_of, table_of

_PLAIN = re.compile(r"\d+(\.\d+)?").fullmatch
_NUMBER_IN_LIST = re.compile(r"\[\d+\]")


def right_line(where: str, form: Form, units: Units) -> str:
    """A key with a value of its type, or the head of its table.

    >>> from plategen.job.quantities import Length
    >>> right_line("mount.foot", tuple[Length, ...], "in"), right_line("weld.leg", Length, "mm")
    ('foot = ["1 3/8", "4.125 in"]', 'leg = 35')

    Args:
        where: The dotted key.
        form: The type of its value.
        units: The job's units, in which a length is shown.
    """
    where = _NUMBER_IN_LIST.sub("", where)
    if table_of(form) is not None or get_origin(form) is dict:
        head = f"[[{where}]]" if get_origin(form) is tuple else f"[{where}]"
        return f"{head} on a line of its own and what belongs to it below"
    return f"{where.rpartition('.')[2]} = {_value(form, units)}"


def _value(form: Form, units: Units) -> str:
    if get_origin(form) is tuple:
        parts = get_args(form)
        shown = cycle(_values(parts[0], units))
        count = 2 if Ellipsis in parts else len(parts)
        return f"[{', '.join(next(shown) for _ in range(count))}]"
    return _values(form, units)[0]


def _values(form: Form, units: Units) -> list[str]:
    """Values of a type as TOML writes them, at least one."""
    allowed, choices = allowed_of(form), choices_of(form)
    if allowed is not None:
        examples = re.split(", | or ", allowed.kind.of(units).examples)
        return [each if _PLAIN(each) else f'"{each}"' for each in examples]
    if choices:
        return [f'"{word}"' for word in choices]
    return ["true"] if form is bool else ["3"] if form is int else ['"..."']
