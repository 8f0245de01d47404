"""What a command says to other programs: one JSON value on the output stream, and nothing else there."""

from typing import Any

import click


def say_json(value: Any) -> None:
    """Print a report as JSON; every sign beyond ASCII is escaped, so that it is the same in any terminal."""
    from plategen.tell.report.encode import json_text

    click.echo(json_text(value, ascii_only=True))
