"""``plategen page``: the job on a local page, redrawn as numbers change."""

from pathlib import Path

import click

from plategen.commands.one_line import PATH, UNITS
from plategen.ground.refusal import Refusal, missing_library
from plategen.ground.unit import Units

NEW = "new-bracket"
"""The folder laid out when no job is named."""


@click.command()
@click.argument("job", required=False, type=PATH)
@click.option("--port", type=click.IntRange(1, 65535), help="Port on this machine; the first free one if left out.")
@click.option("--share", is_flag=True, help="Let phones on the shop's network in, each by a link that works once.")
@click.option("--units", type=UNITS, default="in", show_default=True, help="For a new job.")
def page(job: Path | None, port: int | None, share: bool, units: Units) -> None:
    """JOB (a folder or its job.toml) on a local page; without JOB, an example in a new folder."""
    try:
        from plategen.page.serve import serve
    except ModuleNotFoundError as missing:
        raise missing_library("the page needs", missing.name, "page", "page") from None
    from plategen.checks.caution import SHORT
    from plategen.job.load import JOB_FILE
    from plategen.page.disk import Folder

    if job is None:
        job = _example(units)
        click.echo(f"{job}: an example to start from")
    file = job / JOB_FILE if job.is_dir() else job
    if not file.is_file():
        raise Refusal("there is no job here; a folder with a job.toml is right, or none for an example", place=str(job))
    click.echo(SHORT)
    serve(Folder(file.parent.resolve(), file.name), port=port, share=share, say=click.echo)


def _example(units: Units) -> Path:
    """An example job in the first free folder of its name."""
    from plategen.delivery.starter import lay_out

    names = (Path(NEW if n == 1 else f"{NEW}-{n}") for n in range(1, 1000))
    folder = next(name for name in names if not name.exists())
    lay_out(folder, units)
    return folder
