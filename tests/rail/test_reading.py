"""Trace files as people and spreadsheets write them, and what is refused of them, with file and line."""

import csv
import io
import random
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from plategen.ground.figures import fraction
from plategen.ground.refusal import Refusal
from plategen.rail.reading import MOST_LINES, read_trace, with_second_straightedge
from plategen.rail.trace import Trace
from tests.support.refused import is_one_line, outcome

INCH = 25.4
HEAD = "station,offset\n"
ROWS = "0,1\n1,2\n2,3\n"


def points(text: str, units: str = "in") -> list[complex]:
    return [reading.point for reading in read_trace(text, "t.csv", units).readings]


PLAIN = points(HEAD + ROWS)


def test_a_file_can_say_its_reading_error_and_the_job_says_it_before():
    text = "# units: mm\n# read_error: 0.12 mm\n" + HEAD + ROWS
    assert read_trace(text, "t.csv", "in").read_error_mm == pytest.approx(0.12)
    assert read_trace(text, "t.csv", "in", read_error_mm=0.3).read_error_mm == 0.3
    with pytest.raises(Refusal, match="line 1: '0' is no reading error"):
        read_trace("# read_error: 0\n" + HEAD + ROWS, "t.csv", "in")


@pytest.mark.parametrize(
    "text",
    [
        HEAD + "2,3\n0,1\n1,2\n",
        (HEAD + ROWS).replace("\n", "\r\n"),
        (HEAD + ROWS).replace("\n", "\r"),
        (HEAD + ROWS).replace(",", ";"),
        (HEAD + ROWS).replace(",", "\t"),
        " Station , OFFSET \n 0 , 1 \n 1 , 2 \n 2 , 3 \n",
        "offset,station\n1,0\n2,1\n3,2\n",
        "station,offset,note\n0,1,\n1,2,a note\n2,3\n",
        "note,station,offset\nhi,0,1\n,1,2\n,2,3\n",
        "station,offset,,\n0,1,,\n1,2,,\n,,,\n2,3,,\n",
        '"station","offset"\n"0","1"\n"1","2"\n"2","3"\n',
        HEAD + '0,1"\n1,1 7/8 + 1/8\n2,3\n'.replace("1 7/8 + 1/8", "2 in"),
        HEAD + '0,"1"""\n1,"2"""\n2,3\n',
        "# a note\n\n" + HEAD + "\n0,1\n# another, with a comma\n1,2\n2,3\n",
        "# units: in\n" + HEAD + ROWS,
        "# Units = Inches \n" + HEAD + ROWS,
        HEAD + "0,25.4 mm\n1,2\n25.4mm,3\n".replace("25.4mm", "50.8 mm"),
        "station;offset\n0,0;1,0\n1;2,00\n2,0;3\n",
    ],
)
def test_the_same_readings_in_many_dresses(text: str) -> None:
    assert points(text) == pytest.approx(PLAIN, rel=1e-15)


def test_units_of_the_file_stand_over_the_jobs() -> None:
    rows = "0,1\n100,2\n200,3\n"
    assert points("# units: mm\n" + HEAD + rows, "in") == points(HEAD + rows, "mm") == [1j, 100 + 2j, 200 + 3j]


def test_repeats_stay_apart_and_in_their_order_with_line_and_note() -> None:
    trace = read_trace("station,offset,note\n2,3\n1,2,first\n1,2 1/32,second\n0,1\n", "t.csv", "in", 5.0, 0.3)
    assert [(r.line, r.note) for r in trace.readings] == [(5, ""), (3, "first"), (4, "second"), (2, "")]
    assert (trace.file, trace.plane_mm, trace.read_error_mm, trace.round_corner) == ("t.csv", 5.0, 0.3, False)


