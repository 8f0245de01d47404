"""The sheet opened in a real browser, from disk and without a network, and gone over as its readers would."""

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from plategen.checks.finding import part
from plategen.checks.run import LEAST_LEG
from plategen.ground.stamp import Stamp
from plategen.tell.sheet.sheet import sheet_html
from tests.support.access import broken
from tests.support.every_example import work_of
from tests.support.example_work import example_job, example_work
from tests.support.seen import printed_words, watched_page


@pytest.fixture(scope="module")
def sheet_file(tmp_path_factory) -> Path:
    path = tmp_path_factory.mktemp("sheet") / "sheet.html"
    path.write_text(sheet_html(example_work()), encoding="utf-8")
    return path


@pytest.fixture
def opened(browser, sheet_file) -> Iterator:
    """The sheet on a page of its own; what the page asked for and complained of is kept on it."""
    context = browser.new_context(offline=True)
    page = watched_page(context)
    page.goto(sheet_file.as_uri())
    yield page
    context.close()


def test_opens_without_a_network_and_without_a_complaint(opened, sheet_file):
    opened.wait_for_timeout(200)
    assert opened.complaints == []
    assert [url for url in opened.asked if not url.startswith("data:")] == [sheet_file.as_uri()]
    assert opened.title() == "Sprayer steering cylinder, left rail: shop sheet"


def test_names_no_outside_address():
    html = sheet_html(example_work())
    assert set(re.findall(r"https?://[^\s\"'<>]+", html)) == {"http://www.w3.org/2000/svg"}
    assert not re.search(r"@import|url\(|<link[^>]+stylesheet|<(?:img|iframe|object|embed)\b|\bsrc=", html)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1100])
def test_no_serious_accessibility_issue(browser, sheet_file, scheme, width):
    context = browser.new_context(
        color_scheme=scheme, viewport={"width": width, "height": 800}, bypass_csp=True, offline=True
    )
    page = context.new_page()
    page.goto(sheet_file.as_uri())
    told = broken(page)
    context.close()
    assert [t for t in told if t[1] in ("moderate", "serious", "critical")] == []


def test_reads_at_390_pixels(browser, sheet_file):
    context = browser.new_context(viewport={"width": 390, "height": 800}, offline=True)
    page = context.new_page()
    page.goto(sheet_file.as_uri())
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    # nothing but drawings, which scroll in their own frame, reaches beyond the screen
    beyond = page.evaluate(
        """[...document.querySelectorAll('body *')].filter(e => !e.closest('svg, figure.drawing, .skip, .wide thead')
           && e.getBoundingClientRect().right > 391 && getComputedStyle(e).position !== 'absolute')
           .map(e => e.tagName + ' ' + e.textContent.slice(0, 40))"""
    )
    small = page.evaluate(
        """[...document.querySelectorAll('p, li, td, dd, dt, figcaption, button')]
           .map(e => parseFloat(getComputedStyle(e).fontSize)).filter(s => s < 12)"""
    )
    context.close()
    assert beyond == []
    assert small == []


@pytest.mark.parametrize("paper", ["Letter", "A4"])
def test_prints_without_clipped_tables(opened, paper):
    whole = printed_words(opened.pdf(format=paper), 5.0)
    for words in ("AISC 360-22 J2.4", "rule and what was assumed", "ear_near.dxf", "DOUBTFUL", "Sign before cutting"):
        assert words in whole, "the last column of every table is on paper"


def test_tables_and_view_are_reached_by_keyboard(opened):
    assert opened.evaluate("document.getElementById('turntable').hidden") is False
    before = opened.evaluate("document.querySelector('#turntable canvas').toDataURL()")
    opened.focus("#turntable canvas")
    opened.keyboard.press("ArrowRight")
    opened.wait_for_function("(was) => document.querySelector('#turntable canvas').toDataURL() !== was", arg=before)
    reached = set()
    opened.evaluate("document.activeElement.blur()")
    for _ in range(60):
        opened.keyboard.press("Tab")
        reached.add(
            opened.evaluate("document.activeElement.getAttribute('aria-label') || document.activeElement.textContent")
        )
    assert {"To the sheet", "Nearer", "What to cut", "Trace front.csv", "Drawing of ear far"} <= reached


def test_failing_checks_come_first_and_are_told_on_the_cover():
    html = sheet_html(example_work())
    assert "STOP: 1 of 4 checks fail" in html
    table = html[html.index("Checks, the failing ones first") :]
    places = [table.index(f">{name}<") for name in ("fit-up gap", "plate bearing", "pin hole edge distance")]
    assert places == sorted(places)
    assert "Cure: Turn the plate" in table


def test_every_finding_is_there_with_its_rule():
    work = example_work()
    html = sheet_html(work)
    for finding in work.findings:
        assert finding.source in html


def test_checks_that_hold_alike_share_a_row_that_names_them_all():
    work = example_work()
    alike = tuple(
        LEAST_LEG.at_least(part(f"W{i}"), least=3.0, there=6.0 + i, source="AISC 360-22 J2.4") for i in range(4)
    )
    html = sheet_html(replace(work, findings=alike))
    assert html.count(">least leg<") == 1
    assert "less on W1, W2, W3" in html


def test_doubtful_readings_are_marked_and_named():
    html = sheet_html(example_work())
    assert html.count("DOUBTFUL, left out: read it again") == 2
    assert "1 reading left out as doubtful" in html


def test_cautions_are_on_the_cover_in_full():
    html = sheet_html(example_work())
    cover = html[: html.index('<main id="main">')]
    for words in (
        "Steering and welding can kill",
        "local vehicle code",
        "qualified welder",
        "licensed engineer",
        "certifies",
    ):
        assert words in cover


def test_the_stamp_and_the_slots_are_shown_when_given():
    work = replace(example_work(), stamp=Stamp(letter="C", fingerprint="3f9a12bc4d5e77"))
    html = sheet_html(work, nest_svg="<svg></svg>")
    for words in ("revision C", "3f9a12bc4d5e", "laid out on their sheet"):
        assert words in html


def test_words_from_the_job_cannot_break_the_page():
    work = example_work()
    job = example_job(title="</script><script>alert(1)</script> & co")
    work = replace(work, design=replace(work.design, job=job))
    html = sheet_html(work)
    assert "<script>alert" not in html
    assert json.loads(re.search(r'id="turntable-data">(.*?)</script>', html, re.S)[1])["bodies"]


def test_same_job_same_sheet():
    assert sheet_html(example_work("mm")) == sheet_html(example_work("mm"))


def test_a_plate_that_was_held_up_is_shown_before_and_after():
    work = work_of("bale-trailer-second")
    html = sheet_html(work)
    for correction in work.corrections:
        plate = correction.plate.replace("_", " ")
        assert f"<h3>Fit notes, {plate}</h3>" in html
        assert f"{plate}: offsets from the straightedge, before and after" in html
    assert html.count("About two of three notes agree") >= len(work.corrections) > 0
