"""A trace file as a table: rows change, come and go, and every other line stays as it is written."""

import pytest

from plategen.ground.refusal import Refusal
from plategen.page.trace_edit import (
    EMPTY,
    Moved,
    add_row,
    clear_rows,
    read_table,
    remove_row,
    set_row,
)
from plategen.page.trace_rows import with_rows
from plategen.rail.reading import read_trace
from plategen.rail.trace_columns import units_in_file

TEXT = "# taken on a wet day\nstation,offset,note\n0,1 3/8\n\n1,1 7/16,by hand\n# a remark between\n2,1 1/2\n"


def test_rows_are_shown_as_written_with_their_lines():
    table = read_table(TEXT)
    assert table.names == ("station", "offset")
    assert [(r.line, r.first, r.second, r.note) for r in table.rows] == [
        (3, "0", "1 3/8", ""),
        (5, "1", "1 7/16", "by hand"),
        (7, "2", "1 1/2", ""),
    ]


def test_one_row_changes_alone_and_notes_are_quoted():
    new = set_row(TEXT, 5, "1", "1 15/32", "by hand, twice")
    assert new.splitlines()[4] == '1,1 15/32,"by hand, twice"'
    assert [a for a, b in zip(TEXT.splitlines(), new.splitlines(), strict=True) if a != b] == ["1,1 7/16,by hand"]
    assert read_trace(new, "t.csv", "in").readings[1].note == "by hand, twice"


def test_a_second_reading_stands_below_the_first():
    new = add_row(TEXT, "1", "1 1/2", "read again", below=5)
    assert new.splitlines()[4:7] == ["1,1 7/16,by hand", "1,1 1/2,read again", "# a remark between"]


def test_rows_come_at_the_end_even_without_a_last_line_ending():
    assert add_row(TEXT.rstrip("\n"), "3", "1 5/8").splitlines()[-2:] == ["2,1 1/2", "3,1 5/8,"]
    assert add_row("", "0", "1") == EMPTY + "0,1,\n"


def test_the_files_own_line_endings_and_separator_are_kept():
    text = "u;v\r\n0;1\r\n1;2\r\n2;3\r\n"
    new = set_row(add_row(text, "3", "4"), 3, "1", "2,5", "")
    assert new == "u;v\r\n0;1\r\n1;2,5\r\n2;3\r\n3;4\r\n"


def test_a_mark_stays_when_its_reading_is_typed_anew():
    text = "station,offset,mark,note\n0,1,edge,\n1,2,bead,\n2,3,,\n"
    new = remove_row(add_row(set_row(text, 3, "1", "2 1/8", "ground later"), "1", "2", "again", below=3), 5)
    assert new == "station,offset,mark,note\n0,1,edge,\n1,2 1/8,bead,ground later\n1,2,,again\n"


def test_clearing_keeps_the_notes_at_the_top():
    assert clear_rows(TEXT) == "# taken on a wet day\nstation,offset,note\n\n# a remark between\n"
    assert read_table(clear_rows(TEXT)).rows == ()


def test_a_row_that_is_another_by_now_is_not_touched():
    with pytest.raises(Moved):
        set_row(TEXT, 5, "1", "2", "", was=("1", "1 3/8", ""))
    with pytest.raises(Moved):
        remove_row(TEXT, 4)


@pytest.mark.parametrize("cell", ["1\n2,3", "1\r", "\x00", "1\u2028", "x" * 200])
def test_a_cell_cannot_break_out_of_its_row(cell):
    with pytest.raises(Refusal, match="no single line"):
        set_row(TEXT, 3, "0", cell, "")


def test_a_row_is_never_turned_into_a_remark():
    new = set_row(TEXT, 3, "# 0", "1", "")
    assert read_table(new).rows[0].first == "# 0"


@pytest.mark.parametrize(("note", "units"), [("# units: mm", "mm"), ("#units=inches", "in"), ("# units: foo", "in")])
def test_units_said_at_the_top_rule(note, units):
    assert units_in_file(f"{note}\nstation,offset\n", "in") == units


@pytest.mark.parametrize(
    "text",
    [
        TEXT,
        "u;v\r\n0;1\r\n1;2,5\r\n2;3\r\n",
        "# units: mm\n\nnote\tstation\toffset\n, ;\nfirst\t0\t1\n\t1\t2\nlast\t2\t3\n",
        'offset, station, note\n1,0,"a, b"\n  # remark\n1,1\n1,2,\n',
    ],
)
def test_the_table_shows_the_rows_that_the_reader_reads(text: str) -> None:
    readings = read_trace(text, "t.csv", "in").readings
    assert [(row.line, row.note) for row in read_table(text).rows] == [(r.line, r.note) for r in readings]


def test_rows_of_a_spreadsheet_come_at_the_end_and_offsets_alone_at_the_stations_that_follow():
    both = with_rows(TEXT, "in", [("3", "1 17/32", ""), ("4 1/2", "1.55", "over the weld")])
    assert both.startswith(TEXT)
    assert read_table(both).rows[-1].note == "over the weld"
    alone = with_rows(TEXT, "in", [("", f"1 {k}/16", "") for k in range(9, 13)])
    assert [row.first for row in read_table(alone).rows[-4:]] == ["3", "4", "5", "6"]
    assert [row.second for row in read_table(alone).rows[-1:]] == ["1 12/16"]
    begun = with_rows(EMPTY, "mm", [("0", "30", ""), ("25", "31", ""), ("", "32.5", "")])
    assert [row.first for row in read_table(begun).rows] == ["0", "25", "50"]
    with pytest.raises(Refusal, match="no station stands beside 30, and none follows from those above"):
        with_rows(EMPTY, "mm", [("", "30", "")])
