"""What the page shows, as plain values: why a draft is refused and where to look, and each finding in its one row."""

import html
import json
import re
import tomllib
from pathlib import Path

import pytest

pytest.importorskip("starlette", reason="pip install 'plategen[page]' brings it")

from plategen.delivery.starter import starter_text
from plategen.ground.show import Show
from plategen.job.change import written
from plategen.job.toml_edit import path_of, remove, set_value
from plategen.page.assets import part_macro
from plategen.page.disk import Folder
from plategen.page.draft import Draft, redraw
from plategen.page.edits import edited
from plategen.page.form import all_inputs, job_form, known_names
from plategen.page.parts import _plates
from plategen.page.request import Set
from plategen.page.typed_texts import typed_texts
from plategen.page.view import checks_of, judged_of, problem_of
from plategen.rules.bolt_grade import bolt_grade
from plategen.rules.material import steel, weld_metal
from plategen.tell.finding_row import finding_row

PROFILES = Path(__file__).parents[2] / "profiles"
JOB, TRACE = (starter_text(name, "in") for name in ("job.toml", "front.csv"))
SECOND = '\n[[rail.trace]]\nfile = "rear.csv"\nplane = 3\n'


def problem(job: str, **files: str):
    texts = {"front.csv": TRACE, "rear.csv": TRACE, **{f"{name}.csv": text for name, text in files.items()}}
    draft = Draft(job, texts)
    return problem_of(redraw(draft), "job.toml")


def test_a_job_that_is_drawn_has_no_problem():
    assert problem(JOB) is None


def test_an_unknown_key_is_the_one_that_is_taken_out():
    """Counted by people from 1 and by places from 0: of two traces the second has it, and loses it."""
    wrong = JOB + SECOND + "platte = 1\n"
    shown = problem(wrong)
    assert shown.words.startswith("rail.trace[2].platte: ")
    assert shown.unknown == "rail.trace[1].platte"
    assert problem(remove(wrong, path_of(shown.unknown))) is None


@pytest.mark.parametrize(
    ("old", "new", "field"),
    [
        ('bore = "2"', 'bore = "two"', "cylinder.bore"),
        ("[cylinder]", "[cylinder]\nwidth = 3", ""),
        ("plane = 3", 'plane = "x"', "rail.trace[1].plane"),
    ],
)
def test_the_field_to_look_at_is_the_one_that_is_wrong(old, new, field):
    text = JOB + SECOND
    if old.startswith("bore"):
        old = next(line for line in text.splitlines() if line.startswith("bore")).split("#")[0].rstrip()
    assert text.count(old) == 1
    shown = problem(text.replace(old, new))
    assert shown.field == field
    assert (shown.unknown == "") == bool(field)


def test_a_reading_that_is_wrong_is_the_field_to_look_at():
    lines = TRACE.splitlines()
    number = next(n for n, line in enumerate(lines) if line[:1].isdigit())
    spoilt = "\n".join([*lines[:number], "0,much,", *lines[number + 1 :]])
    assert problem(JOB, front=spoilt).field == f"front.csv#{number + 1}:1"


def test_a_problem_speaks_the_units_of_the_job():
    """A limit that is computed in millimetres is shown in inches, as every other number of the page."""
    foot = next(line for line in JOB.splitlines() if line.startswith("foot ="))
    shown = problem(JOB.replace(foot, "foot = [2, 40]"))
    assert shown.field == "mount.foot[0]"
    assert " in" in shown.words
    assert " mm" not in shown.words


def test_a_finding_has_the_row_that_the_commands_print():
    drawn = redraw(Draft(JOB, {"front.csv": TRACE}))
    shown = checks_of(drawn, judged_of(drawn, drawn))
    rows = [finding_row(f, Show("in")) for f in drawn.work.findings if not f.opinion]
    assert len(shown) == len(rows) > 20
    assert all(check.row in rows for check in shown)
    assert all(check.was == "" for check in shown)


@pytest.mark.parametrize("profile", ["sprayer-kicked-rail", "quarry-straight-rail", "orchard-sprayer-steering"])
def test_a_cure_is_written_in_as_the_command_writes_it(profile):
    """What the button sends leaves the same values in the job file as ``plategen judge --apply`` does."""
    folder = PROFILES / profile
    texts = {path.name: path.read_text(encoding="utf-8") for path in folder.glob("*.csv")}
    job = re.sub(r"(?m)^pressure = .*", 'pressure = "5200 psi"', (folder / "job.toml").read_text(encoding="utf-8"))
    draft = Draft(job, texts)
    drawn = redraw(draft)
    units = drawn.work.job.units
    cures = {f.key: f.cure for f in drawn.work.findings if f.cure and f.cure.changes and not f.opinion}
    shown = [check for check in checks_of(drawn, judged_of(drawn, drawn)) if check.edits]
    assert len(shown) == len(cures) > 0
    wanted = [_with(job, cure, units) for cure in cures.values()]
    for check in shown:
        cured = edited(draft, [Set(place, text) for place, text in check.edits], drawn)
        assert tomllib.loads(cured.job) in wanted


