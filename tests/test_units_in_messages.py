"""One job speaks in its own units: no length, force or pressure of a refusal or a finding is shown in others.

The examples in inches, spoilt at random, are refused or stop in many ways; what each refusal and finding says is looked
through for a metric unit. Sources are quoted as they are printed, so a formula of a code keeps its own units.
"""

import random
import re
import shutil
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.ground.refusal import Refusal
from plategen.ground.show import Show
from plategen.job.load import load_job
from plategen.job.toml_edit import path_of, set_value
from plategen.make import carry_through
from plategen.tell.finding_row import finding_row
from plategen.work import Work

PROFILES = Path(__file__).parents[1] / "profiles"
INCH = sorted(p.parent.name for p in PROFILES.glob("*/job.toml") if 'units = "in"' in p.read_text(encoding="utf-8"))
METRIC = re.compile(r"(?:\d|\)) ?(?:mm|mm2|mm²|cm³|N|kN|N·m|N/mm|MPa|bar|kg|L/min)\b")
FORMULA = re.compile(r"\b(?:min|max)\([^()]*\)")
"""A code's formula, whose constants stand in the units of its edition."""

INCHES = r"-?(?:\d+ )?\d+(?:/\d+|\.\d+)? in(?: \(-?\d+\.\d+\))?"
SCALES = (0.03, 0.1, 0.3, 0.6, 0.9, 1.2, 1.7, 3.0, 10.0)


def leaves(table: object, path: str = "") -> Iterator[tuple[str, object]]:
    """Every value of a job file with its place."""
    if isinstance(table, dict):
        for key, value in table.items():
            yield from leaves(value, f"{path}.{key}" if path else key)
    elif isinstance(table, list):
        for number, value in enumerate(table):
            yield from leaves(value, f"{path}[{number}]")
    else:
        yield path, table


def scaled(value: object, by: float) -> object:
    """A number of a job file at another size, in the same notation."""
    if isinstance(value, bool) or not isinstance(value, int | float | str):
        return value
    if isinstance(value, int | float):
        return round(value * by, 4)
    whole = re.fullmatch(r"(?:(\d+) )?(?:(\d+)/(\d+)|(\d+(?:\.\d+)?))( .+)?", value)
    if whole is None:
        return value
    number = float(whole[1] or 0) + (int(whole[2]) / int(whole[3]) if whole[2] else float(whole[4]))
    return f"{number * by:.4f}{whole[5] or ''}"


def spoilt_text(text: str, chance: random.Random) -> str:
    """The job with one to three of its numbers at another size."""
    numbers = [(key, value) for key, value in leaves(tomllib.loads(text)) if scaled(value, 2.0) != value]
    for key, value in chance.sample(numbers, chance.choice([1, 1, 2, 3])):
        text = set_value(text, path_of(key), scaled(value, chance.choice(SCALES)))
    return text


def carried(folder: Path) -> Work | Refusal:
    try:
        loaded = load_job(folder)
        return carry_through(loaded.job, loaded.traces)
    except Refusal as refusal:
        return refusal


@pytest.mark.parametrize("name", INCH)
def test_an_inch_job_shows_no_other_unit(tmp_path: Path, name: str) -> None:
    folder = tmp_path / name
    shutil.copytree(PROFILES / name, folder)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    refused = 0
    for seed in range(12):
        chance = random.Random(f"{name} {seed}")
        (folder / "job.toml").write_text(spoilt_text(text, chance), encoding="utf-8")
        answer = carried(folder)
        if isinstance(answer, Refusal):
            refused += 1
            assert answer.units == "in", str(answer)
            assert not METRIC.search(str(answer)), str(answer)
        else:
            assert_inches(answer)
    assert refused


def assert_inches(work: Work) -> None:
    """No words of the findings are in millimetres, and what a rule prints of itself is quoted to the letter."""
    show = Show("in")
    for finding in work.findings:
        row = finding_row(finding, show)
        assert row.source == finding.source
        for words in (row.there, row.limit, row.case, row.assumed, row.cure):
            assert not METRIC.search(FORMULA.sub("", words)), f"{finding.check}: {words}"
            assert not any(re.search(INCHES, formula) for formula in FORMULA.findall(words)), words


OTHER = sorted({p.parent.name for p in PROFILES.glob("*/job.toml")} - {*INCH})
IMPERIAL = re.compile(r"(?<![\w.])\d[\d/.]* (?:in|psi|lbf|lbf-in|lbf-ft|lbf/in|lb|ft|ft/s|gpm|hp|mph|°F)(?![\w/-])")


@pytest.mark.parametrize("name", OTHER)
def test_a_job_in_millimetres_shows_no_other_unit(name: str) -> None:
    work = carried(PROFILES / name)
    assert isinstance(work, Work)
    for finding in work.findings:
        row = finding_row(finding, Show("mm"))
        own = row.source if "no source" in row.source else ""  # what is published is quoted as it is printed
        for words in (row.there, row.limit, row.case, row.assumed, row.cure, own):
            assert not IMPERIAL.search(words), f"{finding.check}: {words}"


REFUSED = {
    "foot off the trace": ("sprayer-kicked-rail", {"mount.foot": ["2", "15"]}, 4),
    "seat's pad too narrow": ("vineyard-drag-link-seat", {"seat.pad.width": "1 1/2"}, 2),
    "seat's pin in the tube": ("vineyard-drag-link-seat", {"mount.inline_offset": "1"}, 1),
    "split out of reach": ("forwarder-split-mount", {"mount.inline_offset": "9"}, 3),
    "pin within the rail": ("sprayer-kicked-rail", {"mount.inline_offset": "-2"}, 1),
    "nose in the rail": ("sprayer-kicked-rail", {"bracket.nose_radius": "6"}, 2),
    "corner too round": ("sprayer-kicked-rail", {"bracket.corner_radius": "2"}, 3),
    "packing too thick": ("forwarder-split-mount", {"split.shim": "1/2"}, 2),
    "kerf over the spacing": (
        "sprayer-kicked-rail",
        {"cutting.kerf": "3/4", "sheet_stock.length": 40, "sheet_stock.width": 40, "sheet_stock.spacing": "1/4"},
        1,
    ),
    "thickness out of range": ("sprayer-kicked-rail", {"bracket.thickness": "9000"}, 2),
}
"""A job that is refused, and how many lengths the refusal holds at least."""


@pytest.mark.parametrize("name", REFUSED)
def test_every_length_of_a_refusal_is_in_inches(tmp_path: Path, name: str) -> None:
    example, values, least = REFUSED[name]
    folder = tmp_path / example
    shutil.copytree(PROFILES / example, folder)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    for key, value in values.items():
        text = set_value(text, path_of(key), value)
    (folder / "job.toml").write_text(text, encoding="utf-8")
    line = CliRunner().invoke(main, ["judge", str(folder)]).stderr
    lengths = re.findall(INCHES, line)
    assert len(lengths) >= least, line
    assert not re.search(r"\d", re.sub(r"\w+\.csv|more than 0", "", re.sub(INCHES, "", line))), line
