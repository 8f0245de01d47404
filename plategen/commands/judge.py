"""``plategen judge``: the numbers of a job, alone, over a range, or with the cures of what stops in a copy."""

import sys
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plategen.commands.one_line import JOB, STOPPED, in_units, say, say_json, working
from plategen.ground.show import Show

if TYPE_CHECKING:
    from plategen.commands.sweep import Form
    from plategen.job.load import LoadedJob


@click.command()
@JOB
@click.option("--json", "as_json", is_flag=True, help="For other programs: every number.")
@click.option("--opinions", is_flag=True, help="Show what the other rule sets say as well.")
@click.option("--elements", is_flag=True, help="Check the ears with finite elements as well; seconds, not moments.")
@click.option(
    "--vary",
    metavar="KEY=FROM:TO:STEP",
    multiple=True,
    help="Run a number of the job over a range, like weld.leg=3/16:3/8:1/16; up to three, the last one fastest.",
)
@click.option("--apply", is_flag=True, help="Write the cures of what stops into a copy of the job.")
@click.option("--out", type=click.Path(path_type=Path), help="With --apply: the copy's folder; JOB-cured if left out.")
@click.option("--csv", "as_csv", is_flag=True, help="With --vary: for other programs.")
@click.option("--jobs", type=click.IntRange(1, 256), default=1, show_default=True, help="With --vary: processes.")
def judge(
    job: Path, as_json: bool, opinions: bool, elements: bool, vary: tuple[str, ...], apply: bool, out: Path | None,
    as_csv: bool, jobs: int,
) -> None:  # fmt: skip
    """The numbers of JOB alone; exit status 1 if a finding says stop (with --vary, if no variant holds)."""
    from plategen.checks.caution import SHORT
    from plategen.checks.elements import CHECKS as ELEMENTS
    from plategen.checks.finding import must_stop
    from plategen.job.load import load_job
    from plategen.make import carry_through
    from plategen.tell.screen import doubt_lines, findings_lines, plates_lines

    wrong = _misfit(vary=bool(vary), apply=apply, views=opinions or elements, as_csv=as_csv, as_json=as_json)
    if wrong or (jobs > 1 and not vary) or (out is not None and not apply):
        raise click.UsageError(wrong or ("--out goes with --apply" if out is not None else "--jobs goes with --vary"))
    loaded = load_job(job)
    if vary:
        sys.exit(_sweep(loaded, vary, jobs, form="csv" if as_csv else "json" if as_json else "table"))
    if apply:
        sys.exit(apply_cures(loaded, out, as_json=as_json))
    show = Show(loaded.job.units)
    words = "fitting, building and judging" + (" with finite elements" if elements else "")
    with in_units(loaded.job.units, "job.toml"), working(words):
        work = carry_through(loaded.job, loaded.traces, elements=elements)
    if as_json:
        from plategen.tell.report.job import job_report

        say_json(job_report(work))
    else:
        shown = [f for f in work.findings if opinions or f.decides or f.of in ELEMENTS]
        lines = [*plates_lines(work, show), *findings_lines(shown, show)]
        click.echo("\n".join([*lines, *doubt_lines(work, show), SHORT]))
    sys.exit(STOPPED if must_stop(work.findings) else 0)


def _misfit(*, vary: bool, apply: bool, views: bool, as_csv: bool, as_json: bool) -> str:
    """What does not go together among the options; "" when all does."""
    if vary and (views or apply or (as_csv and as_json)):
        return "--vary goes with --jobs, and with one of --csv and --json"
    if apply and (views or as_csv):
        return "--apply goes with --out and --json"
    return "--csv goes with --vary" if as_csv and not vary else ""


def _sweep(loaded: "LoadedJob", vary: tuple[str, ...], jobs: int, *, form: "Form") -> int:
    """Judge every variant; the exit status."""
    from plategen.commands.sweep import run
    from plategen.vary import read_axes, sweep_of

    axes = read_axes(loaded.job, vary)
    with in_units(loaded.job.units, "job.toml"):
        sweep = sweep_of(loaded.job, loaded.traces, axes)
    return run(sweep, jobs, form=form)


SUFFIX = "-cured"
"""What the copy's folder is called after the job's, when the user names none."""


def apply_cures(loaded: "LoadedJob", out: Path | None, *, as_json: bool) -> int:
    """Write the job with its cures into a new folder, beside the job's own if ``out`` names none; the exit status.

    Raises:
        Refusal: The folder is there already, or the job cannot be built as it stands.
    """
    from plategen.cured import cured
    from plategen.delivery.folder import put_new, refuse_taken
    from plategen.tell.cured import cured_lines, cured_report

    folder = out if out is not None else _beside(loaded)
    refuse_taken(folder)
    with in_units(loaded.job.units, loaded.file), working("trying cures"):
        copy = cured(loaded)
    file = folder / loaded.file if copy.changes else None
    if file is not None:
        texts = {**loaded.texts, loaded.file: copy.text}
        put_new(folder, {name: text.encode() for name, text in texts.items()})
    show = Show(loaded.job.units)
    say(as_json, lambda: cured_report(copy, show, file), lambda: cured_lines(copy, show, file))
    return STOPPED if copy.still else 0


def _beside(loaded: "LoadedJob") -> Path:
    """The folder beside the job's, as a user in the present folder would name it."""
    folder = loaded.folder.with_name(f"{loaded.name}{SUFFIX}")
    here = Path.cwd()
    return folder.relative_to(here) if folder.is_relative_to(here) else folder
