"""``plategen make``: the whole job, into files."""

import sys
from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plategen.commands.one_line import JOB, PATH, STOPPED, in_units, say, working
from plategen.commands.revise import recorded_work
from plategen.ground.message import message
from plategen.ground.refusal import Refusal
from plategen.paper.size import PAPERS, USUAL_PAPER

if TYPE_CHECKING:
    from plategen.work import Work


@click.command()
@JOB
@click.option("--out", type=PATH, help="Folder to write into; outputs/<job folder> if left out.")
@click.option(
    "--paper",
    type=click.Choice(PAPERS, case_sensitive=False),
    default=USUAL_PAPER,
    show_default=True,
    help="What the template is printed on.",
)
@click.option("--no-solid", is_flag=True, help="Leave out the STEP file; much quicker.")
@click.option("--elements", is_flag=True, help="Check the ears with finite elements as well; seconds, not moments.")
@click.option("--json", "as_json", is_flag=True, help="For other programs: what was written, and what says stop.")
def make(job: Path, out: Path | None, paper: str, no_solid: bool, elements: bool, as_json: bool) -> None:
    """The whole JOB (a folder or its job.toml): cut files, paper, sheet, solid and numbers."""
    from plategen.delivery.deliver import deliver, delivery_report
    from plategen.delivery.folder import refuse_unwritable
    from plategen.ground.show import Show
    from plategen.job.load import load_job
    from plategen.make import carry_through
    from plategen.tell.screen import cause_lines, doubt_lines, plates_lines, stop_lines, verdict_lines

    loaded = load_job(job)
    show = Show(loaded.job.units)
    folder = out or Path("outputs") / loaded.name
    refuse_unwritable(folder)
    with in_units(loaded.job.units, "job.toml"), working("fitting, building and judging") as step:
        work = carry_through(loaded.job, loaded.traces, elements=elements)
        held = _held_welds(work, folder)
        delivered = deliver(work, folder, paper=paper, solid=not no_solid, step=step)

    def lines() -> Iterator[str]:
        yield from [held] if held else []
        yield from (
            *plates_lines(work, show),
            *doubt_lines(work, show),
            *cause_lines(work, show),
            *stop_lines(work.findings, show),
        )
        yield from verdict_lines(work.findings)
        yield from (*map(str, delivered.files), delivered.stamp.words)
        yield from (f"  {change}" for change in delivered.changes)

    say(as_json, lambda: delivery_report(work, folder, delivered, held), lines)
    for missing in delivered.missing:
        click.echo(missing, err=True)
    sys.exit(STOPPED if work.stopped else 0)


def _held_welds(work: "Work", folder: Path) -> str:
    """What ``keep = "welds"`` comes to, against what the folder holds; "" without that key.

    Raises:
        Refusal: A welded edge would not stay where it is.
    """
    if work.job.revision is None or work.job.revision.keep != "welds":
        return ""
    from plategen.revision.keep import keep_welds, welds_lost

    before = recorded_work(folder)
    if before is None:
        return f'keep = "welds": {folder} holds no bracket made before, so there is nothing to hold yet'
    lost = welds_lost(before, work)
    if not lost:
        return 'keep = "welds": every welded edge stays where it is'
    best = keep_welds(before, work).best
    words = (
        '"welds" cannot be kept against {}: {}{}; {}; `plategen revise {} JOB` says all of it, and without the key all '
        "is cut anew"
    )
    raise Refusal(
        message(
            words,
            str(folder),
            lost[0],
            message(" and {} more", len(lost) - 1) if lost[1:] else "",
            message("what keeps them: {}, {}", best.change, best.advice) if best else "nothing keeps them",
            str(folder),
        ),
        "revision.keep",
    )
