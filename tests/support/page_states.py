"""What the page may look like while one works with it, each state with the way there; and how it may be looked at.

A page is opened on a job of a shop's folder, brought into a state as a hand would, and left in it.
"""

from collections.abc import Callable

from tests.support import access
from tests.support.every_example import PROFILES

LOOKS: dict[str, tuple[int, dict[str, str]]] = {
    "light": (1440, {"color_scheme": "light"}),
    "dark": (820, {"color_scheme": "dark"}),
    "telephone": (390, {"color_scheme": "light"}),
    "forced colours": (1440, {"forced_colors": "active"}),
    "print": (820, {"media": "print"}),
    "at 200 %": (720, {"color_scheme": "light"}),
}
"""Width in CSS pixels and what is emulated; at 200 % a screen 1,440 wide has half of that."""

PLAIN = {"color_scheme": "light", "forced_colors": "none", "media": "screen"}


def _numbers(page) -> None:
    page.locator("#tab-numbers").click()
    page.evaluate("document.querySelectorAll('details').forEach(d => { d.open = true; })")


def _views(page, *names: str) -> None:
    for name in names:
        page.locator(f"[data-view={name}]").click()
        page.locator(f"#view-{name} :is(svg, canvas, p, h2, ol)").first.wait_for()


def _set(page, path: str, text: str) -> None:
    """A value of this tab, without the typing."""
    page.evaluate(
        "([path, text]) => import('/static/page.js').then(({ ask }) =>"
        " ask('/change', { edits: [{ do: 'set', path, text }] }))",
        [path, text],
    )


def _stop(page) -> None:
    _set(page, "weld.leg", "1/16")
    page.locator(".check.stop [data-try]").first.wait_for()


def _tried(page) -> None:
    _stop(page)
    page.locator(".check.stop [data-try]").first.click()
    page.locator("#trial-shown [data-cure]").wait_for(timeout=60_000)


def _causes(page) -> None:
    _set(page, "cylinder.pressure", "62 MPa")
    page.locator("a.badge.stop").wait_for()
    _views(page, "causes")
    page.evaluate("document.querySelectorAll('.hold-up details').forEach(d => { d.open = true; })")


def _asked(page) -> None:
    page.locator("[data-sure]").first.evaluate("button => button.closest('details').open = true")
    page.locator("[data-sure]").first.click()
    page.locator("#ask[open]").wait_for()


def _lost(page) -> None:
    page.route("**/*", lambda route: route.abort())
    field = page.locator('[name$="#new:1"]').first
    field.fill("2 1/8")
    field.press("Enter")
    page.get_by_text("No connection").first.wait_for()


def _noted(page) -> None:
    page.locator("summary", has_text="Fit notes").click()
    page.get_by_label("gap, next fit note of ear near").fill("1/8")
    page.get_by_label("station, next fit note of ear near").fill("2")
    page.get_by_label("station, next fit note of ear near").press("Enter")


def _held(page) -> None:
    box = page.locator('[data-hold="plane"]').bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + 9, y, steps=3)
    page.locator(".saved.not").wait_for()


def _photographs(page) -> None:
    page.locator("[data-photo]").first.evaluate(
        "button => { const d = button.closest('details'); if (d) d.open = true; }"
    )
    page.locator("[data-photo]").first.click()
    page.locator("#photo[open]").wait_for()


def _measured(page) -> None:
    _photographs(page)
    page.locator("#photo-choose").set_input_files(str(PROFILES / "skidder-photographed-rail" / "front.jpg"))
    page.get_by_text("front.jpg: ").first.wait_for(timeout=60_000)
    page.locator("#photo-thickness").fill("1/8")
    page.get_by_role("button", name="Measure", exact=True).click()
    page.locator("#photo-picture [data-end]").first.wait_for(timeout=60_000)
    page.locator("#photo-busy").wait_for(state="hidden", timeout=60_000)


