"""What slides in the drawing: nose, toe, in-line offset, gaps of fit notes, what is on the rail."""

import json
import re
import shutil

import pytest

from plategen.ground.refusal import Refusal
from plategen.page.disk import Folder
from plategen.page.draft import redraw
from plategen.page.draw import drawing
from plategen.page.edits import edited
from plategen.page.handles import feet, handles, pin_at, plane_strip, shift_of
from plategen.page.request import Drag
from tests.page.conftest import PROFILES, serving

MARK_MM = {"in": 25.4 / 32, "mm": 0.5}


def _drawn(name: str):
    return redraw(Folder(PROFILES / name).read())


@pytest.mark.parametrize("name", [p.name for p in sorted(PROFILES.iterdir())])
def test_each_goes_by_what_the_hand_went_and_rests_on_a_mark(name):
    drawn = _drawn(name)
    units = drawn.work.job.units
    for each in handles(drawn.work):
        to = each.at + each.way * 5.1
        draft = edited(drawn.draft, [Drag(each.what, to.real, to.imag)], drawn)
        after = redraw(draft, drawn)
        if after.refusal is not None:
            continue
        (now,) = (other for other in handles(after.work) if other.what == each.what)
        assert abs(now.value_mm - each.value_mm - 5.1) <= MARK_MM[units] / 2 + 1e-6, each.what
        assert abs(now.value_mm / MARK_MM[units] - round(now.value_mm / MARK_MM[units])) < 1e-6


def test_sideways_it_does_not_move_and_it_never_turns_over():
    drawn = _drawn("sprayer-kicked-rail")
    nose = next(each for each in handles(drawn.work) if each.what == "nose")
    assert nose.moved(nose.at + 30.0) == nose.value_mm
    assert nose.moved(nose.at - 500.0 * nose.way) == nose.least_mm > 0.0


def test_what_stands_where_the_drawing_says():
    """The nose's handle lies on the plate's outline, the toe's at the end face's foot, a feature's on the rail."""
    work = _drawn("forestry-bolted-channel").work
    found = {each.what: each for each in handles(work)}
    shift = -1j * work.rail.inline_offset_mm
    pin = complex(*work.bracket.pin.centre[:2]) + shift
    assert abs(found["nose"].at - pin) == pytest.approx(work.design.nose.mm)
    assert found["offset"].at.imag == pytest.approx(-work.rail.inline_offset_mm)
    assert [f"feature {i}" in found for i in range(len(work.job.rail.feature))] == [True] * len(work.features)
    assert found["feature 0"].at.real == pytest.approx(work.job.rail.feature[0].station_mm, abs=3.0)


def test_the_plane_is_dragged_on_a_strip_that_stays_where_it_is():
    """Before, it had no handle: the drawing looks along the pin. However it gets there, it is where the hand is."""
    drawn = first = _drawn("sprayer-kicked-rail")
    begun = next(each for each in handles(first.work) if each.what == "plane")
    near = next(plate for plate in first.work.bracket.plates if plate.name == "ear_near")
    strip = plane_strip(first.work)
    assert begun.value_mm == first.work.job.bracket.plane_mm
    assert abs(begun.at - strip.zero - begun.value_mm) < 1e-9
    assert begun.value_mm == pytest.approx(near.placement.origin[2] + near.thickness_mm), "its inner face"
    for way_mm in (9.0, -3.0, 5.2):
        to = begun.at + way_mm
        drawn = redraw(edited(drawn.draft, [Drag("plane", to.real, to.imag)], drawn), drawn)
        assert drawn.refusal is None
        assert abs(drawn.work.job.bracket.plane_mm - begun.value_mm - way_mm) <= MARK_MM["in"] / 2
        assert plane_strip(drawn.work).zero == pytest.approx(strip.zero)
    study = _drawn("orchard-sprayer-steering").work
    assert "plane" not in {each.what for each in handles(study)}, "the study places the pin, along itself as well"


def test_a_gap_of_a_fit_note_is_dragged(tmp_path):
    folder = tmp_path / "noted"
    shutil.copytree(PROFILES / "sprayer-kicked-rail", folder)
    with (folder / "job.toml").open("a") as file:
        for station in ("3", "6", "10"):
            file.write(f'\n[[revision.fit_note]]\nplate = "ear_near"\nstation = {station}\ngap = "1/16"\n')
    drawn = redraw(Folder(folder).read())
    assert drawn.refusal is None
    gap = next(each for each in handles(drawn.work) if each.what == "gap 1")
    to = gap.at + 25.4 / 16 * 1j
    after = redraw(edited(drawn.draft, [Drag("gap 1", to.real, to.imag)], drawn), drawn)
    assert after.work.job.revision.fit_note[1].gap_mm == pytest.approx(25.4 / 8)