@pytest.mark.parametrize(
    ("row", "mark"),
    [
        (("step", ""), "step"), (("Step here", "a doubler"), "step"), (("", "a step here"), "step"),
        (("bead", ""), "bead"), (("spatter", ""), "bead"), (("", "Weld bead, ground off later"), "bead"),
        (("", "on the weld bead (to be ground off)"), "bead"), (("", "spatter"), "bead"),
        (("hole", ""), "hole"), (("", "bolt hole"), "hole"), (("", "over a hole"), "hole"),
        (("edge", ""), "edge"), (("edge of plate", "torn"), "edge"),
        # what is not unmistakable stays a note: ground off already, somewhere else, or an edge of who knows what
        (("", "weld spatter scraped off"), ""), (("", "beside the weld bead"), ""), (("", "no step"), ""),
        (("", "edge of plate"), ""), (("", "1 in before the hole"), ""), (("", "stepped back"), ""), (("", ""), ""),
    ],
)  # fmt: skip
def test_what_is_at_a_reading_is_heard_from_its_mark_or_a_plain_note(row: tuple[str, str], mark: str) -> None:
    reading = read_trace(f'station,mark,offset,note\n0,{row[0]},1,"{row[1]}"\n1,,2\n2,,3\n', "t.csv", "in").readings[0]
    assert (reading.mark, reading.note) == (mark, row[1])
    noted = read_trace(f'note,offset,station\n"{row[1]}",1,0\n,2,1\n,3,2\n', "t.csv", "in").readings[0].mark
    assert noted == ("" if row[0] else mark)


def test_points_round_a_corner_keep_the_order_they_are_written_in() -> None:
    trace = read_trace("u,v\n0,1\n90,1\n90,30\n70,30\n", "t.csv", "mm")
    assert [r.point for r in trace.readings] == [1j, 90 + 1j, 90 + 30j, 70 + 30j]
    assert trace.round_corner


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("", "empty; a first line `station,offset` and the readings below it are right"),
        ("# only a note\n", "empty; a first line `station,offset` and the readings below it are right"),
        (ROWS, "line 1: the columns have no names; the first line must be `station,offset`"),
        ("station,ofset\n" + ROWS, "line 1: 'ofset' is not known as a heading; did you mean offset?"),
        ("station offset\n", "line 1: 'station offset' is not known as a heading; write `station,offset`"),
        ("u,offset\n",
         "line 1: the columns are u, offset; `station,offset`, and `mark` and `note` if wanted, are right"),
        ("u,v,u\n",
         "line 1: the columns are u, v, u; `station,offset`, and `mark` and `note` if wanted, are right"),
        ("station,offset,marks\n", "line 1: 'marks' is not known as a heading; did you mean mark?"),
        ("station,offset,mark\n0,1,dent\n",
         "line 2: 'dent' is no mark; `step`, `bead`, `hole`, `edge` or none is right"),
        ("station,offset,mark\n0,1,bead,5\n",
         "line 2: 4 entries where 3 belong; a decimal comma or a comma in a note goes in quotes"),
        (HEAD, "no readings; read at 3 stations or more"),
        (HEAD + "0,1\n0,2\n1,2\n1,1\n", "readings at 2 stations only; read at 3 stations or more"),
        ("u,v\n0,1\n0,1\n1,3\n", "readings at 2 points only; read at 3 points or more"),
        (HEAD + "0,1\n1,abc\n", "line 3: 'abc' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        (HEAD + "0,\n", "line 2: no length is written there; write for example 1 3/8, 4.125 in or 35 mm"),
        (HEAD + "0,nan\n", "line 2: 'nan' is no length; write for example 1 3/8, 4.125 in or 35 mm"),
        (HEAD + "0,1/0\n", "line 2: '1/0' has 0 under the line; write a fraction like 3/8"),
        (HEAD + "0,1e9\n", "line 2: '1e9' is more than 3900 in off; check the number and its unit"),
        (HEAD + "0\n", "line 2: this line has one number; a station and an offset are right: a row like `1/2,1 3/8`"),
        (HEAD + "0,1,5\n", "line 2: 3 entries where 2 belong; a decimal comma or a comma in a note goes in quotes"),
        (HEAD + '0,"1\n', "line 2: this line cannot be read: a quote mark is open; close it or take it out"),
        ("station;offset\n0;1,250\n", "line 2: 1,250 can mean 1.250 or 1250; write one of these"),
        ("# units: cm\n" + HEAD + ROWS, "line 1: 'cm' is no unit to read in; `# units: in` or `# units: mm` is right"),
        (HEAD + ROWS + "# units: mm\n",
         "line 5: the units are said below readings already; move this line to the top"),
        (HEAD + "0,1\n\x00\x01\n",
         "line 3: not a text file; a table with the columns station and offset is right"),
        ("u,v\n0,0\n10,10\n10,0\n0,10\n",
         "the trace crosses itself after lines 2 and 4; points in their order along the rail are right"),
    ],
)  # fmt: skip
def test_each_slip_is_refused_with_file_and_line(text: str, message: str) -> None:
    with pytest.raises(Refusal) as refused:
        read_trace(text, "t.csv", "in")
    assert str(refused.value) == f"t.csv: {message}"


