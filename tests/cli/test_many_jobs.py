"""``make`` of several jobs at once: each by itself, whatever becomes of the others."""

import json
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from plategen.cli import main

PROFILES = Path(__file__).parents[2] / "profiles"


@pytest.fixture
def three(tmp_path: Path) -> list[Path]:
    """A job that holds, one that stops, and one that is refused."""
    for name in ("good", "stopped", "refused"):
        shutil.copytree(PROFILES / "quarry-straight-rail", tmp_path / name)
    for name, old, new in (("stopped", "leg = 6", "leg = 3"), ("refused", "thickness = 12", "thicknes = 12")):
        file = tmp_path / name / "job.toml"
        file.write_text(file.read_text().replace(old, new))
    return [tmp_path / name for name in ("good", "stopped", "refused")]


@pytest.mark.parametrize("processes", [1, 2])
def test_each_is_made_by_itself(three: list[Path], tmp_path: Path, processes: int) -> None:
    words = ["make", *map(str, three), "--no-solid", "--out", str(tmp_path / "out"), "--jobs", str(processes)]
    done = CliRunner().invoke(main, words)
    assert done.exit_code == 2, "the highest of 0, 1 and 2"
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["good", "stopped"]
    alone = tmp_path / "alone"
    CliRunner().invoke(main, ["make", str(three[0]), "--no-solid", "--out", str(alone)])
    for file in alone.iterdir():
        assert file.read_bytes() == (tmp_path / "out" / "good" / file.name).read_bytes()
    places = [done.stdout.index(f"{job}:") for job in three]
    assert places == sorted(places)
    assert "job.toml: bracket.thicknes: unknown key" in done.stderr
    assert len(done.stderr.splitlines()) == 1


def test_programs_get_one_list(three: list[Path], tmp_path: Path) -> None:
    words = ["make", *map(str, three), "--no-solid", "--json", "--out", str(tmp_path / "out")]
    good, stopped, refused = json.loads(CliRunner().invoke(main, words).stdout)
    assert [good["stop"], stopped["stop"]] == [False, True]
    assert refused["refused"].startswith("job.toml: bracket.thicknes: unknown key")


def test_two_of_one_name_are_not_mixed(three: list[Path], tmp_path: Path) -> None:
    other = tmp_path / "elsewhere" / "good"
    shutil.copytree(three[0], other)
    done = CliRunner().invoke(main, ["make", str(three[0]), str(other), "--out", str(tmp_path / "out")])
    assert done.exit_code == 2
    assert 'two jobs lie in folders named "good"' in done.stderr
    assert not (tmp_path / "out").exists()
