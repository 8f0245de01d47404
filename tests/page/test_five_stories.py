"""Five stories from beginning to end, by thumb on a telephone and a tablet, and by keyboard alone at a desk.

Whoever tells them has read no manual: everything is found by its label, and what is pressed, chosen or typed is what
the page offers there. One server and one browser serve all of them.
"""

import shutil
from collections.abc import Iterator
from pathlib import Path

import pytest

pytest.importorskip("playwright.sync_api", reason="pip install 'plategen[work]' brings playwright")

from playwright.sync_api import Locator, Page, expect

from plategen.delivery.starter import START_WORDS
from plategen.rail.reading import read_trace
from tests.page.conftest import PROFILES, Served, serving

MOST_TABS = 420
"""More steps with the Tab key than the longest page has."""

RAIL = [("0", "1 3/8"), ("2", "1 3/8"), ("4", "1 3/8"), ("6", "1 3/8"), ("8", "1 5/8"), ("10", "1 7/8"),
        ("12", "2 1/8"), ("13", "2 1/4")]  # fmt: skip
"""An invented rail: straight, then falling away by 1/8 in an inch."""


class Thumb:
    """A hand on glass."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def press(self, what: Locator) -> None:
        what.scroll_into_view_if_needed()
        what.tap()

    def write(self, field: Locator, text: str, end: str = "Enter") -> None:
        field.tap()
        field.fill(text)
        field.press(end)

    def choose(self, choice: Locator, words: str) -> None:
        choice.select_option(label=words)

    def mark(self, radio: Locator) -> None:
        radio.tap()


class Keys(Thumb):
    """Ten fingers, and nothing else."""

    def _reach(self, what: Locator) -> None:
        """Go there with the Tab key, the way round that is shorter."""
        aim = what.element_handle()
        for _ in range(MOST_TABS):
            there, behind = self.page.evaluate(
                """aim => { const now = document.activeElement;
                    return [now === aim, now !== document.body && !!(now.compareDocumentPosition(aim) & 2)]; }""",
                aim,
            )
            if there:
                return
            self.page.keyboard.press("Shift+Tab" if behind else "Tab")
        raise AssertionError(f"the Tab key does not lead to {what}")

    def press(self, what: Locator) -> None:
        if what.get_attribute("role") == "tab":  # of tabs, arrows lead from one to the next
            self._reach(self.page.locator("[role=tab][aria-selected=true]"))
            self.page.keyboard.press("ArrowRight")
            return
        self._reach(what)
        self.page.keyboard.press("Enter")

    def write(self, field: Locator, text: str, end: str = "Enter") -> None:
        self._reach(field)
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)
        self.page.keyboard.press(end)

    def choose(self, choice: Locator, words: str) -> None:
        self._reach(choice)
        self.page.keyboard.type(words)

    def mark(self, radio: Locator) -> None:
        name = radio.get_attribute("name")
        self._reach(self.page.locator(f"[name={name}]:checked"))
        while not radio.is_checked():
            self.page.keyboard.press("ArrowDown")


HANDS: dict[str, tuple[int, type[Thumb]]] = {"telephone": (390, Thumb), "tablet": (820, Thumb), "desk": (1440, Keys)}


@pytest.fixture(scope="module")
def shop(tmp_path_factory) -> Iterator[Served]:
    """A page on a folder with two jobs."""
    root = tmp_path_factory.mktemp("shop")
    for profile in ("bale-trailer-first", "sprayer-kicked-rail"):
        shutil.copytree(PROFILES / profile, root / profile)
    with serving(None, cwd=root) as served:
        served.folder = root
        yield served


@pytest.fixture(params=HANDS)
def hand(request, browser, shop) -> Iterator[Thumb]:
    wide, kind = HANDS[request.param]
    touch = {"has_touch": True, "is_mobile": True} if kind is Thumb else {}
    context = browser.new_context(viewport={"width": wide, "height": 900}, accept_downloads=True, **touch)
    page = context.new_page()
    wrong: list[str] = []
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("dialog", lambda dialog: dialog.accept())
    page.goto(f"{shop.url}/jobs")
    yield kind(page)
    context.close()
    assert wrong == []


def opened(hand: Thumb, title: str) -> None:
    hand.press(hand.page.get_by_role("button", name=title))
    hand.page.wait_for_url(lambda url: url.endswith("/"))


def begun(hand: Thumb, title: str, start: str) -> Path:
    """A new job of one's own; its folder's name."""
    page = hand.page
    hand.write(page.get_by_label("What it is called"), title, end="Tab")
    hand.mark(page.get_by_role("radio", name=START_WORDS[start]))
    hand.press(page.get_by_role("button", name="Begin"))
    page.wait_for_url(lambda url: url.endswith("/"))
    return Path(title.lower().replace(" ", "-"))


def typed(hand: Thumb, rows: list[tuple[str, str]], name: str = "next reading") -> None:
    """Readings one after the other, as the hand goes: station, Enter, offset, Enter."""
    page = hand.page
    for at, (station, offset) in enumerate(rows, page.locator("tr[data-row]").count()):
        hand.write(page.get_by_label(f"station, {name}"), station)
        hand.write(page.get_by_label(f"offset, {name}"), offset)
        page.locator("tr[data-row]").nth(at).wait_for()


def saved(hand: Thumb) -> None:
    hand.press(hand.page.get_by_role("button", name="Save", exact=True))
    hand.page.locator(".saved:not(.not)").wait_for()


def plate_file(hand: Thumb, name: str) -> bytes:
    """A plate's file, as it comes when its link is pressed."""
    with hand.page.expect_download(timeout=120_000) as coming:
        hand.press(hand.page.get_by_role("link", name=name))
    return Path(coming.value.path()).read_bytes()


