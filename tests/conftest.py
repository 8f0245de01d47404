"""What all tests share: random cases that repeat in unattended runs, quiet for those that time, and a real browser.

What a machine lacks is told by words, not by a failure: a test that asks for a browser or the solid kernel is skipped
where there is none, and the last lines of a run say why, each reason once.
"""

import importlib
import os
import shutil
import tempfile
from collections import Counter
from collections.abc import Iterator
from contextlib import ExitStack, contextmanager
from fcntl import LOCK_EX, LOCK_SH, LOCK_UN, flock
from functools import cache
from pathlib import Path

import pytest
from hypothesis import settings

from plategen.ground.memory import collect_seldom
from tests.support import once

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line has it, before numpy is loaded

collect_seldom()  # as the command line has it too: nearly all that a test makes goes when nobody holds it

# what a killed process wrote is in the system's hands already; a disk is waited for against a power cut alone
os.fsync = lambda handle: None

MEMORY, ROOM_BYTES = Path("/dev/shm"), 4 * 10**9  # a folder that lies in memory, and how much of it must be free
if "TMPDIR" not in os.environ and os.access(MEMORY, os.W_OK) and shutil.disk_usage(MEMORY).free > ROOM_BYTES:
    # hundreds of folders that go at once, and all that a browser keeps: a disk takes its time over each
    os.environ["TMPDIR"] = tempfile.tempdir = str(MEMORY)

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
    # two pages of the browser's own, drawn for the address field of every window, took four fifths of opening a page;
    # the last such switch counts alone, so what playwright turns off is named again
    "--disable-features=WebUIOmniboxPopup,WebUIOmniboxAimPopup,WebUIOmniboxFullPopup,AimEnabled,"
    "AvoidUnnecessaryBeforeUnloadCheckSync,DestroyProfileOnBrowserClose,HttpsUpgrades,"
    "HttpsFirstBalancedModeAutoEnable,LensOverlay,MediaRouter,NetworkTimeServiceQuerying,OptimizationHints,"
    "PaintHolding,PreconnectToSearch,ThirdPartyStoragePartitioning",
)


DOOR, ROOM = Path(__file__), Path(__file__).parents[1] / "pyproject.toml"  # files that are there, to hold locks on
HELD = "PLATEGEN_TESTS_ROOM"  # set while a test holds it


@pytest.fixture(scope="session", autouse=True)
def _folder_of_all_workers(tmp_path_factory):
    if "PYTEST_XDIST_WORKER" in os.environ:
        once.shared[:] = [tmp_path_factory.getbasetemp().parent / "shared"]
        once.shared[0].mkdir(exist_ok=True)


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


@cache
def no_kernel() -> str:
    """Why the solid kernel cannot be loaded on this machine, as the program says it; "" where it can."""
    from plategen.solid.kernel import why_unavailable

    try:
        importlib.import_module("OCP.gp")
    except ImportError as missing:
        return why_unavailable(str(missing))
    return ""


@pytest.fixture
def kernel() -> None:
    """For a test that counts what the solid kernel makes."""
    if no_kernel():
        pytest.skip(no_kernel())


def _for_want_of_kernel(error: BaseException) -> bool:
    """True if it is the machine that lacks the kernel, and neither the program nor the test is at fault."""
    from plategen.solid.kernel import SolidUnavailable, why_unavailable

    wanting = isinstance(error, SolidUnavailable) or (
        isinstance(error, ImportError) and why_unavailable(str(error)) == no_kernel()
    )
    return wanting and bool(no_kernel())


def _skipped(report, words: str) -> None:
    path, line, *_ = getattr(report, "location", (report.nodeid, 0))
    report.outcome, report.longrepr = "skipped", (path, line, f"Skipped: {words}")


@pytest.hookimpl(wrapper=True)
def pytest_make_collect_report(collector):
    """A file that cannot be read without the kernel is skipped where there is none."""
    report = yield
    error = report.call.excinfo if hasattr(report, "call") else None
    cause = error.value.__cause__ or error.value if error else None
    if report.failed and cause is not None and _for_want_of_kernel(cause):
        _skipped(report, no_kernel())
    return report


@pytest.hookimpl(wrapper=True)
def pytest_runtest_makereport(item, call):
    """So is a test that asks for it."""
    report = yield
    if report.failed and call.excinfo is not None and _for_want_of_kernel(call.excinfo.value):
        _skipped(report, no_kernel())
    return report


def pytest_terminal_summary(terminalreporter):
    """Say once what was not looked at, and why."""
    skipped = terminalreporter.stats.get("skipped", [])
    reasons = Counter(report.longrepr[2].removeprefix("Skipped: ") for report in skipped if report.longrepr)
    for words, count in reasons.most_common():
        terminalreporter.write_line(f"{count} skipped: {words}")


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items):
    """Tests that time something come first, one after the other: the other workers wait for them once."""
    items.sort(key=lambda item: not _quiet(item))


def _quiet(item) -> bool:
    return item is not None and item.get_closest_marker("quiet") is not None


STAY = ExitStack()  # holds the room from one test that times something to the next


@pytest.hookimpl(wrapper=True)
def pytest_runtest_protocol(item, nextitem):
    """Run tests that time something while no other worker does anything, and all others side by side."""
    STAY.enter_context(_room(alone=_quiet(item)))
    try:
        return (yield)
    finally:
        if not (_quiet(item) and _quiet(nextitem)):
            STAY.close()


@contextmanager
def _room(*, alone: bool) -> Iterator[None]:
    """Hold the machine for one test, or a share of it. All pass the same door, so that none waits for ever.

    Tests that run within a test share its room: at the door they would wait for a test that waits for it.
    """
    if HELD in os.environ:
        yield
        return
    with DOOR.open() as door, ROOM.open() as room:
        flock(door, LOCK_EX)
        flock(room, LOCK_EX if alone else LOCK_SH)
        flock(door, LOCK_UN)
        os.environ[HELD] = "yes"
        try:
            yield
        finally:
            del os.environ[HELD]
