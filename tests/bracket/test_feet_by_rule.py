"""Feet of split tabs and of seats that the job leaves out: they hold, fit, and say which rule chose them."""

import math

import pytest

from plategen.bracket.model import Bracket
from plategen.design.foot import L_SHAPE, LINE, weld_length_mm
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.bracket import Mount
from plategen.job.parse import parse_job
from plategen.make import on_rail
from plategen.rail.surface import Rail
from plategen.work import Work
from tests.support.brackets import corner_job, flat_rail
from tests.support.designs import built, tube_on
from tests.support.style_jobs import assert_sound, carried, clamp, job, pad, seat, split

OFFSET_MM = 110.0


def _left_out(wanted: Job, **given: object) -> Job:
    return wanted.replaced(mount=wanted.mount.replaced(foot_mm=None, **given))


def _split(offset_mm: float = OFFSET_MM, **table: object) -> Job:
    flat = corner_job(False)
    usual = {"built_for_mm": OFFSET_MM, "height_mm": 70.0, "row_spacing_mm": 80.0, "bolt_mm": 20.0}
    mount = Mount(inline_offset_mm=offset_mm, pin_station_mm=220.0)
    bracket = flat.bracket.replaced(style="split")
    return flat.replaced(bracket=bracket, mount=mount, split=split(**{**usual, **table}))


def _on(offset_mm: float = OFFSET_MM) -> Rail:
    return Rail(traces=flat_rail(0.03, 0.0).traces, inline_offset_mm=offset_mm)


def _foot(bracket: Bracket) -> tuple[float, float]:
    notch = next(plate.notch for plate in bracket.plates if plate.notch is not None)
    return notch.start.real, notch.end.real


def _stops(work: Work) -> list[str]:
    return [f.check for f in work.findings if f.verdict == "stop" and not f.opinion and "weld" in f.check]


def _why(bracket: Bracket) -> str:
    (why,) = (why for why in map(str, bracket.chosen) if why.startswith("foot"))
    return why


def test_split_tabs_hold_on_a_chosen_foot() -> None:
    work = on_rail(_split(row_spacing_mm=60.0), _on())
    assert_sound(work.bracket)
    assert _stops(work) == []
    assert "line load" in _why(work.bracket)


def test_the_steel_about_far_bolts_chooses_the_foot() -> None:
    bracket = built(_split(row_spacing_mm=230.0), _on())
    assert "steel about the bolts" in _why(bracket)
    first, last = _foot(bracket)
    # 20 mm bolts: 1.2 d0 = 26.4, AISC J3.4M 26 mm; a toe of 1.5 x 15 beyond that at both ends, on whole millimetres
    assert last - first == pytest.approx(230.0 + 2.0 * (27.0 + 23.0), abs=3.0)


def test_a_split_foot_is_chosen_for_the_whole_reach() -> None:
    table = {"adjust": "slots", "height_mm": 71.0, "row_spacing_mm": 60.0}
    short, far = (built(_split(**table, reach_mm=r), _on()) for r in (1.0, 8.0))
    assert _foot(far)[1] - _foot(far)[0] > _foot(short)[1] - _foot(short)[0]
    assert "whole reach" in _why(far)
    other = built(_split(104.0, **table, reach_mm=8.0), _on(104.0))
    assert _foot(other) == _foot(far)
    assert other.chosen == far.chosen


SEATS = {
    "round": seat(across_mm=110.0),
    "leaning": seat(across_mm=110.0, lean_rad=0.1),
    "pad": seat(across_mm=90.0, pad=pad()),
    "square": seat(tube="square", across_mm=90.0),
    "square pad": seat(tube="square", across_mm=120.0, pad=pad(width_mm=85.0)),
    "clamped": seat(made="forged", hold="clamp", clamp=clamp(thickness_mm=30.0)),
    "across": seat(along="pin", across_mm=120.0),
    "across, pad": seat(along="pin", across_mm=120.0, pad=pad(width_mm=110.0)),
    "across, square": seat(along="pin", tube="square", across_mm=120.0),
    "across, clamped": seat(along="pin", made="forged", hold="clamp", clamp=clamp(thickness_mm=30.0)),
}