def test_from_nothing_to_plate_files(hand, shop, request):
    folder = shop.folder / begun(hand, f"Left bracket {request.node.callspec.id}", "ears")
    page = hand.page
    page.get_by_text("Example: not your numbers").wait_for()
    typed(hand, RAIL[:2])
    page.locator("svg.live .reading").nth(1).wait_for()  # drawn from the second reading on
    typed(hand, RAIL[2:])
    page.locator("svg.live .plate").first.wait_for()
    hand.press(page.get_by_role("tab", name="Numbers"))
    hand.write(page.get_by_label("stroke", exact=True).or_(page.get_by_label("stroke *")).first, "7 1/2")
    saved(hand)
    assert plate_file(hand, "ear_near.dxf").rstrip().endswith(b"EOF")
    trace = read_trace((folder / "front.csv").read_text(), "front.csv", units="in")
    assert len(trace.readings) == len(RAIL)


def test_a_typed_trace_with_a_slip_in_it(hand, request):
    begun(hand, f"Slip {request.node.callspec.id}", "ears")
    page = hand.page
    stations = [str(i) for i in range(13)]
    typed(hand, [(at, "2 3/8" if at == "5" else "1 3/8") for at in stations])
    page.get_by_role("heading", name="Read station 5 in again").wait_for()
    hand.write(page.get_by_role("textbox", name="second reading"), "1 3/8")
    expect(page.locator("tr[data-row]")).to_have_count(14)
    hand.press(page.get_by_role("button", name="The first was a slip"))
    page.locator("form.doubt").wait_for(state="detached")
    page.locator("a.badge.doubt").wait_for(state="detached")
    saved(hand)


def test_a_first_plate_gaped_is_noted_and_a_second_is_cut(hand, shop):
    shutil.rmtree(shop.folder / "bale-trailer-first")
    shutil.copytree(PROFILES / "bale-trailer-first", shop.folder / "bale-trailer-first")
    opened(hand, "Bale trailer")
    page = hand.page
    hand.press(page.locator("summary", has_text="Fit notes"))
    for at, (station, gap) in enumerate([("2", "1/8"), ("5 1/2", "1/8"), ("9", "3/32")]):
        hand.write(page.get_by_label("station, next fit note of ear near"), station)
        hand.write(page.get_by_label("gap, next fit note of ear near"), gap)
        page.locator("[data-note-of=ear_near] [data-row]").nth(at).wait_for()
    page.get_by_text("they move the rail by up to").wait_for()
    hand.press(page.locator("summary", has_text="What changed since"))
    page.locator("#trial-old option", has_text="as saved").wait_for(state="attached")
    hand.choose(page.get_by_label("against"), "as saved")
    hand.press(page.get_by_role("button", name="Show what changed"))
    page.locator("#trial-shown", has_text="ear near: cut again").wait_for(timeout=60_000)
    saved(hand)
    assert (shop.folder / "bale-trailer-first" / "fit_notes.csv").is_file()
    assert plate_file(hand, "ear_near.dxf").rstrip().endswith(b"EOF")


def test_a_stop_is_cured_by_what_stands_beside_it(hand, shop):
    shutil.rmtree(shop.folder / "sprayer-kicked-rail")
    shutil.copytree(PROFILES / "sprayer-kicked-rail", shop.folder / "sprayer-kicked-rail")
    opened(hand, "Sprayer steering")
    page = hand.page
    hand.press(page.get_by_role("tab", name="Numbers"))
    hand.press(page.locator("summary", has_text="The fillets"))
    hand.write(page.locator('[name="weld.leg"]'), "1/16")
    page.locator("a.badge.stop").wait_for()
    hand.press(page.locator(".checks .check.stop").get_by_role("button", name="Try it").first)
    shown = page.locator("#trial-shown")
    shown.get_by_role("button", name="Write it in").wait_for(timeout=60_000)
    assert "STOP" in shown.inner_text(), "as it stands, beside what it would be"
    assert page.locator('[name="weld.leg"]').input_value() == "1/16", "nothing is written yet"
    hand.press(shown.get_by_role("button", name="Write it in"))
    expect(page.locator('[name="weld.leg"]')).not_to_have_value("1/16")
    hand.press(page.get_by_role("button", name="Undo"))
    expect(page.locator('[name="weld.leg"]')).to_have_value("1/16")
    page.locator("a.badge.stop").wait_for()
    for _ in range(6):
        cure = page.locator(".checks .check.stop").get_by_role("button", name="Write it in")
        hand.press(cure.first)
        expect(page.locator('[name="weld.leg"]')).not_to_have_value("1/16")
        if not page.locator("a.badge.stop").count():
            break
    assert not page.locator("a.badge.stop").count()
    hand.press(page.get_by_role("button", name="Undo"))
    page.locator("a.badge.stop").wait_for()
    hand.press(page.get_by_role("button", name="Redo"))
    page.locator("a.badge.stop").wait_for(state="detached")
    saved(hand)


def test_a_seat_on_a_drag_link(hand, request):
    begun(hand, f"Drag link {request.node.callspec.id}", "seat")
    page = hand.page
    page.locator("svg.live .plate").first.wait_for()
    hand.press(page.get_by_role("tab", name="Numbers"))
    hand.press(page.locator("summary", has_text="The tube that a bracket"))
    hand.write(page.locator('[name="seat.across"]'), "3 1/2")
    page.locator(".saved.not").wait_for()
    assert page.get_by_text("NOT DRAWN").count() == 0
    saved(hand)
    plate = page.locator("ul.files a", has_text=".dxf").first.inner_text()
    assert plate_file(hand, plate).rstrip().endswith(b"EOF")
