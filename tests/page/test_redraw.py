"""What a draft comes to: the same as every other command says, with nothing out of date, and quickly."""

import json
import random
import re
import shutil
import statistics
import time
import tomllib
from html import unescape

import pytest

from plategen.delivery.starter import lay_out
from plategen.ground.refusal import Refusal
from plategen.job.load import load_job
from plategen.make import carry_through, rebuilt
from plategen.page.disk import Folder
from plategen.page.draft import redraw, thorough
from plategen.page.edits import Stale, edited
from plategen.page.history import History
from plategen.page.parts import Moment, update
from plategen.page.request import AddReading, ClearReadings, Drag, Set, SetReading
from plategen.page.trace_edit import read_table
from tests.page.conftest import PROFILES


def moment(version, draft, drawn, saved) -> Moment:
    return Moment(
        version=version, draft=draft, saved=saved.draft, drawn=drawn, saved_drawn=saved, theirs=None, disk="",
        unsaved=("job.toml",), history=History(draft), job_file="job.toml",
        job_mark="this one",
    )  # fmt: skip


def told(work) -> tuple:
    """Everything that a job comes to, apart from the sweep's arrays, which the findings are read off."""
    return work.job, work.rail.traces, work.rail.inline_offset_mm, work.bracket, work.findings, work.cautions


@pytest.mark.parametrize("name", ["sprayer-kicked-rail", "orchard-sprayer-steering", "quarry-straight-rail"])
def test_comes_to_what_the_commands_come_to(name):
    drawn = redraw(Folder(PROFILES / name).read())
    loaded = load_job(PROFILES / name)
    assert drawn.refusal is None
    assert told(drawn.work) == told(carry_through(loaded.job, loaded.traces))


@pytest.mark.parametrize(
    ("name", "key", "typed"),
    [
        ("sprayer-kicked-rail", "bracket.thickness", "1/8"),  # stops, so that cures are tried
        ("sprayer-kicked-rail", "mount.foot[1]", "4 1/2"),  # too short a foot: the nearest one is looked for
        ("orchard-sprayer-both-ends", "bracket.thickness", "3/8"),
        ("quarry-screen-corner", "cylinder.body_diameter", "80"),
    ],
)
def test_a_quick_redraw_says_every_verdict_and_what_follows_is_what_the_commands_say(name, key, typed):
    draft = Folder(PROFILES / name).read()
    first = redraw(draft)
    draft = edited(draft, [Set(key, typed)], first)
    quick, fresh = redraw(draft, first, quick=True), redraw(draft)
    assert quick.quick
    assert (quick.refusal is None) == (fresh.refusal is None)
    whole = thorough(quick)
    assert not whole.quick
    assert str(whole.refusal) == str(fresh.refusal)
    if fresh.refusal is not None:
        assert str(fresh.refusal) != str(quick.refusal), "the nearest size"
        return
    assert told(whole.work) == told(fresh.work)
    assert quick.work.bracket == fresh.work.bracket
    verdicts = [(f.key, f.verdict, f.demand, f.capacity) for f in quick.work.findings]
    assert verdicts == [(f.key, f.verdict, f.demand, f.capacity) for f in fresh.work.findings if f.decides]


def test_the_page_offers_no_cure_before_it_was_tried():
    draft = Folder(PROFILES / "sprayer-kicked-rail").read()
    saved = redraw(draft)
    draft = edited(draft, [Set("bracket.thickness", "1/8")], saved)
    quick = redraw(draft, saved, quick=True)
    before = moment(1, draft, quick, saved)
    shown = update(before, {}, ("all-checks", "causes"))["parts"]
    for part in ("checks", "view-all-checks", "view-causes"):
        assert "data-cure" not in shown[part]["text"], part
        assert "being " in shown[part]["text"].lower(), part
    after = moment(2, draft, thorough(quick), saved)
    after.take_over(before)
    fresh = moment(2, draft, redraw(draft), saved)
    whole = update(after, {}, ("all-checks", "causes"))["parts"]
    assert "data-cure" in whole["checks"]["text"]
    assert whole == update(fresh, {}, ("all-checks", "causes"))["parts"]


def test_no_pin_is_tried_elsewhere_while_a_redraw_is_quick():
    quick = redraw(Folder(PROFILES / "bowser-leaf-axle").read(), quick=True)

    def cure(drawn):
        return next(f.cure for f in drawn.work.findings if f.check == "in line with what it pushes")

    assert cure(quick) is None
    assert "move the fixed pin" in str(cure(thorough(quick)).advice)


def test_what_is_passed_on_is_never_out_of_date():
    rng = random.Random(7)
    draft = Folder(PROFILES / "sprayer-kicked-rail").read()
    drawn = redraw(draft)
    for _ in range(12):
        draft = edited(draft, [_some_change(rng, draft)], drawn)
        drawn = redraw(draft, drawn)
        fresh = redraw(draft)
        assert (drawn.refusal is None) == (fresh.refusal is None)
        if drawn.refusal is None:
            assert told(drawn.work) == told(fresh.work)


