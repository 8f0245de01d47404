"""Changes to a job file's text: what was meant changes, and not a sign more."""

import difflib
import tomllib
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from plategen.delivery.starter import starter_text
from plategen.ground.refusal import Refusal
from plategen.job.toml_edit import add_table, held_at, path_of, path_text, remove, set_value, value_of
from plategen.page.form import all_inputs, job_form

STARTER = starter_text("job.toml", "in")
PROFILES = Path(__file__).parents[2] / "profiles"
ORCHARD = (PROFILES / "orchard-sprayer-steering" / "job.toml").read_text("utf-8")


def changed_lines(old: str, new: str) -> list[str]:
    told = difflib.unified_diff(old.splitlines(), new.splitlines(), lineterm="", n=0)
    return [line for line in told if line[:1] in "+-" and line[:3] not in ("+++", "---")]


@pytest.mark.parametrize(
    ("place", "typed", "line"),
    [
        ("cylinder.bore", "2 1/2", 'bore = "2 1/2"'),
        ("cylinder.base.pin", "1.25", "pin = 1.25"),
        ("mount.inline_offset", "35 mm", 'inline_offset = "35 mm"'),
    ],
)
def test_a_value_is_changed_on_its_own_line_and_its_remark_stays(place, typed, line):
    new = set_value(STARTER, path_of(place), value_of(typed))
    gone, come = changed_lines(STARTER, new)
    assert come.startswith(f"+{line}")
    assert come.partition("#")[2] == gone.partition("#")[2], "the remark behind it"


def test_a_key_that_was_left_out_comes_into_its_table():
    new = set_value(STARTER, path_of("bracket.nose_radius"), value_of("1 1/2"))
    assert changed_lines(STARTER, new) == ['+nose_radius = "1 1/2"']
    assert tomllib.loads(new)["bracket"]["nose_radius"] == "1 1/2"


def test_numbers_within_lists_and_inline_tables_change_alone():
    new = set_value(ORCHARD, path_of("steering.stops.pad.width"), value_of("2 1/4"))
    assert len(changed_lines(ORCHARD, new)) == 2
    new = set_value(ORCHARD, path_of("steering.lever[1].balls.drag[1]"), value_of("21"))
    assert tomllib.loads(new)["steering"]["lever"][1]["balls"]["drag"] == [0, 21, 16]
    assert len(changed_lines(ORCHARD, new)) == 2


def test_tables_come_and_go():
    more = add_table(STARTER, path_of("rail.trace"), listed=True, content={"file": "rear.csv"})
    assert [t["file"] for t in tomllib.loads(more)["rail"]["trace"]] == ["front.csv", "rear.csv"]
    less = remove(more, path_of("rail.trace[1]"))
    assert tomllib.loads(less) == tomllib.loads(STARTER)
    assert "trace" not in tomllib.loads(remove(STARTER, path_of("rail.trace[0]")))["rail"]
    seat = add_table(STARTER, path_of("seat"), listed=False)
    assert tomllib.loads(seat)["seat"] == {}
    assert [line for line in STARTER.splitlines() if line.startswith("#")] == [
        line for line in seat.splitlines() if line.startswith("#")
    ]


PLACES = [i.path for i in all_inputs(job_form(tomllib.loads(ORCHARD), "in")) if i.kind == "quantity" and i.text]


@settings(max_examples=40, deadline=None)
@given(st.sampled_from(PLACES), st.sampled_from(["1 3/8", "-7", "4.125", "35 mm", "0"]))
def test_no_other_value_changes_wherever_one_is_set(place, typed):
    path = path_of(place)
    new = tomllib.loads(set_value(ORCHARD, path, value_of(typed)))
    expected = tomllib.loads(ORCHARD)
    table = expected
    for step in path[:-1]:
        table = table[step]
    table[path[-1]] = value_of(typed)
    assert new == expected


@pytest.mark.parametrize("text", ["", "a..b", "a[", "a.[0]", "a\nb", "[0]", "a" * 400, "a[99999]", ".a", "__proto__["])
def test_what_is_no_place_is_refused(text):
    with pytest.raises(Refusal, match="no such place"):
        path_of(text)


@pytest.mark.parametrize("text", ["rail.trace[7].plane", "cylinder.bore.x", "title[0]"])
def test_places_that_are_not_there_are_refused(text):
    with pytest.raises(Refusal, match=r"no such place|cannot be changed from here"):
        set_value(STARTER, path_of(text), 1)


@given(st.lists(st.one_of(st.from_regex(r"[a-z_]{1,8}", fullmatch=True), st.integers(0, 99)), min_size=1, max_size=6))
def test_places_are_read_back_as_written(steps):
    place = ("job", *steps)
    assert path_of(path_text(place)) == place


def test_what_is_typed_keeps_its_form():
    assert [value_of(t) for t in ("2", "2.50", "-1", "007", "1e3", "1 3/8", "nan", "0x10", "1_000")] == [
        2, 2.5, -1, "007", "1e3", "1 3/8", "nan", "0x10", "1_000",
    ]  # fmt: skip


def test_a_value_that_stands_on_a_line_is_written_there_and_no_other_line_changes():
    """Tables that lie apart stay where they are too, which reading the text with its remarks puts together."""
    for file in sorted(PROFILES.glob("*/job.toml")):
        text = file.read_text("utf-8")
        fields = [each for each in all_inputs(job_form(tomllib.loads(text), "in")) if each.text]
        for each in fields[::25]:
            place = path_of(each.path)
            changed = set_value(text, place, "3 1/8 in")
            assert held_at(tomllib.loads(changed), place) == "3 1/8 in"
            assert len(changed_lines(text, changed)) == 2, (file.parent.name, each.path)
