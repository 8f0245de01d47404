"""The choices beside the downloads, in a real browser: its event loop runs on, so they have a file of their own."""

import pypdf
import pytest

pytest.importorskip("starlette", reason="pip install 'plategen[page]' brings it")


def test_the_paper_that_is_chosen_stays_chosen(browser, standing):
    page = browser.new_page()
    page.goto(standing.url)
    link = page.locator("ul.files a", has_text="template.pdf")
    assert link.get_attribute("href") == "/files/template.pdf?paper=letter"
    page.get_by_label("Paper of the template").select_option("a3")
    assert link.get_attribute("href") == "/files/template.pdf?paper=a3"
    assert page.locator("a.button", has_text="ZIP").get_attribute("href") == "/files.zip?paper=a3"
    standing.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": "1"}]})
    page.locator("#save-for-files").wait_for()
    standing.post("/undo", {})
    link.wait_for()
    assert link.get_attribute("href") == "/files/template.pdf?paper=a3"
    with page.expect_download() as download:
        link.click()
    assert pypdf.PdfReader(download.value.path()).pages[0].mediabox.width == pytest.approx(297 * 72 / 25.4, abs=0.1)
    page.close()


def test_the_dxf_version_is_one_click_away(browser, standing):
    page = browser.new_page()
    page.goto(standing.url)
    page.get_by_role("button", name="Choose another").click()
    field = page.locator("select[name='cutting.dxf']")
    assert field.is_visible()
    assert field.evaluate("f => document.activeElement === f")
    assert field.locator("option").all_inner_texts()[1:] == ["R12", "R2000", "R2013"]
    page.close()