def _some_change(rng: random.Random, draft):
    pick = rng.random()
    if pick < 0.3:
        return Drag("pin", 165.0 + rng.uniform(-25, 25), -57.0 + rng.uniform(-10, 10))
    if pick < 0.5:
        return Drag("foot 0", 50.0 + rng.uniform(-20, 15), 0.0)
    if pick < 0.75:
        file = rng.choice(list(draft.files))
        row = rng.choice(read_table(draft.files[file]).rows)
        return SetReading(file, row.line, (row.first, _nudged(rng, row.second), row.note))
    key, texts = rng.choice(
        [("bracket.thickness", ["3/8", "1/2", "5/16"]), ("weld.leg", ["1/4", "3/16", "5/16"]),
         ("cylinder.pressure", ["1500 psi", "2000 psi"]), ("bracket.nose_radius", ["1 1/2", "1 5/8", ""])]
    )  # fmt: skip
    return Set(key, rng.choice(texts))


def _nudged(rng: random.Random, text: str) -> str:
    """The offset a 32nd up or down."""
    from plategen.ground.figures import fraction
    from plategen.ground.quantity import LENGTH

    return fraction(LENGTH.read(text, "in") / 25.4 + rng.choice([-1, 1]) / 32)


@pytest.mark.quiet
def test_ninety_five_in_a_hundred_changes_are_redrawn_at_once():
    """Edit, redraw and every part of the page that changed, over 100 changes of the two-trace example."""
    rng = random.Random(1)
    draft = Folder(PROFILES / "sprayer-kicked-rail").read()
    saved = drawn = redraw(draft)
    have: dict[str, str] = {}
    update(moment(0, draft, drawn, saved), have, ())
    taken = []
    for i in range(100):
        change = _some_change(rng, draft)
        begun = time.process_time()  # on a busy machine wall time says what else runs
        draft = edited(draft, [change], drawn)
        drawn = redraw(draft, drawn, quick=True)
        shown = update(moment(i + 1, draft, drawn, saved), have, ())
        taken.append(time.process_time() - begun)
        have |= {name: part["mark"] for name, part in shown["parts"].items()}
        if drawn.refusal is not None:
            draft = saved.draft
            drawn = redraw(draft, drawn)
    slowest_of_most = sorted(taken)[int(0.95 * len(taken)) - 1]
    print(f"median {1e3 * statistics.median(taken):.0f} ms, 95 % within {1e3 * slowest_of_most:.0f} ms")
    # a tenth of a second on a quiet machine; a shared one has been seen to take half as long again for the same commit
    assert slowest_of_most < 0.2


def test_a_draft_that_is_refused_keeps_the_last_drawing_and_says_why(job):
    draft = Folder(job).read()
    drawn = redraw(draft)
    bad = redraw(edited(draft, [Set("cylinder.bore", "two")], drawn), drawn)
    assert bad.work is drawn.work
    assert bad.refusal.where == "job.toml: cylinder.bore"
    row = read_table(draft.files["front.csv"]).rows[3]
    bad = redraw(edited(draft, [SetReading("front.csv", row.line, ("1", "abc", ""))], drawn), drawn)
    assert bad.refusal.where.startswith(f"front.csv: line {row.line}")


def test_nothing_outside_the_folder_is_read(job):
    (job.parent / "secret.csv").write_text("station,offset\n0,1\n1,1\n2,1\n")
    folder = Folder(job)
    draft = edited(folder.read(), [Set("rail.trace[0].file", "../secret.csv")], redraw(folder.read()))
    assert folder.fetch(["../secret.csv", "/etc/passwd", "..", "a/../../secret.csv"]) == ({}, {})
    assert redraw(draft).refusal is not None
    (job / "link.csv").symlink_to(job.parent / "secret.csv")
    assert folder.fetch(["link.csv"]) == ({}, {})


def test_a_change_of_what_is_something_else_by_now_is_refused(job):
    draft = Folder(job).read()
    drawn = redraw(draft)
    with pytest.raises(Stale, match="2 by now, not 3"):
        edited(draft, [Set("cylinder.bore", "4", "3")], drawn)
    assert edited(draft, [Set("cylinder.bore", "2", "3")], drawn) == draft, "the same change said twice"


@pytest.mark.parametrize("units", ["in", "mm"])
def test_drags_come_to_rest_on_the_rules_marks(units, tmp_path):
    lay_out(tmp_path / "new", units)
    draft = Folder(tmp_path / "new").read()
    drawn = redraw(draft)
    moved = redraw(edited(draft, [Drag("pin", 170.3123, -60.987), Drag("foot 1", 271.111, 0)], drawn), drawn)
    mount = moved.work.job.mount
    mark = 25.4 / 32 if units == "in" else 0.5
    for value, asked in (
        (mount.pin_station_mm, 170.3123),
        (mount.inline_offset_mm, 60.987),
        (mount.foot_mm[1], 271.111),
    ):
        assert abs(value / mark - round(value / mark)) < 1e-9
        assert abs(value - asked) <= mark / 2 + 1e-9


