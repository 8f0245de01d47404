"""Variants of a job over a grid: the numbers that run, the answers, and the command that prints them."""

import csv
import io
import math
import random
import signal
import subprocess
import sys
from pathlib import Path

import pytest

from plategen.checks.finding import VERDICTS
from plategen.ground.refusal import Refusal
from plategen.job import Job
from plategen.job.load import LoadedJob, load_job
from plategen.make import carry_through
from plategen.vary import judged, read_axes, sweep_of

PROFILES = Path(__file__).parents[1] / "profiles"
SPRAYER = PROFILES / "sprayer-kicked-rail"
MAIN = "from plategen.cli import main; main()"
HEARS = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)"
"""What tests that run in the background pass on to the program is that Ctrl-C is for others."""

GRID = ("mount.inline_offset=1 1/2:2 1/2:1/2", "bracket.thickness=5/16:1/2:3/32", "weld.leg=3/16:5/16:1/16")


@pytest.fixture(scope="module")
def sprayer() -> LoadedJob:
    return load_job(SPRAYER)


def run(*words: str) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-c", MAIN, "judge", *words]
    return subprocess.run(command, capture_output=True, text=True, check=False, timeout=120)


def test_a_range_is_read_in_the_shops_notation(sprayer: LoadedJob) -> None:
    (axis,) = read_axes(sprayer.job, ["mount.inline_offset = 3 1/2 : 4 1/2 : 1/16"])
    assert len(axis.values) == 17
    assert axis.values[0] == pytest.approx(3.5 * 25.4, abs=1e-12)
    assert axis.values[-1] == pytest.approx(4.5 * 25.4, abs=1e-12)
    assert axis.values[1] - axis.values[0] == pytest.approx(25.4 / 16, abs=1e-9)


def test_a_range_may_run_down_and_end_short_of_its_end(sprayer: LoadedJob) -> None:
    (axis,) = read_axes(sprayer.job, ["bracket.thickness=12 mm:5 mm:2 mm"])
    assert axis.values == pytest.approx((12.0, 10.0, 8.0, 6.0), abs=1e-12)
    (alone,) = read_axes(sprayer.job, ["weld.leg=6 mm:6 mm:1"])
    assert alone.values == (6.0,)


@pytest.mark.parametrize(
    ("words", "told"),
    [
        (["weld.leg"], "does not say what is varied"),
        (["weld.leg=1:2"], "does not say what is varied"),
        (["weld.legs=1:2:1"], "no number of that name; those there are leg"),
        (["weld=1:2:1"], "is not a number but"),
        (["bracket.style=1:2:1"], "is not a number but"),
        (["rail.trace.plane=1:2:1"], "no single number"),
        (["steering.lock_to_lock=1:2:1"], r"no \[steering\]"),
        (["weld.leg=1/8:1/4:0"], "more than zero is right"),
        (["weld.leg=1/8:1/4:-1/16"], "more than zero is right"),
        (["weld.leg=-1:1:1"], "out of range"),
        (["weld.leg=nan:1:1"], "no length"),
        (["weld.leg=1/8:1/4:1e-9"], "by (a larger step|larger steps), is right"),
        (["weld.leg=1:2:1/1000", "bracket.thickness=1:2:1/2000"], "by (a larger step|larger steps), is right"),
        (["weld.leg=1:2:1", "weld.leg=1:2:1"], "varied twice"),
        (["weld.leg=1:2:1"] * 4, "1 to 3 is right"),
    ],
)
def test_ranges_that_make_no_sense_are_refused(sprayer: LoadedJob, words: list[str], told: str) -> None:
    with pytest.raises(Refusal, match=told):
        read_axes(sprayer.job, words)


def test_variants_are_what_the_job_itself_would_be(sprayer: LoadedJob) -> None:
    sweep = sweep_of(sprayer.job, sprayer.traces, read_axes(sprayer.job, GRID))
    assert len(sweep) == 27
    for index in (0, 13, 26):
        (variant,) = judged(sweep, [index])
        offset, thickness, leg = variant.numbers
        job: Job = sprayer.job.replaced(
            mount=sprayer.job.mount.replaced(inline_offset_mm=offset),
            bracket=sprayer.job.bracket.replaced(thickness_mm=thickness),
            weld=sprayer.job.weld.replaced(leg_mm=leg),
        )
        work = carry_through(job, sprayer.traces)
        assert variant.finding in work.findings
        assert {f.verdict for f in work.findings if not f.opinion} <= {variant.verdict, "ok", "caution"}
        assert variant.weld_mm == sum(run.length_mm for run in work.bracket.welds)
        assert variant.gap_mm == max(p.fit.expected_gap_mm for p in work.bracket.plates if p.fit)
        assert variant.mass_kg == pytest.approx(sum(p.area_mm2 * p.thickness_mm for p in work.bracket.plates) * 7.85e-6)


