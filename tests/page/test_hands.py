"""Hands on the drawing and on the bracket in space: what is measured is not moved by mistake, and a view stays."""

import json

import pytest

pytest.importorskip("playwright.sync_api", reason="pip install 'plategen[work]' brings playwright")


def _fields(standing) -> dict:
    return json.loads(standing.post("/state", {}).json()["parts"]["fields"]["text"])["fields"]


def _middle(page, selector: str) -> tuple[float, float]:
    page.locator(selector).first.scroll_into_view_if_needed()
    box = page.locator(selector).first.bounding_box()
    return box["x"] + box["width"] / 2, box["y"] + box["height"] / 2


def _touch(client, kind: str, *at: tuple[float, float]) -> None:
    client.send("Input.dispatchTouchEvent", {"type": kind, "touchPoints": [{"x": x, "y": y} for x, y in at]})


def test_a_thumb_that_swipes_over_the_drawing_moves_nothing(browser, standing):
    """Before, it moved a reading from 1 17/32 to 6 15/32."""
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto(standing.url)
    client, before = context.new_cdp_session(page), _fields(standing)
    for selector in ("svg.live .reading", '[data-hold="pin"] .knob', '[data-hold="foot 0"] .knob'):
        x, y = _middle(page, selector)
        _touch(client, "touchStart", (x, y))
        for i in range(1, 9):
            _touch(client, "touchMove", (x, y - 20 * i))
        _touch(client, "touchEnd")
    page.wait_for_timeout(400)
    assert page.evaluate("scrollY") > 0, "the page scrolled under it"
    assert _fields(standing) == before
    x, y = _middle(page, '[data-hold="pin"] .knob')
    _touch(client, "touchStart", (x, y))
    page.locator("body.holding").wait_for()  # rested
    for i in range(1, 5):
        _touch(client, "touchMove", (x, y + 8 * i))
    _touch(client, "touchEnd")
    page.locator(".saved.not").wait_for()
    assert _fields(standing)["mount.inline_offset"] != before["mount.inline_offset"]
    page.locator("#undo").click()
    page.locator(".saved:not(.not)").wait_for()
    context.close()


def test_a_hand_that_trembles_or_thinks_better_of_it_moves_nothing(browser, standing):
    """Before, a pixel moved the pin by 1/32 in, a reading was dragged for the asking, and Esc did nothing."""
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto(standing.url)
    before = _fields(standing)
    x, y = _middle(page, '[data-hold="pin"] .knob')
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 1, y + 2)
    page.mouse.up()
    page.locator("body.holding").wait_for(state="detached")
    assert _fields(standing) == before
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 20, y + 30, steps=4)
    page.locator(".saved.not").wait_for()
    page.keyboard.press("Escape")
    page.mouse.move(x + 60, y + 60)
    page.mouse.up()
    page.locator(".saved:not(.not)").wait_for()
    assert _fields(standing) == before
    at = _middle(page, "svg.live .reading")
    for unlocked in (False, True):
        if unlocked:
            page.get_by_role("button", name="Unlock what was measured").click()
        page.mouse.move(*at)
        page.mouse.down()
        page.mouse.move(at[0], at[1] + 25, steps=4)
        page.mouse.up()
        page.wait_for_timeout(300)
        assert (_fields(standing) != before) is unlocked
    page.locator("#undo").click()
    page.locator(".saved:not(.not)").wait_for()
    page.close()


def test_the_view_in_space_stays_and_leaves_nothing_behind(browser, standing):
    """Before, each edit turned it back and left eleven listeners."""
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto(standing.url)
    client = page.context.new_cdp_session(page)
    client.send("Performance.enable")
    page.get_by_role("button", name="3-D").click()
    canvas = page.locator("#turntable canvas")
    canvas.wait_for()
    canvas.focus()
    page.keyboard.press("ArrowLeft")
    page.keyboard.press("Shift+ArrowLeft")
    x, y = _middle(page, "#turntable canvas")
    page.mouse.move(x, y)
    page.mouse.wheel(0, -300)
    page.wait_for_function("window.lastTurntable.eye.zoom > 1.2")
    seen = page.evaluate("window.lastTurntable.eye")
    assert seen["x"] != 0

    def listeners() -> int:
        client.send("HeapProfiler.collectGarbage")
        told = client.send("Performance.getMetrics")["metrics"]
        return next(int(m["value"]) for m in told if m["name"] == "JSEventListeners")

    counts = []
    for i in range(8):
        marker = page.evaluate_handle("window.lastTurntable")
        text = ("1", "1 1/8")[i % 2]
        standing.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": text}]})
        page.wait_for_function("last => window.lastTurntable && window.lastTurntable !== last", arg=marker)
        counts.append(listeners())
    assert page.evaluate("window.lastTurntable.eye") == seen
    assert max(counts[2:]) - min(counts[2:]) < 15, counts
    for _ in range(8):
        standing.post("/undo", {})
    page.close()


