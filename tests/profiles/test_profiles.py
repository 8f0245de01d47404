"""The example jobs load, and their traces are honest readings of the rails they are said to be read from."""

import math
from pathlib import Path

import pytest

from plategen.job.load import load_job, load_trace
from tests.profiles.truth import INCH, READ_ERROR_MM, TRUTH, offset_at

PROFILES = Path(__file__).parents[2] / "profiles"
MARK_MM = {"in": INCH / 32, "mm": 1.0}


@pytest.mark.parametrize("name", sorted(path.parent.name for path in PROFILES.glob("*/job.toml")))
def test_every_example_job_loads(name: str) -> None:
    loaded = load_job(PROFILES / name)
    assert loaded.name == name
    assert len(loaded.traces) == len(loaded.job.rail.trace)


@pytest.mark.parametrize(("job", "file"), [(job, file) for job, files in TRUTH.items() for file in files])
def test_the_readings_are_the_known_rail_read_by_hand(job: str, file: str) -> None:
    loaded = load_job(PROFILES / job)
    # read by itself: of two straightedges the job knows only the trace that they give together
    trace = load_trace(PROFILES / job / file).trace
    errors = [r.point.imag - offset_at(TRUTH[job][file], r.point.real) for r in trace.readings]
    mark = MARK_MM[loaded.job.units]
    spread = math.hypot(READ_ERROR_MM, mark / math.sqrt(12))  # a hand's error, and rounding to the rule's mark
    assert 0.5 * spread < math.sqrt(sum(e * e for e in errors) / len(errors)) < 1.6 * spread
    assert max(map(abs, errors)) < 4 * spread
    assert all(abs(r.point.imag / mark - round(r.point.imag / mark)) < 1e-9 for r in trace.readings)


@pytest.mark.parametrize("file", [path for path in PROFILES.glob("*/*.csv") if path.parent.name in TRUTH])
def test_invented_readings_say_so(file: Path) -> None:
    assert file.read_text(encoding="utf-8").startswith("# Invented demonstration data")


def test_a_repeated_reading_is_among_them() -> None:
    stations = [r.point.real for r in load_job(PROFILES / "sprayer-kicked-rail").traces[0].readings]
    assert len(stations) == len(set(stations)) + 1


def test_the_rolled_channels_flange_slopes_one_in_six() -> None:
    # AISC 360 shapes, American Standard Channels: the inside of the flanges slopes 2 in 12 (AISC Manual, part 1)
    job = load_job(PROFILES / "forwarder-rolled-channel").job
    truth = TRUTH["forwarder-rolled-channel"]
    rise = offset_at(truth["near_toe.csv"], 100.0) - offset_at(truth["near_web.csv"], 100.0)
    near_web, near_toe = job.rail.trace
    assert rise / (near_toe.plane_mm - near_web.plane_mm) == pytest.approx(2 / 12)


def test_the_rolled_channels_bracket_fits_between_web_and_toe() -> None:
    # C12 x 20.7 (AISC): flange 2.942 in wide, web 0.282 in; the root's fillet is taken as the flange, 0.501 in,
    # and the toe's as 0.2 in (from memory); planes are counted from the web's inner face
    job = load_job(PROFILES / "forwarder-rolled-channel").job
    between = job.cylinder.base.eye_width_mm + 2 * job.bracket.side_play_mm
    first, last = (
        job.bracket.plane_mm - job.bracket.thickness_mm,
        job.bracket.plane_mm + between + job.bracket.thickness_mm,
    )
    assert first - job.weld.leg_mm > 0.501 * INCH
    assert last + job.weld.leg_mm < (2.942 - 0.282 - 0.2) * INCH
    middle = job.bracket.plane_mm + between / 2
    assert middle - job.cylinder.body_diameter_mm / 2 > 0.25 * INCH  # the barrel clears the web
