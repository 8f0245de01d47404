"""Whether everyone can use the page: axe in every state, in every look.

``python -m tests.bench.everyone [WORD ...]``: of the states whose names have one of the words; else of all.
"""

import shutil
import sys
import tempfile
from pathlib import Path

from tests.conftest import CHROMIUM, FLAGS
from tests.page.conftest import serving
from tests.support.every_example import PROFILES
from tests.support.page_states import LOOKS, STATES, broken, in_state


def main(words: list[str]) -> None:
    """Print what is found, state by state."""
    from playwright.sync_api import sync_playwright

    chosen = [state for state in STATES if not words or any(word in state for word in words)]
    for state in chosen:
        with tempfile.TemporaryDirectory() as home, sync_playwright() as p:
            root = Path(home)
            for profile in {profile for profile, _ in STATES.values()} - {""}:
                shutil.copytree(PROFILES / profile, root / profile)
            browser = p.chromium.launch(executable_path=CHROMIUM, args=list(FLAGS))
            with serving(None, cwd=root) as served:
                page = in_state(browser.new_context(bypass_csp=True), served.url, state)
                found = {look: broken(page, look) for look in LOOKS}
            browser.close()
        wrong = {look: each for look, each in found.items() if each}
        print(f"{state}: {wrong or 'nothing serious or moderate in ' + ', '.join(LOOKS)}", flush=True)


if __name__ == "__main__":
    main(sys.argv[1:])
