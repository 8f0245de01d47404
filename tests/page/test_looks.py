"""The page gone over as its readers would: by eye for nothing, by rule for contrast, size, names and the network."""

import re

import pytest

from tests.support.access import broken

VIEWS = ("plates", "traces", "solid", "steering", "causes", "bench", "paper")


@pytest.fixture(scope="module")
def kept(tmp_path_factory):
    """One page for the whole file, with a doubtful reading, an unsaved change and a job that is not there on disk."""
    import shutil

    from tests.page.conftest import PROFILES, serving

    folder = tmp_path_factory.mktemp("looks") / "sprayer"
    shutil.copytree(PROFILES / "sprayer-kicked-rail", folder)
    with serving(folder) as page:
        told = {"do": "reading", "file": "front.csv", "line": 14, "cells": ["4", "2 9/32", ""]}
        assert page.post("/change", {"edits": [told]}).status_code == 200
        yield page


STATES = {
    "light": {}, "dark": {"color_scheme": "dark"}, "forced colours": {"forced_colors": "active"}, "print": {},
    "at 200 %": {"viewport": {"width": 700, "height": 425}, "device_scale_factor": 2},
}  # fmt: skip
"""How the page may be looked at; at 200 % a browser has half the room, and twice the points."""


def test_what_breaks_a_rule_is_found_among_many_that_keep_it(browser):
    page = browser.new_page()
    rows = "".join(f"<tr><td>{i}</td><td class='{'pale' if i == 70 else ''}'>words</td></tr>" for i in range(99))
    page.set_content(f"<style>.pale {{ color: #bbb }}</style><main><table>{rows}</table><img src='data:,'></main>")
    rules = {told[0]: told[3] for told in broken(page)}
    page.close()
    assert {"image-alt", "color-contrast", "document-title"} <= set(rules)
    assert "pale" in rules["color-contrast"]


@pytest.mark.parametrize(
    ("state", "width", "tab"),
    [(state, width, tab) for state in ("light", "dark") for width in (390, 1400) for tab in ("readings", "numbers")]
    + [("forced colours", 1400, "numbers"), ("print", 820, "readings"), ("at 200 %", 700, "numbers")],
)
def test_no_accessibility_rule_is_broken(browser, kept, state, width, tab):
    context = browser.new_context(**{"viewport": {"width": width, "height": 850}, "bypass_csp": True, **STATES[state]})
    page = context.new_page()
    page.goto(kept.url)
    page.locator(f"#tab-{tab}").click()
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    for view in VIEWS:
        page.locator(f"[data-view={view}]").click()
    page.locator("#view-plates svg").first.wait_for()
    if state == "print":
        page.emulate_media(media="print")
    # what is dark has other colours and nothing else
    assert broken(page, colours_alone=state == "dark") == []
    context.close()


def test_no_accessibility_rule_is_broken_when_nothing_can_be_drawn_and_two_wrote(browser, kept):
    kept.post("/change", {"edits": [{"do": "set", "path": "cylinder.bore", "text": "two"}]})
    path = kept.folder / "job.toml"
    text = path.read_text()
    path.write_text(text.replace("stroke = 8", "stroke = 7"))
    context = browser.new_context(viewport={"width": 390, "height": 850}, bypass_csp=True)
    page = context.new_page()
    page.goto(kept.url)
    page.locator(".clash").wait_for()
    found = broken(page)
    context.close()
    path.write_text(text)
    kept.post("/undo", {})
    assert found == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_every_colour_stands_out_from_what_it_lies_on(browser, kept, scheme):
    """What axe leaves open over drawings, measured: WCAG 2.2, 1.4.3 and 1.4.11, contrast by relative luminance."""
    context = browser.new_context(color_scheme=scheme)
    page = context.new_page()
    page.goto(kept.url)
    names = ("paper", "wash", "steel", "on", "ink", "soft", "datum", "weld", "doubt", "good", "steel-edge")
    seen = page.evaluate(
        """names => { const pen = document.createElement('canvas').getContext('2d');
           return Object.fromEntries(names.map(n => {
             pen.fillStyle = getComputedStyle(document.body).getPropertyValue('--' + n).trim();
             return [n, [1, 3, 5].map(i => parseInt(pen.fillStyle.slice(i, i + 2), 16) / 255)]; })); }""",
        list(names),
    )
    context.close()

    def luminance(name: str) -> float:
        r, g, b = (x / 12.92 if x <= 0.04045 else ((x + 0.055) / 1.055) ** 2.4 for x in seen[name])
        return 0.2126 * r + 0.7152 * g + 0.0722 * b

    def contrast(one: str, other: str) -> float:
        dark, light = sorted((luminance(one), luminance(other)))
        return (light + 0.05) / (dark + 0.05)

    words = [(ink, under) for ink in ("ink", "soft", "datum", "weld", "doubt", "good") for under in ("paper", "wash")]
    words += [(ink, "steel") for ink in ("ink", "datum", "weld", "doubt")] + [("on", "doubt"), ("on", "datum")]
    assert {pair: round(contrast(*pair), 2) for pair in words if contrast(*pair) < 4.5} == {}
    lines = [("steel-edge", "steel"), ("steel-edge", "paper"), ("datum", "steel"), ("doubt", "steel")]
    assert {pair: round(contrast(*pair), 2) for pair in lines if contrast(*pair) < 3.0} == {}