def test_a_foot_that_a_rule_chose_is_written_out_when_dragged(job):
    text = (job / "job.toml").read_text().replace("foot = [2, 11]\n", "")
    (job / "job.toml").write_text(text)
    draft = Folder(job).read()
    drawn = redraw(draft)
    moved = redraw(edited(draft, [Drag("foot 0", 60.0, 0.0)], drawn), drawn)
    assert moved.work.job.mount.foot_mm[0] == pytest.approx(60.0, abs=0.4)


def test_a_reading_off_two_straightedges_is_typed_and_not_dragged():
    draft = Folder(PROFILES / "quarry-screen-corner").read()
    drawn = redraw(draft)
    entry = drawn.work.job.rail.trace[0]
    for file in (entry.file, entry.second.file):
        line = read_table(draft.text_of(file)).rows[0].line
        with pytest.raises(Refusal, match="read off two straightedges"):
            edited(draft, [Drag("reading", 50.0, 30.0, file, line)], drawn)


def test_a_reading_that_tilted_plates_see_is_typed_and_not_dragged(tmp_path):
    """The drawing has it where the plates see it; a drag would have written that place for what the rule read."""
    leans = shutil.copytree(PROFILES / "quarry-straight-rail", tmp_path / "leans")
    text = (leans / "job.toml").read_text(encoding="utf-8")
    (leans / "job.toml").write_text(text.replace("[rail]\n", '[rail]\nturn = "4 deg"\n', 1), encoding="utf-8")
    draft = Folder(leans).read()
    drawn = redraw(draft)
    line = read_table(draft.text_of("rail.csv")).rows[0].line
    with pytest.raises(Refusal, match="as the tilted plates see it"):
        edited(draft, [Drag("reading", 50.0, 30.0, "rail.csv", line)], drawn)


def test_a_trace_is_drawn_from_its_second_reading_and_the_foot_follows_it(tmp_path):
    """Before, nothing of it was drawn, and the sample's foot complained of every trace that was another."""
    lay_out(tmp_path / "new", "in")
    draft = Folder(tmp_path / "new").read()
    saved = drawn = redraw(draft)
    assert "not your numbers" in moment(0, draft, drawn, saved).part("notice")
    draft = edited(draft, [ClearReadings("front.csv")], drawn)
    assert "foot" not in tomllib.loads(draft.job)["mount"]
    shown = []
    for station in range(15):
        draft = edited(draft, [AddReading("front.csv", (str(station), "1 1/2", ""))], drawn)
        drawn = redraw(draft, drawn)
        shown.append(moment(station, draft, drawn, saved).part("drawing"))
    assert "What is typed" not in shown[0]
    assert "2 readings as typed" in shown[1]
    assert "3 readings as typed" in shown[2] or "seen along the pin" in shown[2]
    assert drawn.refusal is None, str(drawn.refusal)
    assert "not your numbers" not in moment(20, edited(draft, [Set("title", "Mine")], drawn), drawn, saved).part(
        "notice"
    )


def test_every_profile_opens(tmp_path):
    for profile in sorted(PROFILES.iterdir()):
        folder = tmp_path / profile.name
        shutil.copytree(profile, folder)
        draft = Folder(folder).read()
        drawn = redraw(draft)
        assert drawn.refusal is None, profile.name
        shown = update(moment(1, draft, drawn, drawn), {}, ("plates", "traces", "solid", "steering"))
        assert "<svg" in shown["parts"]["drawing"]["text"], profile.name


def test_causes_are_looked_for_only_where_the_view_is_open(monkeypatch):
    folder = Folder(PROFILES / "sprayer-kicked-rail")
    saved = redraw(folder.read())
    short = [Set(path="mount.foot[0]", text="10", was=None), Set(path="mount.foot[1]", text="12", was=None)]
    draft = edited(saved.draft, short, saved)
    drawn = redraw(draft, saved)
    built = []

    def counting(work, job):
        built.append(job)
        return rebuilt(work, job)

    monkeypatch.setattr("plategen.cause.rebuilt", counting)
    shut = update(moment(1, draft, drawn, saved), {}, [])["parts"]
    assert built == []
    assert "view-causes" not in shut
    assert "<em>Causes</em>" in shut["checks"]["text"]
    text = update(moment(1, draft, drawn, saved), {}, ["causes"])["parts"]["view-causes"]["text"]
    assert 1 <= len(built) <= 6
    assert "23 checks stop because of the foot of 2 in" in text
    assert text.count('<li class="check stop">') == 8
    offered = re.findall(r'data-cure="([^"]+)">Write it in<', text)
    assert len(offered) == 1
    asked = [Set(path=to, text=typed, was=None) for to, typed in json.loads(unescape(offered[0]))]
    cured = redraw(edited(draft, asked, drawn), drawn)
    assert cured.refusal is None
    assert cured.work is not None
    assert not cured.work.stopped, "the button does what the words beside it say"
    assert (
        "Nothing stops." in update(moment(1, saved.draft, saved, saved), {}, ["causes"])["parts"]["view-causes"]["text"]
    )
