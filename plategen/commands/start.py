"""``plategen start``: a new job folder."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from plategen.commands.one_line import PATH, UNITS
from plategen.ground.unit import Units

if TYPE_CHECKING:
    from plategen.delivery.starter import Start


@click.command()
@click.argument("folder", type=PATH)
@click.option("--units", type=UNITS, default="in", show_default=True, help="What you measure in.")
@click.option(
    "--style",
    type=click.Choice(["ears", "split", "bolted", "seat", "steering"]),
    default="ears",
    show_default=True,
    help="Ears welded to a rail; bolted to welded tabs; on a bolted base; a seat on a tube; ears and the steering.",
)
def start(folder: Path, units: Units, style: "Start") -> None:
    """Lay out a new job FOLDER: a commented job file and a sample trace."""
    from plategen.delivery.starter import lay_out

    for path in lay_out(folder, units, style):
        click.echo(path)
    click.echo(f"A form to measure by: plategen form {folder}")
    click.echo(f"Fill in the numbers, then: plategen make {folder}")
