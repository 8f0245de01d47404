"""``plategen keys``: every key that a job file may hold, and the schema of its report."""

import json
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from plategen.checks.judge import every_check
from plategen.cli import main
from plategen.job.parse import parse_job
from plategen.tell.keys import key_tables
from plategen.tell.report.encode import schema
from plategen.tell.report.job import JobReport

PROFILES = Path(__file__).parents[2] / "profiles"
NAMED_BY_THE_USER = ("steering.lever.balls.",)
"""Keys below these are names that the user gives."""


def said(*words: str) -> str:
    result = CliRunner().invoke(main, ["keys", *words])
    assert result.exit_code == 0, result.stderr
    return result.stdout


def listed(text: str) -> set[str]:
    """Every key of the printed tables with its section before it."""
    keys, section = set(), ""
    for line in text.splitlines():
        if head := re.match(r"\[+([\w.]+)\]+  ", line):
            section = f"{head[1]}."
        elif (key := re.match(r"  (\w+)  ", line)) and key[1] != "key":
            keys.add(section + key[1])
    return keys


def used(table: dict[str, Any], before: str = "") -> Iterator[str]:
    """Every key of a job file that holds a value."""
    for key, value in table.items():
        for inner in value if isinstance(value, list) and value and isinstance(value[0], dict) else [value]:
            if isinstance(inner, dict):
                yield from used(inner, f"{before}{key}.")
            else:
                yield before + key


def test_an_editor_s_schema_takes_every_example_and_no_other_key() -> None:
    """Judged by jsonschema, a validator of JSON Schema 2020-12 that knows nothing of this program."""
    jsonschema = pytest.importorskip("jsonschema")
    published = json.loads(said("--schema"))
    jsonschema.Draft202012Validator.check_schema(published)
    judge = jsonschema.Draft202012Validator(published)
    for path in PROFILES.glob("*/job.toml"):
        job = tomllib.loads(path.read_text(encoding="utf-8"))
        assert [error.message for error in judge.iter_errors(job)] == [], path
        wrong = {**job, "cylinder": {**job["cylinder"], "boar": 2}, "units": "cm"}
        assert len(list(judge.iter_errors(wrong))) == 2, path
        assert not judge.is_valid({key: table for key, table in job.items() if key != "cylinder"}), path


def test_every_key_of_every_example_is_listed() -> None:
    keys = listed(said())
    for path in PROFILES.glob("*/job.toml"):
        there = set(used(tomllib.loads(path.read_text(encoding="utf-8"))))
        unknown = {key for key in there - keys if not key.startswith(NAMED_BY_THE_USER)}
        assert not unknown, path
    assert len(keys) > 150


def test_one_section_is_listed_with_those_within_it() -> None:
    assert {key.rpartition(".")[0] for key in listed(said("rail"))} == {
        "rail",
        "rail.feature",
        "rail.trace",
        "rail.trace.second",
    }
    procedure = {f"weld.procedure.{key}" for key in ("document", "yield", "tensile")}
    assert listed(said("weld")) == {"weld.leg", "weld.one_side", "weld.electrode", *procedure}


@pytest.mark.parametrize(("units", "most"), [("in", "3900 in"), ("mm", "100,000 mm")])
def test_a_row_says_what_it_takes_and_the_limits_that_the_reader_holds_to(units: str, most: str) -> None:
    block, _ = key_tables("weld", "in" if units == "in" else "mm")
    leg = next(row for row in block.rows if row[0] == "leg")
    assert leg == ("leg", f"length, bare in {units}", "needed", f"more than 0 and up to {most}", "Leg of the fillet.")
    assert f"more than 0 and up to {most}" in said("weld", "--units", units)


def test_a_key_left_out_is_what_the_table_says() -> None:
    """Read off a job from which the key was taken."""
    text = (PROFILES / "quarry-straight-rail" / "job.toml").read_text(encoding="utf-8")
    assert "kerf = 1.8" in text
    cutting = parse_job(text.replace("kerf = 1.8", "")).cutting
    (block,) = key_tables("cutting", "mm")
    rows = {row[0]: row[2] for row in block.rows}
    assert rows["kerf"] == f"{cutting.kerf_mm:.1f} mm"
    assert rows["entities"] == cutting.entities
    assert {row[0]: row[2] for row in key_tables("bracket", "mm")[0].rows}["nose_radius"] == "a rule chooses"


def test_the_schema_is_that_of_the_report_and_is_plain_json() -> None:
    assert json.loads(said("--report")) == json.loads(json.dumps(schema(JobReport)))


@pytest.mark.parametrize(
    ("words", "what"),
    [
        (["wedl"], "no such section; did you mean weld?"),
        (["foot"], "it stands in [mount]"),
        (["weld", "--report"], "without a section"),
    ],
)
def test_what_cannot_be_listed_is_refused_in_one_line(words: list[str], what: str) -> None:
    result = CliRunner().invoke(main, ["keys", *words])
    assert result.exit_code == 2
    assert result.stdout == ""
    assert what in result.stderr
    assert len(result.stderr.splitlines()) == 1


def test_every_check_is_listed_with_its_rule() -> None:
    text = said("--checks")
    for check in every_check():
        assert check.name in text
        assert check.sources in text


@pytest.mark.parametrize("words", [["--checks", "--report"], ["--checks", "weld"]])
def test_checks_go_alone(words: list[str]) -> None:
    result = CliRunner().invoke(main, ["keys", *words])
    assert result.exit_code == 2
    assert "go alone" in result.stderr
