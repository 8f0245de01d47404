"""A cure stands beside what fails, and nowhere else."""

from pathlib import Path

import pytest

from plategen.job.load import load_job
from plategen.make import carry_through

PROFILES = Path(__file__).parents[2] / "profiles"


@pytest.mark.parametrize("name", ["orchard-sprayer-steering", "forwarder-split-mount", "quarry-clamped-seat"])
def test_what_holds_asks_for_no_cure(name: str) -> None:
    loaded = load_job(PROFILES / name)
    found = carry_through(loaded.job, loaded.traces).findings
    assert not [(f.check, f.cure) for f in found if f.cure and f.ratio <= 1.0]


def test_what_fails_keeps_its_cure() -> None:
    loaded = load_job(PROFILES / "orchard-sprayer-steering")
    short = loaded.job.replaced(cylinder=loaded.job.cylinder.replaced(stroke_mm=150.0))
    found = carry_through(short, loaded.traces).findings
    (stroke,) = (f for f in found if f.check == "stroke covers travel")
    assert stroke.verdict == "stop"
    assert stroke.cure
