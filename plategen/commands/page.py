"""``plategen page``: the job on a local page, redrawn as numbers change."""

import sys
from pathlib import Path

import click

from plategen.commands.one_line import PATH, UNITS, can_say
from plategen.ground.refusal import Refusal, missing_library
from plategen.ground.unit import Units


@click.command()
@click.argument("job", required=False, type=PATH)
@click.option("--port", type=click.IntRange(1, 65535), help="Port on this machine; the first free one if left out.")
@click.option("--share", is_flag=True, help="Let phones on the shop's network in, each by a link that works once.")
@click.option("--units", type=UNITS, default="in", show_default=True, help="For a new job.")
def page(job: Path | None, port: int | None, share: bool, units: Units) -> None:
    """JOB (a folder or its job.toml) on a local page; without JOB, the jobs of this folder, or a new one."""
    try:
        from plategen.page.serve import serve
    except ModuleNotFoundError as missing:
        raise missing_library("the page needs", missing.name, "page", "page") from None
    from plategen.checks.caution import SHORT
    from plategen.job.load import JOB_FILE
    from plategen.page.disk import Folder
    from plategen.page.qr import SIGNS, qr_lines
    from plategen.page.shelf import Shelf

    place = Path() if job is None else job
    file = place / JOB_FILE if place.is_dir() else place
    opened = Folder(file.parent.resolve(), file.name) if file.is_file() else None
    if opened is None and not place.is_dir():
        raise Refusal("is no folder and no job file; left out, the page begins a new job", place=str(job))
    click.echo(SHORT)
    shelf = Shelf(place.resolve() if opened is None else opened.path.parent)
    drawn = qr_lines if sys.stdout.isatty() and can_say(SIGNS) else None
    serve(shelf, opened, units=units, port=port, share=share, say=click.echo, drawn=drawn)
