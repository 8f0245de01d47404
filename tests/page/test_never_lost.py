"""Nothing that was typed is lost: not to a habit of the hands, a second tab or a lost server."""

import json
import re

import pytest

from plategen.ground.refusal import Refusal
from plategen.page.disk import Folder
from plategen.page.draft import redraw
from plategen.page.edits import edited
from plategen.page.request import Set, SetUnits
from tests.page.conftest import serving

expect = pytest.importorskip("playwright.sync_api", reason="pip install 'plategen[work]' brings playwright").expect


@pytest.fixture
def tab(browser):
    """A page of the browser. A test asks for it after its server, which would wait for it to be closed."""
    context = browser.new_context(viewport={"width": 1440, "height": 900})
    yield context.new_page()
    context.close()


def _open(tab, served, name: str):
    """The field of a number, its group opened."""
    if tab.url != f"{served.url}/":
        tab.goto(served.url)
    tab.locator("#tab-numbers").click()
    tab.evaluate("n => { document.querySelector(`[name='${n}']`).closest('details, fieldset').open = true; }", name)
    return tab.locator(f'[name="{name}"]')


def test_the_rhythm_of_station_tab_offset_enter_types_a_trace(served, tab):
    """Before, the third Enter stayed in the offset, and the space in ``1 17/32`` pressed what took all readings out."""
    tab.goto(served.url)
    tab.locator("summary", has_text="More for front.csv").click()
    tab.get_by_role("button", name="Start this trace anew").click()
    assert tab.locator('[data-row^="front.csv#"]').count() > 5, "asked first"
    tab.get_by_role("button", name="Take it out").click()
    expect(tab.locator('[data-row^="front.csv#"]')).to_have_count(0)
    expect(tab.locator("#undo")).to_be_enabled()
    tab.locator("summary", has_text="More for front.csv").click()
    tab.locator('[name="front.csv#new:0"]').focus()
    for i in range(6):
        tab.keyboard.type(str(i))
        tab.keyboard.press("Tab")
        tab.keyboard.type("1 17/32")
        tab.keyboard.press("Enter")
    expect(tab.locator('[data-row^="front.csv#"]')).to_have_count(6)
    for i in range(6, 8):  # and who types offsets alone goes on with offsets
        tab.locator('[name="front.csv#new:1"]').focus()
        expect(tab.locator('[name="front.csv#new:0"]')).to_have_attribute("placeholder", str(i))
        tab.keyboard.type("1 1/2")
        tab.keyboard.press("Enter")
        assert tab.evaluate("document.activeElement.name") == "front.csv#new:1"
    expect(tab.locator('[data-row^="front.csv#"]')).to_have_count(8)


def test_a_column_of_a_spreadsheet_is_pasted_and_taken_back_in_one_step(served, tab):
    """Before, its lines ran together in one field."""
    tab.goto(served.url)
    served.post("/change", {"edits": [{"do": "clear-readings", "file": "front.csv"}], "tab": "other"})
    rows = tab.locator('[data-row^="front.csv#"]')
    expect(rows).to_have_count(0)

    def paste(name: str, text: str) -> None:
        tab.evaluate(
            """([name, text]) => { const clipboardData = new DataTransfer();
                clipboardData.setData("text", text);
                document.querySelector(`[name="${name}"]`).dispatchEvent(
                    new ClipboardEvent("paste", { clipboardData, bubbles: true, cancelable: true })); }""",
            [name, text],
        )

    paste("front.csv#new:0", "station\toffset\r\n0\t1 3/8\r\n2\t1 3/8\r\n4\t1 7/16\r\n")
    expect(rows).to_have_count(3)
    paste("front.csv#new:1", "1 1/2\n1 9/16\n")
    expect(rows).to_have_count(5)
    expect(rows.last.locator("input").first).to_have_value("8")
    tab.locator("#undo").click()
    expect(rows).to_have_count(3)
    paste("front.csv#new:0", "6\n8\n")
    tab.get_by_text("These are stations alone.").wait_for()
    tab.get_by_role("button", name="Leave it").click()
    assert rows.count() == 3
    paste(rows.first.locator("input").nth(1).get_attribute("name"), "1 3/8\n1 1/2\n")
    tab.get_by_text("Several readings go into the empty row").wait_for()


