"""Whether everyone can use the page in the states that the other tests do not bring it to, each in one look.

``python -m tests.bench.everyone`` goes over every state in every look.
"""

import shutil
from itertools import cycle

import pytest

pytest.importorskip("playwright.sync_api", reason="pip install 'plategen[work]' brings playwright")
pytest.importorskip("axe_playwright_python", reason="pip install axe-playwright-python carries axe-core")

from plategen.page.assets import own_text
from tests.page.conftest import PROFILES, Served, serving
from tests.support.page_states import LOOKS, STATES, broken, in_state

ELSEWHERE = ("the first screen", "every number of plates", "every view of plates", "nothing drawn")
"""States that the tests of the first screen and of the page's looks go over."""

SEEN = list(zip([state for state in STATES if state not in ELSEWHERE], cycle(LOOKS), strict=False))


@pytest.fixture(scope="module")
def shop(tmp_path_factory) -> Served:
    root = tmp_path_factory.mktemp("everyone")
    for profile in {profile for profile, _ in STATES.values()} - {""}:
        shutil.copytree(PROFILES / profile, root / profile)
    with serving(None, cwd=root) as served:
        yield served


@pytest.mark.parametrize(("state", "look"), SEEN)
def test_everyone_can_use_it(browser, shop, state, look):
    context = browser.new_context(bypass_csp=True)
    page = in_state(context, shop.url, state)
    found = broken(page, look)
    context.close()
    while shop.post("/undo", {}).json()["undo"]:
        pass
    assert found == []


def test_everyone_can_come_in_by_the_link(browser):
    """The one page that is shown before the job's own."""
    page = browser.new_page(bypass_csp=True)
    page.set_content(own_text("templates/enter.html"))
    found = {look: broken(page, look) for look in LOOKS}
    page.close()
    assert not any(found.values()), found
