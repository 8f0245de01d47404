"""From the README alone to a plate of one's own: its commands in its order, and few lines to type."""

import re
from pathlib import Path

import ezdxf
import pytest
from click.testing import CliRunner

from plategen.cli import main

README = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
MOST_LINES = 12

OWN = {
    "bore": '"2 1/2"',
    "rod": '"1 1/2"',
    "stroke": "10",
    "closed_length": '"17 3/4"',
    "body_diameter": "3",
    "pressure": '"1200 psi"',
    "pin": '"1 1/8"',
    "eye_width": '"1 3/8"',
    "eye_radius": '"1 1/4"',
    "inline_offset": '"2 3/4"',
    "pin_station": "7",
}
"""What a person measured on a machine of their own."""

READINGS = [(0, "1 1/8"), (2, "1 1/8"), (4, "1 3/16"), (6, "1 1/4"), (8, "1 5/16"), (10, "1 3/8"), (12, "1 7/16")]


SET_UP = README.split("## Set up")[1].split("\n## ")[0]
WALK = README.split("## From cardboard to cut plate")[1].split("\n| file")[0]


def blocks() -> list[str]:
    """The blocks that the set-up has one type at the shell."""
    return [block.strip() for block in re.findall(r"```sh\n(.*?)```", SET_UP, re.DOTALL)]


def shell_lines() -> list[str]:
    """What one types at the shell for either way: clone, set-up, environment, and how the walk begins."""
    clone, set_up, *_ = blocks()
    lines = [*clone.splitlines(), *set_up.splitlines(), *re.findall(r"^Then `([^`]+)`", SET_UP, re.MULTILINE)]
    return lines + re.findall(r"^\d\. `(plategen (?:start|form)[^`]*)`", WALK, re.MULTILINE)


def by_files() -> list[str]:
    """The commands of the way by files, in their order."""
    return re.findall(r"^\d\. `(plategen (?:trace|make)[^`]*)`", WALK, re.MULTILINE)


def by_page() -> list[str]:
    """The commands of the way by the page."""
    return re.findall(r"^\*\*On the page\*\*[^`]*`(plategen page[^`]*)`", WALK, re.MULTILINE)


def own_job(text: str) -> tuple[str, int]:
    """The starter with a person's own numbers, and how many lines were typed for it."""
    count = 0
    for key, value in OWN.items():
        text, changed = re.subn(rf"^{key} = [^#\n]*", f"{key} = {value} ", text, count=1, flags=re.MULTILINE)
        count += changed
    return text, count


def run(typed: str, *words: str) -> None:
    result = CliRunner().invoke(main, [*typed.split()[1:], *words])
    assert result.exit_code == 0, result.output


def holds_the_own_pin(drawing: Path) -> bool:
    circles = [entity.dxf.radius for entity in ezdxf.readfile(drawing).modelspace() if entity.dxftype() == "CIRCLE"]
    return any(2.0 * radius == pytest.approx(1.125, abs=0.06) for radius in circles)


def test_the_clone_the_set_up_and_one_line_for_each_job() -> None:
    """The one line is the set-up's two commands and the main job's, and CI runs those very commands."""
    clone, set_up, job, tests, whole = blocks()
    assert clone == "git clone ADDRESS plategen && cd plategen"
    assert len(set_up.splitlines()) == 2
    assert len(job.splitlines()) == len(tests.splitlines()) == 1
    assert whole == " && ".join([*set_up.splitlines(), job])
    fresh = (Path(__file__).parents[2] / ".ci" / "run").read_text(encoding="utf-8")
    for command in [*set_up.splitlines(), tests]:
        for word in command.removeprefix(".venv/bin/python ").removesuffix(" .venv").split(" -m ")[-1].split():
            assert word in fresh, command


def test_the_readme_takes_few_lines_to_an_own_plate(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    typed = [*shell_lines(), *by_files()]
    assert typed[0].startswith("git clone")
    assert len(typed) <= MOST_LINES
    start, form, trace, make = own = [line for line in typed if line.startswith("plategen ")]
    assert [line.split()[1] for line in own] == ["start", "form", "trace", "make"]
    folder = tmp_path / start.split()[-1]
    run(start)
    run(form)
    assert (folder / "form.html").is_file()
    job, lines = own_job((folder / "job.toml").read_text())
    assert lines == len(OWN) <= MOST_LINES
    (folder / "job.toml").write_text(job)
    (folder / "front.csv").write_text("station,offset\n" + "".join(f"{at},{offset}\n" for at, offset in READINGS))
    run(trace)
    run(make, "--no-solid")
    assert holds_the_own_pin(tmp_path / "outputs" / folder.name / "ear_near.dxf")


def test_the_page_takes_no_line_but_its_own(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Numbers and readings are typed into it, nothing into a file."""
    pytest.importorskip("starlette", reason="pip install 'plategen[page]' brings it")
    from tests.page.conftest import serving

    monkeypatch.chdir(tmp_path)
    (opened,) = by_page()
    assert len([*shell_lines(), opened]) < MOST_LINES
    assert opened == "plategen page"
    with serving(None, cwd=tmp_path) as page:
        begun = {"title": "My bracket", "units": "in", "start": "ears", "sample": False}
        assert page.post("/jobs/new", begun).status_code == 200
        tables = {"inline_offset": "mount", "pin_station": "mount"}
        tables |= dict.fromkeys(("pin", "eye_width", "eye_radius"), "cylinder.base")
        edits = [{"do": "add-reading", "file": "front.csv", "cells": [str(at), offset, ""]} for at, offset in READINGS]
        edits += [
            {"do": "set", "path": f"{tables.get(key, 'cylinder')}.{key}", "text": value.strip('"')}
            for key, value in OWN.items()
        ]
        answered = page.post("/change", {"edits": edits})
        assert answered.status_code == 200, answered.text
        assert page.post("/save", {"seen": page.version()}).status_code == 200
        with page.client() as client:
            got = client.get("/files/ear_near.dxf")
    (tmp_path / "got.dxf").write_bytes(got.content)
    assert holds_the_own_pin(tmp_path / "got.dxf")


def test_what_the_readme_says_of_the_starter_s_keys_is_so(tmp_path: Path) -> None:
    """It explains what most jobs need, and `plategen keys` all there are: far more."""
    result = CliRunner().invoke(main, ["start", str(tmp_path / "own")])
    assert result.exit_code == 0, result.output
    told = set(re.findall(r"^(?:# )?(\w+) = ", (tmp_path / "own" / "job.toml").read_text(), re.MULTILINE))
    listed = CliRunner().invoke(main, ["keys"]).output
    every = set(re.findall(r"^  (\w+)  ", listed, re.MULTILINE))
    tables = set(re.findall(r"^\[+(?:\w+\.)*(\w+)\]+  ", listed, re.MULTILINE))
    assert told <= every | tables
    assert len(told) < len(every) / 2
    assert "every key" not in WALK
    assert "`plategen keys`" in WALK