def test_no_button_that_takes_out_is_met_by_the_tab_key(served, tab):
    tab.goto(served.url)
    tab.locator('[name="front.csv#new:0"]').focus()
    for _ in range(12):
        tab.keyboard.press("Shift+Tab")
        assert "take-out" not in tab.evaluate("document.activeElement.className")
    row = tab.locator('[data-row^="front.csv#"]')
    before = row.count()
    tab.keyboard.press("Control+Delete")
    expect(row).to_have_count(before - 1)


def test_two_tabs_and_one_value_show_both(served, tab, browser):
    """Before, Enter in the first tab wrote over what the second had set, unseen."""
    field = _open(tab, served, "cylinder.stroke")
    field.press("End")
    field.press_sequentially(" 1/2")
    served.post("/change", {"edits": [{"do": "set", "path": "cylinder.stroke", "text": "9"}], "tab": "other"})
    clash = tab.locator("#waiting li")
    expect(clash).to_contain_text("it is 9 by now")
    field.press("Enter")
    expect(clash).to_contain_text("you typed 8 1/2")
    assert _text(served, "cylinder.stroke") == "9"
    tab.get_by_role("button", name="Put in 8 1/2").click()
    expect(clash).to_have_count(0)
    assert _text(served, "cylinder.stroke") == "8 1/2"
    field.focus()
    field.fill("7")
    served.post("/change", {"edits": [{"do": "set", "path": "cylinder.stroke", "text": "6"}], "tab": "other"})
    tab.get_by_role("button", name="Leave 6").click()
    expect(field).to_have_value("6")
    assert _text(served, "cylinder.stroke") == "6"


def test_a_choice_is_not_taken_from_under_the_finger_that_presses_it(served, tab):
    """Before, the press left the field, which was said at once; what came meanwhile took the choice away unheard."""
    field = _open(tab, served, "cylinder.stroke")
    field.fill("7")
    served.post("/change", {"edits": [{"do": "set", "path": "cylinder.stroke", "text": "6"}], "tab": "other"})
    choice = tab.get_by_role("button", name="Leave 6")
    expect(choice).to_be_visible()
    tab.route("**/change", lambda route: None)  # an answer that takes its time
    choice.hover()
    tab.mouse.down()
    served.post("/change", {"edits": [{"do": "set", "path": "cylinder.bore", "text": "2 1/4"}], "tab": "other"})
    expect(tab.locator('[name="cylinder.bore"]')).to_have_value("2 1/4")
    tab.mouse.up()
    expect(field).to_have_value("6")
    expect(tab.locator("#waiting li")).to_have_count(0)


def test_undo_belongs_to_its_tab(served, tab):
    field = _open(tab, served, "cylinder.stroke")
    field.fill("9")
    field.press("Enter")
    expect(tab.locator("#undo")).to_be_enabled()
    served.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": "1"}], "tab": "other"})
    assert served.post("/undo", {"tab": "third"}).json()["undo"] is False
    expect(tab.locator('[name="bracket.toe"]')).to_have_value("1")
    tab.locator("#undo").click()
    expect(field).to_have_value("8")
    assert _text(served, "bracket.toe") == "1"
    expect(tab.locator("#undo")).to_be_disabled()


def _text(served, name: str) -> str:
    return json.loads(served.post("/state", {}).json()["parts"]["fields"]["text"])["fields"][name][0]


