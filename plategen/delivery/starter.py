"""A new job folder: a commented job file and a sample trace, which make a bracket as they stand."""

from collections.abc import Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import get_args

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units

FILES = ("job.toml", "front.csv")
"""What a new folder holds."""


@cache
def starter_text(name: str, units: Units) -> str:
    """The text of one of :data:`FILES`, in the units that the user measures in."""
    return files("plategen.delivery").joinpath("start", units, name).read_text(encoding="utf-8")


def is_example(job: str, traces: Mapping[str, str]) -> bool:
    """Whether a job's numbers are still the sample's own: its job file, or a trace of its, as it was laid out."""
    samples = {name: {starter_text(name, units) for units in get_args(Units)} for name in FILES}
    return job in samples["job.toml"] or any(text in samples["front.csv"] for text in traces.values())


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