@pytest.mark.parametrize("name", SEATS)
def test_a_seats_foot_is_chosen_and_fits(name: str) -> None:
    sizes = {"inline_offset_mm": 150.0, "thickness_mm": 8.0, "eye_width_mm": 20.0}
    # of 8 mm the square tube's wall stops, which no foot of those that a rule may choose mends
    wanted = _left_out(job("seat", seat=SEATS[name], wall_mm=9.0 if name == "square" else 8.0, **sizes))
    work = carried(wanted, tube_on(wanted))
    assert_sound(work.bracket)
    first, last = _foot(work.bracket)
    middle = 150.0
    if "across" in name:
        assert (first + last) / 2 == pytest.approx(middle)
    else:
        assert first < middle < last
        assert first == pytest.approx(round(first))
        assert _stops(work) == []
    why = _why(work.bracket)
    assert "weld's line load" in why or "height from the tube" in why or "nose radius" in why


def test_across_a_round_tube_the_foot_ends_at_45_degrees() -> None:
    wanted = _left_out(job("seat", seat=SEATS["across"], inline_offset_mm=150.0, thickness_mm=8.0))
    bracket = built(wanted)
    assert "cut short by the tube" in _why(bracket)
    assert _foot(bracket)[1] - 150.0 == pytest.approx(math.floor(60.0 * math.sin(math.radians(45.0))))


def test_a_longer_arm_asks_for_a_longer_seat() -> None:
    feet = [_foot(built(_left_out(job("seat", seat=seat(), inline_offset_mm=mm)))) for mm in (90.0, 130.0, 170.0)]
    lengths = [last - first for first, last in feet]
    assert lengths == sorted(lengths)
    assert lengths[0] < lengths[-1]


@pytest.mark.parametrize(
    ("mount", "says"),
    [
        ({"foot_mm": (100.0,)}, "mount.foot: a tube has no corner to go round"),
        ({"foot_mm": None, "foot_rise_mm": 40.0}, "mount.foot_rise: a tube has no corner to rise from"),
        ({"foot_mm": None, "inline_offset_mm": 30.0}, "mount.inline_offset: the pin lies on or within"),
    ],
)
def test_a_seats_foot_that_cannot_be_is_refused(mount: dict, says: str) -> None:
    wanted = job("seat", seat=seat())
    with pytest.raises(Refusal) as refused:
        built(wanted.replaced(mount=wanted.mount.replaced(**mount)))
    assert str(refused.value).startswith(says)


@pytest.mark.parametrize("style", ["forwarder-split-mount", "vineyard-drag-link-seat"])
def test_auto_in_the_file_is_the_same_as_left_out(style: str) -> None:
    from tests.job.test_styles import SEAT, SPLIT

    text = SPLIT if "split" in style else SEAT
    line = next(line for line in text.splitlines() if line.startswith("foot"))
    auto = parse_job(text.replace(line, 'foot = "auto"'))
    assert auto == parse_job(text.replace(line, ""))
    assert auto.mount.foot_mm is None


def test_the_moduli_are_those_of_the_lines() -> None:
    # one line along u; and two legs of half the length each about a corner: J over the farthest end, unit throat
    assert pytest.approx(1.0 / 12.0 / 0.5) == LINE
    legs = [((0.0, 0.0), (0.5, 0.0)), ((0.0, 0.0), (0.0, 0.5))]
    points = [(a[0] + (b[0] - a[0]) * t, a[1] + (b[1] - a[1]) * t) for a, b in legs for t in
              [(k + 0.5) / 2000 for k in range(2000)]]  # fmt: skip
    cu, cv = (sum(p[k] for p in points) / len(points) for k in (0, 1))
    j = sum((u - cu) ** 2 + (v - cv) ** 2 for u, v in points) / len(points)
    far = max(math.hypot(u - cu, v - cv) for u, v in ((0.5, 0.0), (0.0, 0.5), (0.0, 0.0)))
    assert (cu, cv) == (pytest.approx(1 / 8), pytest.approx(1 / 8))
    assert pytest.approx(j / far, abs=0.003) == L_SHAPE
    assert weld_length_mm(corner_job(True), 100.0, L_SHAPE) > weld_length_mm(corner_job(True), 100.0)
