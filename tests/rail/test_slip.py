"""Swapped columns and numbers in the other unit: refused with the right hint, and not where all is right."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.rail.fit.trace import fit_trace
from plategen.rail.reading import read_trace
from plategen.rail.trace import told

HEAD = "station,offset\n"
SWAPPED = "1 3/8,0\n1 3/8,1\n1 13/32,2\n1 3/8,3\n1 7/16,4\n"
INCHES = "".join(f"{i},1 {3 + i % 2}/8\n" for i in range(13))
MILLIMETRES = "".join(f"{25 * i},{38 + i % 2}\n" for i in range(13))


def said(text: str, units: Units, near_mm: tuple[float, float] | None = None) -> str:
    """The refusal of a trace, or "" where it is read."""
    try:
        read_trace(text, "t.csv", units, near_mm=near_mm)
    except Refusal as refusal:
        return str(refusal)
    return ""


@pytest.mark.parametrize(
    "rows",
    [
        SWAPPED,
        "".join(reversed(SWAPPED.splitlines(keepends=True))),  # read from the far end
        "1 3/8,0\n1 3/8,1\n1 3/8,2\n",  # a rail in line with the straightedge
        "1,0\n1 1/8,1\n1 3/8,2\n1 7/16,3\n1 5/8,4\n",  # and one that leans away
        "1 3/8,0\n1 7/16,0\n1 3/8,1\n1 13/32,2\n",  # with a station read twice
    ],
)
def test_swapped_columns_are_refused_and_swapped_names_cure_it(rows: str) -> None:
    words = said(HEAD + rows, "in")
    assert "the columns look swapped; `offset,station` in the first line is right" in words
    assert said("offset,station\n" + rows, "in") == ""


def test_the_line_says_what_was_read() -> None:
    assert said(HEAD + SWAPPED, "in") == (
        "t.csv: stations lie between 1 3/8 in (1.375) and 1 7/16 in (1.438) while offsets run on from 0 in to "
        "4 in (4.000): the columns look swapped; `offset,station` in the first line is right"
    )


@given(
    lean=st.floats(-1.5, 1.5), start=st.floats(10.0, 200.0), step=st.floats(5.0, 60.0), seed=st.integers(0, 10_000),
    count=st.integers(4, 30),
)  # fmt: skip
def test_a_trace_in_its_order_is_never_taken_for_a_swapped_one(
    lean: float, start: float, step: float, seed: int, count: int
) -> None:
    off = start + lean * step * np.arange(count) + np.random.default_rng(seed).normal(0.0, 0.5, count)
    rows = "".join(f"{step * i:.3f},{v:.2f}\n" for i, v in enumerate(off))
    assert "swapped" not in said("# units: mm\n" + HEAD + rows, "mm")


def test_numbers_that_make_sense_in_the_other_unit_alone_are_refused() -> None:
    assert said(HEAD + MILLIMETRES, "in") == (
        "t.csv: the trace is 300 in (300.000) long and lies 38 in (38.000) from the straightedge: these look like "
        "millimetres; `# units: mm` as the first line is right for millimetres, and `# units: in` where the numbers do "
        "mean what they say"
    )
    assert "these look like inches; `# units: in` as the first line is right for inches" in said(HEAD + INCHES, "mm")


@pytest.mark.parametrize(("rows", "read_in", "meant"), [(MILLIMETRES, "in", "mm"), (INCHES, "mm", "in")])
def test_either_line_that_the_refusal_names_is_heard(rows: str, read_in: Units, meant: Units) -> None:
    assert said(f"# units: {meant}\n{HEAD}{rows}", read_in) == ""
    assert said(f"# units: {read_in}\n{HEAD}{rows}", read_in) == ""
    assert said(HEAD + rows, meant) == ""
    own = HEAD + "".join(",".join(f"{cell} {meant}" for cell in row.split(",")) + "\n" for row in rows.splitlines())
    assert said(own, read_in) == ""


def test_the_jobs_own_sizes_tell_a_long_trace_in_inches_from_one_in_millimetres() -> None:
    rows = "".join(f"{5 * i},1 3/8\n" for i in range(13))  # 60 in, or 60 mm
    foot = (300.0, 700.0)
    assert said(HEAD + rows, "mm") == ""
    assert "and the bracket stands at station 300.0 mm: these look like inches" in said(HEAD + rows, "mm", foot)
    assert said(HEAD + rows, "mm", (20.0, 50.0)) == said(HEAD + rows, "in", foot) == ""


@pytest.mark.parametrize("foot", [None, (50.8, 279.4), (6.5 * 25.4,) * 2])
@pytest.mark.parametrize(("count", "step"), [(5, 25), (4, 25), (7, 10), (5, 10), (3, 25)])
def test_a_short_trace_in_millimetres_is_known_by_how_far_off_it_lies(
    foot: tuple[float, float] | None, count: int, step: int
) -> None:
    rows = "".join(f"{step * i},{35 + i // 3}\n" for i in range(count))
    assert "these look like millimetres; `# units: mm`" in said(HEAD + rows, "in", foot)


@pytest.mark.parametrize("foot", [None, (50.8, 279.4)])
@pytest.mark.parametrize(("near", "count", "step"), [(8, 4, 10), (13, 5, 10), (18, 7, 10), (18, 12, 20)])
def test_whole_numbers_near_the_straightedge_are_millimetres_too(
    foot: tuple[float, float] | None, near: int, count: int, step: int
) -> None:
    rows = "".join(f"{step * i},{near + i // 3}\n" for i in range(count))
    assert "these look like millimetres; `# units: mm` as the first line is right" in said(HEAD + rows, "in", foot)
    assert "look like" not in said(f"# units: in\n{HEAD}{rows}", "in", foot)
    assert said(HEAD + "".join(f"{i},{near}\n" for i in range(count)), "in") == "", "a straight rail on a whole inch"
    assert said(HEAD + "".join(f"{i},{near} {i + 1}/16\n" for i in range(count)), "in") == ""


CENTIMETRES = "".join(f"{2.5 * i},{3.5 + 0.1 * (i // 3):.1f}\n" for i in range(13))


def test_centimetres_in_a_job_in_millimetres_are_refused_and_their_unit_cures_it() -> None:
    words = said(HEAD + CENTIMETRES, "mm")
    assert "`3.5 cm` in each cell is right for centimetres" in words
    assert "centimetres" in words.partition("these look like ")[2].partition(";")[0]
    rows = (row.split(",") for row in CENTIMETRES.splitlines())
    assert said(HEAD + "".join(f"{a} cm,{b} cm\n" for a, b in rows), "mm") == ""


def asked(text: str, units: Units) -> bool:
    """Whether a trace that is read is asked about for its tenths."""
    return any("tenths" in str(words) for words in told(fit_trace(read_trace(text, "t.csv", units))))


def test_offsets_that_may_be_centimetres_are_asked_about_in_a_job_in_inches() -> None:
    assert asked(HEAD + CENTIMETRES, "in")
    kicked = "".join(f"{2.5 * i},{v}\n" for i, v in enumerate((3.5,) * 7 + (3.9, 4.4, 4.9, 5.4, 5.9, 6.4)))
    assert asked(HEAD + kicked, "in"), "its flat lies on a half"
    assert not asked("# units: in\n" + HEAD + CENTIMETRES, "in")
    assert not asked(HEAD + INCHES, "in")
    assert not asked(HEAD + "".join(f"{i},1.{i % 2}5\n" for i in range(9)), "in"), "read with a caliper"
    assert not asked(HEAD + MILLIMETRES, "mm")
