"""``plategen trace``: one trace, fitted."""

import json
from pathlib import Path

import click

from plategen.commands.one_line import in_units
from plategen.job.load import load_trace
from plategen.rail.fit import fit_trace
from plategen.screen import trace_lines
from plategen.shop.sheet.report import trace_report
from plategen.show import Show
from plategen.unit import Units


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--units", type=click.Choice(["in", "mm"]), default="in", show_default=True, help="For bare numbers.")
@click.option("--json", "as_json", is_flag=True, help="For other programs.")
def trace(file: Path, units: Units, as_json: bool) -> None:
    """Read one trace FILE; show the fitted shape and the doubtful readings."""
    readings = load_trace(file, units)
    with in_units(units, file.name):
        fitted = fit_trace(readings)
    if as_json:
        click.echo(json.dumps(trace_report(fitted), indent=1))
    else:
        click.echo("\n".join(trace_lines(fitted, Show(units))))
