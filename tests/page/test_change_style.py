"""Another style in one step: its tables come with numbers to start from, what was measured stays, undo brings all back.

Before, the page answered that the new style lacks its table, and left what to write there to whoever chose it.
"""

import tomllib
from types import MappingProxyType

import pytest

pytest.importorskip("starlette", reason="pip install 'plategen[page]' brings it")

from plategen.job.bracket import STYLES, StyleName
from plategen.page.change_style import lets_go
from plategen.page.disk import Folder
from plategen.page.draft import Draft, redraw
from plategen.page.edits import edited
from plategen.page.history import History
from plategen.page.request import Set
from tests.page.conftest import PROFILES

MEASURED = ("title", "units", "cylinder", "mount.inline_offset", "mount.pin_station", "rail.wall", "rail.steel")


def at(job: dict, path: str) -> object:
    for key in path.split("."):
        job = job[key]
    return job


def in_style(draft: Draft, to: str) -> Draft:
    return edited(draft, [Set("bracket.style", to)], redraw(draft))


@pytest.mark.parametrize("to", [name for name in STYLES if name != "ears"])
@pytest.mark.parametrize("profile", ["sprayer-kicked-rail", "quarry-straight-rail"])
def test_the_styles_table_comes_and_what_was_measured_stays(profile, to):
    draft = Folder(PROFILES / profile).read()
    now = in_style(draft, to)
    before, after = tomllib.loads(draft.job), tomllib.loads(now.job)
    assert set(STYLES[to].tables) <= set(after)
    assert after["bracket"]["style"] == to
    for path in MEASURED:
        assert at(after, path) == at(before, path)
    assert ("trace" in after["rail"]) is (STYLES[to].stands_on == "rail")
    assert "# " in now.job, "remarks are kept"
    refusal = redraw(now).refusal
    assert refusal is None or not refusal.what.startswith(("missing", "a seat stands", "only a bracket")), refusal
    assert History(draft).then(now).undone().draft == draft, "one step"


def test_plates_that_were_tilted_on_a_rail_are_not_on_a_tube():
    """Before, the angle stayed, and the seat was refused for a trace that it cannot have."""
    drawn = Folder(PROFILES / "quarry-straight-rail").read()
    draft = edited(drawn, [Set("rail.tilt", "5 deg")], redraw(drawn))
    assert "tilt" in tomllib.loads(draft.job)["rail"]
    now = in_style(draft, "seat")
    assert "tilt" not in tomllib.loads(now.job)["rail"]
    refusal = redraw(now).refusal
    assert refusal is None or "tilt" not in str(refusal)


@pytest.mark.parametrize(
    ("profile", "to"),
    [("bale-trailer-first", "bolted"), ("orchard-sprayer-steering", "split"), ("forwarder-split-mount", "ears")],
)
def test_where_the_machine_has_the_room_it_is_drawn_at_once(profile, to):
    drawn = redraw(in_style(Folder(PROFILES / profile).read(), to))
    assert drawn.refusal is None
    assert drawn.work.job.bracket.style == to


def test_there_and_back_again_the_others_tables_are_gone():
    draft = Folder(PROFILES / "forwarder-split-mount").read()
    now = in_style(in_style(draft, "bolted"), "ears")
    own = {table for entry in STYLES.values() for table in entry.tables}
    assert not own & set(tomllib.loads(now.job))


def test_fit_notes_go_with_the_plates_that_they_speak_of():
    now = in_style(Folder(PROFILES / "bale-trailer-second").read(), "split")
    assert "notes" not in tomllib.loads(now.job).get("revision", {})


def test_a_seat_becomes_ears_whose_trace_is_asked_for():
    now = in_style(Folder(PROFILES / "vineyard-drag-link-seat").read(), "ears")
    assert "front.csv: there is no such file" in str(redraw(now).refusal), "the readings are what is missing"


@pytest.mark.parametrize("to", STYLES)
def test_readings_are_asked_for_before_they_go(to: StyleName):
    draft = Folder(PROFILES / "sprayer-kicked-rail").read()
    words = lets_go(draft, to)
    assert ("front.csv" in words) is (to == "seat")
    assert not lets_go(Draft(draft.job, MappingProxyType({"front.csv": "station,offset\n"})), to)
