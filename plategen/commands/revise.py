"""``plategen revise``: what changed from one job to the next, what is cut again, which welds stay."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plategen.commands.one_line import AS_JSON, PATH, STOPPED, in_units, say, working
from plategen.ground.refusal import Refusal

if TYPE_CHECKING:
    from plategen.ground.unit import Units
    from plategen.work import Work


@click.command()
@click.argument("old", type=PATH)
@click.argument("new", type=PATH)
@AS_JSON
@click.option("--keep-welds", is_flag=True, help='As keep = "welds" in the new job: what can be done without cutting.')
@click.option("--keep-holes", is_flag=True, help='As keep = "holes" in the new job: what drills nothing in the rail.')
@click.option("--out", type=PATH, help="Folder for a page with both drawn over each other.")
def revise(old: Path, new: Path, as_json: bool, keep_welds: bool, keep_holes: bool, out: Path | None) -> None:
    """What changed from OLD to NEW: jobs, or folders that `make` wrote."""
    from plategen.delivery.folder import locked, put
    from plategen.delivery.render import html_stamped
    from plategen.ground.show import Show
    from plategen.ground.stamp import inputs_words
    from plategen.job.inputs import fingerprint
    from plategen.revision.revised import revised
    from plategen.tell.report.revision import comparison_report
    from plategen.tell.revision import comparison_lines, kept_lines
    from plategen.tell.revision_page import comparison_page

    with working("building both") as step:
        before = _work(old)
        after = _work(new, before.job.units)
        answer = revised(before, after, step, welds=keep_welds, holes=keep_holes)
    change, kept = answer.change, answer.kept
    show = Show(after.job.units)
    lines = [*comparison_lines(change, show), *(line for each in kept for line in kept_lines(each, show))]
    if out is not None:
        words = " → ".join(inputs_words(fingerprint(work.job, work.traces)) for work in (before, after))
        page = html_stamped(comparison_page(f"{before.job.title}: what changed", change, [*lines, words]), words)
        with locked(out):
            put(out, {"revise.html": page.encode()})
        lines.append(str(out / "revise.html"))
    say(as_json, lambda: comparison_report(change, show, *kept), lambda: lines)
    sys.exit(STOPPED if after.stopped or any(each.best is None for each in kept) else 0)


def _work(path: Path, units: "Units | None" = None) -> "Work":
    """The job of a job file or of a folder of outputs, carried through.

    ``units`` are those of the job before: in them the rules chose its sizes and stations, and writing the same job in
    others is to change none. Lengths are then shown in them too.
    """
    from plategen.delivery.record import RECORD
    from plategen.delivery.recorded import recorded_work
    from plategen.job.load import load_job
    from plategen.make import carry_through

    if path.is_dir() and not (path / "job.toml").exists():
        work = recorded_work(path, units)
        if work is None:
            raise Refusal(f"holds neither a job.toml nor the {RECORD} that make writes", place=str(path))
        return work
    loaded = load_job(path)
    with in_units(loaded.job.units, str(path)):
        return carry_through(loaded.job.replaced(units=units or loaded.job.units), loaded.traces)
