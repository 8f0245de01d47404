"""The commands: each reads its words, calls the core, prints, and sets the exit status; nothing is computed here.

Exit status: 0 done; 1 done, and a finding says stop; 2 the input is refused, with one line on the error stream and
nothing on disk changed. Rooms are imported inside the commands, so that ``--help`` and refusals are immediate.
"""

import contextlib
import json
import re
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import click

from plategen import __version__
from plategen.refusal import Refusal
from plategen.show import Show
from plategen.unit import Units

REFUSED = 2
STOPPED = 1


class OneLineErrors(click.Group):
    """A command group in which every refusal is one line on the error stream and exit status 2."""

    def main(self, args: Sequence[str] | None = None, **extra: Any) -> Any:
        """Run the commands; see :class:`click.Group`."""
        extra["standalone_mode"] = False
        try:
            sys.exit(super().main(args, **extra) or 0)
        except click.ClickException as error:
            _say_and_leave(error.format_message(), REFUSED)
        except Refusal as refusal:
            _say_and_leave(str(refusal), REFUSED)
        except (click.Abort, KeyboardInterrupt):
            _say_and_leave("stopped; nothing was written", 130)
        except BrokenPipeError:
            # the reader of our output went away, as `| head` does: nothing is wrong
            sys.stdout = None  # type: ignore[assignment]
            sys.exit(0)
        except OSError as error:
            _say_and_leave(f"{error.filename or 'the disk'}: {error.strerror or error}; nothing was written", REFUSED)


def _say_and_leave(line: str, status: int) -> None:
    click.echo(" ".join(line.split()), err=True)
    sys.exit(status)


@contextlib.contextmanager
def _in_units(units: Units, file: str) -> Iterator[None]:
    """Refusals from within are placed in ``file`` and their millimetres told in the job's units."""
    show = Show(units)
    try:
        yield
    except Refusal as refusal:
        told = re.sub(r"(-?\d[\d.]*(?:e[+-]?\d+)?) mm\b", lambda m: show.length(float(m[1])), refusal.what)
        raise Refusal(told, refusal.where).at(file) from None


@click.group(cls=OneLineErrors, context_settings={"help_option_names": ["-h", "--help"]})
@click.version_option(__version__, prog_name="plategen")
def main() -> None:
    """Bracket plates that fit a rail that is not square: from cardboard offsets to cut files, paper and numbers.

    Steering and welding can kill: local vehicle codes, a qualified welder and a licensed engineer decide.
    """


@main.command()
@click.argument("folder", type=click.Path(path_type=Path))
@click.option("--units", type=click.Choice(["in", "mm"]), default="in", show_default=True, help="What you measure in.")
def start(folder: Path, units: Units) -> None:
    """Lay out a new job FOLDER: a commented job file and a sample trace."""
    from plategen.shop.starter import lay_out

    for path in lay_out(folder, units):
        click.echo(path)
    click.echo(f"Fill in the numbers, then: plategen make {folder}")


@main.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option("--units", type=click.Choice(["in", "mm"]), default="in", show_default=True, help="For bare numbers.")
@click.option("--json", "as_json", is_flag=True, help="For other programs.")
def trace(file: Path, units: Units, as_json: bool) -> None:
    """Read one trace FILE; show the fitted shape and the doubtful readings."""
    from plategen.job.load import load_trace
    from plategen.rail.fit import fit_trace
    from plategen.screen import trace_lines
    from plategen.shop.report import trace_report

    readings = load_trace(file, units)
    with _in_units(units, file.name):
        fitted = fit_trace(readings)
    if as_json:
        click.echo(json.dumps(trace_report(fitted), indent=1))
    else:
        click.echo("\n".join(trace_lines(fitted, Show(units))))


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--out", type=click.Path(path_type=Path), help="Folder to write into; outputs/<job folder> if left out.")
@click.option("--paper", default="letter", show_default=True, help="letter or a4, or a large format.")
@click.option("--no-solid", is_flag=True, help="Leave out the STEP file; much quicker.")
def make(job: Path, out: Path | None, paper: str, no_solid: bool) -> None:
    """The whole JOB (a folder or its job.toml): cut files, paper, sheet, solid and numbers."""
    from plategen.job.load import load_job
    from plategen.make import carry_through
    from plategen.screen import must_stop, plates_lines
    from plategen.shop.caution import SHORT
    from plategen.shop.delivery import deliver, refuse_unwritable

    loaded = load_job(job)
    show = Show(loaded.job.units)
    folder = out or Path("outputs") / loaded.name
    refuse_unwritable(folder)
    with _in_units(loaded.job.units, "job.toml"):
        work = carry_through(loaded.job, loaded.traces)
        delivered = deliver(work, folder, paper=paper, solid=not no_solid)
    click.echo("\n".join(plates_lines(work, show)))
    _echo_doubts(work, show)
    _echo_stops(work.findings, show)
    for path in delivered.files:
        click.echo(path)
    if delivered.stamp:
        click.echo(delivered.stamp.words)
    for change in delivered.changes:
        click.echo(f"  {change}")
    for missing in delivered.missing:
        click.echo(missing, err=True)
    click.echo(SHORT)
    sys.exit(STOPPED if must_stop(work.findings) else 0)


@main.command()
@click.argument("job", type=click.Path(path_type=Path))
@click.option("--json", "as_json", is_flag=True, help="For other programs: the whole report.")
@click.option("--opinions", is_flag=True, help="Show what the other rule sets say as well.")
def judge(job: Path, as_json: bool, opinions: bool) -> None:
    """The numbers of JOB alone; exit status 1 if a finding says stop."""
    from plategen.job.load import load_job
    from plategen.make import carry_through
    from plategen.screen import findings_lines, must_stop, plates_lines
    from plategen.shop.caution import SHORT
    from plategen.shop.report import report

    loaded = load_job(job)
    show = Show(loaded.job.units)
    with _in_units(loaded.job.units, "job.toml"):
        work = carry_through(loaded.job, loaded.traces)
    if as_json:
        click.echo(json.dumps(report(work), indent=1))
    else:
        click.echo("\n".join([*plates_lines(work, show), *findings_lines(work.findings, show, opinions=opinions)]))
        _echo_doubts(work, show)
        click.echo(SHORT)
    sys.exit(STOPPED if must_stop(work.findings) else 0)


def _echo_doubts(work: Any, show: Show) -> None:
    for fitted in work.rail.traces:
        for index in fitted.doubtful:
            reading = fitted.trace.readings[index]
            click.echo(
                f"{fitted.trace.file} line {reading.line}: station {show.short(reading.point.real)}, offset "
                f"{show.length(reading.point.imag)} is {show.length(abs(fitted.residuals_mm[index]))} off the rest "
                "and was left out; read it again"
            )


def _echo_stops(findings: Any, show: Show) -> None:
    from plategen.screen import worst_first

    for f in worst_first(findings):
        if f.verdict == "stop" and not f.opinion:
            cure = f"; {f.cure}" if f.cure else ""
            click.echo(
                f"STOP: {f.check}, {f.part}: {show.finding(f.demand, f.unit)} asked, "
                f"{show.finding(f.capacity, f.unit)} there{cure}"
            )
