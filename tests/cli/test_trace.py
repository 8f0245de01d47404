"""``plategen trace``: the job beside a trace says what its numbers mean; the fit is drawn in signs and in a file."""

import shutil
from pathlib import Path

import msgspec
import pytest
from click.testing import CliRunner, Result

from plategen.cli import main
from plategen.ground.refusal import Refusal
from plategen.job.load import load_trace

PROFILES = Path(__file__).parents[2] / "profiles"
STRAIGHT = PROFILES / "quarry-straight-rail" / "rail.csv"


def _run(*words: str | Path) -> Result:
    return CliRunner().invoke(main, ["trace", *map(str, words)])


@pytest.fixture
def job(tmp_path: Path) -> Path:
    return shutil.copytree(PROFILES / "sprayer-kicked-rail", tmp_path / "job")


def test_a_trace_in_millimetres_is_read_as_the_job_beside_it_says() -> None:
    result = _run(STRAIGHT)
    assert result.exit_code == 0, result.output
    assert " mm" in result.stdout
    assert " in (" not in result.stdout
    assert "from the cylinder's line to the rail" in result.stdout
    assert "these look like millimetres" in _run(STRAIGHT, "--alone").stderr
    assert _run(STRAIGHT, "--alone", "--units", "mm").exit_code == 0


def test_plane_reading_error_and_inline_offset_come_from_the_job(job: Path) -> None:
    text = (job / "job.toml").read_text()
    (job / "job.toml").write_text(text.replace('file = "rear.csv"', 'file = "rear.csv"\nread_error = "1/64"'))
    loaded = load_trace(job / "rear.csv")
    assert (loaded.trace.plane_mm, loaded.trace.read_error_mm, loaded.units) == (63.5, 25.4 / 64, "in")
    assert loaded.inline_offset_mm is not None
    assert "plane 2 1/2 in (2.500); from the cylinder's line to the rail" in _run(job / "rear.csv").stdout
    assert load_trace(job / "rear.csv", alone=True).trace.plane_mm == 0.0
    assert msgspec.json.decode(_run(job / "rear.csv", "--json").stdout)["plane_mm"] == 63.5


def test_a_job_file_that_is_only_begun_says_its_units(job: Path) -> None:
    (job / "job.toml").write_text('units = "mm"\n[cylinder]\n')
    (job / "front.csv").write_text("station,offset\n" + "".join(f"{25 * i},{40 + i % 2}\n" for i in range(9)))
    loaded = load_trace(job / "front.csv")
    assert (loaded.units, loaded.trace.plane_mm, loaded.inline_offset_mm) == ("mm", 0.0, None)
    with pytest.raises(Refusal, match="these look like millimetres"):
        load_trace(job / "front.csv", "in")


def test_a_job_file_that_cannot_be_read_is_named_and_can_be_left_unread(job: Path) -> None:
    (job / "job.toml").write_text("units = \n")
    result = _run(job / "front.csv")
    assert (result.exit_code, result.stdout) == (2, "")
    assert result.stderr.startswith("job.toml: line 1")
    assert _run(job / "front.csv", "--alone").exit_code == 0


def test_the_fit_is_drawn_as_wide_as_the_terminal(job: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "96")
    lines = _run(job / "front.csv").stdout.splitlines()
    assert max(len(line) for line in lines[-24:-1]) == 96
    assert _run(job / "front.csv", "--ascii").stdout.replace("°", "").isascii()


def test_the_picture_is_a_file_that_stands_by_itself_and_never_written_over(job: Path, tmp_path: Path) -> None:
    file = tmp_path / "fit.svg"
    result = _run(job / "front.csv", "--picture", file)
    assert result.stdout.splitlines()[-1] == str(file)
    drawing = file.read_text()
    assert drawing.startswith("<svg")
    assert "<style>" in drawing
    assert "front.csv" in drawing
    _run(job / "rear.csv", "--picture", file)
    assert "rear.csv" in file.read_text()
    assert (tmp_path / "earlier" / "before" / "fit.svg").read_text() == drawing


def test_the_corner_between_two_straightedges_is_a_caution_until_its_bend_is_told(tmp_path: Path) -> None:
    told = shutil.copytree(PROFILES / "quarry-screen-corner", tmp_path / "job")
    assert "CAUTION" not in _run(told / "side_front.csv").stdout
    text = (told / "job.toml").read_text()
    (told / "job.toml").write_text("".join(s for s in text.splitlines(True) if not s.startswith("bend_radius")))
    for file in ("under_front.csv", "side_rear.csv"):
        assert "CAUTION: the corner between the two straightedges is taken sharp" in _run(told / file).stdout


def test_a_trace_that_cannot_be_fitted_is_named_once(tmp_path: Path) -> None:
    path = tmp_path / "front.csv"
    path.write_text("# units: mm\nstation,offset\n0,.035\n.025,.038\n.050,.0385\n.075,.040\n.1,.041\n")
    result = _run(path)
    assert result.exit_code == 2
    assert result.stderr.count("front.csv") == 1, result.stderr
