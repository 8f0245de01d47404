"""What is tried with a job, in a real browser: asked, shown, called off; open to everyone, at three widths."""

import shutil

import pytest

pytest.importorskip("playwright.sync_api", reason="pip install 'plategen[work]' brings playwright")

from tests.page.conftest import PROFILES, Served, serving
from tests.support.access import broken

LOOKS = [(1440, "light", "none"), (820, "dark", "none"), (390, "light", "active")]
"""Width, colours, forced colours."""


@pytest.fixture(scope="module")
def page(tmp_path_factory) -> Served:
    folder = tmp_path_factory.mktemp("tried")
    for profile in ("bale-trailer-first", "bale-trailer-second"):
        shutil.copytree(PROFILES / profile, folder / profile)
    with serving(folder / "bale-trailer-second", cwd=folder) as served:
        yield served


def open_group(tab, name: str) -> None:
    tab.locator(f"[data-trial={name}] > summary").click()
    tab.locator("#trial-key option").first.wait_for(state="attached")


def ask(tab, name: str) -> str:
    """Press a group's button and wait for what is shown."""
    tab.locator(f"[data-trial={name}] button.main").click()
    tab.locator(f"[data-trial={name}] #trial-shown:not([hidden])").wait_for(timeout=60_000)
    return tab.locator("#trial-shown").inner_text()


def drop(tab, name: str, data: bytes) -> None:
    """Let a file fall on the form of plates that are there."""
    tab.evaluate(
        """([name, bytes]) => { const data = new DataTransfer();
            data.items.add(new File([new Uint8Array(bytes)], name));
            document.querySelector(".drop-plate").dispatchEvent(
                new DragEvent("drop", { dataTransfer: data, bubbles: true, cancelable: true })); }""",
        [name, list(data)],
    )


@pytest.mark.parametrize(("width", "scheme", "forced"), LOOKS)
def test_everyone_can_use_what_is_tried(browser, page, width, scheme, forced):
    context = browser.new_context(
        viewport={"width": width, "height": 900}, color_scheme=scheme, forced_colors=forced, bypass_csp=True
    )
    tab = context.new_page()
    wrong: list[str] = []
    tab.on("pageerror", lambda error: wrong.append(str(error)))
    tab.goto(page.url)
    open_group(tab, "number")
    tab.get_by_label("number", exact=True).select_option("weld.leg")
    assert "variants" in ask(tab, "number")
    tab.locator("#trial-shown summary").click()
    found = broken(tab, "#trial-shown")
    open_group(tab, "compare")
    tab.locator("[data-kind] input").first.check()
    assert "cutting" in ask(tab, "compare")
    found += broken(tab, "#trial-shown")
    open_group(tab, "revise")
    assert "changed in the job" in ask(tab, "revise")
    tab.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    found += broken(tab, "#trials", "#readings")
    assert found == []
    assert tab.evaluate("document.documentElement.scrollWidth") <= width, "nothing hangs out"
    context.close()
    assert wrong == []


def test_the_region_is_a_few_stops_away_and_all_is_done_by_keyboard(browser, page):
    tab = browser.new_page(viewport={"width": 1440, "height": 900})
    tab.goto(page.url)
    for _ in range(12):
        tab.keyboard.press("Tab")
        if tab.evaluate("document.activeElement.textContent") == "To comparing and revising":
            break
    tab.keyboard.press("Enter")
    assert tab.evaluate("document.activeElement.id") == "trials"
    tab.keyboard.press("Tab")
    tab.keyboard.press("Tab")  # the second summary
    tab.keyboard.press("Enter")
    tab.locator("#trial-key option").first.wait_for(state="attached")
    tab.keyboard.press("Tab")
    assert tab.evaluate("document.activeElement.id") == "trial-key"
    tab.keyboard.type("weld leg")
    for _ in range(4):
        tab.keyboard.press("Tab")
    assert tab.evaluate("document.activeElement.textContent") == "Run it"
    tab.keyboard.press("Enter")
    tab.locator("#trial-shown:not([hidden])").wait_for(timeout=60_000)
    assert tab.evaluate("document.activeElement.id") == "trial-shown", "the answer is read out"
    assert "weld.leg" in tab.locator("#trial-shown").inner_text()
    tab.close()


def test_what_takes_long_is_called_off(browser, page):
    tab = browser.new_page(viewport={"width": 1440, "height": 900})
    tab.goto(page.url)
    open_group(tab, "number")
    tab.get_by_label("by steps of").fill("1/512")
    tab.locator("[data-trial=number] button.main").click()
    tab.get_by_role("button", name="Call it off").click()
    tab.get_by_text("Called off.").wait_for()
    assert not tab.locator("#trial-busy").is_visible()
    assert page.post("/state", {}).status_code == 200
    tab.close()


def test_a_range_that_is_wrong_is_told_where_it_was_asked(browser, page):
    tab = browser.new_page(viewport={"width": 820, "height": 900})
    tab.goto(page.url)
    open_group(tab, "number")
    tab.get_by_label("by steps of").fill("0")
    tab.locator("[data-trial=number] button.main").click()
    tab.locator("[data-trial=number] #trial-says", has_text="more than zero is right").wait_for(timeout=60_000)
    tab.close()


def test_a_plate_is_dropped_and_its_files_come(browser, page, tmp_path):
    from click.testing import CliRunner

    from plategen.cli import main

    words = ["make", str(page.folder), "--no-solid", "--out", str(tmp_path / "out")]
    assert CliRunner().invoke(main, words).exit_code == 0
    tab = browser.new_page(viewport={"width": 820, "height": 900})
    tab.goto(page.url)
    open_group(tab, "plate")
    drop(tab, "old.dxf", (tmp_path / "out" / "ear_far.dxf").read_bytes())
    assert tab.locator("#trial-file-name").inner_text() == "old.dxf"
    assert not tab.get_by_label("thickness of the plate").is_visible(), "only of a photograph"
    assert "FITS: as ear far" in ask(tab, "plate")
    with tab.expect_download() as coming:
        tab.get_by_role("link", name="old_trim.dxf").click()
    assert coming.value.suggested_filename == "old_trim.dxf"
    tab.close()


def test_a_photograph_of_a_plate_is_dropped_and_tried(browser, page):
    pytest.importorskip("cv2", reason="pip install 'plategen[photo]' brings it")
    from tests.support.photographed_ear import photographed_ear

    data, thickness = photographed_ear(page.folder)
    tab = browser.new_page(viewport={"width": 1440, "height": 900})
    tab.goto(page.url)
    open_group(tab, "plate")
    drop(tab, "ear.jpg", data)
    assert tab.locator("#trial-file-name").inner_text() == "ear.jpg"
    tab.get_by_label("thickness of the plate").fill(thickness)
    tab.locator("[data-trial=plate]").get_by_label("a printed length").fill("100 mm")
    tab.get_by_label("in the place of").select_option("ear_near")
    tab.get_by_label("the pin may slide by").fill("1/4")
    assert "as ear near" in ask(tab, "plate")
    with tab.expect_download() as coming:
        tab.get_by_role("link", name="ear_trim.dxf").click()
    assert coming.value.suggested_filename == "ear_trim.dxf"
    tab.close()
