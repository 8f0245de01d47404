"""``plategen trace``: one trace, fitted."""

from pathlib import Path

import click

from plategen.commands.one_line import AS_JSON, UNITS, in_units, say_json
from plategen.ground.show import Show
from plategen.ground.unit import Units


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--units", type=UNITS, default="in", show_default=True, help="For bare numbers, unless FILE says.")
@AS_JSON
def trace(file: Path, units: Units, as_json: bool) -> None:
    """Read one trace FILE; show the fitted shape and the doubtful readings."""
    from plategen.job.load import load_trace
    from plategen.rail.fit import fit_trace
    from plategen.tell.report.trace import trace_report
    from plategen.tell.screen import trace_lines

    readings, units = load_trace(file, units)
    with in_units(units, file.name):
        fitted = fit_trace(readings)
    if as_json:
        say_json(trace_report(fitted))
    else:
        click.echo("\n".join(trace_lines(fitted, Show(units))))
