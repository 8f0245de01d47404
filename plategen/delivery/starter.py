"""A new job folder: a commented job file and a sample trace, which make a bracket as they stand."""

import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, get_args

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units

FILES = ("job.toml", "front.csv")
"""What a new folder holds."""


@cache
def starter_text(name: str, units: Units) -> str:
    """The text of one of :data:`FILES`, in the units that the user measures in."""
    return files("plategen.delivery").joinpath("start", units, name).read_text(encoding="utf-8")


def is_example(job: Mapping[str, Any], traces: Iterable[str]) -> bool:
    """Whether a job still holds the sample's own numbers: its trace, or its cylinder under its title."""
    texts = tuple(traces)
    return any(
        starter_text("front.csv", units) in texts or all(job.get(key) == value for key, value in _sample(units).items())
        for units in get_args(Units)
    )


@cache
def _sample(units: Units) -> dict[str, Any]:
    data = tomllib.loads(starter_text("job.toml", units))
    return {key: data[key] for key in ("title", "cylinder")}


def lay_out(folder: Path, units: Units) -> tuple[Path, ...]:
    """The starter files, written into a folder that is made if need be; anything else in it is left alone.

    Raises:
        Refusal: One of the files is there already, or the folder cannot be written; nothing is changed then.
    """
    paths = tuple(folder / name for name in FILES)
    for path in paths:
        if path.exists() or path.is_symlink():
            raise Refusal("is there already and stays as it is; a new folder is right", place=str(path))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path in paths:
            with path.open("x", encoding="utf-8", newline="\n") as stream:  # never over a file that came meanwhile
                stream.write(starter_text(path.name, units))
    except OSError as error:
        reason = (error.strerror or "no reason given").lower()
        raise Refusal(f"cannot be written ({reason}); a folder of your own is right", place=str(folder)) from None
    return paths
