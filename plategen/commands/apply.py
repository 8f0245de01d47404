"""``plategen judge --apply``: the cures of what stops, written into a copy of the job; the original stays as it is."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from plategen.commands.as_json import say_json
from plategen.commands.one_line import STOPPED, in_units
from plategen.commands.working import working

if TYPE_CHECKING:
    from plategen.cured import Cured
    from plategen.job.load import LoadedJob

SUFFIX = "-cured"
"""What the copy's folder is called after the job's, when the user names none."""


def apply_cures(loaded: "LoadedJob", out: Path | None, *, as_json: bool) -> int:
    """Write the job with its cures into a new folder, say what changed and what is still open.

    Args:
        loaded: The job.
        out: The copy's folder; beside the job's own if left out.
        as_json: Say it to another program.

    Returns:
        The exit status: 1 when something still stops.

    Raises:
        Refusal: The folder is there already, or the job cannot be built as it stands.
    """
    from plategen.checks.caution import SHORT
    from plategen.cured import cured
    from plategen.delivery.folder import put_new, refuse_taken
    from plategen.ground.show import Show
    from plategen.tell.cured import cured_lines, cured_report

    folder = out if out is not None else _beside(loaded)
    refuse_taken(folder)
    with in_units(loaded.job.units, loaded.file), working("trying cures"):
        copy = cured(loaded)
    file = folder / loaded.file if copy.changes else None
    if file is not None:
        put_new(folder, _files(loaded, copy))
    show = Show(loaded.job.units)
    if as_json:
        say_json(cured_report(copy, show, file))
    else:
        click.echo("\n".join([*cured_lines(copy, show, file), SHORT]))
    return STOPPED if copy.still else 0


def _beside(loaded: "LoadedJob") -> Path:
    """The folder beside the job's, as a user in the present folder would name it."""
    folder = loaded.folder.with_name(f"{loaded.name}{SUFFIX}")
    here = Path.cwd()
    return folder.relative_to(here) if folder.is_relative_to(here) else folder


def _files(loaded: "LoadedJob", copy: "Cured") -> dict[str, bytes]:
    texts = {**loaded.texts, loaded.file: copy.text}
    return {name: text.encode() for name, text in texts.items()}
