"""``plategen start``: a new job folder."""

from pathlib import Path

import click

from plategen.commands.one_line import PATH, UNITS
from plategen.ground.unit import Units


@click.command()
@click.argument("folder", type=PATH)
@click.option("--units", type=UNITS, default="in", show_default=True, help="What you measure in.")
def start(folder: Path, units: Units) -> None:
    """Lay out a new job FOLDER: a commented job file and a sample trace."""
    from plategen.delivery.starter import lay_out

    for path in lay_out(folder, units):
        click.echo(path)
    click.echo(f"Fill in the numbers, then: plategen make {folder}")