def _two(page) -> None:
    """A value that is being typed while another tab sets it."""
    _numbers(page)
    field = page.locator('[name="cylinder.stroke"]')
    field.press("End")
    field.press_sequentially(" 1/2")
    edits = [{"do": "set", "path": "cylinder.stroke", "text": "9"}]
    page.request.post(f"{page.url}change", data={"edits": edits})
    page.locator("#waiting li", has_text="it is 9 by now").wait_for()


def _making(page) -> None:
    """A file that takes long: half of it is done, again and again."""
    half = {"step": "making the solids", "share": 0.5, "done": False, "refused": ""}
    page.route("**/files/make", lambda route: route.fulfill(json=half))
    page.locator("ul.files a", has_text=".step").click()
    page.locator("#files-busy").wait_for()


def _slip(page) -> None:
    """A reading that is doubted."""
    page.evaluate(
        """() => import('/static/page.js').then(({ ask }) => ask('/change', { edits: [
            { do: 'reading', file: 'front.csv', line: 14, cells: ['4', '2 9/32', ''] }] }))"""
    )
    page.locator("form.doubt").first.wait_for()


def _refused(page) -> None:
    _set(page, "cylinder.bore", "two")
    page.get_by_text("NOT DRAWN").first.wait_for()


STATES: dict[str, tuple[str, Callable[..., None]]] = {
    "the first screen": ("", lambda page: None),
    "every number of plates": ("sprayer-kicked-rail", _numbers),
    "every view of plates": (
        "sprayer-kicked-rail",
        lambda page: _views(page, "plates", "traces", "solid", "steering", "causes", "bench", "paper"),
    ),
    "every number of a steering": ("orchard-sprayer-both-ends", _numbers),
    "a steering in motion, its hoses in space": (
        "orchard-sprayer-both-ends",
        lambda page: _views(page, "solid", "steering"),
    ),
    "every number of a seat": ("vineyard-drag-link-seat", _numbers),
    "every view of a seat": (
        "vineyard-drag-link-seat",
        lambda page: _views(page, "plates", "solid", "bench", "paper"),
    ),
    "a bolted base, its rail with holes and a hose": (
        "forestry-bolted-channel",
        lambda page: _views(page, "plates", "solid", "bench"),
    ),
    "a stop with its cure": ("sprayer-kicked-rail", _stop),
    "a cure tried beside": ("sprayer-kicked-rail", _tried),
    "stops by their cause": ("sprayer-kicked-rail", _causes),
    "a reading in doubt": ("sprayer-kicked-rail", _slip),
    "nothing drawn": ("sprayer-kicked-rail", _refused),
    "asked before it is taken out": ("sprayer-kicked-rail", _asked),
    "without a connection": ("sprayer-kicked-rail", _lost),
    "fit notes typed": ("bale-trailer-first", _noted),
    "held and dragged": ("sprayer-kicked-rail", _held),
    "photographs asked for": ("sprayer-kicked-rail", _photographs),
    "a photograph measured": ("sprayer-kicked-rail", _measured),
    "a file being made": ("sprayer-kicked-rail", _making),
    # last, as what was being typed may still come when its tab has gone
    "two who set one value": ("sprayer-kicked-rail", _two),
}
"""The folder of an example, "" for none, and what is done with its page."""


def in_state(context, url: str, state: str):
    """A page in a state, of a server of a folder in which the example lies."""
    profile, way = STATES[state]
    page = context.new_page()
    if not profile:
        page.goto(f"{url}/jobs")
    else:
        answer = page.request.post(f"{url}/jobs/open", data={"name": profile})
        assert answer.ok, answer.text()
        page.goto(url)
    way(page)
    return page


def broken(page, look: str) -> list[tuple[str, str, int, str]]:
    """What axe finds of a page in a look but what it calls minor; the page is left in its plain one."""
    width, emulated = LOOKS[look]
    page.set_viewport_size({"width": width, "height": 900})
    page.emulate_media(**{**PLAIN, **emulated})
    found = access.broken(page)
    page.emulate_media(**PLAIN)
    return [told for told in found if told[1] != "minor"]
