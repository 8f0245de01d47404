"""A measured swing reaches the loads whichever command is asked: it stops a job just as the same swing by rule does."""

import re
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from plategen.cli import main
from plategen.job.load import load_job
from plategen.make import carry_through
from plategen.page.draft import Draft, redraw
from plategen.work import Work

PROFILE = Path(__file__).parents[2] / "profiles" / "forwarder-split-mount"
MEASURED = "\n[swing]\nlow = -25\nhigh = 25\n"
CHECK = "force square to the slot"


def _folder(tmp_path: Path, *, measured: bool = False, ruled: bool = False) -> Path:
    """The example with a swing of 25 degrees to each side, measured or by rule or both."""
    folder = tmp_path / f"job-{measured}-{ruled}"
    shutil.copytree(PROFILE, folder)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    if ruled:
        text = re.sub(r"(?m)^\[rules\]\n", "[rules]\nswing = 25\n", text)
        assert "swing = 25" in text
    (folder / "job.toml").write_text(text + MEASURED * measured, encoding="utf-8")
    return folder


def _run(*words: str) -> tuple[int, str]:
    done = CliRunner().invoke(main, list(words))
    return done.exit_code, done.output


def _strengths(work: Work) -> dict[tuple[str, str, str], tuple[float, str]]:
    return {(f.check, str(f.part), f.source): (f.ratio, f.verdict) for f in work.findings}


def test_the_findings_are_those_of_the_same_swing_by_rule(tmp_path: Path) -> None:
    works = []
    for measured, ruled in ((True, False), (True, True)):
        loaded = load_job(_folder(tmp_path, measured=measured, ruled=ruled))
        works.append(carry_through(loaded.job, loaded.traces))
    assert _strengths(works[0]) == _strengths(works[1])
    assert any(f.check == CHECK and f.verdict == "stop" for f in works[0].findings)


@pytest.mark.parametrize("ruled", [False, True])
def test_judge_make_and_vary_stop(tmp_path: Path, ruled: bool) -> None:
    folder = str(_folder(tmp_path, measured=True, ruled=ruled))
    assert _run("judge", folder)[0] == 1
    code, output = _run("make", folder, "--no-solid", "--out", str(tmp_path / "out"))
    assert code == 1
    assert "STOP" in output
    code, output = _run("judge", folder, "--vary", "weld.leg=1/4:3/8:1/8", "--csv")
    assert code == 1
    assert not re.search(r"\b(ok|caution)\b", output.split("\n", 1)[1])


def test_the_page_stops(tmp_path: Path) -> None:
    folder = _folder(tmp_path, measured=True)
    files = {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.csv")}
    drawn = redraw(Draft(job=(folder / "job.toml").read_text(encoding="utf-8"), files=files))
    assert drawn.work is not None
    assert any(f.check == CHECK and f.verdict == "stop" for f in drawn.work.findings)
