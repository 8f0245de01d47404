"""``plategen judge``: the numbers of a job, alone."""

import json
import sys
from pathlib import Path

import click

from plategen.commands.one_line import STOPPED, in_units
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.screen import doubt_lines, findings_lines, must_stop, plates_lines
from plategen.shop.caution import SHORT
from plategen.show import Show


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="For other programs: the whole report.")
@click.option("--opinions", is_flag=True, help="Show what the other rule sets say as well.")
@click.option("--elements", is_flag=True, help="Check the ears with finite elements as well; seconds, not moments.")
def judge(job: Path, as_json: bool, opinions: bool, elements: bool) -> None:
    """The numbers of JOB alone; exit status 1 if a finding says stop."""
    loaded = load_job(job)
    show = Show(loaded.job.units)
    with in_units(loaded.job.units, "job.toml"):
        work = carry_through(loaded.job, loaded.traces, elements=elements)
    if as_json:
        from plategen.shop.report import report

        click.echo(json.dumps(report(work), indent=1))
    else:
        lines = [*plates_lines(work, show), *findings_lines(work.findings, show, opinions=opinions)]
        click.echo("\n".join([*lines, *doubt_lines(work, show), SHORT]))
    sys.exit(STOPPED if must_stop(work.findings) else 0)
