"""What a command says to other programs: one JSON value on the output stream, and nothing else there."""

import json
import math
from typing import Any

import click


def say_json(told: Any) -> None:
    """Print plain data as JSON, which knows no infinity: a number that is not finite becomes null.

    Every sign beyond ASCII is escaped, so the text is the same in a terminal of any language.
    """
    click.echo(json.dumps(_finite(told), indent=1, allow_nan=False))


def _finite(told: Any) -> Any:
    if isinstance(told, float):
        return told if math.isfinite(told) else None
    if isinstance(told, dict):
        return {key: _finite(value) for key, value in told.items()}
    if isinstance(told, list | tuple):
        return [_finite(value) for value in told]
    return told
