"""``plategen make``: the whole of a job, or of several, into files."""

import os
import signal
import sys
from collections.abc import Callable, Generator, Iterator
from contextlib import closing, nullcontext
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING

import click

from plategen.commands.one_line import PATH, REFUSED, STOPPED, Step, in_units, say_json, working
from plategen.ground.refusal import Refusal
from plategen.paper.size import PAPERS, USUAL_PAPER

if TYPE_CHECKING:
    from concurrent.futures import Future

    from plategen.delivery.deliver import Delivered
    from plategen.delivery.solid_process import SolidProcess
    from plategen.work import Work


@dataclass(frozen=True, slots=True, kw_only=True)
class Wanted:
    """What is wanted of every job."""

    out: Path | None  # The folder to write into, or, of several jobs, the folder of their folders.
    several: bool
    paper: str
    solid: bool
    elements: bool
    as_json: bool
    one_file: bool
    cores: int  # That each job has for itself.

    def folder(self, name: str) -> Path:
        """Where the files of the job in a folder of that name go."""
        return self.out / name if self.out and self.several else self.out or Path("outputs") / name


@dataclass(frozen=True, slots=True)
class Made:
    """What came of one job: exit status, its report as plain data or its lines, and what goes to the error stream."""

    status: int
    report: object = None
    lines: tuple[str, ...] = ()
    errors: tuple[str, ...] = ()


@click.command()
@click.argument("jobs", type=PATH, nargs=-1, required=True, metavar="JOB...")
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
@click.option("--zip", "one_file", is_flag=True, help="All of it in one ZIP as well, named by job and revision.")
@click.option("--jobs", "processes", type=click.IntRange(1, 256), default=1, show_default=True, help="Processes.")
def make(
    jobs: tuple[Path, ...],
    out: Path | None,
    paper: str,
    no_solid: bool,
    elements: bool,
    as_json: bool,
    one_file: bool,
    processes: int,
) -> None:
    """The whole JOB (a folder or its job.toml): cut files, paper, sheet, solid and numbers.

    Several jobs are made each by itself, into a folder of its own name: one that is refused keeps no other from being
    made. The exit status is then the highest of theirs.
    """
    _refuse_twins(jobs)
    several = len(jobs) > 1
    wanted = Wanted(
        out=out, several=several, paper=paper, solid=not no_solid, elements=elements, as_json=as_json,
        one_file=one_file, cores=_cores() // processes,
    )  # fmt: skip
    statuses, reports = [0], []
    with closing(_each(jobs, wanted, processes)) as ways:
        for number, (job, made_by) in enumerate(zip(jobs, ways, strict=True), 1):
            # what is printed comes once the line that tells of progress is wiped
            with working(f"{number} of {len(jobs)}: {job}" if several else "fitting, building and judging") as step:
                made = made_by(step)
            statuses.append(made.status)
            reports.append(made.report)
            if not as_json:
                click.echo("\n".join([*([f"{job}:"] if several else []), *made.lines]))
            for words in made.errors:
                click.echo(words, err=True)
    if as_json:
        say_json(reports if several else reports[0])
    else:
        from plategen.checks.caution import SHORT

        click.echo(SHORT)
    sys.exit(max(statuses))


