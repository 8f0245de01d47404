"""A new job folder: a commented job file and a sample trace, which make a bracket as they stand."""

import re
import tomllib
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any, Literal, TypeAlias, get_args

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units

FILES = ("job.toml", "front.csv")
"""What a new folder holds."""


Start: TypeAlias = Literal["ears", "split", "bolted", "seat", "steering"]
"""What a new job is for: a style of bracket, or ears whose pin the steering study watches."""

_SET: dict[tuple[Start, Units], dict[str, str]] = {
    ("split", "in"): {"inline_offset": '"3 7/8"', "built_for": '"3 7/8"'},
    ("split", "mm"): {"inline_offset": "98", "built_for": "98"},
    ("seat", "in"): {"inline_offset": '"4 3/8"'},
    ("seat", "mm"): {"inline_offset": "111"},
    ("bolted", "in"): {"inline_offset": '"2 3/4"'},
    ("bolted", "mm"): {"inline_offset": "70"},
    ("steering", "in"): {
        "bore": '"1 1/2"', "rod": '"3/4"', "body_diameter": '"1 7/8"', "pin": '"3/4"', "eye_radius": "1",
        "pressure": '"1200 psi"',
    },
    ("steering", "mm"): {
        "bore": "40", "rod": "20", "body_diameter": "48", "pin": "20", "eye_radius": "25", "pressure": '"75 bar"',
    },
}  # fmt: skip
"""Numbers of the sample that a style wants otherwise, by key."""

_TRACES = re.compile(r"# Clamp a straightedge.*?(?=\[cylinder\])", re.DOTALL)
"""The part of the job file about traces, which a tube does without."""


@cache
def starter_text(name: str, units: Units, start: Start = "ears") -> str:
    """The text of one of :data:`FILES`, in the units that the user measures in, for what is to be built."""
    text = _text(name, units)
    if name != FILES[0] or start == "ears":
        return text
    if start == "seat":
        text = _TRACES.sub("", text)
    if start != "steering":
        text = text.replace('style = "ears"', f'style = "{start}"')
    if start == "steering":
        text = text.replace('# pin = "study"  ', 'pin = "study"    ')
    text += _text(f"{start}.toml", units)
    for key, value in _SET.get((start, units), {}).items():
        text = re.sub(rf"^{key} = (?!\"study)(\"[^\"]*\"|\S+)", f"{key} = {value}", text, flags=re.MULTILINE)
    return text


def _text(name: str, units: Units) -> str:
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


def lay_out(folder: Path, units: Units, start: Start = "ears") -> tuple[Path, ...]:
    """The starter files of what is to be built, written into a folder that is made if need be; else it is left alone.

    Raises:
        Refusal: One of the files is there already, or the folder cannot be written; nothing is changed then.
    """
    paths = tuple(folder / name for name in (FILES[:1] if start == "seat" else FILES))
    for path in paths:
        if path.exists() or path.is_symlink():
            raise Refusal("is there already and stays as it is; a new folder is right", place=str(path))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path in paths:
            with path.open("x", encoding="utf-8", newline="\n") as stream:  # never over a file that came meanwhile
                stream.write(starter_text(path.name, units, start))
    except OSError as error:
        reason = (error.strerror or "no reason given").lower()
        raise Refusal(f"cannot be written ({reason}); a folder of your own is right", place=str(folder)) from None
    return paths
