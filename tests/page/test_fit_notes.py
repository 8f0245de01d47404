"""Fit notes typed on the page: written into the job's file as the job reads it, drawn at once, undone, never lost."""

import json
import tomllib
from dataclasses import replace
from types import MappingProxyType

import pytest

pytest.importorskip("starlette", reason="pip install 'plategen[page]' brings it")

from plategen.ground.refusal import Refusal
from plategen.job.fit_notes import read_fit_notes
from plategen.page.disk import Folder
from plategen.page.draft import Draft, redraw
from plategen.page.edits import Stale, edited
from plategen.page.handles import handles
from plategen.page.note_edit import NOTES_FILE, read_notes
from plategen.page.request import AddReading, Drag, RemoveReading, SetReading
from tests.page.conftest import PROFILES

FIRST = Folder(PROFILES / "bale-trailer-first").read()
SECOND = Folder(PROFILES / "bale-trailer-second").read()
GAPS = [("2", "1/8"), ("5 1/2", "1/8"), ("9", "1/8")]


def noted(draft: Draft, *gaps: tuple[str, str], plate: str = "ear_near", **of: str) -> Draft:
    edits = [AddReading(NOTES_FILE, (station, gap, ""), of={"plate": plate, **of}) for station, gap in gaps]
    return edited(draft, edits, redraw(draft))


def test_the_first_note_names_the_file_and_the_plate_is_cut_to_it():
    now = noted(FIRST, *GAPS)
    assert tomllib.loads(now.job)["revision"]["notes"] == NOTES_FILE
    notes = read_fit_notes(now.files[NOTES_FILE], NOTES_FILE, "in")
    assert [(n.plate_name, n.gap_mm) for n in notes] == [("ear_near", pytest.approx(25.4 / 8))] * 3
    drawn = redraw(now)
    assert drawn.refusal is None
    (correction,) = (c for c in drawn.work.corrections if c.plate == "ear_near")
    # an even gap of 1/8 in all along is the rail 1/8 in farther off, less what a gap's own reading error takes back
    assert correction.moved_mm == pytest.approx([25.4 / 8] * len(correction.moved_mm), abs=0.1)


def test_a_gap_of_the_file_is_dragged_in_the_drawing_and_its_other_cells_stay():
    drawn = redraw(SECOND)
    text = SECOND.files["fit_notes.csv"]
    rows, gaps = read_notes(text), [each for each in handles(drawn.work) if each.what.startswith("gap ")]
    assert len(gaps) == len(rows) > 3
    for number in (0, len(rows) - 1):
        held = gaps[number]
        to = held.at + held.way * 25.4 / 16
        after = edited(SECOND, [Drag(held.what, to.real, to.imag)], drawn)
        assert after.job == SECOND.job
        written = after.files["fit_notes.csv"]
        lines, before = written.splitlines(), text.splitlines()
        assert [i for i, line in enumerate(before, 1) if lines[i - 1] != line] == [rows[number].line]
        now = read_notes(written)[number]
        assert (now.cells["plate"], *now.typed[::2]) == (rows[number].cells["plate"], *rows[number].typed[::2])
        notes = read_fit_notes(written, "fit_notes.csv", "in")
        assert notes[number].gap_mm == pytest.approx(held.value_mm + 25.4 / 16, abs=25.4 / 64)
        drawn_after = redraw(after, drawn)
        assert drawn_after.refusal is None


def test_how_it_was_held_is_written_beside():
    now = noted(FIRST, ("2", "1/8"), ("9", "1/8"), held="home", round="2", pin_off="1/16")
    row = read_notes(now.files[NOTES_FILE])[0]
    assert (row.cells["held"], row.cells["round"], row.cells["pin_off"]) == ("home", "2", "1/16")
    assert redraw(now).refusal is None


def test_a_file_of_a_users_own_keeps_its_lines_and_takes_a_column_up():
    text = SECOND.files["fit_notes.csv"]
    now = noted(SECOND, ("8", "1/8"), plate="ear_far", round="1", held="pin")
    new = now.files["fit_notes.csv"]
    kept = [line for line in text.splitlines() if not line.startswith("plate,")]
    assert [line for line in kept if line not in new.splitlines()] == []
    assert new.splitlines()[1] == "plate,station,gap,note,round,held"
    assert redraw(now).refusal is None
    assert len(read_fit_notes(new, "fit_notes.csv", "in")) == 13


