"""The program as a process of its own, and the folders it works in."""

import os
import re
import shutil
import subprocess
import sys
from collections.abc import Mapping
from pathlib import Path

ROOT = Path(__file__).parents[2]
PROFILE = ROOT / "profiles" / "sprayer-kicked-rail"
MAIN = "from plategen.cli import main; main()"


def command(*words: object, before: str = "") -> list[str]:
    """The command line that runs the program, some code first."""
    return [sys.executable, "-c", f"{before}\n{MAIN}", *map(str, words)]


def make(
    job: Path, out: Path, *extra: str, before: str = "", environment: Mapping[str, str] | None = None
) -> subprocess.CompletedProcess[bytes]:
    """Run ``make`` to its end, from the folder above the job's."""
    surroundings = {**os.environ, "PYTHONPATH": str(ROOT), **(environment or {})}
    words = command("make", job, "--out", out, *(extra or ("--no-solid",)), before=before)
    return subprocess.run(words, cwd=job.parent, env=surroundings, capture_output=True, check=False, timeout=300)


def another_job(folder: Path, offset: str = "2 1/2") -> Path:
    """A copy of the example with another in-line offset: every cut file differs."""
    shutil.copytree(PROFILE, folder)
    text = (folder / "job.toml").read_text(encoding="utf-8")
    changed = re.sub(r"inline_offset = .*", f'inline_offset = "{offset}"', text)
    (folder / "job.toml").write_text(changed, encoding="utf-8")
    return folder


def contents(folder: Path) -> dict[str, bytes]:
    """Every file in the folder itself, by name."""
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


def said(done: subprocess.CompletedProcess[bytes]) -> str:
    """What the program told on the error stream, which is one line when it refuses."""
    text = done.stderr.decode("utf-8", "backslashreplace")
    assert "Traceback" not in text, text
    return text
