"""Every example's and every starter's sheet in a real browser, on a desk, on a telephone and on paper."""

from collections.abc import Iterator
from pathlib import Path

import pytest
from shapely.geometry import LineString, Polygon

from plategen.delivery.render import Source, shop_sheet
from plategen.job.load import job_of
from plategen.job.toml_edit import path_of, set_value
from plategen.make import carry_through
from plategen.paper.size import USUAL_PAPER
from tests.support.access import broken
from tests.support.every_example import EXAMPLES, PROFILES, STARTERS, work_of
from tests.support.seen import assert_words_clear, meeting, page_by_page, printed_words, watched_page
from tests.support.sheets import delivered_sheet

SHOW_MOST = ("forestry-bolted-channel", "hay-rake-formed-bracket", "bowser-leaf-axle", "orchard-sprayer-both-ends")
"""Examples that have every kind of table, picture and mark between them."""

MARGIN_MM = 5.0
"""What a printer leaves white (common practice, no source); page numbers and title stand in the page's margin."""

TELEPHONE_PX, PRINTED_PT = 12.0, 7.0
"""The least height of a drawing's lettering on a telephone, and on paper."""

TEXT_WIDTH_MM = 210.0 - 24.0
"""Room for text across the narrower of the papers, A4, between the sheet's margins."""

LEADERS = """() => [...document.querySelectorAll('figure svg')].map(svg => [...svg.querySelectorAll('path.leader')]
  .map(path => {
    const m = path.getScreenCTM(), long = path.getTotalLength();
    return [...Array(101).keys()].map(i => path.getPointAtLength(long * i / 100))
      .map(p => [m.a * p.x + m.c * p.y + m.e, m.b * p.x + m.d * p.y + m.f]);
  }))"""
"""For each picture its leaders, the lines from words to what they are of, as points in pixels."""

ACROSS_PX = 1.0
"""So much of a leader may touch the box of a word that it ends beside."""

DRAWN = """() => {
  const text = document.body.getBoundingClientRect().width;
  return [...document.querySelectorAll('main figure.drawing:not(.trace *) svg')].map(svg => [
    svg.querySelector('title').textContent, svg.getBoundingClientRect().width / text,
    svg.closest('figure').matches('.tall')]);
}"""
"""Each drawing but those of traces: its name, its share of the text's width, and whether it is an upright one."""

SMALLEST = """() => [...document.querySelectorAll('figure svg')].map(svg => [
  svg.querySelector('title').textContent,
  Math.min(...[...svg.querySelectorAll('text')].filter(t => t.textContent.trim()).map(t => {
    const m = t.getScreenCTM(); return Math.hypot(m.a, m.b) * parseFloat(getComputedStyle(t).fontSize); }))])"""
"""Each picture's name and its smallest lettering in pixels."""

LETTERING = """() => [...document.querySelectorAll('figure svg')].map(svg => ({
  name: svg.querySelector('title').textContent,
  frame: (r => [r.left, r.top, r.right, r.bottom])(svg.getBoundingClientRect()),
  words: [...svg.querySelectorAll('text')].filter(t => t.textContent.trim()).map(t => {
    const b = t.getBBox(), m = t.getScreenCTM(), low = b.y + 0.15 * b.height, high = b.y + 0.85 * b.height;
    return [t.textContent, [[b.x, low], [b.x + b.width, low], [b.x + b.width, high], [b.x, high]]
      .map(([x, y]) => [m.a * x + m.c * y + m.e, m.b * x + m.d * y + m.f])];
  })}))"""
"""Each picture's words with the corners of their inked part, in pixels."""


@pytest.fixture(scope="module", params=(*EXAMPLES, *STARTERS))
def opened(request, browser, tmp_path_factory) -> Iterator:
    """An example's sheet, open from disk without a network; what it asked for and complained of is kept on it."""
    path: Path = tmp_path_factory.mktemp("sheet") / "sheet.html"
    work = work_of(request.param)
    path.write_text(delivered_sheet(request.param), encoding="utf-8")
    context = browser.new_context(offline=True, bypass_csp=True, viewport={"width": 390, "height": 844})
    page = watched_page(context)
    page.goto(path.as_uri())
    page.plain = work.bracket.style == "ears" and len(work.cut_plates) == 2 and not work.corrections
    page.plain = page.plain and work.steering is None
    page.shows_most = request.param in SHOW_MOST
    yield page
    context.close()


def test_asks_for_nothing_and_complains_of_nothing(opened):
    opened.wait_for_timeout(100)
    assert opened.complaints == []
    assert [url for url in opened.asked if not url.startswith("data:")] == [opened.url]


def test_fits_a_telephone_and_passes_the_accessibility_rules(opened):
    opened.set_viewport_size({"width": 390, "height": 844})
    assert opened.evaluate("document.documentElement.scrollWidth") <= 390
    assert opened.evaluate("[...document.querySelectorAll('details.fold')].every(fold => !fold.open)")
    assert broken(opened) == []
    # what is dark has other colours and nothing else, and every sheet has the same
    if opened.shows_most:
        opened.emulate_media(color_scheme="dark")
        assert broken(opened, colours_alone=True) == []
        opened.emulate_media(color_scheme="light")