def test_what_was_typed_while_the_server_was_down_is_kept_and_said_again(tab, job):
    """Before, it was gone once the server was back, though the page had said that it stood there."""
    with serving(job) as page:
        field = _open(tab, page, "cylinder.stroke")
        port = page.port
        page.process.terminate()
        page.process.wait(20)
        page.ended = True
        field.fill("9")
        field.press("Tab")
        expect(tab.locator("#waiting li")).to_contain_text("9 is not taken yet")
        tab.locator("#tab-readings").click()
        for text in ("1 1/2", "1 5/8"):
            tab.locator('[name="front.csv#new:1"]').fill(text)
            tab.locator('[name="front.csv#new:1"]').press("Enter")
        expect(tab.locator("#waiting li")).to_have_count(3)
    with serving(job, port=port) as page:
        expect(tab.locator("#waiting li")).to_have_count(0, timeout=15_000)
        assert _text(page, "cylinder.stroke") == "9"
        text = json.loads(page.post("/state", {}).json()["parts"]["fields"]["text"])["fields"]
        assert [v[0] for k, v in text.items() if re.fullmatch(r"front\.csv#\d+:1", k)][-2:] == ["1 1/2", "1 5/8"]
        page.post("/change", {"edits": [{"do": "set", "path": "bracket.toe", "text": "1 1/8"}]})
        expect(tab.locator('[name="bracket.toe"]')).to_have_value("1 1/8"), "and it hears the new server's news"


def test_what_waits_is_said_once_however_often_the_connection_is_noticed(served, tab):
    """Before, the retry and the news channel each said the second reading, and it stood there twice."""
    tab.goto(served.url)
    before = tab.locator('[data-row^="front.csv#"]').count()
    tab.route("**/change", lambda route: route.abort())
    for text in ("1 1/2", "1 5/8"):
        tab.locator('[name="front.csv#new:1"]').fill(text)
        tab.locator('[name="front.csv#new:1"]').press("Enter")
    expect(tab.locator("#waiting li")).to_have_count(2)
    tab.unroute("**/change")
    tab.evaluate("import('/static/typed.js').then((typed) => Promise.all([typed.sayAgain(), typed.sayAgain()]))")
    expect(tab.locator("#waiting li")).to_have_count(0)
    expect(tab.locator('[data-row^="front.csv#"]')).to_have_count(before + 2)


def test_a_lost_answer_is_not_said_twice(served, tab):
    """The server took the reading and the answer was lost on its way."""
    tab.goto(served.url)
    before = tab.locator('[data-row^="front.csv#"]').count()

    def lose(route):
        served.post("/change", json.loads(route.request.post_data))
        route.abort()

    tab.route("**/change", lose, times=1)
    tab.locator('[name="front.csv#new:1"]').fill("1 1/2")
    tab.locator('[name="front.csv#new:1"]').press("Enter")
    expect(tab.locator("#waiting li")).to_have_count(1)
    expect(tab.locator("#waiting li")).to_have_count(0)
    assert tab.locator('[data-row^="front.csv#"]').count() == before + 1


def _points(drawn) -> list:
    return [r.point for f in drawn.work.rail.traces for r in f.trace.readings]


@pytest.mark.parametrize("keep", ["sizes", "numbers"])
def test_other_units_keep_the_sizes_or_the_numbers_as_is_asked(job, keep):
    """Before, a bore of 2 in became 2 mm at once."""
    draft = Folder(job).read()
    before = redraw(draft)
    changed = edited(draft, [SetUnits("mm", keep)], before)
    after = redraw(changed)
    if keep == "numbers":
        assert changed.files == draft.files
        assert 'units = "mm"' in changed.job
        return
    assert after.work.job.replaced(units="in") == before.work.job
    assert _points(after) == _points(before)
    assert edited(changed, [SetUnits("in", "sizes")], after).files == changed.files
    with pytest.raises(Refusal, match="sizes"):
        edited(draft, [Set("units", "mm")], before)


def test_the_page_asks_what_other_units_shall_mean(served, tab):
    field = _open(tab, served, "units")
    field.select_option("mm")
    expect(tab.locator("#ask")).to_contain_text("numbers without a unit")
    tab.keyboard.press("Escape")
    expect(field).to_have_value("in")
    field.select_option("mm")
    tab.get_by_role("button", name=re.compile("Keep the sizes: .* stays .* in")).click()
    expect(tab.locator('[name="cylinder.bore"]')).to_have_value("2 in")
    assert tab.locator("#checks").inner_text().count("STOP") == 0
