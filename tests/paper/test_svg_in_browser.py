"""Every example's delivered SVG opened from disk in a real browser, measured on the screen and printed."""

from dataclasses import replace
from pathlib import Path

import pytest

from plategen.ground.stamp import Stamp
from plategen.paper.template import template_svg
from tests.support.every_example import EXAMPLES, work_of
from tests.support.raster import assert_bars, raster

CSS_PX_MM = 25.4 / 96.0
"""CSS Values and Units 4, 6.2: 1in = 96px = 2.54cm."""

MEASURED = """() => [...document.querySelectorAll('g[data-bar]')].map(g => {
  const r = g.getBoundingClientRect(); return [g.dataset.bar, r.width, r.height]; })"""


@pytest.fixture(scope="module")
def page(browser):
    page = browser.new_page(viewport={"width": 1400, "height": 1000})
    yield page
    page.close()


def show(page, folder: Path, work, plate) -> None:
    path = folder / f"{plate.name}.svg"
    path.write_text(template_svg(work, plate), encoding="utf-8")
    page.goto(path.as_uri())


@pytest.mark.parametrize("name", EXAMPLES)
def test_bars_are_as_long_on_the_screen_as_they_say(page, tmp_path, name):
    work = replace(work_of(name), stamp=Stamp("B", "3f9a12bc4d5e77"))
    for plate in work.cut_plates:
        show(page, tmp_path, work, plate)
        bars = {words: (wide * CSS_PX_MM, tall * CSS_PX_MM) for words, wide, tall in page.evaluate(MEASURED)}
        assert bars["100 mm across"][0] == pytest.approx(100.0, rel=1e-4)
        assert bars["4 in across"][0] == pytest.approx(101.6, rel=1e-4)
        assert bars["100 mm along"][1] == pytest.approx(100.0, rel=1e-4)
        assert bars["4 in along"][1] == pytest.approx(101.6, rel=1e-4)


@pytest.mark.parametrize("name", EXAMPLES)
def test_bars_are_as_long_when_the_browser_prints_it(page, tmp_path, name):
    work = work_of(name)
    plate = work.bracket.plates[0]
    show(page, tmp_path, work, plate)
    width, height = page.evaluate("(s => [s.width.baseVal.value, s.height.baseVal.value])(document.documentElement)")
    # a printer's paper is never smaller than the drawing: A1 stands for a plotter
    printed = page.pdf(width="594mm", height="841mm", margin={"top": "0", "left": "0", "bottom": "0", "right": "0"})
    assert width * CSS_PX_MM < 594
    # the bars stand at the drawing's lower left corner, 130 mm across and 150 mm along
    above = max(height * CSS_PX_MM - 150.0, 0.0)
    assert_bars(next(raster(printed, (0.0, 841.0 - height * CSS_PX_MM, 594.0 - 130.0, above))))
