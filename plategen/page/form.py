"""Everything the job file can say, as a tree of groups and fields to fill in, with what is said there now.

The tree is read off the job's own tables, so a key that is new to the job file is on the page the same day.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Literal, TypeAlias, get_args, get_origin

from plategen.ground.show import Show
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.quantities import Allowed, Table
from plategen.job.schema import Field, allowed_of, choices_of, fields, table_of, tables
from plategen.job.toml_edit import Place, path_text
from plategen.rules.table import names as names_in

Kind = Literal["quantity", "choice", "flag", "whole", "text"]
State: TypeAlias = Literal["fixed", "there", "absent", "list", "named"]
Belongs: TypeAlias = Literal["table", "list", "names", "value"]
"""How a field is filled in, what may be done with a table, and what stands at a place of a job file."""

FEWEST_ENDS = 2
"""A list of lengths that is not there yet is offered as two fields: the ends of a foot."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Input:
    """One value to fill in."""

    path: str  # Dotted place in the job file.
    label: str
    kind: Kind
    text: str  # What the file says, "" when it says nothing.
    doc: str  # What it is, in a sentence.
    hint: str  # What may be written: examples of the notation and the limits, in the job's units.
    unit: str  # Unit of a bare number, "" if it has none or must carry its own.
    otherwise: str  # What holds when it is left empty, "" if it must be filled in.
    choices: tuple[str, ...]  # The words allowed.
    listed: str  # The published table whose names are offered, "" for none.

    @property
    def required(self) -> bool:
        """Whether the job needs it."""
        return not self.otherwise


@dataclass(frozen=True, slots=True, kw_only=True)
class Group:
    """A table of the job file.

    It is ``"fixed"`` when every job has it, ``"there"`` when it may be taken out, ``"absent"`` when it may be added,
    ``"list"`` for a list to which more are added, ``"named"`` for a table of names.
    """

    path: str  # Dotted place in the job file, "" for the whole.
    label: str
    doc: str  # What it is, in a sentence.
    state: State
    inputs: tuple[Input, ...] = ()
    groups: tuple["Group", ...] = ()  # The tables in it, or the entries of the list.


def job_form(data: Mapping[str, Any], units: Units) -> Group:
    """The whole job file as a form, of what it says as plain values."""
    return _group(Job, data, (), "job", "", "fixed", units)


def known_names() -> Mapping[str, tuple[str, ...]]:
    """The names that fields offer, by the published table that they stand in."""
    listed = dict.fromkeys(each.listed for _, table in tables(Job) for each in fields(table) if each.listed)
    return {table: names_in(table) for table in listed}


def all_inputs(group: Group) -> Iterator[Input]:
    """Every field of a form, in its order."""
    yield from group.inputs
    for inner in group.groups:
        yield from all_inputs(inner)


def _group(table: type[Table], data: object, place: Place, label: str, doc: str, state: State, units: Units) -> Group:
    given = data if isinstance(data, Mapping) else {}
    inputs: list[Input] = []
    groups: list[Group] = []
    for each in fields(table):
        value, where = given.get(each.key), (*place, each.key)
        if get_origin(each.form) is dict:
            groups.append(_named(each, value, where, units))
        elif (inner := table_of(each.form)) is None:
            inputs += _inputs(each, value, where, units)
        elif get_origin(each.form) is tuple:
            groups.append(_listed(each, inner, value, where, units))
        else:
            optional = not each.required and each.default is None
            if optional and value is None:
                groups.append(_head(each, where, "absent"))
            else:
                kept: State = "there" if optional else "fixed"
                groups.append(_group(inner, value, where, each.label, each.doc, kept, units))
    return Group(path=path_text(place), label=label, doc=doc, state=state, inputs=tuple(inputs), groups=tuple(groups))


def _head(each: Field, where: Place, state: State, groups: tuple[Group, ...] = ()) -> Group:
    return Group(path=path_text(where), label=each.label, doc=each.doc, state=state, groups=groups)


