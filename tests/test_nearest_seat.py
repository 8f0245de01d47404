"""A tube too small for its tabs is no dead end: doing what each refusal says arrives at a bracket."""

import re

import pytest

from plategen.delivery.starter import starter_text
from plategen.ground.refusal import Refusal
from plategen.ground.unit import Units
from plategen.job import Job
from plategen.job.change import changed
from plategen.job.parse import parse_job
from plategen.job.toml_edit import path_of, set_value
from plategen.make import carry_through

MOST_STEPS = 3


def _started(units: Units, across: str, pad: str | None, *, foot: bool = True) -> str:
    """The starter's seat on another tube; with a pad of another width, or none, where that is asked for."""
    text = set_value(starter_text("job.toml", units, "seat"), path_of("seat.across"), across)
    if not foot:
        text = re.sub(r"^foot = .*$", "", text, flags=re.MULTILINE)
    return text[: text.index("[seat.pad]")] if pad is None else set_value(text, path_of("seat.pad.width"), pad)


def _refused(job: Job) -> Refusal | None:
    try:
        carry_through(job, ())
    except Refusal as refusal:
        return refusal
    return None


@pytest.mark.parametrize("foot", [True, False])
@pytest.mark.parametrize("pad", ["2", "2 1/4", "2 1/2", "2 5/8", "3 1/2", "4"])
@pytest.mark.parametrize("across", ["1 1/2", "1 3/4", "2"])
def test_doing_what_a_refusal_says_arrives_at_a_bracket(across: str, pad: str, foot: bool) -> None:
    job = parse_job(_started("in", across, pad, foot=foot))
    for _ in range(MOST_STEPS):
        refusal = _refused(job)
        if refusal is None:
            return
        assert refusal.cure is not None, refusal
        assert refusal.cure.changes, refusal
        job = changed(job, refusal.cure.changes)
    assert _refused(job) is None


_WAYS = {
    r"tabs ([\d/ ]+) in thick": "bracket.thickness",
    r"a leg of ([\d/ ]+) in": "weld.leg",
    r"a pad ([\d/ ]+) in thick and": "seat.pad.thickness",
    r"an eye ([\d/ ]+) in wide": "cylinder.base.eye_width",
}


@pytest.mark.parametrize(("across", "pad"), [("1 1/2", "3 1/2"), ("1 3/4", "3 1/2"), ("1 1/2", None)])
def test_every_way_that_is_told_builds(across: str, pad: str | None) -> None:
    text = _started("in", across, pad)
    refusal = _refused(parse_job(text))
    assert refusal is not None
    ways = str(refusal).partition("right is: ")[2].split(", or ")
    assert len(ways) >= 2, refusal
    for way in ways:
        tried = text
        clamp = re.search(r'hold = "clamp" with bolts of ([\d/ ]+) in and plates ([\d/ ]+) in thick', way)
        table = re.fullmatch(r"\[seat.pad\] with a thickness of ([\d/ ]+) in and a width of ([\d/ ]+) in", way)
        if clamp:
            tried = f'{text.partition("[seat.pad]")[0]}hold = "clamp"\n[seat.clamp]\n'
            tried += f'bolt = "{clamp[1]}"\nthickness = "{clamp[2]}"\n'
        elif table:
            tried += f'[seat.pad]\nthickness = "{table[1]}"\nwidth = "{table[2]}"\n'
        else:
            for words, key in _WAYS.items():
                if found := re.search(words, way):
                    tried = set_value(tried, path_of(key), found[1])
            if width := re.search(r"([\d/ ]+) in wide$", way.partition("pad")[2]):
                tried = set_value(tried, path_of("seat.pad.width"), width[1].strip())
        assert tried != text, way
        assert _refused(parse_job(tried)) is None, way


def test_a_pad_that_goes_too_far_round_is_told_the_widest_that_does_not() -> None:
    refusal = _refused(parse_job(_started("in", "2", "3 1/2")))
    assert str(refusal).endswith(
        "a pad 3 1/2 in (3.500) wide goes too far round the tube; 3 1/4 in wide or less is right"
    )
