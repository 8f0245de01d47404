"""What a user can get wrong: one clear line, exit status 2, and every file on disk as it was."""

import os
import re
import shutil
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from plategen.cli import main

EXAMPLE = Path(__file__).parents[2] / "profiles" / "sprayer-kicked-rail"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    folder = tmp_path / "job"
    shutil.copytree(EXAMPLE, folder)
    return folder


def _run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, [str(w) for w in words])


def _snapshot(folder: Path) -> dict[str, bytes | None]:
    return {str(p.relative_to(folder)): p.read_bytes() if p.is_file() else None for p in sorted(folder.rglob("*"))}


def _replace(old: str, new: str, file: str = "job.toml") -> Callable[[Path], None]:
    def spoil(job: Path) -> None:
        path = job / file
        text = path.read_text(encoding="utf-8")
        assert old in text, f"{old!r} is not in {file}"
        path.write_text(text.replace(old, new, 1), encoding="utf-8")

    return spoil


def _write(file: str, content: str | bytes) -> Callable[[Path], None]:
    data = content.encode() if isinstance(content, str) else content

    def spoil(job: Path) -> None:
        (job / file).write_bytes(data)

    return spoil


def _both(first: Callable[[Path], None], second: Callable[[Path], None]) -> Callable[[Path], None]:
    def spoil(job: Path) -> None:
        first(job)
        second(job)

    return spoil


def _readings(rows: str) -> Callable[[Path], None]:
    return _write("front.csv", rows)


FLAT = "station,offset\n" + "".join(f"{s},1\n" for s in range(13))

SPOILT: dict[str, tuple[Callable[[Path], None], str]] = {
    "missing trace": (lambda job: (job / "front.csv").unlink(), "front.csv"),
    "trace outside the folder": (_replace('"front.csv"', '"../front.csv"'), "outside"),
    "no units": (_replace('units = "in"\n', ""), "units"),
    "bare word": (_replace("bore = 2", 'bore = "two"'), "job.toml: cylinder.bore"),
    "nan": (_replace("bore = 2", "bore = nan"), "cylinder.bore"),
    "infinite": (_replace("bore = 2", "bore = inf"), "cylinder.bore"),
    "negative": (_replace("bore = 2", "bore = -2"), "cylinder.bore"),
    "zero": (_replace("bore = 2", "bore = 0"), "cylinder.bore"),
    "over nothing": (_replace("bore = 2", 'bore = "1/0"'), "cylinder.bore"),
    "unknown key": (_replace("bore = 2", "boer = 2"), "bore"),
    "two readings": (_readings("station,offset\n0,1\n5,1\n"), "front.csv"),
    "three readings at one station": (_readings("station,offset\n0,1\n0,1\n0,1\n"), "front.csv"),
    "trace that crosses itself": (_readings("u,v\n0,0\n10,0\n10,5\n5,5\n5,-5\n"), "front.csv"),
    "binary junk": (_write("front.csv", bytes(range(256)) * 40), "front.csv"),
    "binary junk for a job": (_write("job.toml", bytes(range(256)) * 40), "job.toml"),
    "foot off the trace": (_replace("foot = [2, 11]", "foot = [2, 40]"), "foot"),
    "foot backwards": (_replace("foot = [2, 11]", "foot = [11, 2]"), "foot"),
    "pin beyond the rail": (_replace('inline_offset = "2 1/4"', "inline_offset = -4"), "on or beyond the rail"),
    "hole breaks the nose": (_replace('nose_radius = "1 1/2"', 'nose_radius = "1/4"'), "nose"),
    "nose reaches the rail": (_replace('nose_radius = "1 1/2"', "nose_radius = 5"), "nose reaches the rail"),
    "ears beyond the traces": (_replace('plane = "3/4"', "plane = 4"), "beyond the traced planes"),
    "outline that crosses itself": (
        _both(_replace('toe = "3/4"', "toe = 7"), _replace("foot = [2, 11]", "foot = [6, 7]")),
        "toe",
    ),
    "two traces in one plane": (_replace('plane = "2 1/2"', "plane = 0"), "plane"),
    "unknown electrode": (_replace('electrode = "E70"', 'electrode = "7018"'), 'weld.electrode: "7018" is not in'),
    "unknown steel": (_replace('steel = "A36"\nside_play', 'steel = "chocolate"\nside_play'), "chocolate"),
}


@pytest.mark.parametrize("command", ["make", "judge"])
@pytest.mark.parametrize("name", SPOILT)
def test_refused_with_one_line_and_nothing_touched(job: Path, tmp_path: Path, name: str, command: str) -> None:
    spoil, said = SPOILT[name]
    spoil(job)
    before = _snapshot(tmp_path)
    extra = ("--no-solid", "--out", tmp_path / "out") if command == "make" else ()
    result = _run(command, job, *extra)
    assert result.exit_code == 2, result.output
    assert len(result.stderr.splitlines()) == 1, result.stderr
    assert said in result.stderr
    assert "Traceback" not in result.output
    assert _snapshot(tmp_path) == before


def test_a_refusal_speaks_in_the_units_of_the_job(job: Path) -> None:
    _replace("foot = [2, 11]", "foot = [2, 40]")(job)
    line = _run("judge", job).stderr
    assert " in (" in line
    assert " mm" not in line


def test_refused_output_folders(job: Path, tmp_path: Path) -> None:
    file = tmp_path / "file"
    file.write_text("mine")
    result = _run("make", job, "--no-solid", "--out", file)
    assert result.exit_code == 2
    assert "not a folder" in result.stderr
    assert file.read_text() == "mine"
    if os.geteuid() != 0:  # the super-user writes anywhere
        locked = tmp_path / "locked"
        locked.mkdir(mode=0o500)
        result = _run("make", job, "--no-solid", "--out", locked / "out")
        assert result.exit_code == 2


@pytest.mark.parametrize("words", [("make",), ("make", "nowhere"), ("judge", "--colour"), ("nonsense",)])
def test_wrong_words_are_one_line(words: tuple[str, ...]) -> None:
    result = _run(*words)
    assert result.exit_code == 2
    assert len(result.stderr.splitlines()) == 1


def test_a_long_file_is_read_or_refused_in_seconds(job: Path) -> None:
    rows = "\n".join(f"{i * 0.00001:.5f},1.3" for i in range(1_000_001))
    _readings("station,offset\n" + rows)(job)
    result = _run("trace", job / "front.csv")
    assert result.exit_code in (0, 2)
    assert "Traceback" not in result.output


def test_a_trace_is_shown_in_the_units_that_it_says(job: Path) -> None:
    rows = "".join(f"{25 * n},{10 + n % 2 / 10}\n" for n in range(12))
    (job / "front.csv").write_text(f"# units: mm\nstation,offset\n{rows}", encoding="utf-8")
    result = _run("trace", job / "front.csv")
    assert result.exit_code == 0
    assert re.search(r"two of three readings are good to [\d.]+ mm", result.stdout)
    assert " in" not in result.stdout.split("line")[0].replace("pieces", "")
