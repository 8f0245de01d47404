"""Every example's delivered SVG opened from disk in a real browser, measured on the screen and printed."""

import io
from dataclasses import replace
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from plategen.ground.stamp import Stamp
from plategen.paper.size import MARGIN_MM
from plategen.paper.template import template_svg
from tests.paper.test_template import PIXEL_MM, ends
from tests.support.every_example import EXAMPLES, work_of

CSS_PX_MM = 25.4 / 96.0
"""CSS Values and Units 4, 6.2: 1in = 96px = 2.54cm."""

MEASURED = """() => [...document.querySelectorAll('g[data-bar]')].map(g => {
  const r = g.getBoundingClientRect(); return [g.dataset.bar, r.width, r.height]; })"""


def opened(browser, folder: Path, work, plate):
    path = folder / f"{plate.name}.svg"
    path.write_text(template_svg(work, plate), encoding="utf-8")
    page = browser.new_page(viewport={"width": 1400, "height": 1000})
    page.goto(path.as_uri())
    return page


@pytest.mark.parametrize("name", EXAMPLES)
def test_bars_are_as_long_on_the_screen_as_they_say(browser, tmp_path, name):
    work = replace(work_of(name), stamp=Stamp("B", "3f9a12bc4d5e77"))
    for plate in work.cut_plates:
        page = opened(browser, tmp_path, work, plate)
        bars = {words: (wide * CSS_PX_MM, tall * CSS_PX_MM) for words, wide, tall in page.evaluate(MEASURED)}
        page.close()
        assert bars["100 mm across"][0] == pytest.approx(100.0, rel=1e-4)
        assert bars["4 in across"][0] == pytest.approx(101.6, rel=1e-4)
        assert bars["100 mm along"][1] == pytest.approx(100.0, rel=1e-4)
        assert bars["4 in along"][1] == pytest.approx(101.6, rel=1e-4)


@pytest.mark.parametrize("name", EXAMPLES)
def test_bars_are_as_long_when_the_browser_prints_it(browser, tmp_path, name):
    work = work_of(name)
    plate = work.bracket.plates[0]
    page = opened(browser, tmp_path, work, plate)
    width, height = page.evaluate("(s => [s.width.baseVal.value, s.height.baseVal.value])(document.documentElement)")
    # a printer's paper is never smaller than the drawing: A1 stands for a plotter
    printed = page.pdf(width="594mm", height="841mm", margin={"top": "0", "left": "0", "bottom": "0", "right": "0"})
    page.close()
    assert width * CSS_PX_MM < 594
    document = pypdfium2.PdfDocument(io.BytesIO(printed))
    shown = document[0].render(scale=300 / 72, grayscale=True).to_numpy().squeeze()
    document.close()
    dark = (255 - shown[: round(height * CSS_PX_MM / PIXEL_MM)][::-1]).astype(float) / 255.0
    left, low = MARGIN_MM + 13.0, MARGIN_MM + 25.0
    for across, image, start, length in (
        (MARGIN_MM + 2.95, dark, left, 100.0),
        (MARGIN_MM + 5.5 + 2.95, dark, left, 101.6),
        (MARGIN_MM + 4.0 - 2.95, dark.T, low, 100.0),
        (MARGIN_MM + 9.5 - 2.95, dark.T, low, 101.6),
    ):
        first, last = int((start - 1) / PIXEL_MM), int((start + length + 1) / PIXEL_MM)
        a, b = ends(np.asarray(image[int(across / PIXEL_MM)][first:last]))
        assert b - a == pytest.approx(length, rel=1e-3)