def test_the_same_answers_in_any_order(sprayer: LoadedJob) -> None:
    sweep = sweep_of(sprayer.job, sprayer.traces, read_axes(sprayer.job, GRID))
    in_order = list(judged(sweep, range(len(sweep))))
    shuffled = list(range(len(sweep)))
    random.Random(9).shuffle(shuffled)
    assert dict(zip(shuffled, judged(sweep, shuffled), strict=True)) == dict(enumerate(in_order))


def test_a_variant_that_cannot_be_is_told_and_the_others_go_on(sprayer: LoadedJob) -> None:
    sweep = sweep_of(sprayer.job, sprayer.traces, read_axes(sprayer.job, ["mount.inline_offset=-1:3:2"]))
    variants = list(judged(sweep, range(len(sweep))))
    assert [v.verdict == "refused" for v in variants] == [True, False, False]
    assert "1 1/2" not in variants[0].refused or "mm" not in variants[0].refused
    assert math.isnan(variants[0].mass_kg)


@pytest.mark.parametrize("folder", sorted(p.name for p in PROFILES.iterdir() if (p / "job.toml").is_file()))
def test_every_example_can_run_its_weld_leg(folder: str) -> None:
    loaded = load_job(PROFILES / folder)
    leg = loaded.job.weld.leg_mm
    sweep = sweep_of(loaded.job, loaded.traces, read_axes(loaded.job, [f"weld.leg={leg} mm:{leg} mm:1 mm"]))
    (variant,) = judged(sweep, [0])
    work = carry_through(loaded.job, loaded.traces)
    worst = max((f.verdict for f in work.findings if not f.opinion), key=VERDICTS.index)
    assert variant.verdict == worst


def test_the_command_prints_a_table_and_csv_and_processes_change_nothing() -> None:
    words = [str(SPRAYER), *(word for axis in GRID for word in ("--vary", axis))]
    shown = run(*words)
    assert shown.returncode == 0, shown.stderr
    assert len(shown.stdout.splitlines()) == 29
    assert shown.stderr == ""
    one, two = run(*words, "--csv"), run(*words, "--csv", "--jobs", "2")
    assert one.stdout == two.stdout
    rows = list(csv.DictReader(io.StringIO(one.stdout)))
    assert len(rows) == 27
    assert [float(rows[k]["mount.inline_offset (in)"]) for k in (0, 26)] == [1.5, 2.5]
    assert [float(rows[k]["weld.leg (in)"]) for k in (0, 1, 2)] == [0.1875, 0.25, 0.3125]
    assert "\r" not in one.stderr  # no bar where there is no terminal


def test_the_command_says_when_no_variant_holds() -> None:
    assert run(str(SPRAYER), "--vary", "mount.inline_offset=-2:-1:1").returncode == 1


@pytest.mark.parametrize(
    "words",
    [("--csv",), ("--jobs", "2"), ("--vary", "weld.leg=1:2:1", "--opinions"), ("--vary", "weld.leg=1:2:x")],
)
def test_the_command_refuses_in_one_line(words: tuple[str, ...]) -> None:
    done = run(str(SPRAYER), *words)
    assert (done.returncode, done.stdout) == (2, "")
    assert len(done.stderr.splitlines()) == 1


@pytest.mark.parametrize("jobs", ["1", "2"])
def test_ctrl_c_prints_what_is_done(jobs: str) -> None:
    command = [sys.executable, "-u", "-c", f"{HEARS}; {MAIN}", "judge", str(SPRAYER), "--csv", "--jobs", jobs]
    command += ["--vary", "weld.leg=1/8:1/2:1/100000"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stderr is not None
        first = [process.stdout.readline() for _ in range(5)]
        process.send_signal(signal.SIGINT)
        rest, told = process.stdout.read(), process.stderr.read()
        assert process.wait(timeout=60) == 130
    rows = "".join(first) + rest
    assert rows.endswith("\n")
    assert {len(row) for row in csv.reader(io.StringIO(rows))} == {9}
    assert told.startswith("stopped: ")
    assert len(told.splitlines()) == 1