def test_too_many_lines_are_refused() -> None:
    with pytest.raises(Refusal, match=r"^t\.csv: 1000002 lines are too many; at most 1000000 can be read"):
        read_trace(HEAD + "0,1\n" * (MOST_LINES + 1), "t.csv", "in")


@given(st.lists(st.tuples(st.integers(-400, 400), st.integers(-400, 400)), min_size=3, max_size=30))
def test_fractions_survive_being_written_and_read(marks: list[tuple[int, int]]) -> None:
    text = HEAD + "".join(f"{fraction(s / 32)},{fraction(o / 32)}\n" for s, o in marks)
    along, off = ([mark[i] for mark in marks] for i in (0, 1))
    if len(set(along)) >= 3 and max(along) - min(along) >= max(off) - min(off):  # else they may look swapped
        expected = [complex(s, o) * INCH / 32 for s, o in sorted(marks, key=lambda mark: mark[0])]
        assert points(text) == pytest.approx(expected, rel=1e-14)


@given(st.text(max_size=120) | st.from_regex(r"(station|u)[,;](offset|v)\n([-0-9 /,;.\"#\n]{0,60})", fullmatch=True))
def test_any_text_is_a_trace_or_one_line(text: str) -> None:
    result = outcome(lambda: read_trace(text, "t.csv", "in"))
    assert is_one_line(result) if isinstance(result, Refusal) else isinstance(result, Trace)


@pytest.mark.quiet
def test_a_scanners_file_is_read_about_as_fast_as_a_table_can_be() -> None:
    hand = random.Random(4)
    rows = "".join(f"{i * 0.01:.4f},{hand.gauss(30, 0.2):.4f}\n" for i in range(100_000))
    ours, plain = [], []
    for _ in range(3):
        began = time.process_time()
        read_trace(HEAD + rows, "t.csv", "mm")
        ours.append(time.process_time() - began)
        began = time.process_time()
        sorted((complex(float(a), float(b)) for a, b in csv.reader(io.StringIO(rows))), key=lambda p: p.real)
        plain.append(time.process_time() - began)
    assert min(ours) < 12 * min(plain)


def _leg(text: str) -> Trace:
    return read_trace(HEAD + text, "leg.csv", "mm")


def test_two_straightedges_make_one_trace_round_the_corner() -> None:
    under = _leg("0,10\n50,10\n100,10\n")
    # the second stands square to the first, 30 mm beyond the corner, its stations running on away from the cylinder
    side = _leg("0,20\n40,20\n80,20\n")
    trace = with_second_straightedge(under, side, 130 + 20j, 1j)
    assert [r.point for r in trace.readings] == pytest.approx(
        [10j, 50 + 10j, 100 + 10j, 110 + 20j, 110 + 60j, 110 + 100j]
    )
    assert [r.note for r in trace.readings] == ["", "", "", "leg.csv", "leg.csv", "leg.csv"]
    assert trace.round_corner


def test_the_second_straightedge_may_come_first_along_the_rail() -> None:
    under = _leg("0,10\n50,10\n100,10\n")
    side = _leg("0,20\n40,20\n80,20\n")
    # stations run back down towards the first straightedge, whose beginning they meet
    trace = with_second_straightedge(under, side, -40 + 100j, -1j)
    assert [r.point for r in trace.readings] == pytest.approx(
        [-20 + 100j, -20 + 60j, -20 + 20j, 10j, 50 + 10j, 100 + 10j]
    )


def test_two_straightedges_whose_readings_cross_are_refused() -> None:
    under = _leg("0,10\n50,10\n100,10\n")
    with pytest.raises(Refusal, match=r"^leg\.csv with leg\.csv: the trace crosses itself"):
        with_second_straightedge(under, _leg("0,0\n40,0\n80,0\n"), 60 - 20j, 1j)
