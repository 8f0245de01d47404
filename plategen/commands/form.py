"""``plategen form``: the blank form that a job is measured with."""

from pathlib import Path

import click

from plategen.commands.one_line import FILE, JOB


@click.command()
@JOB
@click.option("-o", "--out", type=FILE, help="Where it goes; left out, form.html beside the job.")
def form(job: Path, out: Path | None) -> None:
    """Print a blank form to measure JOB with: what to measure, in the job file's order, each with its picture."""
    from plategen.delivery.folder import locked, put
    from plategen.job.load import job_to_measure
    from plategen.tell.form import form_html

    read = job_to_measure(job)
    path = out or read.folder / "form.html"
    html = form_html(read.job, read.stations_mm)
    with locked(path.parent):
        put(path.parent, {path.name: html.encode()})
    click.echo(path)
    click.echo("Print it at any size that can be written on, measure, and write the numbers into the job file.")
