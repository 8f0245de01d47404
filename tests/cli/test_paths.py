"""Paths without a name, and paths of thousands of signs: one short line, and nothing is written."""

from pathlib import Path

import pytest
from click.testing import CliRunner

from plategen.cli import main

LONG = "/".join(["yard"] * 1000)
EMPTY = [["start", ""], ["make", "profiles/quarry-straight-rail", "--out", ""], ["judge", ""], ["trim", "", "x.dxf"]]


@pytest.mark.parametrize("words", EMPTY)
def test_an_empty_name_is_refused(words: list[str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    words = [str(Path(word).resolve()) if word.startswith("profiles") else word for word in words]
    monkeypatch.chdir(tmp_path)
    done = CliRunner().invoke(main, words)
    assert (done.exit_code, len(done.stderr.splitlines())) == (2, 1)
    assert "the name is empty" in done.stderr
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("words", [["judge"], ["trace"], ["start"], ["revise", "profiles/bale-trailer-first"]])
@pytest.mark.parametrize("name", [LONG, "y" * 4500, f"{'y' * 200}/{LONG} with words/{LONG}"])
def test_a_long_path_is_shown_by_its_ends(words: list[str], name: str, tmp_path: Path) -> None:
    done = CliRunner().invoke(main, [*words, f"{tmp_path}/none/{name}"])
    assert (done.exit_code, len(done.stderr.splitlines())) == (2, 1)
    assert len(done.stderr) <= 600
    assert str(tmp_path)[:20] in done.stderr
