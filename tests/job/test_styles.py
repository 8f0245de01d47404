"""The ``[split]`` and ``[seat]`` tables in a job file: what they take, and the one line when they cannot be."""

import re
from pathlib import Path

import pytest

from plategen.ground.refusal import Refusal
from plategen.job.parse import parse_job
from tests.support.refused import is_one_line

PROFILES = Path(__file__).parents[2] / "profiles"
SPLIT = (PROFILES / "forwarder-split-mount" / "job.toml").read_text(encoding="utf-8")
SEAT = (PROFILES / "vineyard-drag-link-seat" / "job.toml").read_text(encoding="utf-8")
CLAMP = (PROFILES / "quarry-clamped-seat" / "job.toml").read_text(encoding="utf-8")


def test_the_examples_are_read() -> None:
    split = parse_job(SPLIT).split
    assert split is not None
    assert (split.bolt_mm, split.adjust, split.reach_mm) == (pytest.approx(19.05), "slots", pytest.approx(12.7))
    seat = parse_job(SEAT).seat
    assert seat is not None
    assert seat.pad is not None
    assert seat.pad.thickness_mm == pytest.approx(7.9375)
    clamped = parse_job(CLAMP)
    assert clamped.seat is not None
    assert clamped.seat.hold == "clamp"
    assert clamped.rail.trace == ()


@pytest.mark.parametrize(
    ("text", "change", "says"),
    [
        (SPLIT, ("rows = 2", "rows = 5"), "job.toml: split.rows: 5 rows of 1 are not two to four bolts"),
        (SPLIT, ("in_row = 1", "in_row = 2"), "job.toml: split.spacing: missing"),
        (SPLIT, ('row_spacing = "4"', ""), "job.toml: split.row_spacing: missing"),
        (SPLIT, ('reach = "1/2"', ""), "job.toml: split.reach: slots need a reach"),
        (SPLIT, ('adjust = "slots"', 'adjust = "ladder"'), "job.toml: split.step: missing"),
        (SPLIT, ('adjust = "slots"', 'adjust = "slots"\nstep = 1'), "job.toml: split.step: only a ladder"),
        (SPLIT, ('reach = "1/2"', 'reach = "1/2"\nshim = "1/4"'), "job.toml: split.shim: 1/4 in (0.250) of packing"),
        (SPLIT, ('bolt = "3/4"', ""), "job.toml: split.bolt: missing"),
        (SEAT, ('made = "plain"', 'made = "forged"'), "job.toml: seat.hold: a forged steering part is not welded"),
        (SEAT, ('made = "plain"', ""), "job.toml: seat.made: missing"),
        (SEAT, ("[cylinder]\n", '[[rail.trace]]\nfile = "a.csv"\nplane = 0\n[cylinder]\n'),
         "job.toml: rail.trace: a seat stands on a tube"),
        (SEAT, ('style = "seat"', 'style = "ears"'), "job.toml: rail.trace: no trace of the rail"),
        (SPLIT, ('style = "split"', 'style = "ears"'), 'job.toml: split: only a bracket of style "split" has it'),
        (SPLIT, ("[weld]", "[closing]\nback = true\n[weld]"),
         'job.toml: closing: only a bracket of style "ears" has it'),
        (SPLIT, ("[weld]", '[seat]\ntube = "round"\nacross = 3\nmade = "plain"\n[weld]'),
         'job.toml: seat: only a bracket of style "seat" has it'),
        (SEAT, ('made = "plain"', 'made = "plain"\ncorner = 1'), "job.toml: seat.corner: a round tube has no corners"),
        (SEAT, ('made = "plain"', 'made = "plain"\nlean = "40 deg"'), "job.toml: seat.lean: the tube leans too far"),
        (CLAMP, ("[seat.clamp]\nbolt = 16\nthickness = 25\nsteel = \"S355\"\ncrown = 12", ""),
         "job.toml: seat.clamp: missing"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_one_line(text: str, change: tuple[str, str], says: str) -> None:
    assert change[0] in text
    with pytest.raises(Refusal, match=re.escape(says)) as refused:
        parse_job(text.replace(*change))
    assert is_one_line(refused.value)
