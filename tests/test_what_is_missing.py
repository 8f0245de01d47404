"""A machine without the solid kernel's library or without a browser is told so by words, and no test fails for it."""

import os
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[1]


def run(tmp_path: Path, *files: str) -> subprocess.CompletedProcess[str]:
    """Some tests on a machine that has neither."""
    fake = tmp_path / "OCP"
    fake.mkdir()
    (fake / "__init__.py").write_text('raise ImportError("libGL.so.1: cannot open shared object file")')
    path = os.pathsep.join([str(tmp_path), str(ROOT), os.environ.get("PYTHONPATH", "")])
    command = [sys.executable, "-m", "pytest", "-n", "0", "-m", "not slow", "-p", "no:cacheprovider", *files]
    bare = {**os.environ, "PYTHONPATH": path, "PATH": str(tmp_path)}
    bare.pop("PYTEST_XDIST_WORKER", None)
    return subprocess.run(command, check=False, capture_output=True, text=True, cwd=ROOT, env=bare, timeout=300)


def test_what_asks_for_them_is_skipped_and_the_last_lines_say_why(tmp_path: Path) -> None:
    files = ["tests/solid/test_step.py", "tests/delivery/test_solid_process.py", "tests/test_pictures.py"]
    done = run(tmp_path, *files)
    assert done.returncode == 0, done.stdout + done.stderr
    said = [line for line in done.stdout.splitlines() if " skipped: " in line]
    assert any("libGL.so.1" in line and "apt install libgl1" in line for line in said)
    assert any("no Chromium on this machine" in line for line in said)
    assert len(said) == 2, "each reason once"


def test_tests_within_a_test_do_not_wait_for_the_room_it_holds() -> None:
    within = "from tests.conftest import _room\nwith _room(alone=True):\n    pass"
    done = subprocess.run([sys.executable, "-c", within], check=False, cwd=ROOT, timeout=60)
    assert done.returncode == 0
