"""What will be printed, looked at on the page: the sheet's own steps and measures, the paper's own drawing."""

import html
import re

import pytest
from pypdf import PdfReader

pytest.importorskip("starlette", reason="pip install 'plategen[page]' brings it")

from io import BytesIO

from plategen.page.previews import bench_sheet, papers
from plategen.paper.template import template_pdf
from plategen.tell.sheet.sheet import sheet_html
from tests.support.every_example import work_of

EXAMPLES = ["sprayer-kicked-rail", "forestry-bolted-channel", "vineyard-drag-link-seat"]


@pytest.mark.parametrize("profile", EXAMPLES)
def test_steps_and_measures_are_those_of_the_sheet(profile):
    work = work_of(profile)
    steps, table = bench_sheet(work)
    sheet = " ".join(html.unescape(re.sub(r"<[^>]+>", " ", sheet_html(work))).split())
    assert len(steps) > 3
    for words in (*steps, table.caption, *(row[0].words for row in table.rows)):
        assert " ".join(words.split()) in sheet


@pytest.mark.parametrize("profile", EXAMPLES)
@pytest.mark.parametrize("paper", ["letter", "roll"])
def test_as_many_pages_are_said_as_the_template_has(profile, paper):
    work = work_of(profile)
    said = sum(int(re.search(rf"\b{paper} (\d+)", pages)[1]) for *_, pages in papers(work))
    # before the plates comes one page that shows whether the print is true
    made = len(PdfReader(BytesIO(template_pdf(work, paper))).pages)
    if profile == "sprayer-kicked-rail" or paper == "roll":
        assert made == said + 1
    else:  # small plates share a page
        assert 1 < made < said + 1


def test_a_paper_stands_in_the_page_without_what_heads_a_file():
    for _, picture, _ in papers(work_of("sprayer-kicked-rail")):
        assert picture.startswith("<svg")
        assert "<style" not in picture, "the page's policy lets none in"


def test_both_are_opened_among_the_views(standing):
    told = standing.post("/state", {"open": ["bench", "paper"]}).json()["parts"]
    assert "At the bench" in told["view-bench"]["text"]
    assert "<svg" in told["view-paper"]["text"]