def test_what_a_cure_only_promises_is_said_beside_its_button():
    """Checks that a number of the bracket cures promise nothing; a rod that is aligned better is no change of it."""
    draft = Draft(set_value(JOB, path_of("rules.skew"), 8), {"front.csv": TRACE})
    drawn = redraw(draft)
    shown = checks_of(drawn, judged_of(drawn, drawn))
    side = next(check for check in shown if check.row.check == "rod side load")
    assert [key for key, _ in side.edits] == ["rules.skew"]
    assert side.promise.startswith("you must then line the cylinder up to within ")
    assert {check.row.check for check in shown if check.promise} == {"rod side load"}
    markup = str(part_macro("checks")([side], 0, False, False, "", ()))
    _, _, beside = markup.partition("Write it in</button>")
    assert side.promise in beside.partition("</p>")[0]


def _with(job, cure, units):
    for change in cure.changes:
        job = set_value(job, path_of(change.key), written(change.to, units))
    return tomllib.loads(job)


def test_a_cure_is_one_press_and_one_undo(browser, served):
    page = browser.new_page()
    page.goto(served.url)
    served.post("/change", {"edits": [{"do": "set", "path": "cylinder.pressure", "text": "4500 psi"}]})
    shear = page.locator("ul.checks").first.locator("li.check.stop", has_text="plate shear")
    tried = page.locator("#trial-shown")
    shear.first.get_by_role("button", name="Try it").click()
    tried.get_by_role("columnheader", name="with the cure").wait_for(timeout=60_000)
    assert page.locator('[name="bracket.thickness"]').input_value() != "1/2", "nothing is written yet"
    tried.get_by_role("button", name="Write it in").click()
    shear.first.wait_for(state="detached")
    assert page.locator('[name="bracket.thickness"]').input_value() == "1/2"
    page.get_by_role("button", name="Undo").click()
    shear.first.wait_for()
    assert page.locator('[name="bracket.thickness"]').input_value() != "1/2"
    page.close()


def test_names_of_the_published_tables_are_offered_where_they_are_asked_for():
    known = known_names()
    assert set(known) == {"steels", "electrodes", "bolts"}
    assert all(steel(name, 3.0) for name in known["steels"])
    assert all(weld_metal(name) for name in known["electrodes"])
    assert all(bolt_grade(name) for name in known["bolts"])
    offered = {i.path: i.listed for i in all_inputs(job_form(tomllib.loads(JOB), "in"))}
    assert offered["bracket.steel"] == offered["rail.steel"] == "steels"
    assert offered["weld.electrode"] == "electrodes"
    assert offered["title"] == ""


def test_the_page_shows_both_ends_of_a_job_that_has_them():
    folder = PROFILES / "orchard-sprayer-both-ends"
    texts = {path.name: path.read_text(encoding="utf-8") for path in folder.iterdir()}
    drawn = redraw(Draft(texts.pop("job.toml"), texts))
    assert drawn.refusal is None
    shown = _plates(drawn.work)
    named = re.findall(r"<figcaption>(.*?)</figcaption>", shown)
    ears, tabs = ["ear near", "ear far", "stop pad"], ["rod end tab near", "rod end tab far", "rod end pad"]
    assert list(map(html.unescape, named)) == ["the seat at the rod's end", *ears, *tabs]
    parts = {check.row.part for check in checks_of(drawn, judged_of(drawn, drawn))}
    assert {"ear near, pin", "rod end tab near, pin"} <= parts


def test_a_key_at_the_rods_end_that_is_wrong_is_the_field_to_look_at():
    folder = PROFILES / "orchard-sprayer-both-ends"
    texts = {path.name: path.read_text(encoding="utf-8") for path in folder.iterdir()}
    wrong = texts.pop("job.toml").replace('across = "2 1/2"', "across = 3")
    assert problem_of(redraw(Draft(wrong, texts)), "job.toml").field == "rod_end.seat.across"


def test_beside_numbers_that_the_study_answers_for_stands_where_it_puts_the_pin():
    """Before, with ``pin = "study"`` the page had an in-line offset to type that moved nothing, and did not say so."""
    for profile, told in (("orchard-sprayer-steering", 3), ("sprayer-kicked-rail", 0)):
        draft = Folder(PROFILES / profile).read()
        drawn = redraw(draft)
        placed = json.loads(typed_texts(draft, draft, drawn, "job.toml"))["placed"]
        assert len(placed) == told
        pin = drawn.work.design.pin
        if told:
            assert Show("in").length(pin.inline_offset_mm) in placed["mount.inline_offset"]
            assert Show("in").length(pin.station_mm) in placed["mount.pin_station"]
