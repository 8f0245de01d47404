"""The fit in plain characters: as wide as it may be, every reading in its place, and what lies off is to be seen."""

import pytest

from plategen.ground.show import Show
from plategen.rail.fit import fit_trace
from plategen.rail.reading import read_trace
from plategen.rail.trace import FittedTrace
from plategen.tell.plot import EDGE_ROWS, GUTTER, LINES, OFF_ROWS, PLAIN, Signs, plot

SHOW = Show("mm")
OFFSETS = [40 + max(0, i - 6) * 3 + (0.5, -0.5, 0.0)[i % 3] for i in range(13)]


def fitted(offsets: list[float]) -> FittedTrace:
    rows = "".join(f"{25 * i},{v}\n" for i, v in enumerate(offsets))
    return fit_trace(read_trace("station,offset\n" + rows, "t.csv", "mm"))


def picture(offsets: list[float], columns: int = 80, signs: Signs = LINES) -> tuple[list[str], list[str], list[str]]:
    """The edge's rows, the residuals' rows, and the rest; the scales beside them left off."""
    lines = plot(fitted(offsets), SHOW, columns, signs)
    ruler = [lines[EDGE_ROWS], lines[EDGE_ROWS + 1], lines[-1]]
    drawn = [line[GUTTER:] for line in lines]
    return drawn[:EDGE_ROWS], drawn[EDGE_ROWS + 2 : EDGE_ROWS + 2 + OFF_ROWS], ruler


@pytest.mark.parametrize("columns", [20, 80, 133, 400])
@pytest.mark.parametrize("signs", [LINES, PLAIN])
def test_it_is_as_wide_as_the_terminal_and_drawn_with_its_signs_alone(columns: int, signs: Signs) -> None:
    edge, off, ruler = picture(OFFSETS, columns, signs)
    assert max(map(len, [*edge, *off])) == min(max(columns, 48), 160) - GUTTER == len(ruler[0]) - GUTTER
    assert set("".join([*edge, *off])) <= set(signs.all) | {" ", signs.reading}
    assert signs.all.isascii() == (signs is PLAIN)


def test_readings_stand_over_their_stations_in_both_parts() -> None:
    edge, off, (line, numbers, _) = picture(OFFSETS, GUTTER + 97)
    for part in (edge, off):
        assert {i for row in part for i, sign in enumerate(row) if sign == "o"} == {8 * i for i in range(13)}
    assert numbers.split() == ["station", "0", "50", "100", "150", "200", "250", "300"]
    assert (line[GUTTER + 48], numbers[GUTTER + 47 : GUTTER + 50]) == (LINES.tick, "150")


def test_a_rail_that_goes_away_goes_up() -> None:
    row_of = {row.rindex("o"): i for i, row in enumerate(picture(OFFSETS)[0]) if "o" in row}
    assert row_of[max(row_of)] < row_of[min(row_of)]


def test_a_reading_left_out_is_crossed_and_what_is_far_off_is_an_arrow() -> None:
    edge, off, (*_, legend) = picture([v + 40.0 * (i == 4) for i, v in enumerate(OFFSETS)])
    assert "X left out" in legend
    assert LINES.over in edge[0]
    assert LINES.over in off[0]


def test_a_step_stands_upright() -> None:
    edge, _, _ = picture([40.0 + 12.0 * (i > 6) + (0.3, -0.3)[i % 2] for i in range(13)])
    assert all(LINES.upright in row for row in edge[3:-3])


def test_what_is_open_and_where_to_read_stand_under_their_stations() -> None:
    stepped = fitted([40.0 + 12.0 * (i > 6) + (0.3, -0.3)[i % 2] for i in range(13)])
    *_, line, legend = plot(stepped, SHOW, GUTTER + 97)
    assert line[:GUTTER] == "     open "
    asked = GUTTER + 48 + 4  # half way over the step
    assert line[asked] == "?"
    assert set(line[asked - 4 : asked + 5]) == {"~", "?"}
    assert not line[GUTTER : asked - 4].strip()
    assert "~ open, ? read here" in legend
    flat = fitted([40.0 + (0.3, -0.3)[i % 2] for i in range(13)])
    assert not any("open" in line for line in plot(flat, SHOW, 80))


def test_a_trace_round_a_corner_is_drawn_as_it_turns_back() -> None:
    u = [*(10.0 * i for i in range(12)), 115.0, 114.0, 113.0, 112.0, 111.0]
    v = [*(30.0 + (0.2, -0.2)[i % 2] for i in range(12)), 40.0, 55.0, 70.0, 85.0, 100.0]
    rows = "".join(f"{a},{b}\n" for a, b in zip(u, v, strict=True))
    lines = plot(fit_trace(read_trace("u,v\n" + rows, "t.csv", "mm")), SHOW, 80)
    assert lines[EDGE_ROWS + 1].split()[0] == "station"
    assert "along the rail" in lines[-1]
    assert sum(LINES.upright in line[GUTTER:] for line in lines[:EDGE_ROWS]) > 4
