"""The job file: read whole, or refused with one line that says where, what is wrong and what would be right."""

import time
import tomllib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.parse import parse_job, parse_table
from tests.job.examples import RIGHT
from tests.support.refused import is_one_line, outcome

INCH = 25.4
LENGTH_HINT = "write for example 1 3/8, 4.125 in or 35 mm"
UNREADABLE = 'this line cannot be read; write `key = value`, a fraction or a unit in quotes: bore = "1 3/4"'


def test_a_right_job_is_read_in_millimetres() -> None:
    job = parse_job(RIGHT)
    assert job.title == "Sprayer steering cylinder, left rail"
    assert job.rail.wall_mm == 0.25 * INCH
    assert [(t.file, t.plane_mm, t.read_error_mm) for t in job.rail.trace] == [
        ("front.csv", 0.0, None),
        ("rear.csv", 63.5, None),
    ]
    assert job.cylinder.bore_mm == 50.8
    assert job.cylinder.open_length_mm == pytest.approx(23.25 * INCH)
    assert job.cylinder.pressure_mpa == pytest.approx(10.3421, abs=1e-4)
    assert job.mount.foot_mm == (50.8, 279.4)
    assert job.bracket.nose_radius_mm == 31.75
    assert job.bracket.pin_fit == "close"
    assert job.cutting.kerf_mm == pytest.approx(1.524)
    assert (job.rules, job.steering, job.driven) == (None, None, None)


def test_what_may_be_left_out_may_be() -> None:
    text = RIGHT
    for line in ('nose_radius = "1 1/4"\n', "foot = [2, 11]\n", 'side_play = "1/32"\n', "root_gap = 0\n"):
        assert line in text
        text = text.replace(line, "")
    job = parse_job(text.split("[cutting]")[0].replace('toe = "3/4"', 'toe = "auto"'))
    assert (job.bracket.nose_radius_mm, job.bracket.toe_mm, job.mount.foot_mm) == (None, None, None)
    assert (job.bracket.side_play_mm, job.bracket.root_gap_mm) == (INCH / 32, 0.0)
    assert (job.cutting.process, job.cutting.compensate, job.cutting.smallest_hole) == ("plasma", False, 1.0)


def test_a_job_in_millimetres_reads_bare_numbers_so() -> None:
    job = parse_job(
        RIGHT.replace('units = "in"', 'units = "mm"')
        .replace("stroke = 8\n", 'stroke = "8 in"\n')
        .replace('"15 1/4"', "405")
    )
    assert job.cylinder.bore_mm == 2.0
    assert job.cylinder.rod_mm == 1.25
    assert job.cylinder.stroke_mm == 203.2


def test_a_second_straightedge_is_read() -> None:
    second = 'plane = 0\nsecond = {file = "side.csv", at = [12, "1 1/2"], angle = "90 deg"}\n'
    entry = parse_job(RIGHT.replace("plane = 0\n", second, 1)).rail.trace[0].second
    assert entry is not None
    assert (entry.file, entry.at_mm, entry.angle_rad) == ("side.csv", (304.8, 38.1), pytest.approx(1.5707963))


