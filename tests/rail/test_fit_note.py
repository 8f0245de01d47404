"""Fit notes: what they say of a trace, which are doubted, and what each way of holding a plate can tell."""

import math
from dataclasses import replace

import pytest

from plategen.ground.refusal import Refusal
from plategen.rail.note.correction import Correction, corrected, corrections
from plategen.rail.note.gap import Gap, HeldUp
from plategen.rail.trace import Reading, Trace

IN = 25.4
FOOT = (2 * IN, 11 * IN)
STATIONS = [FOOT[0] + (FOOT[1] - FOOT[0]) * i / 5 for i in range(6)]
PIN = complex(6.5 * IN, -57.15)
PLACES = {"ear_near": HeldUp(-4.76, PIN), "ear_far": HeldUp(38.0, PIN)}


def notes(gaps: list[float], plate: str = "ear_near", round: int = 1) -> list[Gap]:
    return [Gap(plate=plate, station_mm=s, gap_mm=g, round=round) for s, g in zip(STATIONS, gaps, strict=True)]


def straight(plane_mm: float = 0.0) -> Trace:
    return Trace(
        file="rail.csv", plane_mm=plane_mm, readings=tuple(Reading(complex(i * IN, 30.0), i + 2) for i in range(13))
    )


def test_no_notes_change_nothing() -> None:
    assert corrected((straight(),), ()) == (straight(),)


def test_one_plate_out_by_a_tilt() -> None:
    (found,) = corrections((straight(),), notes([1.0, 2.0, 3.0, 4.0, 5.0, 6.0]), PLACES)
    (moved,) = corrected((straight(),), (found,))
    assert [r.point.real for r in moved.readings] == pytest.approx([r.point.real for r in straight().readings])
    for reading in moved.readings:
        at = (reading.point.real - STATIONS[0]) / (STATIONS[1] - STATIONS[0])
        assert reading.point.imag == pytest.approx(30.0 + 1.0 + at, abs=1e-4)


def test_a_kick_misread() -> None:
    said = [0.1, -0.1, 0.0, 3.0, 6.1, 8.9]
    (found,) = corrections((straight(),), notes(said), PLACES)
    assert [found.at(station) for station in STATIONS] == pytest.approx(said, abs=0.5)
    assert found.doubtful == ()


@pytest.mark.parametrize("by", [IN, -IN, IN / 2])
@pytest.mark.parametrize("wild", range(6))
def test_a_wild_note_is_left_out_and_named(wild: int, by: float) -> None:
    gaps = [2.2, 1.8, 2.1, 2.0, 1.9, 2.1]
    gaps[wild] += by
    (found,) = corrections((straight(),), notes(gaps), PLACES)
    assert [gap.station_mm for gap in found.doubtful] == [STATIONS[wild]]
    assert found.at(STATIONS[wild]) == pytest.approx(2.0, abs=0.4)


def test_a_second_round_adds_to_the_first() -> None:
    (found,) = corrections((straight(),), notes([4.0] * 6) + notes([1.0] * 6, round=2), PLACES)
    # round 1 says 4, round 2 says 4 + 1: read alike well, they are averaged
    assert found.at(150.0) == pytest.approx(4.5, abs=1e-3)


def test_one_trace_and_two_plates_become_two_traces() -> None:
    found = corrections((straight(),), notes([0.0] * 6) + notes([3.0] * 6, "ear_far"), PLACES)
    near, far = corrected((straight(),), found)
    assert (near.plane_mm, far.plane_mm) == (-4.76, 38.0)
    assert [r.point.imag for r in near.readings] == pytest.approx([30.0] * 13, abs=1e-4)
    assert [r.point.imag for r in far.readings] == pytest.approx([33.0] * 13, abs=1e-4)


def test_traces_move_so_that_the_plates_between_and_beyond_them_fit() -> None:
    traces = straight(-10.0), straight(60.0)
    found = corrections(traces, notes([1.0] * 6) + notes([3.0] * 6, "ear_far"), PLACES)
    low, high = corrected(traces, found)
    a, b = low.readings[0].point.imag, high.readings[0].point.imag
    for w, gap in ((-4.76, 1.0), (38.0, 3.0)):
        assert a + (b - a) * (w + 10.0) / 70.0 == pytest.approx(30.0 + gap, abs=1e-4)


def test_a_note_moves_the_rail_square_to_it() -> None:
    lean = math.tan(math.radians(30))
    trace = Trace(
        file="t.csv", plane_mm=0.0, readings=tuple(Reading(complex(i * IN, i * IN * lean), i) for i in range(9))
    )
    found = Correction(plate="ear", w_mm=0.0, stations_mm=(0.0, 200.0), moved_mm=(2.0, 2.0), doubtful=(), left_mm=0.0)
    (moved,) = corrected((trace,), (found,))
    for before, after in zip(trace.readings, moved.readings, strict=True):
        assert (after.point - before.point).imag == pytest.approx(2.0 / math.cos(math.radians(30)), abs=1e-6)


def test_a_plate_that_is_not_there() -> None:
    with pytest.raises(Refusal, match='there is no plate "left ear" on this bracket; ear near or ear far is right'):
        corrections((straight(),), notes([0.0] * 6, "left ear"), PLACES)


def test_notes_at_one_station_are_refused() -> None:
    with pytest.raises(Refusal, match="at two stations or more"):
        corrections((straight(),), notes([0.0] * 6)[:1], PLACES)


def home(gaps: list[float], pin_off_mm: float | None = None, round: int = 1) -> list[Gap]:
    return [replace(gap, held="home", pin_off_mm=pin_off_mm) for gap in notes(gaps, round=round)]


def test_pushed_home_the_pin_hole_tells_the_offset() -> None:
    gaps = [0.0, 0.1, 0.0, 2.9, 6.1, 9.0]
    (by_pin,) = corrections((straight(),), notes([gap - 4.0 for gap in gaps]), PLACES)
    (pushed,) = corrections((straight(),), home(gaps, -4.0), PLACES)
    assert [pushed.at(s) for s in STATIONS] == pytest.approx([by_pin.at(s) for s in STATIONS], abs=0.1)
    assert pushed.pin_known


def test_pushed_home_and_the_pin_not_measured_only_the_shape_is_told() -> None:
    (pushed,) = corrections((straight(),), home([0.0, 0.1, 0.0, 2.9, 6.1, 9.0]), PLACES)
    assert not pushed.pin_known
    assert pushed.at(STATIONS[0]) == pytest.approx(0.0, abs=0.3)


@pytest.mark.parametrize(
    ("said", "why"),
    [
        (home([0.0, 1.0, -1.0, 1.0, 1.0, 0.0]), "a gap of -1.0 mm, and the plate was pushed home"),
        ([replace(gap, pin_off_mm=2.0) for gap in notes([1.0] * 6)], "held by the pin it has no pin_off"),
        (
            home([1.0] * 6)[:3] + notes([1.0] * 6)[3:],
            "in round 1 some of ear near's notes say pin, others home; one way a round",
        ),
        (home([1.0] * 6, 1.0)[:3] + home([1.0] * 6, 2.0)[3:], "in round 1 ear near's notes give different pin_off"),
        (notes([1.0] * 6) * 41, "more than 240 notes of ear near"),
    ],
)
def test_what_cannot_be_is_refused(said: list[Gap], why: str) -> None:
    with pytest.raises(Refusal, match=why):
        corrections((straight(),), said, PLACES)
