"""``plategen trace``: one trace, fitted."""

import shutil
from pathlib import Path

import click

from plategen.commands.one_line import AS_JSON, FILE, PATH, UNITS, can_say, in_units, say_json
from plategen.ground.unit import Units


@click.command()
@click.argument("file", type=PATH)
@click.option("--units", type=UNITS, help="For bare numbers, unless FILE says; else the job's, and inches without one.")
@click.option("--alone", is_flag=True, help="Leave the job.toml beside FILE unread.")
@click.option("--picture", type=FILE, help="An SVG file to draw the fit into.")
@click.option("--ascii", "as_ascii", is_flag=True, help="Draw in plain ASCII characters.")
@AS_JSON
def trace(file: Path, units: Units | None, alone: bool, picture: Path | None, as_ascii: bool, as_json: bool) -> None:
    """Read one trace FILE; show the fitted shape and the doubtful readings."""
    from plategen.checks.rail_pieces import BEND_TOLD_BY
    from plategen.delivery.folder import locked, put
    from plategen.ground.show import Show
    from plategen.job.load import load_trace
    from plategen.rail.fit import fit_trace
    from plategen.tell.picture.drafter import alone as by_itself
    from plategen.tell.picture.trace import trace_picture
    from plategen.tell.plot import LINES, PLAIN, plot
    from plategen.tell.report.trace import trace_report
    from plategen.tell.screen import question_lines, trace_lines

    loaded = load_trace(file, units, alone=alone)
    with in_units(loaded.units, file.name):
        fitted = fit_trace(loaded.trace)
    if picture is not None:
        drawing = by_itself(trace_picture(fitted, loaded.units))
        with locked(picture.parent):
            put(picture.parent, {picture.name: drawing.encode()})
    if as_json:
        say_json(trace_report(fitted))
        return
    show = Show(loaded.units)
    signs = LINES if not as_ascii and can_say(LINES.all) else PLAIN
    columns = shutil.get_terminal_size().columns
    drawn = plot(fitted, show, columns, signs)
    lines = [*trace_lines(fitted, show, loaded.inline_offset_mm), "", *drawn, *question_lines(fitted, show)]
    click.echo("\n".join(lines))
    if loaded.bend_unread:
        click.echo(f"CAUTION: the corner between the two straightedges is taken sharp; {BEND_TOLD_BY}")
    if picture is not None:
        click.echo(str(picture))
