"""``plategen judge``: the numbers of a job, alone, over a range, or with the cures of what stops in a copy."""

import csv
import io
import sys
from collections.abc import Generator
from contextlib import closing
from pathlib import Path
from typing import TYPE_CHECKING, Literal, TypeAlias

import click

from plategen.commands.one_line import INTERRUPTED, JOB, PATH, STOPPED, at_terminal, in_units, say, say_json, working

if TYPE_CHECKING:
    from plategen.cause import Cause
    from plategen.checks.finding import Finding
    from plategen.job.load import LoadedJob
    from plategen.vary import Sweep, Variant
    from plategen.work import Work

Form: TypeAlias = Literal["table", "csv", "json"]
"""What the variants are printed as."""


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
@click.option("--out", type=PATH, help="With --apply: the copy's folder; JOB-cured if left out.")
@click.option("--csv", "as_csv", is_flag=True, help="With --vary: for other programs.")
@click.option("--jobs", type=click.IntRange(1, 256), default=1, show_default=True, help="With --vary: processes.")
def judge(
    job: Path, as_json: bool, opinions: bool, elements: bool, vary: tuple[str, ...], apply: bool, out: Path | None,
    as_csv: bool, jobs: int,
) -> None:  # fmt: skip
    """The numbers of JOB alone; exit status 1 if a finding says stop (with --vary, if no variant holds)."""
    from plategen.checks.caution import SHORT
    from plategen.ground.show import Show
    from plategen.job.load import load_job
    from plategen.make import carry_through
    from plategen.tell.cause import cause_lines
    from plategen.tell.screen import cost_lines, doubt_lines, findings_lines, plates_lines, verdict_lines

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
        work = carry_through(loaded.job, loaded.traces, elements=elements, opinions=opinions or as_json)
    if as_json:
        from plategen.tell.report.job import job_report

        say_json(job_report(work, _causes(work)))
    else:
        shown = [f for f in work.findings if opinions or f.decides or (elements and _by_elements(f))]
        found = _causes(work)
        lines = [*cause_lines(found, work.findings, show), *plates_lines(work, show)]
        lines += [*findings_lines(shown, show, found), *doubt_lines(work, show), *cost_lines(work)]
        lines += [*verdict_lines(work.findings), SHORT]
        click.echo("\n".join(lines))
    sys.exit(STOPPED if work.stopped else 0)


def _causes(work: "Work") -> "tuple[Cause, ...]":
    """What its stops have in common; a job without any need not load what looks for that."""
    if not work.stopped:
        return ()
    from plategen.cause import causes

    return causes(work)


def _by_elements(finding: "Finding") -> bool:
    """Whether finite elements gave it: it is shown though it decides nothing."""
    from plategen.checks.elements import CHECKS

    return finding.of in CHECKS


def _misfit(*, vary: bool, apply: bool, views: bool, as_csv: bool, as_json: bool) -> str:
    """What does not go together among the options; "" when all does."""
    if vary and (views or apply or (as_csv and as_json)):
        return "--vary goes with --jobs, and with one of --csv and --json"
    if apply and (views or as_csv):
        return "--apply goes with --out and --json"
    return "--csv goes with --vary" if as_csv and not vary else ""


def _sweep(loaded: "LoadedJob", vary: tuple[str, ...], jobs: int, *, form: Form) -> int:
    """Judge every variant; the exit status."""
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
    from plategen.ground.show import Show
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


_CHUNK = 64
"""Variants handed to a process at a time: a fraction of a second's work, so that progress moves and Ctrl-C is heard."""


def run(sweep: "Sweep", jobs: int, *, form: Form) -> int:
    """Judge every variant, print it, and say the exit status.

    Returns:
        0 when a variant holds, 1 when every one stops or is refused, 130 when interrupted; what was done by then is
        printed all the same.
    """
    from plategen.tell.table import columns
    from plategen.tell.vary_table import head, plain_head, plain_row, row, summary, variants_report

    done: list[Variant] = []
    stopped = False
    rows = csv.writer(sys.stdout or io.StringIO(), lineterminator="\n")
    if form == "csv":
        rows.writerow(plain_head(sweep))
    with (
        click.progressbar(
            length=len(sweep), label="variants", show_pos=True, file=sys.stderr, hidden=not at_terminal()
        ) as bar,
        closing(variants_of(sweep, jobs)) as variants,
    ):
        try:
            for variant in variants:
                done.append(variant)
                if form == "csv":
                    rows.writerow(plain_row(sweep, variant))
                bar.update(1)
        except KeyboardInterrupt:
            stopped = True
    if form == "json":
        say_json(variants_report(sweep, done))
    elif form == "table":
        click.echo("\n".join(columns([head(sweep), *(row(sweep, variant) for variant in done)])))
    click.echo(f"{'stopped: ' if stopped else ''}{summary(done, len(sweep))}", err=form != "table" or stopped)
    if stopped:
        return INTERRUPTED
    return 0 if any(variant.verdict in ("ok", "caution") for variant in done) else STOPPED


def variants_of(sweep: "Sweep", jobs: int) -> "Generator[Variant, None, None]":
    """Every variant in the grid's order, whoever judges it."""
    from concurrent.futures import ProcessPoolExecutor

    from plategen.vary import judged

    if jobs == 1:
        yield from judged(sweep, range(len(sweep)))
        return
    chunks = [range(i, min(i + _CHUNK, len(sweep))) for i in range(0, len(sweep), _CHUNK)]
    pool = ProcessPoolExecutor(min(jobs, len(chunks)), initializer=_hold, initargs=(sweep,))
    try:
        for variants in pool.map(_chunk, chunks):
            yield from variants
    finally:
        pool.shutdown(wait=True, cancel_futures=True)


_held: "list[Sweep]" = []
"""In a process that judges a part of a sweep: that sweep, sent there once."""


def _hold(sweep: "Sweep") -> None:
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the process that was asked hears of it, and ends the others
    _held.append(sweep)


def _chunk(indexes: range) -> "list[Variant]":
    from plategen.vary import judged

    return list(judged(_held[-1], indexes))
