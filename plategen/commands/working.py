"""What a long command is doing, for the person who waits: one line of the error stream, wiped at the end.

Nothing is said when the error stream is no terminal, so logs and pipes hold results and refusals alone.
"""

import contextlib
import sys
from collections.abc import Callable, Iterator
from typing import TypeAlias

import click

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

    def say(words: str) -> None:
        nonlocal wide
        # the line is overwritten with blanks, as not every terminal knows how to erase
        click.echo(f"\r{words.ljust(wide)}", nl=False, err=True)
        wide = len(words)

    say(f"{first} ...")
    try:
        yield lambda words: say(f"{words} ...")
    finally:
        say("")
        click.echo("\r", nl=False, err=True)
