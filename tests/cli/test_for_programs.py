"""What other programs rely on: JSON alone on the output stream whatever the exit status, and silence in pipes."""

import json
import os
import pty
import re
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.commands.one_line import say_json, working

ROOT = Path(__file__).parents[2]
BRACKET, STEERING = ROOT / "profiles" / "sprayer-kicked-rail", ROOT / "profiles" / "orchard-sprayer-steering"


def strict(text: str) -> Any:
    """One JSON value and nothing else; Infinity and NaN, which JSON does not know, are not let pass."""

    def refuse(word: str) -> None:
        raise AssertionError(f"{word} is no JSON")

    return json.loads(text, parse_constant=refuse)


def copied(source: Path, folder: Path, *changes: tuple[str, str]) -> Path:
    shutil.copytree(source, folder)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    for old, new in changes:
        assert re.search(old, text), old
        text = re.sub(old, new, text, count=1)
    (folder / "job.toml").write_text(text, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def stopped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A job that says stop: a pressure that no plate of it carries."""
    return copied(BRACKET, tmp_path_factory.mktemp("jobs") / "stopped", (r"pressure = .*", 'pressure = "20000 psi"'))


@pytest.fixture(scope="module")
def steering_stopped(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return copied(STEERING, tmp_path_factory.mktemp("jobs") / "steer", (r"stroke = .*", "stroke = 1"))


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("made")
    assert CliRunner().invoke(main, ["make", str(BRACKET), "--no-solid", "--out", str(folder)]).exit_code == 0
    return folder


def said(*words: str | Path) -> tuple[int, Any]:
    """Exit status and the JSON, which is all that the output stream holds."""
    result = CliRunner().invoke(main, [str(word) for word in words])
    assert result.exit_code in (0, 1), result.stderr
    return result.exit_code, strict(result.stdout)


def test_every_command_that_answers_answers_in_json(made: Path, tmp_path: Path) -> None:
    assert said("trace", BRACKET / "front.csv", "--json")[1]["readings"] > 3
    assert said("judge", BRACKET, "--json")[1]["format"] == 1
    assert said("steer", STEERING, "--json")[1]["format"] == 1
    assert said("revise", BRACKET, BRACKET, "--json")[1]["format"] == 1
    assert said("trim", BRACKET, made / "ear_near.dxf", "--json")[1]["verdict"] == "fits"
    _, told = said("make", BRACKET, "--no-solid", "--json", "--out", tmp_path / "out")
    assert sorted(told["files"]) == sorted(path.name for path in (tmp_path / "out").iterdir())
    assert told["revision"]["letter"] == "A"
    assert told["stop"] is False


def test_a_stop_is_exit_status_1_and_whole_json(
    stopped: Path, steering_stopped: Path, made: Path, tmp_path: Path
) -> None:
    status, told = said("judge", stopped, "--json")
    assert (status, "stop" in {f["verdict"] for f in told["findings"]}) == (1, True)
    status, told = said("make", stopped, "--no-solid", "--json", "--out", tmp_path / "out")
    assert (status, told["stop"]) == (1, True)
    assert any(finding["verdict"] == "stop" for finding in told["findings"])
    status, told = said("steer", steering_stopped, "--json")
    assert (status, "stop" in {f["verdict"] for f in told["findings"]}) == (1, True)
    status, told = said("revise", BRACKET, stopped, "--json")
    assert (status, bool(told["findings"])) == (1, True)
    other = copied(BRACKET, tmp_path / "other", (r"inline_offset = .*", 'inline_offset = "4 1/2"'))
    status, told = said("trim", other, made / "ear_near.dxf", "--json")
    assert (status, told["verdict"]) == (1, "cut new")
    status, told = said("judge", stopped, "--vary", "weld.leg=3/16:1/4:1/16", "--json")
    assert (status, [v["verdict"] for v in told["variants"]]) == (1, ["stop", "stop"])


def test_variants_in_json_are_those_of_the_table_the_refused_ones_with_their_reason() -> None:
    _, told = said("judge", BRACKET, "--vary", "mount.inline_offset=-4:2 1/4:6 1/4", "--json")
    refused, holds = told["variants"]
    assert told["keys"] == [{"key": "mount.inline_offset", "unit": "in"}]
    assert (refused["numbers"], holds["numbers"]) == ([-4.0], [2.25])
    assert refused["verdict"] == "refused"
    assert "rail" in refused["refused"]
    assert refused["gap_mm"] is refused["ratio"] is None
    assert holds["weld_mm"] > 100


@pytest.mark.parametrize(
    "words",
    [
        ["make", "nowhere", "--json"],
        ["judge", "nowhere", "--json"],
        ["trace", "nowhere.csv", "--json"],
        ["steer", str(BRACKET), "--json"],
        ["revise", str(BRACKET), "nowhere", "--json"],
        ["trim", str(BRACKET), "nowhere.dxf", "--json"],
    ],
    ids=lambda words: words[0],
)
def test_a_refusal_says_nothing_where_json_is_awaited(words: list[str]) -> None:
    result = CliRunner().invoke(main, words)
    assert result.exit_code == 2
    assert result.stdout == ""
    assert len(result.stderr.splitlines()) == 1


def test_json_knows_no_infinity_and_no_foreign_sign(capsys: pytest.CaptureFixture[str]) -> None:
    say_json({"a": [float("inf"), (float("nan"), 1.5)], "b": "22° → é"})
    text = capsys.readouterr().out
    assert text.isascii()
    assert strict(text) == {"a": [None, [None, 1.5]], "b": "22° → é"}


def run(words: list[str], err: int) -> "subprocess.Popen[bytes]":
    code = "from plategen.cli import main; main()"
    return subprocess.Popen(
        [sys.executable, "-c", code, *words], env={**os.environ, "PYTHONPATH": str(ROOT)},
        stdout=subprocess.PIPE, stderr=err,
    )  # fmt: skip


def terminal() -> tuple[int, int]:
    """Both sides of a terminal."""
    try:
        return pty.openpty()
    except OSError:
        pytest.skip("this machine has no terminals to give, as a bare root without /dev/pts")


def test_a_person_at_a_terminal_sees_each_step_and_a_pipe_nothing(tmp_path: Path) -> None:
    words = ["make", str(BRACKET), "--no-solid", "--json", "--out", str(tmp_path / "out")]
    quiet, heard = run(words, subprocess.PIPE).communicate()
    assert heard == b""
    ours, theirs = terminal()
    watched = run([*words[:-1], str(tmp_path / "again")], theirs)
    os.close(theirs)
    out = watched.communicate()[0]
    shown = _all(ours).decode()
    assert strict(out.decode())["files"] == strict(quiet.decode())["files"]
    for step in ("building and judging", "ear_near.dxf", "template.pdf", "sheet.html", "in place"):
        assert step in shown
    assert "\n" not in shown
    assert shown.endswith("\r"), "the line is wiped at the end"
    assert shown.rstrip("\r").rsplit("\r", 1)[1].strip() == ""


def test_what_is_printed_begins_on_a_wiped_line(tmp_path: Path) -> None:
    """Both streams at one terminal, as people have them: before, the plates stood behind the last file's name."""
    ours, theirs = terminal()
    code = "from plategen.cli import main; main()"
    shown = subprocess.Popen(
        [sys.executable, "-c", code, "make", str(BRACKET), "--no-solid", "--out", str(tmp_path / "out")],
        env={**os.environ, "PYTHONPATH": str(ROOT)}, stdout=theirs, stderr=theirs,
    )  # fmt: skip
    os.close(theirs)
    before, _, _ = _all(ours).decode().partition("ear near: 3/8")
    assert shown.wait() == 0
    assert "building and judging" in before
    assert before.endswith("\r")
    assert before.rstrip("\r").rsplit("\r", 1)[1].strip() == ""


def test_a_refusal_at_a_terminal_stands_on_a_line_of_its_own(tmp_path: Path) -> None:
    job = copied(BRACKET, tmp_path / "job", (r"foot = .*", "foot = [2, 40]"))
    ours, theirs = terminal()
    refused = run(["make", str(job), "--no-solid", "--out", str(tmp_path / "out")], theirs)
    os.close(theirs)
    refused.communicate()
    assert refused.returncode == 2
    last = _all(ours).decode().rstrip("\r\n").rsplit("\r", 1)[1]
    assert last.startswith("job.toml: ")


def test_work_without_a_terminal_says_nothing(capsys: pytest.CaptureFixture[str]) -> None:
    with working("cutting") as step:
        step("drilling")
    assert capsys.readouterr().err == ""


def _all(terminal: int) -> bytes:
    """What a terminal was given, until the other side hung up."""
    given = b""
    with os.fdopen(terminal, "rb", buffering=0) as stream:
        try:
            while piece := stream.read(4096):
                given += piece
        except OSError:  # Linux says so when the last writer hangs up
            pass
    return given
