"""``plategen make``: the whole job, into files."""

import sys
from pathlib import Path

import click

from plategen.commands.as_json import say_json
from plategen.commands.one_line import STOPPED, in_units
from plategen.commands.words import PAPER
from plategen.commands.working import working


@click.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write into; outputs/<job folder> if left out.")
@click.option("--paper", type=PAPER, default="letter", show_default=True, help="What the template is printed on.")
@click.option("--no-solid", is_flag=True, help="Leave out the STEP file; much quicker.")
@click.option("--elements", is_flag=True, help="Check the ears with finite elements as well; seconds, not moments.")
@click.option("--json", "as_json", is_flag=True, help="For other programs: what was written, and what says stop.")
def make(job: Path, out: Path | None, paper: str, no_solid: bool, elements: bool, as_json: bool) -> None:
    """The whole JOB (a folder or its job.toml): cut files, paper, sheet, solid and numbers."""
    from plategen.job.load import load_job
    from plategen.make import carry_through
    from plategen.screen import doubt_lines, plates_lines, stop_lines
    from plategen.shop.caution import SHORT
    from plategen.shop.delivery.deliver import deliver, refuse_unwritable
    from plategen.shop.delivery.delivery_report import delivery_report
    from plategen.show import Show
    from plategen.strength.finding import must_stop

    loaded = load_job(job)
    show = Show(loaded.job.units)
    folder = out or Path("outputs") / loaded.name
    refuse_unwritable(folder)
    with in_units(loaded.job.units, "job.toml"), working("fitting, building and judging") as step:
        work = carry_through(loaded.job, loaded.traces, elements=elements)
        delivered = deliver(work, folder, paper=paper, solid=not no_solid, step=step)
    if as_json:
        say_json(delivery_report(work, folder, delivered))
    else:
        lines = [*plates_lines(work, show), *doubt_lines(work, show), *stop_lines(work.findings, show)]
        lines += [str(path) for path in delivered.files]
        if delivered.stamp:
            lines.append(delivered.stamp.words)
        lines += [f"  {change}" for change in delivered.changes]
        click.echo("\n".join([*lines, SHORT]))
    for missing in delivered.missing:
        click.echo(missing, err=True)
    sys.exit(STOPPED if must_stop(work.findings) else 0)