def test_a_note_is_changed_where_it_stands_and_not_where_it_stood():
    row = read_notes(SECOND.files["fit_notes.csv"])[0]
    drawn = redraw(SECOND)
    cells = ("2", "1/64", "with feelers")
    now = edited(SECOND, [SetReading("fit_notes.csv", row.line, cells, row.typed)], drawn)
    assert now.files["fit_notes.csv"].splitlines()[row.line - 1] == "ear_near,2,1/64,with feelers"
    with pytest.raises(Stale, match="changed or moved"):
        edited(now, [SetReading("fit_notes.csv", row.line, cells, row.typed)], drawn)
    with pytest.raises(Stale, match="changed or moved"):
        edited(now, [RemoveReading("fit_notes.csv", 99)], drawn)


def test_without_its_last_note_the_job_names_no_file():
    now = noted(FIRST, GAPS[0])
    (row,) = read_notes(now.files[NOTES_FILE])
    now = edited(now, [RemoveReading(NOTES_FILE, row.line, row.typed)], redraw(now))
    assert "notes" not in tomllib.loads(now.job).get("revision", {})
    assert redraw(now).refusal is None


def test_a_wrong_note_is_told_with_its_line_and_its_field():
    from plategen.page.view import problem_of

    now = noted(FIRST, ("2", "a bit"), ("9", "1/8"))
    problem = problem_of(redraw(now), "job.toml")
    assert "line 2" in problem.words
    assert problem.field == f"{NOTES_FILE}#2:1"


def test_what_cannot_be_read_is_never_written_over():
    draft = replace(SECOND, files=MappingProxyType({}), unread=MappingProxyType({"fit_notes.csv": "is no text"}))
    with pytest.raises(Refusal, match="is no text"):
        noted(draft, GAPS[0])


@pytest.mark.parametrize("cells", [("2", "1\n2", ""), ("2", "1" * 200, "")])
def test_what_is_no_short_line_is_refused(cells):
    with pytest.raises(Refusal, match="single line"):
        edited(FIRST, [AddReading(NOTES_FILE, cells, of={"plate": "ear_near"})], redraw(FIRST))


def _drag_a_gap(page, field) -> None:
    """Taken hold of in the drawing, once unlocked: the number beside the pointer is what stands in its field."""
    gap = page.locator('[data-hold="gap 1"]')
    page.get_by_role("button", name="Unlock what was measured").click()
    box = gap.bounding_box()
    x, y = box["x"] + box["width"] / 2, box["y"] + box["height"] / 2
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x, y - 9, steps=3)
    page.wait_for_function("field => field.value !== '1/16'", arg=field.element_handle())
    told = page.locator("#beside").inner_text()
    page.mouse.up()
    page.locator("#beside").wait_for(state="hidden")
    assert told.startswith(f"Gap at ear near, round 1: {field.input_value()} in")


def test_by_keyboard_gaps_are_typed_one_after_the_other_and_undone(browser, tmp_path):
    import shutil

    from tests.page.conftest import serving

    shutil.copytree(PROFILES / "bale-trailer-first", tmp_path / "bale")
    with serving(tmp_path / "bale") as served:
        page = browser.new_page(viewport={"width": 1440, "height": 900})
        wrong: list[str] = []
        page.on("pageerror", lambda error: wrong.append(str(error)))
        page.goto(served.url)
        page.get_by_text("Fit notes", exact=True).click()
        page.get_by_label("station, next fit note of ear near").focus()
        for station, gap in GAPS:
            page.keyboard.type(station)
            page.keyboard.press("Enter")
            page.keyboard.type(gap)
            page.keyboard.press("Enter")
        page.locator(f"[data-row^='{NOTES_FILE}']").nth(2).wait_for()
        page.get_by_text("they move the rail by up to").wait_for()
        assert (
            page.evaluate("document.activeElement.getAttribute('aria-label')") == "station, next fit note of ear near"
        )
        second = page.get_by_label("gap, fit note 2 of ear near")
        second.fill("1/16")
        with page.expect_response("**/change"):
            second.press("Enter")
        fields = json.loads(served.post("/state", {}).json()["parts"]["fields"]["text"])["fields"]
        assert fields[f"{NOTES_FILE}#3:1"][0] == "1/16"
        _drag_a_gap(page, second)
        page.locator("#save").click()
        page.locator(".saved:not(.not)").wait_for()
        assert len(read_fit_notes((served.folder / NOTES_FILE).read_text(), NOTES_FILE, "in")) == 3
        assert wrong == []
        page.close()
