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
from plategen.job.bracket import ONLY_ON_RAIL
from plategen.job.toml_edit import path_of, set_value

FILES = ("job.toml", "front.csv")
"""What a new folder holds."""


Start: TypeAlias = Literal["ears", "split", "bolted", "seat", "steering"]
"""What a new job is for: a style of bracket, or ears whose pin the steering study watches."""

START_WORDS: Mapping[Start, str] = {
    "ears": "Ears welded to a rail",
    "split": "Ears bolted to tabs that are welded to a rail",
    "bolted": "Ears on a base bolted to a rail that must not be welded",
    "seat": "A seat on a tube: an axle, a tie rod, a drag link",
    "steering": "Ears on a rail and the whole steering",
}
"""What each is in words, for those who choose by them."""

_SET: dict[tuple[Start, Units], dict[str, float | str]] = {
    ("split", "in"): {"mount.inline_offset": "3 7/8"},
    ("split", "mm"): {"mount.inline_offset": 98},
    ("seat", "in"): {"mount.inline_offset": "4 3/8"},
    ("seat", "mm"): {"mount.inline_offset": 111},
    ("bolted", "in"): {"mount.inline_offset": "2 3/4"},
    ("bolted", "mm"): {"mount.inline_offset": 70},
    ("steering", "in"): {
        "cylinder.bore": "1 1/2", "cylinder.rod": "3/4", "cylinder.body_diameter": "1 7/8", "cylinder.base.pin": "3/4",
        "cylinder.base.eye_radius": 1, "cylinder.pressure": "1200 psi",
    },
    ("steering", "mm"): {
        "cylinder.bore": 40, "cylinder.rod": 20, "cylinder.body_diameter": 48, "cylinder.base.pin": 20,
        "cylinder.base.eye_radius": 25, "cylinder.pressure": "75 bar",
    },
}  # fmt: skip
"""Numbers of the sample that a style wants otherwise, by their place in the job file."""

_TRACES = re.compile(r"# Clamp a straightedge.*?(?=\[cylinder\])", re.DOTALL)
"""The part of the job file about traces, which a tube does without."""

_RAILS_ALONE = re.compile(rf"^# (?:{'|'.join(key.rpartition('.')[2] for key in ONLY_ON_RAIL)}) = .*\n", re.MULTILINE)
"""Its lines about a rail's faces and corner, which a tube has not."""

_OF_TUBE = (
    ("# thickness of the rail where the bracket is welded", "# thickness of the tube's wall"),
    ("# what the rail is made of,", "# what the tube is made of,"),
    ("# from the straightedge to", "# from the tube's axis to"),
    ("gap between notch and rail", "gap between notch and tube"),
    ("plate's ends at the rail", "plate's ends at the tube"),
)
"""Words about a rail, and what stands there of a tube."""


@cache
def starter_text(name: str, units: Units, start: Start = "ears") -> str:
    """The text of one of :data:`FILES`, in the units that the user measures in, for what is to be built."""
    text = _text(name, units)
    if name != FILES[0] or start == "ears":
        return text
    if start == "seat":
        text = _RAILS_ALONE.sub("", _TRACES.sub("", text))
        for of_rail, of_tube in _OF_TUBE:
            text = text.replace(of_rail, of_tube)
    if start == "steering":
        text = text.replace('# pin = "study"  ', 'pin = "study"    ')
    else:
        text = set_value(text, path_of("bracket.style"), start)
    for key, value in _SET[start, units].items():
        text = set_value(text, path_of(key), value)
    return text + _text(f"{start}.toml", units)


def style_tables(start: Start, units: Units) -> dict[str, Any]:
    """The tables, by their names, that a new job has for the sake of what is to be built; none for ears."""
    return {} if start == "ears" else tomllib.loads(_text(f"{start}.toml", units))


def _text(name: str, units: Units) -> str:
    return files("plategen.delivery").joinpath("start", units, name).read_text(encoding="utf-8")


def is_example(job: Mapping[str, Any], traces: Iterable[str]) -> bool:
    """Whether a job still holds the sample's own numbers: its trace, or its cylinder where its pin is as well."""
    texts = tuple(traces)
    return any(starter_text("front.csv", units) in texts for units in get_args(Units)) or any(
        all(job.get(key) == value for key, value in _measured(units, start).items())
        for units in get_args(Units)
        for start in get_args(Start)
    )


@cache
def _measured(units: Units, start: Start) -> dict[str, Any]:
    """What a user measures on the machine, of a sample: no two machines are alike in all of it."""
    data = tomllib.loads(starter_text("job.toml", units, start))
    return {key: data[key] for key in ("cylinder", "mount")}


def starter_texts(units: Units, start: Start = "ears") -> dict[str, str]:
    """The texts of a new folder for what is to be built, by the files' names; a tube is not traced."""
    return {name: starter_text(name, units, start) for name in (FILES[:1] if start == "seat" else FILES)}


def lay_out(folder: Path, units: Units, start: Start = "ears") -> tuple[Path, ...]:
    """The starter files of what is to be built, written into a folder that is made if need be; else it is left alone.

    Raises:
        Refusal: One of the files is there already, or the folder cannot be written; nothing is changed then.
    """
    texts = starter_texts(units, start)
    paths = tuple(folder / name for name in texts)
    for path in paths:
        if path.exists() or path.is_symlink():
            raise Refusal("is there already and stays as it is; a new folder is right", place=str(path))
    try:
        folder.mkdir(parents=True, exist_ok=True)
        for path in paths:
            with path.open("x", encoding="utf-8", newline="\n") as stream:  # never over a file that came meanwhile
                stream.write(texts[path.name])
    except OSError as error:
        reason = (error.strerror or "no reason given").lower()
        raise Refusal(f"cannot be written ({reason}); a folder of your own is right", place=str(folder)) from None
    return paths
