"""The job file as a JSON Schema, read off its tables, with which editors complete and check it."""

from collections.abc import Mapping
from typing import Any, get_args, get_origin

from plategen.job.job import Job
from plategen.job.quantities import Table
from plategen.job.schema import Field, Form, allowed_of, choices_of, fields, kind_of, table_of

DIALECT = "https://json-schema.org/draft/2020-12/schema"
"""JSON Schema, draft 2020-12."""

Schema = dict[str, Any]
"""A JSON Schema as plain data."""


def job_schema() -> Schema:
    """A schema of ``job.toml``: every table with its keys, their meaning, choices, and which of them must be there.

    Numbers are told by kind alone: a length may be a number or text as shops write it, and limits that hold in both
    systems of units are the reader's to judge.
    """
    return {"$schema": DIALECT, "title": "plategen job file", **_table(Job)}


def _table(table: type[Table]) -> Schema:
    known = fields(table)
    return {
        "type": "object",
        "properties": {field.key: _field(field) for field in known},
        "required": [field.key for field in known if field.required],
        "additionalProperties": False,
    }


def _field(field: Field) -> Schema:
    form = _form(field.form)
    if field.may_be_auto:
        form = {"anyOf": [form, {"const": "auto"}]}
    return {**form, "description": field.doc.replace("``", "`")}


def _form(form: Form) -> Schema:
    if allowed_of(form) is not None:
        return {"type": ["number", "string"], "title": kind_of(form)}
    if choices := choices_of(form):
        return {"enum": list(choices)}
    if form in _PLAIN:
        return {"type": _PLAIN[form]}
    parts, table = get_args(form), table_of(form)
    if get_origin(form) is tuple:
        return _list(parts)
    if get_origin(form) in (dict, Mapping):
        return {"type": "object", "additionalProperties": _form(parts[1])}
    return _table(table) if table is not None else {}


def _list(parts: tuple[Form, ...]) -> Schema:
    if Ellipsis in parts:
        return {"type": "array", "items": _form(parts[0])}
    return {"type": "array", "prefixItems": [_form(part) for part in parts], "minItems": len(parts), "items": False}


_PLAIN: Mapping[Form, str] = {str: "string", bool: "boolean", int: "integer"}
