"""What all tests share: random cases that repeat in unattended runs, quiet for those that time, and a real browser."""

import os
import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from fcntl import LOCK_EX, LOCK_SH, LOCK_UN, flock
from pathlib import Path

import pytest
from hypothesis import settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line has it, before numpy is loaded

# no deadline: a machine that is busy elsewhere is no defect, and tests/bench holds the speed by processor time
settings.register_profile("attended", deadline=None)
settings.register_profile("unattended", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("unattended" if os.environ.get("CI") else "attended")

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
NO_CHROMIUM = "no Chromium on this machine; install the package chromium to look at pages in a browser"
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


DOOR, ROOM = Path(__file__), Path(__file__).parents[1] / "pyproject.toml"  # files that are there, to hold locks on


@pytest.fixture(scope="module")
def browser():
    """A headless browser with an empty profile."""
    if CHROMIUM is None:
        pytest.skip(NO_CHROMIUM)
    playwright = pytest.importorskip("playwright.sync_api", reason="pip install 'plategen[work]' brings playwright")
    with playwright.sync_playwright() as p:
        chromium = p.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        yield chromium
        chromium.close()


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item):
    """Run a test that times something while no other worker does anything, and all others side by side."""
    with _room(alone=item.get_closest_marker("quiet") is not None):
        return (yield)


@contextmanager
def _room(*, alone: bool) -> Iterator[None]:
    """Hold the machine for one test, or a share of it. All pass the same door, so that none waits for ever."""
    with DOOR.open() as door, ROOM.open() as room:
        flock(door, LOCK_EX)
        flock(room, LOCK_EX if alone else LOCK_SH)
        flock(door, LOCK_UN)
        yield
