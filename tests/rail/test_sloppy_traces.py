"""Trace files as people make them: read right, or refused with the hint that sets them right; none read wrongly.

Each file tells the same five readings, 0 to 4 in along the straightedge and 1 3/8 to 1 5/8 off it, in its own way.
"""

from pathlib import Path

import pytest

from plategen.ground.refusal import Refusal
from plategen.job.load import MOST_TRACE_BYTES, read_text
from plategen.rail.reading import read_trace

RIGHT = ((0.0, 1.375), (1.0, 1.5), (2.0, 1.5), (3.0, 1.5625), (4.0, 1.625))
PLAIN = "station,offset\n0,1 3/8\n1,1 1/2\n2,1 1/2\n3,1 9/16\n4,1 5/8\n"
DECIMAL = "station,offset\n0,1.375\n1,1.5\n2,1.5\n3,1.5625\n4,1.625\n"

FOUR_PLACES = "station,offset\n0,1.3750\n1,1.5000\n2,1.5000\n3,1.5625\n4,1.6250\n"

READ = {
    "typed fractions": PLAIN,
    "decimals": DECIMAL,
    "fractions with a hyphen": PLAIN.replace("1 3/8", "1-3/8").replace("1 9/16", "1-9/16"),
    "a byte order mark": "\ufeff" + PLAIN,
    "semicolons": PLAIN.replace(",", ";"),
    "tabs": PLAIN.replace(",", "\t"),
    "semicolons and decimal commas": FOUR_PLACES.replace(",", ";").replace(".", ","),
    "line ends of another system": PLAIN.replace("\n", "\r\n"),
    "quotes about every cell": "\n".join(",".join(f'"{c}"' for c in row.split(",")) for row in PLAIN.splitlines()),
    "inch signs": PLAIN.replace("3/8\n", '3/8"\n').replace("5/8\n", '5/8"\n'),
    "units in the cells": PLAIN.replace("3/8\n", "3/8 in\n"),
    "blanks about the cells": PLAIN.replace(",", " , "),
    "empty lines": PLAIN.replace("\n", "\n\n"),
    "notes after a hash": "# left rail, Tuesday\n" + PLAIN,
    "a capital head": PLAIN.replace("station,offset", "Station,Offset"),
    "swapped columns, named so": "offset,station\n1 3/8,0\n1 1/2,1\n1 1/2,2\n1 9/16,3\n1 5/8,4\n",
    "a column of remarks": "station,offset,note\n0,1 3/8,\n1,1 1/2,\n2,1 1/2,paint\n3,1 9/16,\n4,1 5/8,\n",
    "no line end at the end": PLAIN.rstrip("\n"),
}

REFUSED = {
    "a date for a fraction": (PLAIN.replace("1 3/8", "03-Aug"), "3/8"),
    "a date in figures": (PLAIN.replace("1 3/8", "2024-03-08"), "set the column to text and write 3/8"),
    "a German date": (PLAIN.replace("1 3/8", "8. Mrz"), "set the column to text and write 3/8"),
    "a date with its year": (PLAIN.replace("1 3/8", "05-Aug-2024"), "5/8"),
    "an empty cell": (PLAIN.replace("1 9/16", ""), "no length"),
    "quotes with nothing in them": (PLAIN.replace("1 9/16", "''"), "no length"),
    "a word for a number": (PLAIN.replace("1 9/16", "abt 1 1/2"), "line 5"),
    "a fraction that is none": (PLAIN.replace("1 9/16", "1 9/0"), "line 5"),
    "a misspelt head": (PLAIN.replace("offset", "ofset"), "did you mean offset"),
    "a cell too many": (PLAIN.replace("1 9/16", "1 9/16,7"), "line 5"),
    "decimal commas that may part thousands": (DECIMAL.replace(",", ";").replace(".", ","), "can mean 1.375 or 1375"),
    "decimal commas between commas": (DECIMAL.replace(".", ","), "line "),
    "columns swapped under their heads": ("station,offset\n12,0\n12,1\n12,2\n12,3\n12,4\n", "swapped"),
    "columns swapped, both in even steps": ("station,offset\n1 3/8,0\n1 1/2,6\n1 5/8,12\n", "swapped"),
    "millimetres by mistake, few": ("station,offset\n0,35\n50,38\n100,40\n150,41\n", "# units: mm"),
    "millimetres by mistake, said of offsets alone": (
        "station,offset\n0,35 mm\n25,38 mm\n50,38 mm\n75,40 mm\n125,41 mm\n",
        "# units: mm",
    ),
    "a formula that failed": (PLAIN.replace("3,1 9/16", "#N/A,1 9/16"), "line 5: '#N/A' is no length"),
    "a date with a comma": (PLAIN.replace("1 3/8", '"March 8, 2024"'), "set the column to text and write 3/8"),
    "millimetres by mistake": ("station,offset\n0,35\n25,38\n51,38\n76,40\n102,41\n", "mm"),
    "nothing at all": ("", "empty"),
}


def test_there_are_as_many_ways_as_were_promised() -> None:
    assert len(READ) + len(REFUSED) >= 26


@pytest.mark.parametrize("how", READ)
def test_it_is_read_right(how: str, tmp_path: Path) -> None:
    path = tmp_path / "front.csv"
    path.write_bytes(READ[how].encode())
    trace = read_trace(read_text(path, MOST_TRACE_BYTES, "front.csv"), "front.csv", "in")
    read = [(r.point.real / 25.4, r.point.imag / 25.4) for r in trace.readings]
    assert sorted(read) == [pytest.approx(pair) for pair in RIGHT]


@pytest.mark.parametrize("how", REFUSED)
def test_it_is_refused_with_the_hint(how: str) -> None:
    text, hint = REFUSED[how]
    with pytest.raises(Refusal) as refused:
        read_trace(text, "front.csv", "in")
    assert hint in str(refused.value)
    assert "\n" not in str(refused.value)


MM_REFUSED = {
    "inches by mistake": (PLAIN, "# units: in"),
    "inch signs on the offsets alone": (
        "station,offset\n" + "".join(f'{at},{off}"\n' for at, off in RIGHT),
        "# units: in",
    ),
    "a decimal that a spreadsheet made a date": (
        "station;offset\n0;35\n25;03. Aug\n50;38,5\n75;40\n",
        "spreadsheets make of 3.8 or 3/8",
    ),
    "a dot between thousands": ("station;offset\n0;35\n25;38\n50;38,5\n1.000,5;40\n", "write 1000.5"),
}
"""The same of a job in millimetres."""


@pytest.mark.parametrize("how", MM_REFUSED)
def test_it_is_refused_with_the_hint_in_millimetres(how: str) -> None:
    text, hint = MM_REFUSED[how]
    with pytest.raises(Refusal) as refused:
        read_trace(text, "front.csv", "mm")
    assert hint in str(refused.value)