def test_the_page_comes_light(kept):
    """Before, opening it took 470 kB; ``python -m tests.bench page`` weighs it in a browser."""
    with kept.client() as client:
        shell = client.get("/", headers={"accept-encoding": "gzip"})
        names = set(re.findall(r"/static/([a-z.]+)", shell.text))
        names |= {"show.js", "stay.js", "beside.js", "hold.js", "keys.js", "typed.js", "photo.js"}
        answers = [shell, *(client.get(f"/static/{name}", headers={"accept-encoding": "gzip"}) for name in names)]
        assert sum(answer.num_bytes_downloaded for answer in answers) < 250_000 / 2


def test_nothing_is_asked_of_the_outside_and_nothing_is_complained_of(browser, kept):
    context = browser.new_context()
    page = context.new_page()
    asked, complaints = [], []
    page.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: complaints.append(message.text))
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.goto(kept.url)
    for view in VIEWS:
        page.locator(f"[data-view={view}]").click()
    page.locator("#view-plates svg").first.wait_for()
    page.wait_for_timeout(500)
    context.close()
    assert [url for url in asked if not url.startswith((kept.url, "data:"))] == []
    assert complaints == []


@pytest.mark.parametrize("width", [390, 320])
def test_a_phone_shows_all_of_it(browser, kept, width):
    context = browser.new_context(viewport={"width": width, "height": 844}, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto(kept.url)
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")
    for tab in ("readings", "numbers"):
        page.locator(f"#tab-{tab}").tap()
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        beyond = page.evaluate(
            """w => [...document.querySelectorAll('body *')].filter(e => e.offsetParent
               && !e.closest('svg, #keys, .skip, figure') && e.getBoundingClientRect().right > w + 1
               && getComputedStyle(e).position !== 'absolute')
               .map(e => e.tagName + ' ' + e.className + ' ' + e.textContent.slice(0, 40))""",
            width,
        )
        assert beyond == []
        small = page.evaluate(
            """[...document.querySelectorAll('button, .button, input, select, summary, .jump a')]
               .filter(e => e.offsetParent)
               .map(e => e.type === 'checkbox' ? e.closest('label') : e)
               .map(e => [e.getBoundingClientRect().height, e.outerHTML.slice(0, 80)]).filter(([h]) => h < 40)"""
        )
        assert small == [], "targets that a gloved finger misses"
    letters = page.evaluate(
        """[...document.querySelectorAll('svg.live text')].map(t => {
           const m = t.getScreenCTM(); return Math.hypot(m.a, m.b) * parseFloat(getComputedStyle(t).fontSize); })"""
    )
    context.close()
    assert min(letters) > 7.5 * width / 390, "the smallest lettering of the drawing, in pixels"


def test_it_prints_without_its_buttons(browser, kept):
    context = browser.new_context()
    page = context.new_page()
    page.goto(kept.url)
    page.emulate_media(media="print")
    assert not page.locator("#save").is_visible()
    assert page.locator("svg.live").is_visible()
    context.close()


def test_cautions_are_on_the_page(browser, kept):
    context = browser.new_context()
    page = context.new_page()
    page.goto(kept.url)
    assert page.get_by_text("Steering and welding can kill.").first.is_visible()
    for words in ("qualified welder", "licensed engineer", "local vehicle code"):
        assert words in page.locator("#cautions").inner_text()
    context.close()


def test_words_from_the_job_cannot_break_the_page(browser, kept):
    words = "</script><script>alert(1)</script><img src=x onerror=alert(1)>"
    kept.post("/change", {"edits": [{"do": "set", "path": "title", "text": words}]})
    context = browser.new_context()
    page = context.new_page()
    page.on("dialog", lambda dialog: pytest.fail("a script from the job ran"))
    page.goto(kept.url)
    assert page.locator("h1").inner_text() == words
    assert page.locator("h1 img, h1 script").count() == 0
    page.wait_for_timeout(200)
    context.close()
    kept.post("/undo", {})