def test_no_words_of_a_picture_cover_others_or_are_cut(opened):
    opened.set_viewport_size({"width": 1400, "height": 900})
    pictures = opened.evaluate(LETTERING)
    assert pictures
    assert_words_clear(pictures)
    opened.emulate_media(media="print")
    opened.set_viewport_size({"width": round(TEXT_WIDTH_MM / 25.4 * 96), "height": 900})
    printed = [picture for picture in opened.evaluate(LETTERING) if picture["frame"][2] > picture["frame"][0]]
    opened.emulate_media(media="null")
    assert_words_clear(printed)


def test_no_leader_runs_through_words(opened):
    opened.set_viewport_size({"width": 1400, "height": 900})
    pictures, leaders = opened.evaluate(LETTERING), opened.evaluate(LEADERS)
    assert any(leaders)
    for picture, points in zip(pictures, leaders, strict=True):
        lines, boxes = [LineString(line) for line in points], [Polygon(corners) for _, corners in picture["words"]]
        for box, line in meeting(boxes, lines):
            across_px = lines[line].intersection(boxes[box]).length
            assert across_px <= ACROSS_PX, (picture["name"], picture["words"][box][0])


def test_drawings_print_as_wide_as_the_page(opened):
    opened.emulate_media(media="print")
    opened.set_viewport_size({"width": round(TEXT_WIDTH_MM / 25.4 * 96), "height": 900})
    drawn = opened.evaluate(DRAWN)
    across = opened.evaluate("[document.documentElement.scrollWidth, innerWidth]")
    assert across[0] <= across[1], "nothing is wider than the paper"
    opened.emulate_media(media="null")
    assert drawn
    assert [(name, share) for name, share, tall in drawn if share < 0.99 and not tall] == []


def test_every_label_of_a_drawing_can_be_read_on_a_telephone_and_on_paper(opened):
    opened.set_viewport_size({"width": 390, "height": 844})
    assert [told for told in opened.evaluate(SMALLEST) if told[1] < TELEPHONE_PX] == []
    opened.emulate_media(media="print")
    opened.set_viewport_size({"width": round(TEXT_WIDTH_MM / 25.4 * 96), "height": 900})
    printed = [(name, px * 0.75) for name, px in opened.evaluate(SMALLEST)]
    opened.emulate_media(media="null")
    assert any("dimensioned" in name for name, _ in printed)
    assert [told for told in printed if told[1] < PRINTED_PT] == []


def assert_bench_sheet(pages: list[str]) -> None:
    """It is two pages, and what is cut begins on the third, with its drawings."""
    assert next(i for i, words in enumerate(pages) if "What to expect of the cut" in words) == 2
    assert "not to scale; lengths in" in pages[2]
    assert "What to cut" in pages[0]
    assert "when done: name" in pages[1]


def test_prints_whole_with_every_table_open(opened):
    opened.set_viewport_size({"width": 390, "height": 844})
    pdf = opened.pdf(format="Letter")
    whole, pages = printed_words(pdf, MARGIN_MM), page_by_page(pdf)
    title = opened.evaluate("document.querySelector('h1').textContent").strip()
    for number, words in enumerate(pages, 1):
        assert f"page {number} of {len(pages)}" in words
        assert title in words, "every page says whose it is"
    assert_bench_sheet(pages)
    assert_bench_sheet(page_by_page(opened.pdf(format="A4", page_ranges="1-3")))
    contents = opened.evaluate("[...document.querySelectorAll('nav a')].map(a => a.textContent)")
    heads = opened.evaluate("[...document.querySelectorAll('main > section > h2')].map(h => h.textContent)")
    assert contents == heads
    assert not any(words.endswith(tuple(heads)) for words in pages), "no heading is left alone at a page's foot"
    if opened.plain:
        assert len(pages) <= 8
    for caption in opened.evaluate("[...document.querySelectorAll('caption')].map(c => c.textContent)"):
        assert caption in whole
    last = "[...document.querySelectorAll('.wide')].map(w => [...w.querySelectorAll('tr:last-child td')].at(-1))"
    for words in opened.evaluate(f"{last}.filter(Boolean).map(cell => cell.textContent.trim())"):
        assert " ".join(words.split())[:12] in whole, "the last cell of every table is on paper"


STOPPING = {
    "weak weld": {"weld.leg": "1/8", "cylinder.pressure": "4000 psi"},
    "short foot": {"mount.foot": ["5", "8"]},
}
"""Numbers that stop a plain pair of ears, by what is wrong with it."""


@pytest.mark.parametrize("wrong", STOPPING)
def test_a_plain_pair_of_ears_that_must_not_be_built_prints_on_eight_pages_too(browser, tmp_path, wrong):
    folder = PROFILES / "sprayer-kicked-rail"
    text = (folder / "job.toml").read_text(encoding="utf-8")
    for key, value in STOPPING[wrong].items():
        text = set_value(text, path_of(key), value)
    loaded = job_of(text, lambda name: (folder / name).read_text(encoding="utf-8"))
    work = carry_through(loaded.job, loaded.traces)
    assert work.stopped
    path = tmp_path / "sheet.html"
    path.write_bytes(shop_sheet(Source(work, USUAL_PAPER, solid=False)))
    page = browser.new_page()
    page.goto(path.as_uri())
    assert len(page_by_page(page.pdf(format="Letter"))) <= 8
    page.close()
