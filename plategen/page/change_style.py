"""The job in another style in one step: the style's own tables are there with numbers to start from, others' go.

What was measured stays: cylinder, pin and in-line offset are the machine's. What the new style cannot have goes with
the old one, and undo brings all of it back. The numbers to start from are the sample's, but those that follow from the
job's own; where the bracket is then refused, the refusals' own rules choose them.
"""

from collections.abc import Mapping
from dataclasses import replace

from plategen.delivery.starter import style_tables
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job.bracket import ONLY_ON_RAIL, STYLES, StyleName
from plategen.job.change import written
from plategen.job.toml_edit import Place, add_table, held_at, path_of, remove, set_value
from plategen.page.draft import Draft, plain, redraw
from plategen.page.trace_edit import read_table

MOST_CURES = 6
"""Refusals that are cured one after the other."""

FIRST_TRACE = "front.csv"
"""What the trace of a rail is called where a job has none yet."""


def lets_go(draft: Draft, to: StyleName) -> str:
    """What is asked before the draft is put in another style; "" where nothing that was measured goes with the old one.

    What is in a file stays in it; what was typed since is kept by undo alone.
    """
    if STYLES[to].stands_on == "rail":
        return ""
    names = [name for name, text in draft.files.items() if name.endswith(".csv") and read_table(text).rows]
    if not names:
        return ""
    return (
        f"A bracket of style {to} stands on a tube, known by its size: the job lets go of {', '.join(names)}. "
        "What is saved stays in its file, and undo brings it back. Save first where readings are not saved yet."
    )


def in_style(draft: Draft, to: StyleName, units: Units) -> Draft:
    """The draft in another style.

    Raises:
        Refusal: The job file's spelling leaves no room for the change.
    """
    gone = [table for other, entry in STYLES.items() if other != to for table in entry.tables]
    gone += ONLY_ON_RAIL if STYLES[to].stands_on == "tube" else ()
    gone += ("revision.notes", "revision.fit_note")  # they speak of the plates of the style before
    job = set_value(draft.job, ("bracket", "style"), to)
    for place in map(path_of, gone):
        job = remove(job, place) if held_at(plain(job), place) is not None else job
    if STYLES[to].stands_on == "rail" and not held_at(plain(job), ("rail", "trace")):
        name = next((name for name in draft.files if name.endswith(".csv")), FIRST_TRACE)
        job = add_table(job, ("rail", "trace"), listed=True, content={"file": name, "plane": 0})
    for table, values in style_tables(to, units).items():
        if table in STYLES[to].tables and held_at(plain(job), (table,)) is None:
            job = _filled(job, (table,), values)
            if table == "split":
                job = set_value(job, ("split", "built_for"), held_at(plain(job), ("mount", "inline_offset")) or 0)
    return _cured(replace(draft, job=job), STYLES[to].tables, units)


def _filled(job: str, place: Place, values: Mapping[str, object]) -> str:
    """The job file with a table of values, and the tables in it."""
    job = add_table(job, place, listed=False)
    for key, value in values.items():
        inner = (*place, key)
        job = _filled(job, inner, value) if isinstance(value, Mapping) else set_value(job, inner, value)
    return job


def _cured(draft: Draft, own: tuple[str, ...], units: Units) -> Draft:
    """The draft with the numbers of the style's own tables as the refusals' cures have them, where that is enough."""
    now = draft
    for _ in range(MOST_CURES):
        refusal = redraw(now).refusal
        if refusal is None:
            return now
        changes = refusal.cure.changes if refusal.cure is not None else ()
        if not changes or any(change.to is None or change.key.split(".")[0] not in own for change in changes):
            break
        job = now.job
        try:
            for change in changes:
                assert change.to is not None
                job = set_value(job, path_of(change.key), written(change.to, units))
        except Refusal:
            break
        now = replace(now, job=job)
    return draft
