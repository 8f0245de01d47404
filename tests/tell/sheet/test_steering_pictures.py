"""The steering's pictures in a real browser: no word covers another or is cut, on a desk and on a telephone."""

from pathlib import Path

import pytest

from plategen.tell.sheet.sheet import sheet_html
from tests.support.every_example import work_of
from tests.support.seen import assert_words_clear
from tests.tell.sheet.test_every_example import LETTERING


@pytest.mark.parametrize("width", [1400, 390])
def test_words_stand_clear_of_each_other_and_within_their_picture(browser, tmp_path: Path, width: int) -> None:
    path = tmp_path / "sheet.html"
    path.write_text(sheet_html(work_of("orchard-sprayer-steering")), encoding="utf-8")
    context = browser.new_context(offline=True, bypass_csp=True, viewport={"width": width, "height": 900})
    page = context.new_page()
    page.goto(path.as_uri())
    pictures = page.evaluate(LETTERING.replace("figure svg", "svg.steer"))
    context.close()
    assert len(pictures) == 16
    assert_words_clear(pictures)