@pytest.mark.parametrize(
    ("right", "wrong", "message"),
    [
        ("bore = 2\n", "boer = 2\n", "cylinder.boer: unknown key; did you mean `bore`?"),
        ("[weld]", "[welds]", "welds: unknown key; did you mean `weld`?"),
        ("rod = ", "rod_diameter = ", "cylinder.rod_diameter: unknown key; did you mean `rod`?"),
        ("pin_station = ", "pin_statoin = ", "mount.pin_statoin: unknown key; did you mean `pin_station`?"),
        ("bore = 2\n", "diameter = 2\n", "cylinder.diameter: unknown key; did you mean `bore`?"),
        ("leg = ", "size = ", "weld.size: unknown key; did you mean `leg`?"),
        ("[weld]\n", '[weld]\nfit_notes = "n.csv"\n',
         "weld.fit_notes: unknown key; did you mean `notes` under [revision]?"),
        ("[weld]\n", "[weld]\npin_station = 2\n",
         "weld.pin_station: unknown key; it belongs under [mount]; known here: leg, electrode, one_side, procedure"),
        (
            "pin = ",
            "zz9 = ",
            "cylinder.base.zz9: unknown key; known here: kind, pin, eye_width, eye_radius, head_width, ball, spacer, "
            "spacer_diameter, fork_width",
        ),
        ("bore = 2\n", "", 'cylinder.bore: missing: inside diameter of the barrel; write bore = "1 3/8"'),
        ('title = "Sprayer steering cylinder, left rail"', "",
         'title: missing: one line that names the job; write title = "..."'),
        ('title = "Sprayer steering cylinder, left rail"', "title = ' '",
         "title: the title is empty; one line that names the job is right"),
        ('units = "in"', "", 'units: missing; units = "in" or units = "mm" is right, before the first table'),
        ('units = "in"', 'units = "cm"',
         'units: "cm" is no unit to work in; units = "in" or units = "mm" is right, before the first table'),
        ("bore = 2\n", "bore = true\n", f"cylinder.bore: true is no length; {LENGTH_HINT}"),
        ("bore = 2\n", 'bore = "big"\n', f"cylinder.bore: 'big' is no length; {LENGTH_HINT}"),
        ("bore = 2\n", 'bore = "1/0"\n', "cylinder.bore: '1/0' has 0 under the line; write a fraction like 3/8"),
        ("bore = 2\n", 'bore = "2 psi"\n', f"cylinder.bore: '2 psi': 'psi' is no unit of length; {LENGTH_HINT}"),
        ("bore = 2\n", "bore = nan\n", f"cylinder.bore: nan is no length; {LENGTH_HINT}"),
        ("bore = 2\n", "bore = -inf\n", f"cylinder.bore: -inf is no length; {LENGTH_HINT}"),
        ("bore = 2\n", "bore = [2]\n", f"cylinder.bore: a list is no length; {LENGTH_HINT}"),
        ("bore = 2\n", "bore = 1979-05-27\n", f"cylinder.bore: a date or time is no length; {LENGTH_HINT}"),
        ("bore = 2\n", "bore = 0\n",
         "cylinder.bore: 0 in is out of range; it must be more than 0"),
        ("bore = 2\n", "bore = -2\n",
         "cylinder.bore: -2 in (-2.000) is out of range; it must be more than 0"),
        ("root_gap = 0\n", "root_gap = -1\n",
         "bracket.root_gap: -1 in (-1.000) is out of range; it must be 0 or more"),
        ("bore = 2\n", "bore = 1\n", "cylinder.rod: the rod must be thinner than the bore; less than 1 in is right"),
        ('body_diameter = "2 3/8"', "body_diameter = 2",
         "cylinder.body_diameter: the barrel must be wider outside than its bore; more than 2 in is right"),
        ("stroke = 8\n", "stroke = 16\n",
         "cylinder.closed_length: closed, pin to pin, must be longer than the stroke; more than 16 in is right"),
        ('eye_radius = "1"', 'eye_radius = "3/8"',
         "cylinder.base.eye_radius: the eye must be larger than its pin; more than 3/8 in, half of `pin`, is right"),
        ('"1500 psi"', "1500",
         "cylinder.pressure: 1500 has no unit; write one, for example 1500 psi, 100 bar or 10 MPa"),
        ("foot = [2, 11]", "foot = [11, 2]",
         "mount.foot: the foot must begin before it ends; the smaller station comes first"),
        ("foot = [2, 11]", "foot = [2, 5, 11]",
         "mount.foot: 3 stations; two are right, or one for a foot that goes round the rail's corner"),
        ("foot = [2, 11]", "foot = 2", 'mount.foot: 2 is no list; write foot = ["1 3/8", "4.125 in"]'),
        ("foot = [2, 11]", 'foot = [2, "far"]', f"mount.foot[2]: 'far' is no length; {LENGTH_HINT}"),
        ('style = "ears"', 'style = "ear"',
         'bracket.style: "ear" is not a choice here; write "ears", "split", "seat" or "bolted"'),
        ("compensate = false", 'compensate = "no"',
         'cutting.compensate: "no" is not true or false; write true or false without quotes'),
        ('kerf = "0.06"\ncompensate = false', "compensate = true",
         "cutting.kerf: compensating needs the width of the cut; give `kerf`"),
        ('steel = "A36"\n[[', "steel = 36\n[[", 'rail.steel: 36 is no text; write it in quotes: steel = "36"'),
        ('plane = "2 1/2"', "plane = 0", "rail.trace: two traces lie in the same plane; give each its own `plane`"),
        ('file = "rear.csv"\n', "",
         'rail.trace[2].file: missing: the trace file, beside the job file; write file = "..."'),
        ("bore = 2\n", "bore = 1/2\n",
         f"line 15, column 9: {UNREADABLE}"),
        ("bore = 2\n", "bore = 100000\n",
         "cylinder.bore: 100000 in (100000.000) is out of range; it must be 3900 in or less"),
        ("[mount]", "[old_mount]\n[mount]", "old_mount: unknown key; did you mean `mount`?"),
        ("[weld]\n", "[[weld]]\n",
         "weld: a list cannot stand there; write [weld] on a line of its own and what belongs to it below"),
        ("bore = 2\n", "bore = 2\nbore = 2\n",
         "line 16, column 9: this key or table stands there twice; give each once"),
        ("bore = 2\n", "bore = " + "9" * 700 + "\n",
         f"cylinder.bore: a number beyond reason is no length; {LENGTH_HINT}"),
        ("bore = 2\n", "bore = 2 # " + "x" * 1000 + "\n",
         "line 15: this line is too long; one key and its value to a line"),
    ],
)  # fmt: skip
def test_each_slip_is_refused_in_its_own_line(right: str, wrong: str, message: str) -> None:
    assert RIGHT.count(right) >= 1
    with pytest.raises(Refusal) as refused:
        parse_job(RIGHT.replace(right, wrong, 1))
    assert str(refused.value) == f"job.toml: {message}"


