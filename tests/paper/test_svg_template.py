"""The SVG template measured in a real browser at 300 dots an inch, as the paper is."""

import io
import re
import xml.etree.ElementTree as ET

import numpy as np
import pytest
from PIL import Image

from plategen.flat.segment import Arc
from plategen.paper.size import MARGIN_MM
from plategen.paper.template import template_svg
from tests.support.example_work import example_work

PIXEL_MM = 25.4 / 300
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module", params=["in", "mm"])
def drawn(request, browser):
    """A plate, its file, and the file as darkness from 0 to 1, row 0 at the bottom."""
    plate = example_work(request.param).bracket.plates[1]
    svg = template_svg(example_work(request.param), plate)
    context = browser.new_context(device_scale_factor=300 / 96, viewport={"width": 1300, "height": 1100}, offline=True)
    page = context.new_page()
    page.set_content(f"<style>body {{ margin: 0 }} svg {{ display: block }}</style>{svg.split('?>', 1)[1]}")
    shot = Image.open(io.BytesIO(page.locator("svg").screenshot())).convert("L")
    context.close()
    dark = 1.0 - np.asarray(shot).astype(float) / 255.0
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
    left, low = MARGIN_MM + 13.0, MARGIN_MM + 25.0
    for across, image, start, length in (
        (MARGIN_MM + 2.95, dark, left, 100.0),
        (MARGIN_MM + 5.5 + 2.95, dark, left, 101.6),
        (MARGIN_MM + 4.0 - 2.95, dark.T, low, 100.0),
        (MARGIN_MM + 9.5 - 2.95, dark.T, low, 101.6),
    ):
        first, last = int((start - 1) / PIXEL_MM), int((start + length + 1) / PIXEL_MM)
        row = image[int(across / PIXEL_MM)][first:last]
        marks = np.flatnonzero(row > 0.25)
        ends = [np.average(n + 0.5, weights=row[n]) for m in (marks[0], marks[-1]) for n in (np.arange(m - 3, m + 4),)]
        assert (ends[1] - ends[0]) * PIXEL_MM == pytest.approx(length, rel=1e-3)


def test_the_outline_is_where_it_belongs(drawn):
    plate, svg, dark = drawn
    shift = [float(x) for x in re.search(r"<g transform=\"translate\(([-\d.]+) ([-\d.]+)\)", svg).groups()]
    move = complex(shift[0], -shift[1])
    hole = plate.holes[0].circle
    edges = [*plate.outline, Arc(hole.centre + hole.radius, hole.centre - hole.radius, 1.0)]
    across = np.arange(-0.4, 0.401, 0.02)
    for edge in edges:
        for t in np.linspace(0.03, 0.97, 31):
            at, square = edge.point(t) + move, edge.tangent(t) * 1j
            spots = [at + square * d for d in across]
            values = np.array([dark[int(q.imag / PIXEL_MM), int(q.real / PIXEL_MM)] for q in spots])
            assert values.max() > 0.5
            assert abs(np.average(across, weights=values)) < 0.2


def test_paper_and_svg_print_the_same_words(drawn):
    plate, svg, _ = drawn
    words = [t.text for t in ET.fromstring(svg.split("?>", 1)[1]).iter(f"{SVG}text")]
    assert "MEASURE BOTH BARS, BOTH WAYS, WITH A STEEL RULE BEFORE YOU CUT." in words
    assert "THIS FACE OUT" in words
    assert plate.name.replace("_", " ") in words


def test_same_job_same_file():
    work = example_work()
    assert template_svg(work, work.bracket.plates[0]) == template_svg(work, work.bracket.plates[0])