def _listed(each: Field, inner: type[Table], value: object, where: Place, units: Units) -> Group:
    rows = value if isinstance(value, list) else []
    entries = []
    for number, row in enumerate(rows):
        named = row.get("name") or row.get("file") if isinstance(row, Mapping) else None
        title = f"{each.label} {number + 1}" + (f": {named}" if isinstance(named, str) else "")
        entries.append(_group(inner, row, (*where, number), title, "", "there", units))
    return _head(each, where, "list", tuple(entries))


def _named(each: Field, value: object, where: Place, units: Units) -> Group:
    """A table of names: each name's value, and room for another name."""
    given = value if isinstance(value, Mapping) else {}
    form = get_args(each.form)[1]
    groups = []
    for name, item in given.items():
        if not isinstance(name, str) or set(name) & set(".[]") or not name.isprintable():
            continue  # such a name has no dotted place; it is changed in an editor
        own = Field(name, name, form, "", True, None, False)
        inputs = tuple(_inputs(own, item, (*where, name), units))
        groups.append(Group(path=path_text((*where, name)), label=name, doc="", state="there", inputs=inputs))
    return _head(each, where, "named", tuple(groups))


def _inputs(each: Field, value: object, where: Place, units: Units) -> Iterator[Input]:
    """A field's inputs: one, or one for each number of a list."""
    label = each.label
    if get_origin(each.form) is not tuple:
        yield _input(each, each.form, value, where, label, units, each.default)
        return
    parts = get_args(each.form)
    given = value if isinstance(value, list) else []
    if Ellipsis in parts:
        parts = (parts[0],) * max(len(given), FEWEST_ENDS)
    for number, part in enumerate(parts):
        item = given[number] if number < len(given) else None
        default = each.default[number] if isinstance(each.default, tuple) and number < len(each.default) else None
        names = ("begins", "ends") if Ellipsis in get_args(each.form) else "xyz" if len(parts) == 3 else "12"
        part_name = names[number] if number < len(names) else str(number + 1)
        yield _input(each, part, item, (*where, number), f"{label} {part_name}", units, default)


def _input(each: Field, form: object, value: object, where: Place, label: str, units: Units, default: object) -> Input:
    allowed, choices = allowed_of(form), choices_of(form)
    plain: Mapping[object, Kind] = {bool: "flag", int: "whole"}
    kind: Kind = "quantity" if allowed else "choice" if choices else plain.get(form, "text")
    return Input(
        path=path_text(where),
        label=label,
        kind=kind,
        text=text_of(value),
        doc=each.doc,
        hint=f"{allowed.kind.of(units).examples}. {Show(units).text(allowed.limits)}" if allowed else "",
        unit=allowed.bare(units).replace("deg", "°") if allowed else "",
        otherwise=_otherwise(each, allowed, default, units),
        choices=choices,
        listed=each.listed,
    )


def text_of(value: object) -> str:
    """A value as it is typed."""
    match value:
        case None:
            return ""
        case bool():
            return str(value).lower()
        case float():
            return f"{value:.12g}"
        case str() | int():
            return str(value)
        case _:
            return "(changed in an editor only)"


def _otherwise(each: Field, allowed: Allowed | None, default: object, units: Units) -> str:
    """What holds when nothing is said."""
    if each.required:
        return ""
    if default is None or default == "":
        return "a rule chooses" if each.may_be_auto else "left out"
    if isinstance(default, bool):
        return "yes" if default else "no"
    return Show(units).quantity(allowed.quantity(default)) if allowed and isinstance(default, float) else str(default)


def form_at(place: Place) -> object | None:
    """The type of what belongs at a place; None if nothing does."""
    form: object | None = Job
    for step in place:
        form = _inner(form, step)
    return form


def belongs(place: Place) -> Belongs | None:
    """What belongs at a place: a table, a list of tables, a table of names, or a single value as a number or a word."""
    form = form_at(place)
    if get_origin(form) is tuple:
        return "list" if table_of(form) is not None else None
    return None if form is None else "table" if _is_table(form) else "names" if get_origin(form) is dict else "value"


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
