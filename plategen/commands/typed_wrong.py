"""What was typed wrong on the command line, in our words: what is missing or not known, and what would be right."""

import re
from collections.abc import Iterable

import click

_SAY = {
    "job": ("the job's folder", "my-job"),
    "jobs": ("the job's folder", "my-job"),
    "folder": ("the new folder", "my-job"),
    "file": ("the trace", "my-job/front.csv"),
    "photo": ("the photograph", "photo.jpg"),
    "old": ("the old job's folder and the new one's", "old-job new-job"),
    "new": ("the old job's folder and the new one's", "old-job new-job"),
    "plate": ("the job's folder and the plate's drawing", "my-job plate.dxf"),
}
"""What each word of a command is, and one as an example."""

_LEFT_OVER = re.compile(r"extra arguments? \((.*)\)")
_OUT_OF_RANGE = re.compile(r"(\S+) is not in the range")


def no_such_command(typed: str, known: Iterable[str]) -> str:
    """What to say of a command that there is none of.

    >>> no_such_command("mak", ["make", "judge"])
    'there is no command mak; did you mean make?'
    """
    from difflib import get_close_matches

    names = list(known)
    near = get_close_matches(typed, names, n=1)
    right = f"did you mean {near[0]}?" if near else f"those there are: {', '.join(names)}"
    return f"there is no command {typed}; {right}"


def told(error: click.ClickException) -> str:
    """An error of the command line as one line."""
    words = error.format_message()
    command = error.ctx.info_name if isinstance(error, click.UsageError) and error.ctx else ""
    match error:
        case click.MissingParameter(param=click.Argument(name=str(name))) if name in _SAY:
            what, example = _SAY[name]
            return f"say {what}: plategen {command} {example}"
        case click.NoSuchOption():
            near = f"; did you mean {error.possibilities[0]}?" if error.possibilities else ""
            return f"there is no option {error.option_name}{near or f'; plategen {command} --help lists them'}"
        case click.BadParameter(param=click.Parameter(type=click.IntRange() as span) as option):
            typed = _OUT_OF_RANGE.match(error.message)
            if typed and span.min is not None and span.max is not None:
                return f"{option.opts[0]}: {typed[1]} cannot be; {span.min} to {span.max} is right"
    if left := _LEFT_OVER.search(words):
        return f"plategen {command} takes one file at a time; left over: {left[1]}"
    return words
