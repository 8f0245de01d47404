"""The pin that bracket and steering study share: checked, and put where the study wants it."""

import re

import numpy as np
import pytest

from plategen.design.places import pin_miss, written_place
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.load import load_job
from plategen.job.parse import parse_job
from plategen.make import carry_through
from plategen.steering.vector import array
from plategen.work import Work
from tests.support.orchard import HELD, ROLLING

TEXT, TRACES = HELD, load_job(ROLLING).traces
HERE = re.sub(r'(?m)^pin = "study".*\n', "", TEXT)
CHECK = "bracket holds the pin where the study wants it"


def made(text: str) -> Work:
    return carry_through(parse_job(text), TRACES)


def verdicts(work: Work) -> dict[str, str]:
    return {f.part.words: f.verdict for f in work.findings if f.check == CHECK}


def zero_of_straightedge(work: Work, fixed_pin: tuple[float, float, float] | None = None) -> np.ndarray:
    """Where the straightedge's station 0 lies in the vehicle frame, by the bracket's pin and the plate frame."""
    assert work.steering is not None
    found = work.steering.in_line
    assert found is not None
    axes = np.array([found.swing.u, found.swing.v, found.swing.w])
    pin = np.array([work.bracket.pin.centre[0], -work.rail.inline_offset_mm, work.bracket.pin.centre[2]])
    return array(fixed_pin or found.mount.fixed_mm) - pin @ axes


def test_a_pin_left_where_it_is_drawn_stops_the_job_and_says_where_it_belongs() -> None:
    work = made(HERE)
    assert verdicts(work) == {
        "along the cylinder": "stop", "across it, to the rail": "ok", "along the pin": "ok"
    }  # fmt: skip
    advice = work.steering.stroke if work.steering else None
    assert advice is not None
    (stop,) = (f for f in work.findings if f.check == CHECK and f.verdict == "stop")
    assert stop.demand == pytest.approx(abs(advice.moved_mm), rel=1e-3)
    assert stop.cure is not None
    assert [q.value for q in stop.cure.advice.quantities] == pytest.approx([6.5 * 25.4 - advice.moved_mm], abs=0.005)


def test_the_study_puts_the_pin_and_the_bracket_follows() -> None:
    before, after = made(HERE), made(TEXT)
    assert set(verdicts(after).values()) == {"ok"}
    advice = before.steering.stroke if before.steering else None
    assert advice is not None
    assert after.bracket.pin.centre[0] == pytest.approx(6.5 * 25.4 - advice.moved_mm, abs=1e-3)
    # the straightedge stays where it was clamped: the pin moved in both frames alike
    drawn = before.job.steering.cylinder_mount.fixed_pin_mm if before.job.steering else None  # type: ignore[union-attr]
    np.testing.assert_allclose(zero_of_straightedge(after), zero_of_straightedge(before, drawn), atol=1e-6)
    # the job stays what was written; the place is the design's, and the pin drawn in the study moved along with it
    assert after.job == parse_job(TEXT)
    assert after.design.pin.why
    assert after.steering is not None
    assert after.steering.in_line is not None
    assert after.design.pin.fixed_mm == after.steering.in_line.mount.fixed_mm
    assert after.design.pin != written_place(after.job) == before.design.pin


def test_the_straightedges_zero_ties_the_frames_and_finds_a_pin_measured_wrong() -> None:
    right = made(TEXT)
    zero = ", ".join(f'"{c:.6f} mm"' for c in zero_of_straightedge(right))
    tied = HERE.replace("pin_axis =", f"straightedge = [{zero}]\npin_axis =")
    station = f'"{right.design.pin.station_mm:.6f} mm"'
    good = tied.replace('pin_station = "6 1/2"', f"pin_station = {station}")
    assert set(verdicts(made(good)).values()) == {"ok"}
    wrong = good.replace('inline_offset = "3 3/4"', 'inline_offset = "3 7/8"')
    assert verdicts(made(wrong))["across it, to the rail"] == "stop"
    low = good.replace("plane = 0\nthickness", 'plane = "1/8"\nthickness')
    assert verdicts(made(low))["along the pin"] == "stop"
    # left to the study, a wrong number is put right by the tie
    cured = made(wrong.replace("[mount]", '[mount]\npin = "study"'))
    assert cured.rail.inline_offset_mm == pytest.approx(3.75 * 25.4, abs=1e-4)
    assert set(verdicts(cured).values()) == {"ok"}


def test_what_the_study_finds_is_what_the_bracket_is_judged_by() -> None:
    work = made(TEXT)
    drawn = work.steering.swings_about("fixed pin")[0] if work.steering else None
    assert drawn is not None
    assert work.design.motion.swing_rad == drawn.in_plane_range_rad
    steep = made(re.sub(r"pin_axis = .*", "pin_axis = [-0.3, 0.4, -1]", TEXT))
    assert steep.steering is not None
    assert steep.steering.swings_about("fixed pin")
    assert max(map(abs, steep.steering.swings_about("fixed pin")[0].out_of_plane_range_rad)) > max(
        map(abs, drawn.out_of_plane_range_rad)
    )

    def worst(done: Work) -> float:
        return max(f.ratio for f in done.findings if f.check == "weld throat stress")

    assert worst(steep) > worst(work)


def test_a_pin_left_to_a_study_that_places_none_is_refused() -> None:
    bare = TEXT[: TEXT.index("[steering]")]
    with pytest.raises(Refusal, match=r"mount\.pin: the steering study places no pin"):
        made(bare)
    job: Job = parse_job(bare.replace('pin = "study"', 'pin = "here"'))
    assert pin_miss(job, None, written_place(job)) is None