@pytest.mark.parametrize("name", ["vineyard-drag-link-seat", "quarry-clamped-seat"])
def test_on_a_tube_pin_and_foot_are_dragged_and_the_tube_stays_where_it_is(name):
    drawn = _drawn(name)
    pin, ends = pin_at(drawn.work), feet(drawn.work)
    after = redraw(edited(drawn.draft, [Drag("pin", pin.real + 6.2, pin.imag - 3.1)], drawn), drawn)
    assert abs(pin_at(after.work) - pin - (6.2 - 3.1j)) < 1.0, "to the next mark"
    held = re.findall(r'data-hold="([^"]+)"', drawing(drawn.work, None))
    assert {"pin", "foot 0", "foot 1", "nose", "toe", "offset"} <= set(held)
    tubes = [re.search(r'<path d="([^"]+)" class="barrel"', drawing(each.work, None))[1] for each in (drawn, after)]
    high = [{round(float(v), 1) for v in re.findall(r"-?[0-9.]+", tube)[1::2]} for tube in tubes]
    across = drawn.work.rail.across_mm
    assert high[0] == high[1] == {round(across / 2, 1), round(-across / 2, 1)}
    for i, end in enumerate(ends):
        at = end + shift_of(drawn.work)
        moved = redraw(edited(drawn.draft, [Drag(f"foot {i}", at.real + 4.0, at.imag)], drawn), drawn)
        assert moved.refusal is None
        assert feet(moved.work)[i].real - end.real == pytest.approx(4.0, abs=0.5 * MARK_MM["in"] + 1e-6)
        assert feet(moved.work)[1 - i].real == pytest.approx(ends[1 - i].real)


def test_what_is_not_there_is_refused():
    drawn = _drawn("sprayer-kicked-rail")
    for what in ("feature 0", "gap 0"):
        with pytest.raises(Refusal, match="nothing of that name"):
            edited(drawn.draft, [Drag(what, 0.0, 0.0)], drawn)


@pytest.fixture(scope="module")
def bolted(tmp_path_factory):
    folder = tmp_path_factory.mktemp("slides") / "bolted"
    shutil.copytree(PROFILES / "forestry-bolted-channel", folder)
    with serving(folder) as page:
        yield page


def _text(served, name: str) -> str:
    return json.loads(served.post("/state", {}).json()["parts"]["fields"]["text"])["fields"][name][0]


@pytest.mark.parametrize(
    ("what", "name", "key", "way"),
    [("nose", "Nose radius", "bracket.nose_radius", 1j), ("plane", "Plane, along the pin", "bracket.plane", 1)],
)
def test_by_mouse_the_number_stands_beside_the_pointer(browser, bolted, what, name, key, way):
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto(bolted.url)
    box = page.locator(f'[data-hold="{what}"]').bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    told = page.locator("#beside")
    before = told.inner_text()
    assert before.startswith(f"{name}: ")
    page.mouse.down()
    page.mouse.move(x + 12 * way.real, y + 12 * way.imag, steps=3)
    page.locator(".saved.not").wait_for()
    page.wait_for_function("before => document.querySelector('#beside').textContent !== before", arg=before)
    at = told.bounding_box()
    assert abs(at["x"] - x) < 60
    assert abs(at["y"] - y) < 80
    page.mouse.up()
    told.wait_for(state="hidden")
    assert f"{name}: {_text(bolted, key)}" in page.locator(f'[data-hold="{what}"]').get_attribute("data-words")
    page.locator("#undo").click()
    page.locator(".saved:not(.not)").wait_for()
    page.close()


def test_by_arrow_keys_it_goes_by_a_mark_and_escape_takes_it_back(browser, bolted):
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto(bolted.url)
    before = float(_text(bolted, "mount.inline_offset"))
    page.locator('[data-hold="offset"]').focus()
    for key, way in (("ArrowDown", 1), ("ArrowDown", 1), ("ArrowUp", -1), ("ArrowRight", 1)):
        page.keyboard.press(key)
        before += way * 0.5
        page.wait_for_function(
            "text => document.querySelector(\"[data-hold='offset']\").dataset.words.includes(text)", arg=f": {before}"
        )
    page.keyboard.press("Escape")
    page.locator(".saved:not(.not)").wait_for()
    assert float(_text(bolted, "mount.inline_offset")) == before - 1.0
    page.close()


def test_what_was_measured_is_locked_for_keys_too(browser, bolted):
    page = browser.new_page(viewport={"width": 1440, "height": 900})
    page.goto(bolted.url)
    name = "rail.feature[0].station"
    before = _text(bolted, name)
    page.locator('[data-hold="feature 0"]').focus()
    page.keyboard.press("ArrowRight")
    assert "Unlock what was measured" in page.locator("#beside").inner_text()
    assert _text(bolted, name) == before
    page.get_by_role("button", name="Unlock what was measured").click()
    page.locator('[data-hold="feature 0"]').focus()
    page.keyboard.press("ArrowRight")
    page.locator(".saved.not").wait_for()
    assert _text(bolted, name) != before
    page.locator("#undo").click()
    page.locator(".saved:not(.not)").wait_for()
    page.close()


@pytest.mark.parametrize("height", [844, 667])
def test_on_a_telephone_the_drawing_stays_in_view(browser, bolted, height):
    context = browser.new_context(viewport={"width": 390, "height": height}, has_touch=True, is_mobile=True)
    page = context.new_page()
    page.goto(bolted.url)
    field = page.locator('[name$="#new:1"]').first
    field.focus()
    field.scroll_into_view_if_needed()
    assert page.evaluate("scrollY") > 500
    drawn, bar, typed = (page.locator(s).first.bounding_box() for s in ("svg.live", ".bar", '[name$="#new:1"]'))
    assert drawn["y"] >= bar["y"] + bar["height"] - 1, "under the header"
    assert drawn["y"] + drawn["height"] <= typed["y"], "over the field"
    assert typed["y"] + typed["height"] <= height
    context.close()


def test_the_part_that_stops_is_lit_in_the_drawing(bolted):
    assert "failing" not in bolted.post("/state", {}).json()["parts"]["drawing"]["text"]
    told = bolted.post("/change", {"edits": [{"do": "set", "path": "bracket.thickness", "text": "3"}]}).json()
    assert "failing" in told["parts"]["drawing"]["text"]
    bolted.post("/undo", {})