@pytest.mark.parametrize("trace", ["", "trace = []\n"])
def test_a_rail_without_a_trace_is_refused(trace: str) -> None:
    head, tail = RIGHT.split("[[rail.trace]]", 1)[0], "[cylinder]" + RIGHT.split("[cylinder]", 1)[1]
    with pytest.raises(Refusal, match=r"^job\.toml: rail\.trace: (missing|no trace of the rail)"):
        parse_job(head + trace + tail)


@pytest.mark.parametrize(
    "text",
    [
        "a = " + "[" * 900,
        ".".join("a" * 100_000) + " = 1",
        "[" + ".".join("a" * 400) + "]",
        "\n".join(f"b{i}." + ".".join("a" * 300) + " = 1" for i in range(1500)),
        "a = " + "9" * 900,
        "a = 0000-00-00",
        "\0\1\2",
        '"""' * 300,
    ],
)
def test_a_file_made_to_choke_the_parser_is_refused_at_once(text: str) -> None:
    began = time.perf_counter()
    refusal = outcome(lambda: parse_job(text))
    assert isinstance(refusal, Refusal)
    assert is_one_line(refusal)
    assert time.perf_counter() - began < 2.0


LEAVES = (
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12) | st.just("auto") | st.just("1 3/8")
)


def _nested(inner: st.SearchStrategy[object]) -> st.SearchStrategy[object]:
    return st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)


VALUES = LEAVES | _nested(LEAVES) | _nested(LEAVES | _nested(LEAVES))


def _places(table: dict[str, object], path: tuple[str, ...] = ()) -> list[tuple[str, ...]]:
    found = []
    for key, value in table.items():
        found.append((*path, key))
        if isinstance(value, dict):
            found.extend(_places(value, (*path, key)))
    return found


@given(st.data())
def test_any_values_anywhere_give_a_job_or_one_line(data: st.DataObject) -> None:
    document = tomllib.loads(RIGHT)
    for _ in range(data.draw(st.integers(1, 3))):
        path = data.draw(st.sampled_from(_places(document)))
        table = document
        for key in path[:-1]:
            table = table[key]
        if data.draw(st.booleans()):
            table[path[-1]] = data.draw(VALUES)
        else:
            table[data.draw(st.text(max_size=300))] = data.draw(VALUES)
    result = outcome(lambda: parse_table(Job, document, "in"))
    assert is_one_line(result) if isinstance(result, Refusal) else isinstance(result, Job)


@pytest.mark.parametrize("sign", ["a", "Ā", "\x1f", "😀"])
def test_a_long_foolish_key_is_named_in_a_line_to_read(sign: str) -> None:
    document = tomllib.loads(RIGHT)
    document["cylinder"]["base"][sign * 300] = 1
    refusal = outcome(lambda: parse_table(Job, document, "in"))
    assert isinstance(refusal, Refusal)
    assert is_one_line(refusal)
    assert "unknown key" in str(refusal)


@given(st.integers(0, len(RIGHT)), st.integers(0, 40), st.text(max_size=20))
def test_any_slip_of_the_keyboard_gives_a_job_or_one_line(at: int, removed: int, typed: str) -> None:
    result = outcome(lambda: parse_job(RIGHT[:at] + typed + RIGHT[at + removed :]))
    assert is_one_line(result) if isinstance(result, Refusal) else isinstance(result, Job)


def test_a_limit_that_another_key_sets_is_told_in_the_jobs_units() -> None:
    text = RIGHT.replace('units = "in"', 'units = "mm"').replace('"1 1/4"', '"2.5"')
    with pytest.raises(Refusal, match=r"cylinder\.rod: .*; less than 2\.0 mm is right$"):
        parse_job(text.replace("rod = ", "rod = 3 # ", 1))