def _cores() -> int:
    """How many cores this program may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


def _refuse_twins(jobs: tuple[Path, ...]) -> None:
    """Refuse jobs whose files would go into one folder."""
    names = [(job if job.is_dir() else job.parent).resolve().name for job in jobs]
    if twin := next((name for name in names if names.count(name) > 1), None):
        raise Refusal(f'two jobs lie in folders named "{twin}", and their files would mix; make them one by one')


def _each(jobs: tuple[Path, ...], wanted: Wanted, processes: int) -> Generator[Callable[[Step], Made], None, None]:
    """For every job, in the order asked for, what gives what came of it, whoever makes it."""
    if not wanted.several:
        yield partial(_made, jobs[0], wanted)
    elif processes == 1:
        yield from (partial(_or_refused, job, wanted) for job in jobs)
    else:
        from concurrent.futures import ProcessPoolExecutor

        pool = ProcessPoolExecutor(min(processes, len(jobs)), initializer=_left_alone)
        try:
            for future in [pool.submit(_or_refused, job, wanted) for job in jobs]:
                yield partial(_waited_for, future)
        finally:
            pool.shutdown(wait=True, cancel_futures=True)


def _waited_for(future: "Future[Made]", _: Step) -> Made:
    return future.result()


def _left_alone() -> None:
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the process that was asked hears of it, and ends the others


def _or_refused(job: Path, wanted: Wanted, step: Step = lambda words: None) -> Made:
    """One of several jobs made, or the line that refuses it."""
    try:
        return _made(job, wanted, step)
    except Refusal as refusal:
        return Made(REFUSED, {"job": str(job), "refused": str(refusal)}, ("refused",), (str(refusal),))


def _made(job: Path, wanted: Wanted, step: Step) -> Made:
    """One job carried through and delivered.

    Raises:
        Refusal: It cannot be made; nothing in its folder has changed.
    """
    from plategen.delivery.solid_process import SolidProcess

    with SolidProcess() if wanted.solid and wanted.cores > 1 else nullcontext() as beside:
        return _carried(job, wanted, step, beside)


def _carried(job: Path, wanted: Wanted, step: Step, beside: "SolidProcess | None") -> Made:
    from plategen.delivery.deliver import deliver, delivery_report
    from plategen.delivery.folder import refuse_unwritable
    from plategen.delivery.zipped import hand_over
    from plategen.job.load import load_job
    from plategen.make import carry_through
    from plategen.tell.report.encode import plain

    loaded = load_job(job)
    folder = wanted.folder(loaded.name)
    refuse_unwritable(folder)
    with in_units(loaded.job.units, "job.toml"):
        work = carry_through(loaded.job, loaded.traces, elements=wanted.elements)
        held = _held(work, folder)
        delivered = deliver(work, folder, paper=wanted.paper, solid=wanted.solid, step=step, beside=beside)
        whole = hand_over(delivered, folder, loaded.name) if wanted.one_file else None
    handed = () if whole is None else (f"all of it in one file: {whole}",)
    return Made(
        STOPPED if work.stopped else 0,
        plain(delivery_report(work, folder, delivered, held)) if wanted.as_json else None,
        () if wanted.as_json else (*_lines(work, delivered, held), *handed),
        delivered.missing,
    )


def _lines(work: "Work", delivered: "Delivered", held: str) -> Iterator[str]:
    """What is printed of a delivery: the plates and what stops, the verdict, then the files."""
    from plategen.ground.show import Show
    from plategen.tell.cause import cause_lines
    from plategen.tell.screen import cost_lines, doubt_lines, plates_lines, stop_lines, verdict_lines

    show, found = Show(work.job.units), delivered.causes
    verdict, *not_covered = verdict_lines(work.findings)
    yield from [held] if held else []
    yield from (
        *plates_lines(work, show),
        *doubt_lines(work, show),
        *cost_lines(work),
        verdict,
        *cause_lines(found, work.findings, show),
        *stop_lines(work.findings, show, found),
        *not_covered,
    )
    yield from (*map(str, delivered.files), delivered.stamp.words)
    yield from (f"  {change}" for change in delivered.changes)


STAYS = {"welds": "every welded edge stays where it is", "holes": "every hole in the rail stays as it is"}
"""What ``make`` says where nothing that is held would be lost."""


def _held(work: "Work", folder: Path) -> str:
    """What ``keep`` of the job comes to, against what the folder holds; "" where it keeps nothing.

    Raises:
        Refusal: A welded edge, or a hole in the rail, would not stay where it is.
    """
    keep = "nothing" if work.job.revision is None else work.job.revision.keep
    if keep == "nothing":
        return ""
    from plategen.delivery.recorded import recorded_work
    from plategen.ground.message import message
    from plategen.revision.keep import keep_welds, welds_lost
    from plategen.revision.keep_holes import holes_lost, keep_holes

    before = recorded_work(folder)
    if before is None:
        return f'keep = "{keep}": {folder} holds no bracket made before, so there is nothing to hold yet'
    lost = welds_lost(before, work) if keep == "welds" else holes_lost(before, work)
    if not lost:
        return f'keep = "{keep}": {STAYS[keep]}'
    best = (keep_welds if keep == "welds" else keep_holes)(before, work).best
    words = (
        '"{}" cannot be kept against {}: {}{}; {}; `plategen revise {} JOB` says all of it, and without the key all '
        "is {} anew"
    )
    raise Refusal(
        message(
            words,
            keep,
            str(folder),
            lost[0],
            message(" and {} more", len(lost) - 1) if lost[1:] else "",
            message("what keeps them: {}, {}", best.change, best.advice) if best else "nothing keeps them",
            str(folder),
            "cut" if keep == "welds" else "drilled",
        ),
        "revision.keep",
    )
