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


def shell_lines() -> list[str]:
    """What the README has one type at the shell, from the set-up to the own plate."""
    set_up = README.split("## Set up")[1].split("The main job:")[0]
    blocks = re.findall(r"```sh\n(.*?)```", set_up, re.DOTALL)
    lines = [line for block in blocks for line in block.splitlines() if line.strip()]
    lines += re.findall(r"^Then `([^`]+)`", set_up, re.MULTILINE)
    walk = README.split("## From cardboard to cut plate")[1].split("\n| file")[0]
    return lines + re.findall(r"^\d\. `(plategen [^`]+)`", walk, re.MULTILINE)


def own_job(text: str) -> tuple[str, int]:
    """The starter with a person's own numbers, and how many lines were typed for it."""
    count = 0
    for key, value in OWN.items():
        text, changed = re.subn(rf"^{key} = [^#\n]*", f"{key} = {value} ", text, count=1, flags=re.MULTILINE)
        count += changed
    return text, count


def test_the_readme_takes_few_lines_to_an_own_plate(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.chdir(tmp_path)
    typed = shell_lines()
    assert len(typed) <= MOST_LINES
    own = [line.split()[1:] for line in typed if line.startswith("plategen ")]
    assert [words[0] for words in own] == ["start", "trace", "make"]
    folder = tmp_path / own[0][1]
    for words in own:
        result = CliRunner().invoke(main, [*words, *(["--no-solid"] if words[0] == "make" else [])])
        assert result.exit_code == 0, result.output
        if words[0] == "start":
            job, lines = own_job((folder / "job.toml").read_text())
            assert lines == len(OWN) <= MOST_LINES
            (folder / "job.toml").write_text(job)
            (folder / "front.csv").write_text(
                "station,offset\n" + "".join(f"{station},{offset}\n" for station, offset in READINGS)
            )
    drawing = ezdxf.readfile(tmp_path / "outputs" / folder.name / "ear_near.dxf")
    circles = [entity.dxf.radius for entity in drawing.modelspace() if entity.dxftype() == "CIRCLE"]
    assert any(2.0 * radius == pytest.approx(1.125, abs=0.06) for radius in circles), "the own pin's hole"


def test_the_page_takes_no_line_but_its_own() -> None:
    """Numbers and readings are typed into it: nothing in a file, and one line at the shell once it is set up."""
    assert re.search(r"`plategen page[^`]*`", README)
