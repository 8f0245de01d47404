"""The SVG template measured in a real browser at 300 dots an inch, as the paper is."""

import io
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from PIL import Image

from plategen.flat.segment import Arc
from plategen.paper.template import template_svg
from tests.support.example_work import example_work
from tests.support.raster import DPI, PIXEL_MM, assert_bars, assert_strokes, places

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module", params=["in", "mm"])
def drawn(request, browser):
    """A plate, its file, and the file as darkness from 0 to 255, row 0 at the bottom."""
    plate = example_work(request.param).bracket.plates[1]
    svg = template_svg(example_work(request.param), plate)
    context = browser.new_context(device_scale_factor=DPI / 96, viewport={"width": 1300, "height": 1100}, offline=True)
    page = context.new_page()
    page.set_content(f"<style>body {{ margin: 0 }} svg {{ display: block }}</style>{svg.split('?>', 1)[1]}")
    shot = Image.open(io.BytesIO(page.locator("svg").screenshot())).convert("L")
    context.close()
    dark = 255 - np.asarray(shot)
    # a browser rounds the element's far edges to whole pixels: only its upper left corner is where it says
    tall = round(float(re.search(r'height="([\d.]+)mm"', svg)[1]) / PIXEL_MM)
    return plate, svg, dark[:tall][::-1]


def test_the_file_says_its_size_in_millimetres(drawn):
    _, svg, _ = drawn
    root = ET.fromstring(svg.split("?>", 1)[1])
    width, height = float(root.get("width").removesuffix("mm")), float(root.get("height").removesuffix("mm"))
    assert [float(x) for x in root.get("viewBox").split()] == pytest.approx([0, -height, width, height])


def test_bars_are_right_in_both_directions(drawn):
    _, _, dark = drawn
    assert_bars(dark)


def test_the_outline_is_where_it_belongs(drawn):
    plate, svg, dark = drawn
    shift = [float(x) for x in re.search(r"<g transform=\"translate\(([-\d.]+) ([-\d.]+)\)", svg).groups()]
    move = complex(shift[0], -shift[1])
    hole = plate.holes[0].circle
    edges = [*plate.outline, Arc(hole.centre + hole.radius, hole.centre - hole.radius, 1.0)]
    spots, square = places(edges, np.linspace(0.03, 0.97, 31))
    assert_strokes(dark, spots + move, square)


def test_paper_and_svg_print_the_same_words(drawn):
    plate, svg, _ = drawn
    words = [t.text for t in ET.fromstring(svg.split("?>", 1)[1]).iter(f"{SVG}text")]
    assert "MEASURE BOTH BARS, BOTH WAYS, WITH A STEEL RULE BEFORE YOU CUT." in words
    assert "THIS FACE OUT" in words
    assert plate.name.replace("_", " ") in words


def test_same_job_same_file():
    work = example_work()
    assert template_svg(work, work.bracket.plates[0]) == template_svg(work, work.bracket.plates[0])
