"""Keys of the job file that a corner, a closing plate and a swing bring."""

import pytest

from plategen.delivery.starter import starter_text
from plategen.ground.refusal import Refusal
from plategen.job.parse import parse_job

BASE = starter_text("job.toml", "in")


def _with(*changes: tuple[str, str], more: str = "") -> str:
    text = BASE
    for old, new in changes:
        assert old in text
        text = text.replace(old, new, 1)
    return f"{text}\n{more}\n"


FOOT = "foot = [2, 11] "


def test_a_foot_round_the_corner_is_read() -> None:
    mount = parse_job(_with((FOOT, 'foot = [2]\nfoot_rise = "3 1/2" '))).mount
    assert mount.foot_mm == (50.8,)
    assert mount.foot_rise_mm == pytest.approx(88.9)


def test_everything_may_be_left_to_rules() -> None:
    mount = parse_job(_with((FOOT, 'foot = "auto"\nfoot_rise = "auto" '))).mount
    assert (mount.foot_mm, mount.foot_rise_mm) == (None, None)


def test_closing_and_swing_are_read() -> None:
    more = '[closing]\nback = true\njoint = "slots"\nfit = "1/64"\n[swing]\nlow = -8\nhigh = 12\n' + (
        "[[swing.port]]\nat = 5\ndiameter = 1\nheight = 2\n"
    )
    job = parse_job(_with(more=more))
    assert job.closing is not None
    assert job.closing.fit_mm == pytest.approx(25.4 / 64)
    assert job.swing is not None
    assert job.swing.high_rad == pytest.approx(0.20944, abs=1e-5)
    assert job.swing.port[0].towards == "rail"


@pytest.mark.parametrize(
    ("text", "message"),
    [
        (_with((FOOT, "foot = [2, 11]\nfoot_rise = 3 ")), "mount.foot_rise: a foot between two stations has no rise"),
        (_with(("corner_radius = ", 'relief = "1/64"\ncorner_radius = ')), "bracket.relief: no torch cuts so small"),
        (_with(more="[closing]"), "closing.back: no plate is asked for"),
        (_with(more="[closing]\nback = true\ntab = 1"), "closing.tab: only plates in slots have tabs"),
        (_with(more="[swing]\nlow = -5"), "swing.high: missing; both ends of the swing"),
        (_with(more="[swing]\nlow = 5\nhigh = -5"), "swing.high: the swing ends before it begins"),
        (_with(more="[swing]\nlow = -5\nhigh = 170"), "swing.high: more than 115 degrees"),
    ],
)
def test_slips_are_refused_in_one_line(text: str, message: str) -> None:
    with pytest.raises(Refusal) as refused:
        parse_job(text)
    assert message in str(refused.value)