def test_in_space_parts_are_named_and_the_cut_and_the_swing_stay(browser, standing):
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto(standing.url)
    page.get_by_role("button", name="3-D").click()
    x, y = _middle(page, "#turntable canvas")
    page.mouse.move(x, y)
    called = page.locator(".turn-name")
    page.wait_for_function("!document.querySelector('.turn-name').textContent.startsWith('Point')")
    pointed = called.inner_text()
    page.locator("#turntable canvas").focus()
    named = set()
    for _ in range(12):
        page.keyboard.press("n")
        named.add(called.inner_text())
    assert pointed in {"ear near", "ear far", "pin", "cylinder's eye", "barrel", "rail"} | named
    assert {"ear near", "ear far", "bead W1", "pin", "cylinder's eye", "rail"} <= named

    def seen() -> list:
        return page.evaluate("document.querySelector('#turntable canvas').toDataURL()")

    whole = seen()
    for words in ("Cut away along the pin", "Swing of the cylinder"):
        page.get_by_label(words).focus()
        for _ in range(20):
            page.keyboard.press("ArrowRight")
        page.wait_for_timeout(400)
        assert seen() != whole
        whole = seen()
    kept = page.evaluate("[lastTurntable.cut, lastTurntable.swing]")
    assert kept[0] > 0.2
    marker = page.evaluate_handle("window.lastTurntable")
    standing.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": "1"}]})
    page.wait_for_function("last => window.lastTurntable && window.lastTurntable !== last", arg=marker)
    assert page.evaluate("[lastTurntable.cut, lastTurntable.swing]") == kept
    assert page.get_by_label("Cut away along the pin").input_value() == pytest.approx(str(kept[0]))
    standing.post("/undo", {})
    page.close()


def test_by_two_fingers_the_view_comes_nearer(browser, standing):
    context = browser.new_context(viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto(standing.url)
    page.get_by_role("button", name="3-D").click()
    page.locator("#turntable canvas").wait_for()
    client = context.new_cdp_session(page)
    page.evaluate("document.querySelector('#turntable canvas').scrollIntoView({ block: 'end', behavior: 'instant' })")
    box = page.locator("#turntable canvas").bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    _touch(client, "touchStart", (x - 20, y), (x + 20, y))
    for far in range(30, 90, 10):
        _touch(client, "touchMove", (x - far, y), (x + far, y))
    _touch(client, "touchEnd")
    assert page.evaluate("lastTurntable.eye.zoom") > 2.0
    context.close()


def test_printed_what_stops_and_what_is_not_saved_stand_out(browser, standing):
    standing.post("/change", {"edits": [{"do": "set", "path": "cylinder.pressure", "text": "9000 psi"}]})
    page = browser.new_page(viewport={"width": 820, "height": 900})
    page.goto(standing.url)
    page.emulate_media(media="print")
    assert page.locator(".saved.not").is_visible()
    look = (
        "e => { const s = getComputedStyle(e); return [s.color, Number(s.fontWeight), parseFloat(s.borderTopWidth)]; }"
    )
    stop, holds = (page.locator(f".hold-up .badge.{v}").first.evaluate(look) for v in ("stop", "ok"))
    assert stop[0] == "rgb(0, 0, 0)"
    assert stop[1] > holds[1]
    assert stop[2] > holds[2]
    page.close()
    standing.post("/undo", {})


def test_the_fractions_are_reached_by_keyboard(browser, standing):
    page = browser.new_page(viewport={"width": 390, "height": 844})
    page.goto(standing.url)
    cell = page.locator('[name="front.csv#new:1"]')
    cell.focus()
    page.locator("#keys").wait_for()
    page.keyboard.press("Alt+ArrowDown")
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    assert page.evaluate("document.activeElement.dataset.key") == "3/8"
    page.keyboard.press("Enter")
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.name") == "front.csv#new:1"
    assert cell.input_value() == "3/8"
    cell.fill("")
    page.close()


def test_every_region_is_a_few_tab_stops_away(browser, standing):
    """Before, 241 stops lay before the checks; twelve are allowed."""
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    for region in ("read", "see", "checks", "files"):
        page.goto(standing.url)
        for _ in range(11):
            page.keyboard.press("Tab")
            if page.evaluate("document.activeElement.hash") == f"#{region}":
                break
        else:
            pytest.fail(f"{region} is farther away")
        page.keyboard.press("Enter")
        page.keyboard.press("Tab")
        inside = """id => { const at = document.activeElement, region = document.getElementById(id);
            return region.contains(at) || region.compareDocumentPosition(at) === Node.DOCUMENT_POSITION_FOLLOWING; }"""
        assert page.evaluate(inside, region), region
    page.close()
