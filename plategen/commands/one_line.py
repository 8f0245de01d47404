"""How a command speaks: progress for who waits, JSON for programs, and one line and an exit status for a refusal.

Progress is one line of the error stream, wiped at the end; nothing is said when that stream is no terminal, so logs and
pipes hold results and refusals alone.
"""

import contextlib
import sys
from collections.abc import Callable, Iterable, Iterator
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeAlias

import click

from plategen.commands.typed_wrong import no_such_command, told
from plategen.ground.refusal import Refusal, shortened
from plategen.ground.unit import Units

if TYPE_CHECKING:
    from click.shell_completion import CompletionItem


class _Named(click.Path):
    """A path that has a name: an empty one would stand for the folder one happens to stand in."""

    def convert(self, value: Any, param: click.Parameter | None, ctx: click.Context | None) -> Any:
        if not str(value).strip():
            self.fail("the name is empty; the name of a file or a folder is right, . for this one", param, ctx)
        return super().convert(value, param, ctx)


PATH, FILE = _Named(path_type=Path), _Named(path_type=Path, dir_okay=False)
JOB = click.argument("job", type=PATH)
AS_JSON = click.option("--json", "as_json", is_flag=True, help="For other programs.")
UNITS = click.Choice(["in", "mm"])
"""Words that several commands take, the choices for the shell to complete without loading what is chosen among."""


def can_say(signs: str) -> bool:
    """Whether whoever reads the standard output is shown all of these signs."""
    try:
        signs.encode(getattr(sys.stdout, "encoding", None) or "ascii")
    except (UnicodeEncodeError, LookupError):
        return False
    return True


Step: TypeAlias = Callable[[str], None]
"""Tells which step is begun."""


def at_terminal() -> bool:
    """True when a person may be looking at the error stream; some schedulers start programs without any stream."""
    return sys.stderr is not None and sys.stderr.isatty()


@contextlib.contextmanager
def working(first: str) -> Iterator[Step]:
    """While the block runs, say ``first``, then whatever the yielded function is given."""
    if not at_terminal():
        yield lambda words: None
        return
    wide = 0

    def show(words: str) -> None:
        nonlocal wide
        # the line is overwritten with blanks, as not every terminal knows how to erase
        click.echo(f"\r{words.ljust(wide)}", nl=False, err=True)
        wide = len(words)

    show(f"{first} ...")
    try:
        yield lambda words: show(f"{words} ...")
    finally:
        show("")
        click.echo("\r", nl=False, err=True)


def say_json(value: Any) -> None:
    """Print a report as JSON; every sign beyond ASCII is escaped, so that it is the same in any terminal."""
    from plategen.tell.report.encode import json_text

    click.echo(json_text(value, ascii_only=True))


def say(as_json: bool, report: Callable[[], Any], lines: Callable[[], Iterable[str]]) -> None:
    """Print a report for programs, or its lines for people and the cautions below them; only the one is made."""
    from plategen.checks.caution import SHORT

    if as_json:
        say_json(report())
    else:
        click.echo("\n".join([*lines(), SHORT]))


STOPPED = 1
REFUSED = 2
INTERRUPTED = 130
MOST_WORD, MOST_LINE = 160, 1000
"""Exit statuses beside 0, the last what a shell gives for Ctrl-C; signs shown of a word, which may be a path, and of a
line."""


class OneLineErrors(click.Group):
    """A command group in which every refusal is one line on the error stream and exit status 2.

    Commands are given by name, and imported only when one is asked for, so that each pays for itself alone and the
    list of them for none: ``plategen.commands.<name>`` holds a command of that name.
    """

    def __init__(self, *args: Any, lines: dict[str, str], **extra: Any) -> None:
        super().__init__(*args, **extra)
        self._lines = lines

    def list_commands(self, ctx: click.Context) -> list[str]:
        """The commands in the order in which a job meets them."""
        return list(self._lines)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        """The command of that name; None if there is none."""
        if cmd_name not in self._lines:
            return None
        command: click.Command = getattr(import_module(f"plategen.commands.{cmd_name}"), cmd_name)
        return command

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """The command that the first word names; see :class:`click.Group`."""
        if not ctx.resilient_parsing and args[0] not in self._lines and not args[0].startswith("-"):
            raise click.UsageError(no_such_command(args[0], self._lines), ctx)
        return super().resolve_command(ctx, args)

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands, a line each, without importing one of them."""
        with formatter.section("Commands"):
            formatter.write_dl(list(self._lines.items()))

    def shell_complete(self, ctx: click.Context, incomplete: str) -> list["CompletionItem"]:
        """What the shell offers for a command's name, without importing one of them."""
        from click.shell_completion import CompletionItem

        names = [CompletionItem(name, help=line) for name, line in self._lines.items() if name.startswith(incomplete)]
        return names or click.Command.shell_complete(self, ctx, incomplete)

    def main(self, *args: Any, **extra: Any) -> Any:
        """Run the commands; see :class:`click.Group`."""
        try:
            sys.exit(super().main(*args, **{**extra, "standalone_mode": False}) or 0)
        except click.ClickException as error:
            _say_and_leave(told(error), REFUSED)
        except Refusal as refusal:
            _say_and_leave(str(refusal), REFUSED)
        except (click.Abort, KeyboardInterrupt):
            _say_and_leave("stopped; nothing was written", INTERRUPTED)
        except BrokenPipeError:
            # the reader of our output went away, as `| head` does: nothing is wrong
            sys.stdout = None
            sys.exit(0)
        except OSError as error:
            _say_and_leave(f"{error.filename or 'the disk'}: {error.strerror or error}; nothing was written", REFUSED)


def _say_and_leave(line: str, status: int) -> None:
    click.echo(shortened(" ".join(shortened(word, MOST_WORD) for word in line.split()), MOST_LINE), err=True)
    sys.exit(status)


@contextlib.contextmanager
def in_units(units: Units, file: str) -> Iterator[None]:
    """Refusals from within are placed in ``file`` and shown in the job's units.

    One that names a file beside a bare ``job.toml`` keeps to it; before a path it stands in, the path is told.
    """
    try:
        yield
    except Refusal as refusal:
        placed = refusal if refusal.place and file == "job.toml" else refusal.at(file)
        raise placed.in_units(units) from None
