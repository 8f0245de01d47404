"""What all tests share: random cases that repeat in unattended runs, and a real browser to look at pages with."""

import os
import shutil

import pytest
from hypothesis import settings

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # as the command line has it, before numpy is loaded

# no deadline: a machine that is busy elsewhere is no defect, and tests/bench holds the speed by processor time
settings.register_profile("attended", deadline=None)
settings.register_profile("unattended", derandomize=True, deadline=None, print_blob=True)
settings.load_profile("unattended" if os.environ.get("CI") else "attended")

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)


@pytest.fixture(scope="module")
def browser():
    """A headless browser with an empty profile."""
    if CHROMIUM is None:
        pytest.skip("no Chromium on this machine; install the package chromium to look at pages in a browser")
    playwright = pytest.importorskip("playwright.sync_api", reason="pip install 'plategen[work]' brings playwright")
    with playwright.sync_playwright() as p:
        chromium = p.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
        yield chromium
        chromium.close()
