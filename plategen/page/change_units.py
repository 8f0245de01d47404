"""A job's units changed so that every length keeps its size: those without a unit get the old one beside them.

A size that is kept stays exact: ``2`` becomes ``2 in``, and a trace says at its top what its readings are in.
"""

from collections.abc import Iterator
from dataclasses import replace
from types import MappingProxyType

from plategen.ground.quantity import LENGTH
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.toml_edit import path_of, set_value
from plategen.page.draft import Draft, named_files
from plategen.page.form import Group, Input, all_inputs
from plategen.rail.trace_columns import units_in_file


def bare_lengths(form: Group) -> Iterator[Input]:
    """The lengths of a job file that are written without a unit."""
    return (i for i in all_inputs(form) if i.kind == "quantity" and i.unit in ("in", "mm") and _is_bare(i.text))


def _is_bare(text: str) -> bool:
    try:
        return LENGTH.read(text, "in") != LENGTH.read(text, "mm")
    except Refusal:
        return False


def with_sizes_kept(draft: Draft, form: Group, units: Units) -> Draft:
    """The draft with the unit, which was ``units``, beside every length and above every reading that had none."""
    job = draft.job
    for each in bare_lengths(form):
        job = set_value(job, path_of(each.path), f"{each.text} {units}")
    files = {name: text if _says_units(text) else f"# units: {units}\n{text}" for name, text in draft.files.items()}
    named = named_files(job)
    if unread := next((name for name in draft.unread if name in named), None):
        raise Refusal(f"{draft.unread[unread]}; its readings cannot be kept in {units}", unread)
    return replace(draft, job=job, files=MappingProxyType(files))


def _says_units(text: str) -> bool:
    return not text.strip() or units_in_file(text, "in") == units_in_file(text, "mm")
